//! ICS 214, Activity Log: begun with what was signed, and with what is to be done in the phase.
//!
//! Source: FEMA ICS 214, blocks from memory.

use std::collections::BTreeMap;

use crate::model::{Gateway, Verified};
use crate::paperwork::card::is_contaminated;
use crate::paperwork::on::{On, lying};
use crate::paperwork::period::signed_when;
use crate::paperwork::set::blocks::Field;
use crate::paperwork::set::sheet::Document;
use crate::paperwork::set::table::{Cell, Column, Table};
use crate::picture::precheck::PreCheck;

/// Empty rows at the end.
const EMPTY_ROWS: usize = 12;

/// Sets the form.
pub fn set(on: &On<'_>) -> Document {
    let top = vec![
        Field::new("1. Incident Name", on.incident(), 5.0),
        Field::new("2. Operational Period", on.period_words(), 5.0),
    ];
    let mut page = on.begin(
        "Activity Log (ICS 214)",
        lying(on.given.paper.upright()),
        top,
    );
    page.fields(&[
        Field::new("3. Name", on.given.by.as_str(), 3.0),
        Field::new("4. ICS Position", on.given.position.as_str(), 3.0),
        Field::new("5. Home Agency (and Unit)", on.given.agency.as_str(), 4.0),
    ]);
    page.gap(5.0);
    page.heading_sized(2, "6. Resources Assigned", 9.0);
    page.table(&resources(on));
    page.gap(5.0);
    page.heading_sized(2, "7. Activity Log", 9.0);
    page.table(&activities(on));
    page.gap(5.0);
    page.fields(&on.prepared_by(Some(8)));
    on.finish_iap(page, "ICS 214")
}

fn resources(on: &On<'_>) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Name", 4.0),
            Column::new("ICS Position", 3.0),
            Column::new("Home Agency (and Unit)", 4.0),
        ],
        9.0,
    );
    table.least = 17.0;
    for gateway in on.scenario().gateways.iter() {
        let owner = gateway.owner.map_or_else(String::new, |a| on.name(a));
        let gear = format!("{} (gateway)", gateway.name);
        table.row(vec![Cell::text(gear), Cell::blank(), Cell::text(owner)]);
    }
    for _ in 0..3 {
        table.row(vec![Cell::blank(), Cell::blank(), Cell::blank()]);
    }
    table
}

fn activities(on: &On<'_>) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Date/Time", 2.0),
            Column::new("Notable Activities", 7.0),
            Column::new("Signed", 2.0),
        ],
        9.0,
    );
    table.least = 19.0;
    let list = PreCheck::of(on.picture);
    for part in &list.parts {
        for set in part.sets.iter().filter(|set| !set.facts.is_empty()) {
            let on_channel = if set.reads.is_empty() {
                String::new()
            } else {
                format!(" on {}", set.reads)
            };
            let who = format!("{}, {}: {}{on_channel}", part.title, set.with, set.name);
            let facts = set.facts.iter();
            let facts = facts.map(|line| (line.fact.word(), line.verified.as_ref()));
            signed_rows(&mut table, &format!("{who}, read off the set"), facts);
        }
        for at in part.sets.iter().filter_map(|set| set.at_port.as_ref()) {
            let steps = at.steps.iter();
            let steps = steps.map(|line| (line.step.word(), line.done.as_ref()));
            signed_rows(
                &mut table,
                &format!("{}, tried out", on.name(at.port)),
                steps,
            );
        }
    }
    for gateway in on.scenario().gateways.iter() {
        for what in steps(on, gateway) {
            table.row(to_do(&what));
        }
    }
    for _ in 0..EMPTY_ROWS {
        table.row(vec![Cell::blank(), Cell::blank(), Cell::blank()]);
    }
    table
}

/// A row for each who signed something on a day, with what that was; then one for what is still to do.
fn signed_rows<'a>(
    table: &mut Table,
    what: &str,
    things: impl Iterator<Item = (&'a str, Option<&'a Verified>)>,
) {
    let mut by: BTreeMap<(String, &str), Vec<&str>> = BTreeMap::new();
    let mut open: Vec<&str> = Vec::new();
    for (thing, signed) in things {
        match signed {
            Some(signed) => by
                .entry((signed_when(signed), signed.by.as_str()))
                .or_default()
                .push(thing),
            None => open.push(thing),
        }
    }
    for ((day, name), things) in by {
        table.row(vec![
            Cell::text(day),
            Cell::tick(true, format!("{what}: {}", things.join(", "))),
            Cell::text(name),
        ]);
    }
    if !open.is_empty() {
        table.row(to_do(&format!("{what}: {}", open.join(", "))));
    }
}

/// A row for what is still to do: its box is open, and who does it writes name and time.
fn to_do(what: &str) -> Vec<Cell> {
    vec![
        Cell::blank(),
        Cell::tick(false, format!("To do: {what}")),
        Cell::blank(),
    ]
}

/// What happens to a gateway in the phase.
fn steps(on: &On<'_>, gateway: &Gateway) -> Vec<String> {
    let name = &gateway.name;
    let mut steps = vec![format!("bring up {name}, count every port both ways")];
    for group in &gateway.talk_groups {
        if on.ports_on(gateway, Some(group.number)).count() > 1 {
            steps.push(format!(
                "{name}: test talk group {} {} with everybody on it",
                group.number, group.name
            ));
        }
    }
    // Nobody opens a box where the air or the dirt is dangerous.
    let shut = is_contaminated(on, gateway);
    let cells = if shut {
        "bring out for fresh cells, or give power from outside,"
    } else {
        "change the cells,"
    };
    let battery = if shut {
        "bring out for a fresh radio battery, or give power from outside,"
    } else {
        "change the radio battery,"
    };
    let power = on.picture.power();
    if let Some(own) = power.gateways.iter().find(|p| p.gateway == gateway.id)
        && !own.is_supplied()
        && let Some(period) = &on.period
    {
        for at in &own.changes_h {
            steps.push(format!("{name}: {cells} due by {}", period.after(*at)));
        }
    }
    let donors = power.donors.iter();
    for donor in donors.filter(|d| d.port.gateway == gateway.id && !d.is_supplied) {
        if let Some(period) = &on.period {
            steps.extend(donor.changes_h.iter().map(|at| {
                let port = donor.port.port;
                format!("{name} port {port}: {battery} due by {}", period.after(*at))
            }));
        }
    }
    steps.push(format!("{name}: tell everybody, take the patch down"));
    steps
}

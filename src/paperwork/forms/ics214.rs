//! ICS 214, Activity Log: begun with what must be done and signed in the phase.
//!
//! Source: FEMA ICS 214, blocks from memory.

use crate::model::{Gateway, Verified};
use crate::paperwork::on::{On, lying};
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
    on.finish(page, "ICS 214", "ICS 214")
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
            let done = set.facts_done();
            let signed = set.facts.iter().map(|line| line.verified.as_ref());
            let on_channel = if set.reads.is_empty() {
                String::new()
            } else {
                format!(" on {}", set.reads)
            };
            let so_far = if done.done > 0 && done.done < done.all {
                format!(" ({} of {} facts read off so far)", done.done, done.all)
            } else {
                String::new()
            };
            let what = format!(
                "{}, {}: {}{on_channel} read off the set{so_far}",
                part.title, set.with, set.name
            );
            table.row(signed_row(&what, signed));
        }
        for at in part.sets.iter().filter_map(|set| set.at_port.as_ref()) {
            let what = format!(
                "{}: cable, level, talk group, counts both ways",
                on.name(at.port)
            );
            table.row(signed_row(
                &what,
                at.steps.iter().map(|line| line.done.as_ref()),
            ));
        }
    }
    for gateway in on.scenario().gateways.iter() {
        for what in steps(on, gateway) {
            table.row(vec![Cell::blank(), Cell::text(what), Cell::blank()]);
        }
    }
    for _ in 0..EMPTY_ROWS {
        table.row(vec![Cell::blank(), Cell::blank(), Cell::blank()]);
    }
    table
}

/// A row with the name and date of whoever did the last of several things, where all are done.
fn signed_row<'a>(what: &str, done: impl Iterator<Item = Option<&'a Verified>>) -> Vec<Cell> {
    let all: Option<Vec<&Verified>> = done.collect();
    let last = all.and_then(|all| all.into_iter().max_by_key(|v| v.when()));
    let (when, who) = last.map_or_else(Default::default, |v| (v.when(), v.by.clone()));
    vec![Cell::text(when), Cell::text(what), Cell::text(who)]
}

/// What happens to a gateway in the phase.
fn steps(on: &On<'_>, gateway: &Gateway) -> Vec<String> {
    let name = &gateway.name;
    let mut steps = vec![format!("{name}: brought up, every port counted both ways")];
    for group in &gateway.talk_groups {
        if on.ports_on(gateway, Some(group.number)).count() > 1 {
            steps.push(format!(
                "{name}: talk group {} {} tested with everybody on it",
                group.number, group.name
            ));
        }
    }
    let power = on.picture.power();
    if let Some(own) = power.gateways.iter().find(|p| p.gateway == gateway.id)
        && !own.is_supplied()
        && let Some(period) = &on.period
    {
        for at in &own.changes_h {
            steps.push(format!(
                "{name}: cells changed, due by {}",
                period.after(*at)
            ));
        }
    }
    let donors = power.donors.iter();
    for donor in donors.filter(|d| d.port.gateway == gateway.id && !d.is_supplied) {
        if let Some(period) = &on.period {
            steps.extend(donor.changes_h.iter().map(|at| {
                let port = donor.port.port;
                format!(
                    "{name} port {port}: radio battery changed, due by {}",
                    period.after(*at)
                )
            }));
        }
    }
    steps.push(format!("{name}: patch taken down, everybody told"));
    steps
}

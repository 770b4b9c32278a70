//! ICS 205A, Communications List: how to reach everybody, by name.
//!
//! Source: FEMA ICS 205A; blocks from memory, purpose from the booklet. It may hold personal numbers.

use crate::model::{Attachment, Party, Telephone, ThingId};
use crate::paperwork::forms::ics205::capital;
use crate::paperwork::on::{On, lying};
use crate::paperwork::set::blocks::Field;
use crate::paperwork::set::face::Face;
use crate::paperwork::set::sheet::Document;
use crate::paperwork::set::table::{Cell, Column, Table};
use crate::sheets::Choice as _;

/// Sets the form.
pub fn set(on: &On<'_>) -> Document {
    let top = vec![
        Field::new("1. Incident Name", on.incident(), 5.0),
        Field::new("2. Operational Period", on.period_words(), 5.0),
    ];
    let mut page = on.begin(
        "Communications List (ICS 205A)",
        lying(on.given.paper.upright()),
        top,
    );
    page.gap(5.0);
    page.heading_sized(2, "3. Basic Local Communications Information", 9.0);
    page.table(&people(on));
    page.gap(4.0);
    page.paragraph(
        "This list may hold personal numbers: hand it only to those who need it.",
        Face::Bold,
        8.0,
    );
    page.gap(4.0);
    page.fields(&on.prepared_by(Some(4)));
    on.finish_iap(page, "ICS 205A")
}

fn people(on: &On<'_>) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Incident Assigned Position", 3.0),
            Column::new("Name (Alphabetized)", 3.0),
            Column::new(
                "Method(s) of Contact (radio channel, telephone, gateway port)",
                6.0,
            ),
        ],
        9.0,
    );
    table.least = 15.5;
    let mut rows: Vec<(String, [String; 3])> = on
        .scenario()
        .parties()
        .map(|party| {
            let name = on.name(party);
            (
                name.to_lowercase(),
                [position(on, party), name, contact(on, party)],
            )
        })
        .collect();
    rows.sort();
    for (_, [position, name, contact]) in rows {
        table.row(vec![
            Cell::text(position),
            Cell::head(name),
            Cell::text(contact),
        ]);
    }
    table
}

/// Says how a telephone reaches the network, and its number.
fn telephone_words(t: &Telephone) -> String {
    match t.number.trim() {
        "" => capital(t.kind.words()),
        number => format!("{} {number}", capital(t.kind.words())),
    }
}

fn position(on: &On<'_>, party: Party) -> String {
    let scenario = on.scenario();
    match party {
        Party::Unit(id) => scenario.units.get(id).map_or_else(String::new, |unit| {
            let agency = unit.agency.map(|a| on.name(a));
            let role = capital(unit.role.words());
            agency.map_or_else(|| role.clone(), |agency| format!("{role}, {agency}"))
        }),
        Party::Telephone(id) => scenario.telephones.get(id).map_or_else(String::new, |t| {
            if t.far_end.is_empty() {
                "Telephone".to_owned()
            } else {
                t.far_end.clone()
            }
        }),
        Party::Headset(_) => "Headset at a gateway".to_owned(),
    }
}

fn contact(on: &On<'_>, party: Party) -> String {
    let scenario = on.scenario();
    let mut ways: Vec<String> = Vec::new();
    if let Party::Unit(unit) = party {
        for radio in scenario.radios_of(unit) {
            if on.picture.port_of(radio.id).is_some() {
                continue;
            }
            let channel = on.picture.tuned(radio).map_or_else(
                || "no channel selected".to_owned(),
                |tuned| tuned.entry.label(tuned.channel).to_owned(),
            );
            ways.push(format!("{}: {channel}", radio.name));
        }
        let telephones = scenario
            .telephones
            .iter()
            .filter(|t| t.held_by == Some(unit));
        ways.extend(telephones.map(|t| format!("{}: {}", t.name, telephone_words(t))));
    }
    let things: Vec<ThingId> = match party {
        Party::Unit(unit) => {
            let phones = scenario
                .telephones
                .iter()
                .filter(|t| t.held_by == Some(unit));
            let phones = phones.map(|t| ThingId::from(t.id));
            let sets = scenario.headsets.iter().filter(|h| h.held_by == Some(unit));
            phones.chain(sets.map(|h| ThingId::from(h.id))).collect()
        }
        other => vec![other.into()],
    };
    if let Party::Telephone(id) = party
        && let Some(telephone) = scenario.telephones.get(id)
    {
        ways.push(telephone_words(telephone));
    }
    let attached = on.picture.phase().into_iter().flat_map(|p| &p.attachments);
    for (port, attachment) in attached {
        let is_listed = things.contains(&attachment.thing());
        if is_listed && !matches!(attachment, Attachment::Radio { .. }) {
            ways.push(format!("at {}", on.name(*port)));
        }
    }
    ways.join("; ")
}

//! ICS 217A, Communications Resource Availability Worksheet: the inventory, a sheet for each band or system.
//!
//! Filled before the incident; the plan of a period is drawn from it. Source: FEMA ICS 217A, columns.

use std::collections::BTreeMap;

use crate::exchange::{configuration, eligible};
use crate::model::{Channel, Protection, SystemKind};
use crate::paperwork::columns::{Columns, band, defined, name};
use crate::paperwork::on::{On, lying};
use crate::paperwork::set::blocks::Field;
use crate::paperwork::set::sheet::Document;
use crate::paperwork::set::table::{Cell, Column, Table};

/// Sets the form for every channel of the plan.
pub fn set(on: &On<'_>) -> Document {
    let title = "Communications Resource Availability Worksheet (ICS 217A)";
    let mut page = on.begin(title, lying(on.given.paper.upright()), Vec::new());
    let mut is_first = true;
    for ((_, band), channels) in bands(on) {
        if is_first {
            is_first = false;
        } else {
            page.next_page();
        }
        page.fields(&[
            Field::new("Frequency Band", band, 3.0),
            Field::new(
                "Description",
                format!("{}: everything the plan brings", on.scenario().header.title),
                7.0,
            ),
        ]);
        page.gap(5.0);
        page.table(&table(on, &channels));
    }
    if is_first {
        page.fields(&[
            Field::new("Frequency Band", "", 3.0),
            Field::new("Description", "", 7.0),
        ]);
        page.gap(5.0);
        page.table(&table(on, &[]));
    }
    page.gap(6.0);
    page.fields(&on.prepared_by(None));
    let title = format!("ICS 217A: {}", on.scenario().header.title);
    page.finish(&title, |pad, number, count| {
        crate::paperwork::on::foot(pad, "ICS 217A", number, count);
    })
}

/// The channels by band, trunked ones by system; low bands first.
fn bands<'a>(on: &On<'a>) -> BTreeMap<(u64, String), Vec<&'a Channel>> {
    let mut bands: BTreeMap<(u64, String), Vec<&Channel>> = BTreeMap::new();
    for channel in on.scenario().channels.iter() {
        let key = match channel.conventional() {
            // The lowest frequency of a band is not known, but the bands follow each other.
            Some(c) => (place(band(c.rx)), band(c.rx).to_owned()),
            None => (u64::MAX, format!("Trunked: {}", on.name(channel.system))),
        };
        bands.entry(key).or_default().push(channel);
    }
    bands
}

fn place(band: &str) -> u64 {
    const BANDS: [&str; 10] = [
        "HF",
        "VHF low band",
        "VHF air band",
        "VHF high band",
        "UHF 225 to 406 MHz",
        "UHF band",
        "520 to 763 MHz",
        "700 MHz band",
        "800 MHz band",
        "902 MHz and above",
    ];
    BANDS.iter().position(|b| *b == band).unwrap_or(BANDS.len()) as u64
}

fn table(on: &On<'_>, channels: &[&Channel]) -> Table {
    let mut table = Table::new(
        vec![
            Column::new("Channel Configuration", 1.6),
            Column::new("Channel Name / Trunked Radio System Talkgroup", 2.8),
            Column::new("Eligible Users / Assignments", 3.6),
            Column::new("RX Freq N or W", 1.7),
            Column::new("RX Tone/NAC", 1.1),
            Column::new("TX Freq N or W", 1.7),
            Column::new("TX Tone/NAC", 1.1),
            Column::centred("Mode A, D or M", 0.8),
            Column::new("Remarks", 3.2),
        ],
        8.0,
    );
    for channel in channels {
        let columns = Columns::of(defined(channel));
        table.row(vec![
            Cell::text(configuration(on.scenario(), channel)),
            Cell::head(name(channel, &channel.name)),
            Cell::text(eligible(on.scenario(), channel)),
            Cell::text(columns.rx),
            Cell::text(columns.rx_code),
            Cell::text(columns.tx),
            Cell::text(columns.tx_code),
            Cell::text(columns.mode),
            Cell::text(remarks(on, channel)),
        ]);
    }
    table
}

fn remarks(on: &On<'_>, channel: &Channel) -> String {
    let mut parts = Vec::new();
    if let Some(system) = on.scenario().systems.get(channel.system)
        && system.kind != SystemKind::Simplex
    {
        parts.push(system.name.clone());
    }
    if channel.protection != Protection::Clear {
        parts.push(channel.protection.to_string());
    }
    if !channel.notes.trim().is_empty() {
        parts.push(channel.notes.trim().to_owned());
    }
    parts.join("; ")
}

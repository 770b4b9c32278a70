//! The table of radios, with the channels programmed as they are defined.

use std::collections::{BTreeMap, BTreeSet};

use super::book::Book;
use super::cells::{
    band, band_text, capacity, choice, key, list, list_text, optional, optional_text, shown, watts,
    words,
};
use super::choice::Choice as _;
use super::column::{
    Column, Heading, Row, link_column, links_column, optional_column, text_column, value_column,
    yes_column,
};
use super::offer::{Table, put};
use crate::model::{ChannelId, Kind, Mode, Programmed, Radio, RadioId, ThingId};

pub(super) static RADIOS: Table<Radio> = Table {
    name: "Radios",
    kind: Kind::Radio,
    row_word: "radio",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 24, "Name or tag on the set").needed(),
            name
        ),
        link_column!(
            Heading::new(
                "Held by",
                "held_by",
                20,
                "The unit that carries it, or empty"
            ),
            units,
            held_by
        ),
        link_column!(
            Heading::new("Owner", "owner", 20, "The agency that owns it, or empty"),
            agencies,
            owner
        ),
        text_column!(
            Heading::new("Family", "family", 18, "Kind of set, such as VHF portable"),
            family
        ),
        Column {
            heading: Heading::new(
                "Bands",
                "bands",
                22,
                "Bands covered, such as 136 to 174, 380 to 520; empty where not known",
            )
            .in_unit("MHz")
            .several(),
            read: |_, d| list_text(d.bands.iter().map(|b| band_text(*b))),
            write: |_, d, text| {
                d.bands = list(text, band)?;
                Ok(())
            },
        },
        Column {
            heading: Heading::new(
                "Modes",
                "modes",
                20,
                "Modulations it has, with commas between",
            )
            .several()
            .offering(|_| words::<Mode>()),
            read: |_, d| list_text(d.modes.iter().map(|m| m.words().to_owned())),
            write: |_, d, text| {
                d.modes = list(text, choice)?.into_iter().collect();
                Ok(())
            },
        },
        links_programmed(),
        Column {
            heading: Heading::new(
                "Selected",
                "selected",
                16,
                "The programmed channel selected unless a phase says otherwise, or empty",
            )
            .offering(|book| book.channels.all()),
            read: |book, d| optional_text(d.selected, |c| book.channels.of(c)),
            write: |book, d, text| {
                d.selected = optional(text, |t| book.channels.find(t))?;
                Ok(())
            },
        },
        links_column!(
            Heading::new(
                "Scans",
                "scans",
                20,
                "The programmed channels it scans, with commas between"
            ),
            channels,
            scans
        ),
        text_column!(
            Heading::new("Connector", "connector", 18, "Accessory connector, by name"),
            connector
        ),
        value_column!(
            Heading::new("Power", "power_w", 9, "Transmit power, 0 to 10000 W").in_unit("W"),
            power_w,
            shown,
            watts
        ),
        optional_column!(
            Heading::new(
                "Battery",
                "battery_mah",
                11,
                "Own battery, or empty where not known"
            )
            .in_unit("mAh"),
            battery_mah,
            shown,
            capacity
        ),
        yes_column!(
            Heading::new(
                "Outside power",
                "outside_power",
                9,
                "Runs on power from outside, yes or no"
            ),
            outside_power
        ),
        Column {
            heading: Heading::new("Keys", "keys", 20, "Keys loaded, such as AES-256 key 12")
                .several(),
            read: |_, d| list_text(d.keys.iter().map(ToString::to_string)),
            write: |_, d, text| {
                d.keys = list(text, key)?.into_iter().collect();
                Ok(())
            },
        },
        text_column!(Heading::new("Notes", "notes", 26, "Free text"), notes),
    ],
    rows: |book| {
        let ids = book.scenario.radios.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Radio(id)) => book.scenario.radios.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| Radio::bare(RadioId(book.scenario.mint(offset)), String::new()),
    edits: put,
};

const fn links_programmed() -> Column<Radio> {
    Column {
        heading: Heading::new(
            "Channels",
            "programmed",
            30,
            "The channels programmed, with commas between; each keeps its deviations",
        )
        .several()
        .offering(|book| book.channels.all()),
        read: |book, d| list_text(d.programmed.iter().map(|p| book.channels.of(p.channel))),
        write: program,
    }
}

/// Programs exactly the channels of a list, in its order; those that stay keep their entries.
fn program(book: &Book, radio: &mut Radio, text: &str) -> Result<(), String> {
    let wanted: Vec<ChannelId> = list(text, |t| book.channels.find(t))?;
    let mut old: BTreeMap<ChannelId, Programmed> = std::mem::take(&mut radio.programmed)
        .into_iter()
        .map(|p| (p.channel, p))
        .collect();
    let mut seen = BTreeSet::new();
    for channel in wanted {
        if seen.insert(channel) {
            let entry = old.remove(&channel);
            radio
                .programmed
                .push(entry.unwrap_or_else(|| Programmed::as_defined(channel)));
        }
    }
    Ok(())
}

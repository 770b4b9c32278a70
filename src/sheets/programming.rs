//! The table of what is programmed: one row for each channel in each radio, with every deviation from
//! the channel's definition. An empty cell means as the channel is defined.

use super::book::Book;
use super::cells::{
    bandwidth, choice, code, count, frequency, optional, optional_text, protection, shown, words,
    yes, yes_text,
};
use super::choice::Choice as _;
use super::codes::{bandwidth_text, code_text, frequency_text};
use super::column::{Column, Heading, Row, link_column, optional_column, yes_column};
use super::offer::{Sofar, Table, Trouble};
use crate::model::{ChannelId, Edit, Kind, Mode, Programmed, RadioId};

/// One channel in one radio, either of them not chosen yet.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    radio: Option<RadioId>,
    channel: Option<ChannelId>,
    entry: Programmed,
}

const AS_DEFINED: &str = "Empty: as the channel is defined";

pub(super) static PROGRAMMED: Table<Draft> = Table {
    name: "Programmed",
    kind: Kind::Radio,
    row_word: "programmed channel",
    columns: &[
        link_column!(
            Heading::new("Radio", "radio", 24, "The radio it is programmed in").fixed(),
            radios,
            radio
        ),
        link_column!(
            Heading::new("Channel", "channel", 16, "The channel meant").fixed(),
            channels,
            channel
        ),
        Column {
            heading: Heading::new(
                "Reads",
                "label",
                16,
                "Name shown by this radio, where it differs",
            ),
            read: |_, d| d.entry.label.clone().unwrap_or_default(),
            write: |_, d, text| {
                let text = text.trim();
                d.entry.label = (!text.is_empty()).then(|| text.to_owned());
                Ok(())
            },
        },
        optional_column!(
            Heading::new("Receive", "rx_mhz", 12, AS_DEFINED).in_unit("MHz"),
            entry.rx,
            frequency_text,
            frequency
        ),
        optional_column!(
            Heading::new("Transmit", "tx_mhz", 12, AS_DEFINED).in_unit("MHz"),
            entry.tx,
            frequency_text,
            frequency
        ),
        optional_column!(
            Heading::new("Receive code", "rx_code", 12, AS_DEFINED),
            entry.rx_code,
            code_text,
            code
        ),
        optional_column!(
            Heading::new("Transmit code", "tx_code", 12, AS_DEFINED),
            entry.tx_code,
            code_text,
            code
        ),
        Column {
            heading: Heading::new("Mode", "mode", 12, AS_DEFINED).offering(|_| words::<Mode>()),
            read: |_, d| optional_text(d.entry.mode, |m| m.words().to_owned()),
            write: |_, d, text| {
                d.entry.mode = optional(text, choice)?;
                Ok(())
            },
        },
        optional_column!(
            Heading::new("Bandwidth", "bandwidth_khz", 11, AS_DEFINED).in_unit("kHz"),
            entry.bandwidth_hz,
            bandwidth_text,
            bandwidth
        ),
        optional_column!(
            Heading::new("Group number", "group", 12, AS_DEFINED),
            entry.group,
            shown,
            count
        ),
        optional_column!(
            Heading::new("Encryption", "protection", 24, AS_DEFINED),
            entry.protection,
            shown,
            protection
        ),
        Column {
            heading: Heading::new("Mute on clear", "encrypted_only", 11, AS_DEFINED)
                .offering(|_| vec!["yes".to_owned(), "no".to_owned()]),
            read: |_, d| optional_text(d.entry.encrypted_only, yes_text),
            write: |_, d, text| {
                d.entry.encrypted_only = optional(text, yes)?;
                Ok(())
            },
        },
        yes_column!(
            Heading::new(
                "Secure switch",
                "secure",
                11,
                "Decides where encryption is by switch, yes or no"
            ),
            entry.secure
        ),
        yes_column!(
            Heading::new(
                "Listens only",
                "receive_only",
                10,
                "Programmed to listen only, yes or no"
            ),
            entry.receive_only
        ),
    ],
    rows: |book| {
        let radios = book.scenario.radios.iter();
        radios
            .flat_map(|r| r.programmed.iter().map(|p| Row::Entry(r.id, p.channel)))
            .collect()
    },
    draft: |book, row| match row {
        Row::Entry(radio, channel) => {
            let entry = book.scenario.radios.get(radio)?.entry(channel)?;
            Some(Draft {
                radio: Some(radio),
                channel: Some(channel),
                entry: entry.clone(),
            })
        }
        Row::Thing(_) => None,
    },
    fresh: |_, _| Draft {
        radio: None,
        channel: None,
        entry: Programmed::as_defined(ChannelId(0)),
    },
    edits: entry_edits,
};

fn entry_edits(
    book: &Book,
    _: &mut Sofar,
    old: Option<&Draft>,
    new: &Draft,
) -> Result<Vec<Edit>, Trouble> {
    let radio = new
        .radio
        .ok_or_else(|| Trouble::missing("radio", "missing; the row needs one"))?;
    let channel = new
        .channel
        .ok_or_else(|| Trouble::missing("channel", "missing; the row needs one"))?;
    let is_there = |id| {
        book.scenario
            .radios
            .get(id)
            .is_some_and(|r| r.entry(channel).is_some())
    };
    if old.is_none() && is_there(radio) {
        let reason = format!(
            "{} has {} programmed already; change that row",
            book.radios.of(radio),
            book.channels.of(channel)
        );
        return Err(Trouble::new("channel", reason));
    }
    if old.is_some_and(|old| old.entry == new.entry) {
        return Ok(Vec::new());
    }
    Ok(vec![Edit::Program {
        radio,
        entry: Programmed {
            channel,
            ..new.entry.clone()
        },
    }])
}

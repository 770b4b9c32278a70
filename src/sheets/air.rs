//! The tables of radio systems and of channels.
//!
//! A channel has frequencies or a group number, as its system carries it; a row holds the cells of
//! both and says which of them do not apply.

use super::book::Book;
use super::cells::{
    bandwidth, choice, code, count, frequency, milliseconds, optional, optional_text, protection,
    share, share_text, shown, words, yes, yes_text,
};
use super::choice::Choice as _;
use super::codes::{bandwidth_text, code_text, frequency_text};
use super::column::{
    Column, Heading, Row, choice_column, link_column, optional_column, text_column, value_column,
    yes_column,
};
use super::offer::{Sofar, Table, Trouble, put};
use crate::model::{
    AccessCode, Carrier, Channel, ChannelId, Conventional, Edit, Frequency, Kind, Mode, Protection,
    Role, System, SystemId, SystemKind, ThingId,
};

const NOTES: Heading = Heading::new("Notes", "notes", 26, "Free text");

pub(super) static SYSTEMS: Table<System> = Table {
    name: "Systems",
    kind: Kind::System,
    row_word: "system",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 26, "At least one letter").needed(),
            name
        ),
        choice_column!(
            Heading::new("Kind", "kind", 20, "How it carries a channel").needed(),
            SystemKind,
            kind
        ),
        value_column!(
            Heading::new(
                "Access time",
                "access_ms",
                11,
                "From pressing to speech being carried"
            )
            .in_unit("ms"),
            access_ms,
            shown,
            milliseconds
        ),
        value_column!(
            Heading::new("Delay", "latency_ms", 9, "One-way audio delay").in_unit("ms"),
            latency_ms,
            shown,
            milliseconds
        ),
        value_column!(
            Heading::new(
                "Hang time",
                "hang_ms",
                10,
                "How long the output stays up after the speaker lets go"
            )
            .in_unit("ms"),
            hang_ms,
            shown,
            milliseconds
        ),
        value_column!(
            Heading::new(
                "Talk paths",
                "talk_paths",
                10,
                "Conversations it carries at once"
            ),
            talk_paths,
            shown,
            count
        ),
        value_column!(
            Heading::new(
                "Coverage",
                "coverage",
                10,
                "Share of the working area it covers"
            )
            .in_unit("%"),
            coverage,
            share_text,
            share
        ),
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.systems.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::System(id)) => book.scenario.systems.get(id).cloned(),
        _ => None,
    },
    fresh: |book, offset| System {
        id: SystemId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        kind: SystemKind::default(),
        access_ms: 0,
        latency_ms: 0,
        hang_ms: 0,
        talk_paths: 1,
        coverage: 1.0,
        notes: String::new(),
    },
    edits: put,
};

/// A channel with the cells of both ways to be carried.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    id: ChannelId,
    key: String,
    name: String,
    system: Option<SystemId>,
    rx: Option<Frequency>,
    tx: Option<Frequency>,
    rx_code: Option<AccessCode>,
    tx_code: Option<AccessCode>,
    mode: Mode,
    mixed: Option<bool>,
    bandwidth_hz: Option<u32>,
    group: Option<u32>,
    protection: Protection,
    encrypted_only: bool,
    purpose: Option<Role>,
    notes: String,
}

const MHZ: &str = "In MHz from 0.1 to 6000; empty where the system carries group numbers";
const CODE: &str = "none, a tone in Hz, DCS such as D023N, or a NAC such as $293";

pub(super) static CHANNELS: Table<Draft> = Table {
    name: "Channels",
    kind: Kind::Channel,
    row_word: "channel",
    columns: &[
        text_column!(
            Heading::new("Name", "name", 16, "Name as it reads on the radio").needed(),
            name
        ),
        link_column!(
            Heading::new("System", "system", 22, "The system that carries it").needed(),
            systems,
            system
        ),
        optional_column!(
            Heading::new("Receive", "rx_mhz", 12, MHZ).in_unit("MHz"),
            rx,
            frequency_text,
            frequency
        ),
        optional_column!(
            Heading::new("Transmit", "tx_mhz", 12, MHZ).in_unit("MHz"),
            tx,
            frequency_text,
            frequency
        ),
        optional_column!(
            Heading::new("Receive code", "rx_code", 12, CODE),
            rx_code,
            code_text,
            code
        ),
        optional_column!(
            Heading::new("Transmit code", "tx_code", 12, CODE),
            tx_code,
            code_text,
            code
        ),
        choice_column!(
            Heading::new("Mode", "mode", 12, "Modulation sent"),
            Mode,
            mode
        ),
        Column {
            heading: Heading::new(
                "Also hears FM",
                "mixed",
                10,
                "Receives analogue FM beside the digital mode, yes or no",
            )
            .offering(|_| vec!["yes".to_owned(), "no".to_owned()]),
            read: |_, d| optional_text(d.mixed, yes_text),
            write: |_, d, text| {
                d.mixed = optional(text, yes)?;
                Ok(())
            },
        },
        optional_column!(
            Heading::new("Bandwidth", "bandwidth_khz", 11, "In kHz from 1 to 200").in_unit("kHz"),
            bandwidth_hz,
            bandwidth_text,
            bandwidth
        ),
        optional_column!(
            Heading::new(
                "Group number",
                "group",
                12,
                "From 1; empty where the system carries frequencies"
            ),
            group,
            shown,
            count
        ),
        value_column!(
            Heading::new(
                "Encryption",
                "protection",
                24,
                "clear, or a key such as AES-256 key 12, always (or by switch)"
            ),
            protection,
            shown,
            protection
        ),
        yes_column!(
            Heading::new(
                "Mute on clear",
                "encrypted_only",
                11,
                "Receivers stay mute on clear traffic, yes or no"
            ),
            encrypted_only
        ),
        Column {
            heading: Heading::new("Used for", "purpose", 10, "What it is used for, or empty")
                .offering(|_| words::<Role>()),
            read: |_, d| optional_text(d.purpose, |role| role.words().to_owned()),
            write: |_, d, text| {
                d.purpose = optional(text, choice)?;
                Ok(())
            },
        },
        text_column!(NOTES, notes),
    ],
    rows: |book| {
        let ids = book.scenario.channels.ids();
        ids.map(|id| Row::Thing(id.into())).collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Channel(id)) => book.scenario.channels.get(id).map(draft_of),
        _ => None,
    },
    fresh: |book, offset| Draft {
        id: ChannelId(book.scenario.mint(offset)),
        key: String::new(),
        name: String::new(),
        system: None,
        rx: None,
        tx: None,
        rx_code: None,
        tx_code: None,
        mode: Mode::default(),
        mixed: None,
        bandwidth_hz: None,
        group: None,
        protection: Protection::default(),
        encrypted_only: false,
        purpose: None,
        notes: String::new(),
    },
    edits: channel_edits,
};

fn draft_of(channel: &Channel) -> Draft {
    let c = channel.conventional();
    let group = match channel.carrier {
        Carrier::Grouped { group, .. } => Some(group),
        Carrier::Conventional(_) => None,
    };
    Draft {
        id: channel.id,
        key: channel.key.clone(),
        name: channel.name.clone(),
        system: Some(channel.system),
        rx: c.map(|c| c.rx),
        tx: c.map(|c| c.tx),
        rx_code: c.map(|c| c.rx_code),
        tx_code: c.map(|c| c.tx_code),
        mode: channel.mode(),
        mixed: c.map(|c| c.mixed),
        bandwidth_hz: c.map(|c| c.bandwidth_hz),
        group,
        protection: channel.protection,
        encrypted_only: channel.encrypted_only,
        purpose: channel.purpose,
        notes: channel.notes.clone(),
    }
}

fn channel_edits(
    book: &Book,
    sofar: &mut Sofar,
    old: Option<&Draft>,
    new: &Draft,
) -> Result<Vec<Edit>, Trouble> {
    let channel = channel_of(book, old, new)?;
    let old = old.and_then(|old| book.scenario.channels.get(old.id));
    put(book, sofar, old, &channel)
}

fn channel_of(book: &Book, old: Option<&Draft>, new: &Draft) -> Result<Channel, Trouble> {
    let id = new
        .system
        .ok_or_else(|| Trouble::missing("system", "missing; a channel needs one"))?;
    let system = book
        .scenario
        .systems
        .get(id)
        .ok_or_else(|| Trouble::new("system", "the system is no longer there"))?;
    let carrier = if system.kind.is_conventional() {
        if new.group.is_some() && new.group != old.and_then(|o| o.group) {
            return Err(not_carried(
                "group",
                system,
                "frequencies, not group numbers",
            ));
        }
        let rx = new
            .rx
            .ok_or_else(|| Trouble::missing("rx_mhz", "missing; its system carries frequencies"))?;
        Carrier::Conventional(Conventional {
            rx,
            tx: new.tx.unwrap_or(rx),
            rx_code: new.rx_code.unwrap_or_default(),
            tx_code: new.tx_code.unwrap_or_default(),
            mode: new.mode,
            mixed: new.mixed.unwrap_or_default(),
            bandwidth_hz: new.bandwidth_hz.unwrap_or(12_500),
        })
    } else {
        refuse_frequencies(old, new, system)?;
        Carrier::Grouped {
            group: new.group.ok_or_else(|| {
                Trouble::missing("group", "missing; its system carries group numbers")
            })?,
            mode: new.mode,
        }
    };
    Ok(Channel {
        id: new.id,
        key: new.key.clone(),
        name: new.name.clone(),
        system: id,
        carrier,
        protection: new.protection,
        encrypted_only: new.encrypted_only,
        purpose: new.purpose,
        notes: new.notes.clone(),
    })
}

fn not_carried(field: &'static str, system: &System, carries: &str) -> Trouble {
    let reason = format!("{} carries {carries}; leave the cell empty", system.name);
    Trouble::new(field, reason)
}

/// Refuses what was typed into cells that a group number has no use for.
fn refuse_frequencies(old: Option<&Draft>, new: &Draft, system: &System) -> Result<(), Trouble> {
    let moved = |field, is_new: bool, is_old: bool| {
        if is_new && !is_old {
            Err(not_carried(field, system, "group numbers, not frequencies"))
        } else {
            Ok(())
        }
    };
    let same = |f: fn(&Draft) -> bool| old.is_some_and(f);
    moved("rx_mhz", new.rx.is_some(), same(|o| o.rx.is_some()))?;
    moved("tx_mhz", new.tx.is_some(), same(|o| o.tx.is_some()))?;
    moved(
        "rx_code",
        new.rx_code.is_some(),
        same(|o| o.rx_code.is_some()),
    )?;
    moved(
        "tx_code",
        new.tx_code.is_some(),
        same(|o| o.tx_code.is_some()),
    )?;
    moved(
        "mixed",
        new.mixed == Some(true),
        same(|o| o.mixed.is_some()),
    )?;
    moved(
        "bandwidth_khz",
        new.bandwidth_hz.is_some(),
        same(|o| o.bandwidth_hz.is_some()),
    )
}

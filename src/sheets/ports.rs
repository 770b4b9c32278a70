//! The table of ports: what each is built for, what is plugged in and the talk group it is switched to
//! in the phase shown.

use super::book::Book;
use super::cells::{choice, milliseconds, optional, optional_text, shown, whole, words, wrong};
use super::choice::Choice as _;
use super::column::{Column, Heading, Row, choice_column, link_column, text_column, value_column};
use super::offer::{Sofar, Table, Trouble};
use crate::model::validate::field_problems;
use crate::model::{
    Attachment, CableId, Edit, GatewayId, Keying, Kind, LevelSetting, Port, PortKind, PortRef,
    ThingId,
};

/// A port with what hangs on it in the phase shown.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    gateway: Option<GatewayId>,
    number: Option<u8>,
    port: Port,
    attached: Option<Attachment>,
    cable: Option<CableId>,
    group: Option<u8>,
}

const VOICE: &str = "For voice-operated keying only";

pub(super) static PORTS: Table<Draft> = Table {
    name: "Ports",
    kind: Kind::Port,
    row_word: "port",
    columns: &[
        link_column!(
            Heading::new("Gateway", "gateway", 20, "The gateway that has the port").fixed(),
            gateways,
            gateway
        ),
        Column {
            heading: Heading::new("Port", "port", 6, "The number beside the socket, 1 to 255").fixed(),
            read: |_, d| optional_text(d.number, shown),
            write: |_, d, text| {
                d.number = Some(port_number(text)?);
                Ok(())
            },
        },
        choice_column!(
            Heading::new("Kind", "kind", 11, "What it is built for"),
            PortKind,
            port.kind
        ),
        Column {
            heading: Heading::new(
                "Attached",
                "attached",
                24,
                "What is plugged in during this phase: a radio, telephone, headset or tie, or empty",
            )
            .offering(|book| {
                let mut all = book.radios.all();
                all.extend(book.telephones.all());
                all.extend(book.headsets.all());
                all.extend(book.ties.all());
                all
            }),
            read: |book, d| optional_text(d.attached, |what| attached_text(book, what)),
            write: |book, d, text| {
                d.attached = optional(text, |t| attached(book, d.port.kind, t))?;
                Ok(())
            },
        },
        link_column!(
            Heading::new("Cable", "cable", 20, "The cable to the radio in this phase, or empty"),
            cables,
            cable
        ),
        Column {
            heading: Heading::new(
                "Talk group",
                "group",
                10,
                "Number of the talk group in this phase, or empty for none",
            ),
            read: |_, d| optional_text(d.group, shown),
            write: |_, d, text| {
                let text = if text.trim().eq_ignore_ascii_case("none") { "" } else { text };
                d.group = optional(text, port_number)?;
                Ok(())
            },
        },
        text_column!(
            Heading::new("Connector", "connector", 16, "Connector, by name"),
            port.connector
        ),
        value_column!(
            Heading::new("Buffer", "buffer_ms", 9, "Audio held back before it is sent").in_unit("ms"),
            port.buffer_ms,
            shown,
            milliseconds
        ),
        Column {
            heading: Heading::new("Keying", "keying", 20, "How the port keys its donor")
                .offering(|_| vec![PTT.to_owned(), BY_VOICE.to_owned()]),
            read: |_, d| keying_text(d.port.keying).to_owned(),
            write: |_, d, text| {
                d.port.keying = keying(text, d.port.keying)?;
                Ok(())
            },
        },
        Column {
            heading: Heading::new("Attack", "attack_ms", 9, VOICE).in_unit("ms"),
            read: |_, d| optional_text(voice(d.port.keying), |(attack, _)| shown(attack)),
            write: |_, d, text| {
                let attack = optional(text, milliseconds)?;
                set_voice(d, attack, None)
            },
        },
        Column {
            heading: Heading::new("Hang time", "hang_ms", 10, VOICE).in_unit("ms"),
            read: |_, d| optional_text(voice(d.port.keying), |(_, hang)| shown(hang)),
            write: |_, d, text| {
                let hang = optional(text, milliseconds)?;
                set_voice(d, None, hang)
            },
        },
        Column {
            heading: Heading::new("Audio level", "level", 9, "The level the port is set to")
                .offering(|_| words::<LevelSetting>()),
            read: |_, d| d.port.level.words().to_owned(),
            write: |_, d, text| {
                d.port.level = choice(text)?;
                Ok(())
            },
        },
    ],
    rows: |book| {
        let gateways = book.scenario.gateways.iter();
        gateways
            .flat_map(|g| g.port_refs().map(|p| Row::Thing(p.into())))
            .collect()
    },
    draft: |book, row| match row {
        Row::Thing(ThingId::Port(port)) => draft_of(book, port),
        _ => None,
    },
    fresh: |_, _| Draft {
        gateway: None,
        number: None,
        port: Port {
            number: 0,
            kind: PortKind::default(),
            connector: String::new(),
            buffer_ms: 0,
            keying: Keying::default(),
            level: LevelSetting::default(),
        },
        attached: None,
        cable: None,
        group: None,
    },
    edits: port_edits,
};

fn draft_of(book: &Book, at: PortRef) -> Option<Draft> {
    let port = book.scenario.port(at)?.clone();
    let phase = book.scenario.phases.get(book.phase);
    let attached = phase.and_then(|p| p.attachments.get(&at).copied());
    let cable = match attached {
        Some(Attachment::Radio { cable, .. }) => cable,
        _ => None,
    };
    Some(Draft {
        gateway: Some(at.gateway),
        number: Some(at.port),
        port,
        attached,
        cable,
        group: phase.and_then(|p| p.switches.get(&at).copied()),
    })
}

fn port_number(text: &str) -> Result<u8, String> {
    let number = whole(text, "")?;
    u8::try_from(number)
        .ok()
        .filter(|n| *n > 0)
        .ok_or_else(|| wrong(text, "number here", "1 to 255"))
}

fn attached_text(book: &Book, what: Attachment) -> String {
    match what {
        Attachment::Radio { radio, .. } => book.radios.of(radio),
        Attachment::Telephone(id) => book.telephones.of(id),
        Attachment::Headset(id) => book.headsets.of(id),
        Attachment::Tie(id) => book.ties.of(id),
    }
}

/// Reads what is plugged in; the kind of port says among which things a word is looked for.
fn attached(book: &Book, kind: PortKind, text: &str) -> Result<Attachment, String> {
    Ok(match kind {
        PortKind::Radio => Attachment::Radio {
            radio: book.radios.find(text)?,
            cable: None,
        },
        PortKind::Telephone => Attachment::Telephone(book.telephones.find(text)?),
        PortKind::Headset => Attachment::Headset(book.headsets.find(text)?),
        PortKind::Wire | PortKind::Ip => Attachment::Tie(book.ties.find(text)?),
    })
}

const PTT: &str = "push-to-talk line";
const BY_VOICE: &str = "voice-operated";

fn keying_text(keying: Keying) -> &'static str {
    match keying {
        Keying::PttLine => PTT,
        Keying::VoiceOperated { .. } => BY_VOICE,
    }
}

fn keying(text: &str, now: Keying) -> Result<Keying, String> {
    let asked = text.trim().to_lowercase();
    match (asked.as_str(), now) {
        (PTT | "ptt" | "push-to-talk", _) => Ok(Keying::PttLine),
        (BY_VOICE | "voice" | "vox", Keying::VoiceOperated { .. }) => Ok(now),
        (BY_VOICE | "voice" | "vox", Keying::PttLine) => Ok(Keying::VoiceOperated {
            attack_ms: 0,
            hang_ms: 0,
        }),
        _ => Err(wrong(text, "keying", &format!("{PTT} or {BY_VOICE}"))),
    }
}

fn voice(keying: Keying) -> Option<(u32, u32)> {
    match keying {
        Keying::PttLine => None,
        Keying::VoiceOperated { attack_ms, hang_ms } => Some((attack_ms, hang_ms)),
    }
}

fn set_voice(d: &mut Draft, attack: Option<u32>, hang: Option<u32>) -> Result<(), String> {
    match &mut d.port.keying {
        Keying::VoiceOperated { attack_ms, hang_ms } => {
            *attack_ms = attack.unwrap_or(*attack_ms);
            *hang_ms = hang.unwrap_or(*hang_ms);
            Ok(())
        }
        Keying::PttLine if attack.is_none() && hang.is_none() => Ok(()),
        Keying::PttLine => Err(format!(
            "the port is keyed by the {PTT}; expected an empty cell, or Keying {BY_VOICE}"
        )),
    }
}

fn port_edits(
    book: &Book,
    sofar: &mut Sofar,
    old: Option<&Draft>,
    new: &Draft,
) -> Result<Vec<Edit>, Trouble> {
    let gateway = new
        .gateway
        .ok_or_else(|| Trouble::missing("gateway", "missing; a port needs one"))?;
    let number = new
        .number
        .ok_or_else(|| Trouble::missing("port", "missing; a port needs one"))?;
    let at = PortRef {
        gateway,
        port: number,
    };
    let port = Port {
        number,
        ..new.port.clone()
    };
    let mut edits = Vec::new();
    if old.is_none_or(|old| old.port != port) {
        edits.push(Edit::Replace(
            with_port(book, sofar, at, port, old.is_none())?.into(),
        ));
    }
    let phase = book.phase;
    let attachment = plugged(old, new)?;
    if old.and_then(|old| old.attached) != attachment {
        edits.push(Edit::Attach {
            phase,
            port: at,
            attachment,
        });
    }
    if old.and_then(|old| old.group) != new.group {
        edits.push(Edit::Switch {
            phase,
            port: at,
            group: new.group,
        });
    }
    Ok(edits)
}

/// Returns the gateway with the port in it, on top of what earlier rows did to the same gateway.
fn with_port(
    book: &Book,
    sofar: &mut Sofar,
    at: PortRef,
    port: Port,
    is_new: bool,
) -> Result<crate::model::Gateway, Trouble> {
    let now = sofar.gateways.get(&at.gateway);
    let mut gateway = now
        .or_else(|| book.scenario.gateways.get(at.gateway))
        .cloned()
        .ok_or_else(|| Trouble::new("gateway", "the gateway is no longer there"))?;
    match gateway.ports.iter_mut().find(|p| p.number == at.port) {
        Some(_) if is_new => {
            let reason = format!(
                "{} has a port {} already; change that row",
                gateway.name, at.port
            );
            return Err(Trouble::new("port", reason));
        }
        Some(old) => *old = port,
        None => {
            gateway.ports.push(port);
            gateway.ports.sort_by_key(|p| p.number);
        }
    }
    if let Some(problem) = field_problems(&gateway.clone().into()).into_iter().next() {
        let reason = format!("found {}; expected {}", problem.found, problem.expected);
        return Err(Trouble::new(problem.field, reason));
    }
    sofar.gateways.insert(at.gateway, gateway.clone());
    Ok(gateway)
}

/// Returns what is plugged in, with its cable.
fn plugged(old: Option<&Draft>, new: &Draft) -> Result<Option<Attachment>, Trouble> {
    match (new.attached, new.cable) {
        (Some(Attachment::Radio { radio, .. }), cable) => {
            Ok(Some(Attachment::Radio { radio, cable }))
        }
        (None, cable) if cable == old.and_then(|old| old.cable) => Ok(None),
        (None, Some(_)) => Err(Trouble::new(
            "cable",
            "nothing is plugged in; plug a radio in first",
        )),
        (other, None) => Ok(other),
        (Some(_), Some(_)) => Err(Trouble::new(
            "cable",
            "only a radio has a cable; leave the cell empty",
        )),
    }
}

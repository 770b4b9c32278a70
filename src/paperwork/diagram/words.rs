//! The words of the drawings for what a scenario holds.

use crate::model::{
    AccessCode, Agency, Attachment, Carrier, Channel, Discipline, Party, Phase, PortKind, PortRef,
    Protection, Role, Scenario, SystemKind, TelephoneKind, TieKind, Unit, UnitId,
};

/// Returns the word for what somebody or something is for.
pub(super) const fn role(role: Role) -> &'static str {
    match role {
        Role::Command => "command",
        Role::Tactical => "tactical",
        Role::Support => "support",
        Role::Air => "air",
        Role::Medical => "medical",
        Role::Liaison => "liaison",
    }
}

/// Returns the word for a trade.
pub(super) const fn discipline(discipline: Discipline) -> &'static str {
    match discipline {
        Discipline::Fire => "fire",
        Discipline::Law => "law",
        Discipline::Medical => "medical",
        Discipline::PublicWorks => "public works",
        Discipline::Military => "military",
        Discipline::Relief => "relief",
        Discipline::Transport => "transport",
        Discipline::Other => "other",
    }
}

/// Returns the words for a kind of system.
pub(super) const fn system(kind: SystemKind) -> &'static str {
    match kind {
        SystemKind::Simplex => "radio to radio",
        SystemKind::Repeater => "repeater",
        SystemKind::Voter => "several repeater sites",
        SystemKind::Trunked => "trunked",
        SystemKind::Satellite => "satellite",
        SystemKind::Telephone => "telephone network",
    }
}

/// Returns the words for how a telephone reaches the network.
pub(super) const fn telephone(kind: TelephoneKind) -> &'static str {
    match kind {
        TelephoneKind::Cellular => "cellular telephone",
        TelephoneKind::Satellite => "satellite telephone",
        TelephoneKind::Landline => "landline telephone",
    }
}

/// Returns the words for a tie.
pub(super) const fn tie(kind: TieKind) -> &'static str {
    match kind {
        TieKind::Wire => "wire tie",
        TieKind::Ip => "IP tie",
    }
}

/// Says that a port is empty.
pub(super) fn empty_port(kind: PortKind) -> String {
    format!("Empty {} port", kind.word())
}

/// Writes a count with its word in the singular or the plural.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// Says frequencies and codes or the group number of a channel, from the mobile's side, and whether it
/// is encrypted.
pub(super) fn channel(channel: &Channel) -> String {
    let mut words = match &channel.carrier {
        Carrier::Conventional(c) => {
            let frequencies = if c.rx == c.tx {
                c.rx.to_string()
            } else {
                let rx = c.rx.to_string();
                format!("rx {}, tx {}", rx.trim_end_matches(" MHz"), c.tx)
            };
            let codes = match (c.rx_code, c.tx_code) {
                (rx, tx) if rx == tx => rx.to_string(),
                (AccessCode::None, tx) => format!("tx {tx}"),
                (rx, AccessCode::None) => format!("rx {rx}"),
                (rx, tx) => format!("rx {rx}, tx {tx}"),
            };
            format!("{frequencies}, {codes}")
        }
        Carrier::Grouped { group, .. } => format!("group {group}"),
    };
    match channel.protection {
        Protection::Clear => {}
        Protection::Optional(_) => words.push_str(", may be encrypted"),
        Protection::Always(_) => words.push_str(", encrypted"),
    }
    words
}

/// Returns the agency of a unit.
pub(super) fn agency_of<'a>(s: &'a Scenario, unit: &Unit) -> Option<&'a Agency> {
    s.agencies.get(unit.agency?)
}

/// Returns the short name of an agency, or its name where it has none.
pub(super) fn short(agency: &Agency) -> &str {
    if agency.short.is_empty() {
        &agency.name
    } else {
        &agency.short
    }
}

/// Says what a unit does and how many it is.
pub(super) fn unit(unit: &Unit) -> String {
    let people = counted(unit.heads as usize, "person", "people");
    format!("{}, {people}", role(unit.role))
}

/// Returns the unit that a party is, or who holds it.
pub(super) fn holder(s: &Scenario, party: Party) -> Option<UnitId> {
    match party {
        Party::Unit(id) => Some(id),
        Party::Telephone(id) => s.telephones.get(id)?.held_by,
        Party::Headset(id) => s.headsets.get(id)?.held_by,
    }
}

/// What is plugged into a port, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Plugged {
    /// Its name; that the port is empty.
    pub(super) name: String,
    /// The channel selected; empty where there is none to select.
    pub(super) channel: String,
    /// The cable, or who is at the far end.
    pub(super) under: String,
}

/// Returns what is plugged into a port of a kind, in words.
pub(super) fn plugged(s: &Scenario, phase: &Phase, port: PortRef, kind: PortKind) -> Plugged {
    let Some(attachment) = phase.attachments.get(&port) else {
        return Plugged {
            name: empty_port(kind),
            channel: String::new(),
            under: String::new(),
        };
    };
    let (channel, under) = match *attachment {
        Attachment::Radio { radio, cable } => {
            let radio = s.radios.get(radio);
            let channel = radio.and_then(|radio| s.selected_channel(phase, radio));
            let cable = cable.and_then(|cable| s.cables.get(cable));
            (
                channel.map_or_else(|| "no channel".to_owned(), |c| s.name(c.into())),
                cable.map_or_else(
                    || "no cable chosen".to_owned(),
                    |cable| format!("by {}", cable.name),
                ),
            )
        }
        Attachment::Telephone(id) => {
            let found = s.telephones.get(id);
            let far = found.map_or_else(String::new, |telephone| {
                let held = telephone.held_by.map(|unit| s.name(unit.into()));
                held.unwrap_or_else(|| telephone.far_end.clone())
            });
            let kind = found.map_or("", |found| telephone(found.kind));
            // The sign beside it says that it is a telephone.
            let words = if far.is_empty() {
                kind.to_owned()
            } else {
                format!("{}, {far}", kind.trim_end_matches(" telephone"))
            };
            (String::new(), words)
        }
        Attachment::Headset(id) => {
            let held = s.headsets.get(id).and_then(|headset| headset.held_by);
            let held = held.map(|unit| format!("headset of {}", s.name(unit.into())));
            (
                String::new(),
                held.unwrap_or_else(|| "headset at the gateway".to_owned()),
            )
        }
        Attachment::Tie(id) => {
            let kind = s.ties.get(id).map_or("tie", |tie| self::tie(tie.kind));
            let other = phase.ports_of_tie(id).find(|other| *other != port);
            let far = other.map_or_else(
                || "no far end".to_owned(),
                |other| format!("to {}", s.name(other.into())),
            );
            (String::new(), format!("{kind} {far}"))
        }
    };
    Plugged {
        name: s.name(attachment.thing()),
        channel,
        under,
    }
}

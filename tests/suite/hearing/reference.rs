//! An independent slow reference: a plain breadth-first walk over explicit transmissions.
//!
//! It shares nothing with the derivation but the model. Every radio, port, telephone and headset is
//! its own object; a transmission is a set of facts; rules are spelled out again in the longest way.
//! It answers only who hears, which is all it is compared on.

use std::collections::BTreeSet;

use crosspatch::model::{
    AccessCode, Attachment, Carrier, Frequency, KeyRef, Mode, Party, Phase, PortRef, Protection,
    Radio, Scenario, SystemId, SystemKind,
};

/// One transmission on the air.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Transmission {
    frequency: Option<Frequency>,
    group: Option<(SystemId, u32)>,
    mode: Mode,
    code: AccessCode,
    key: Option<KeyRef>,
    /// Gateway and talk group whose donors sent it.
    sent_by: Option<(u32, u8)>,
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Event {
    OnAir(Transmission),
    IntoPort(PortRef),
}

/// Lists everybody who hears `speaker`, itself left out.
pub(super) fn hearers(s: &Scenario, phase: &Phase, speaker: Party) -> BTreeSet<Party> {
    let mut heard = BTreeSet::new();
    let mut seen: BTreeSet<Event> = BTreeSet::new();
    let mut queue: Vec<Event> = Vec::new();
    for radio in radios_spoken_at(s, phase, speaker) {
        queue.extend(transmit(s, phase, radio, None).map(Event::OnAir));
    }
    for (port, attachment) in &phase.attachments {
        if person_at(s, attachment) == Some(speaker) && phase.switches.contains_key(port) {
            queue.push(Event::IntoPort(*port));
        }
    }
    while !queue.is_empty() {
        let event = queue.remove(0);
        if !seen.insert(event.clone()) {
            continue;
        }
        match event {
            Event::OnAir(t) => {
                for party in s.parties() {
                    for radio in radios_spoken_at(s, phase, party) {
                        if receives(s, phase, radio, &t) {
                            heard.insert(party);
                        }
                    }
                }
                for (port, attachment) in &phase.attachments {
                    let Attachment::Radio { radio, .. } = attachment else {
                        continue;
                    };
                    let Some(group) = phase.switches.get(port) else {
                        continue;
                    };
                    let radio = s.radios.get(*radio).expect("the gate keeps references");
                    if cable_works(s, *port, attachment)
                        && t.sent_by != Some((port.gateway.0, *group))
                        && receives(s, phase, radio, &t)
                    {
                        queue.push(Event::IntoPort(*port));
                    }
                }
                queue.extend(repeated(s, &t).into_iter().map(Event::OnAir));
            }
            Event::IntoPort(port) => {
                let group = phase.switches[&port];
                for (out, attachment) in &phase.attachments {
                    let same_bus = out.gateway == port.gateway
                        && *out != port
                        && phase.switches.get(out) == Some(&group);
                    if !same_bus || !cable_works(s, *out, attachment) {
                        continue;
                    }
                    match attachment {
                        Attachment::Radio { radio, .. } => {
                            let radio = s.radios.get(*radio).expect("the gate keeps references");
                            let sent = transmit(s, phase, radio, Some((port.gateway.0, group)));
                            queue.extend(sent.map(Event::OnAir));
                        }
                        Attachment::Telephone(_) | Attachment::Headset(_) => {
                            heard.extend(person_at(s, attachment));
                        }
                        Attachment::Tie(tie) => {
                            for other in phase.ports_of_tie(*tie) {
                                if other != *out && phase.switches.contains_key(&other) {
                                    queue.push(Event::IntoPort(other));
                                }
                            }
                        }
                    }
                }
            }
        }
    }
    heard.remove(&speaker);
    heard
}

fn person_at(s: &Scenario, attachment: &Attachment) -> Option<Party> {
    match attachment {
        Attachment::Telephone(id) => {
            let telephone = s.telephones.get(*id)?;
            Some(telephone.held_by.map_or(Party::Telephone(*id), Party::Unit))
        }
        Attachment::Headset(id) => {
            let headset = s.headsets.get(*id)?;
            Some(headset.held_by.map_or(Party::Headset(*id), Party::Unit))
        }
        _ => None,
    }
}

fn radios_spoken_at<'a>(s: &'a Scenario, phase: &Phase, party: Party) -> Vec<&'a Radio> {
    let Party::Unit(unit) = party else {
        return Vec::new();
    };
    s.radios
        .iter()
        .filter(|r| r.held_by == Some(unit))
        .filter(|r| {
            !phase
                .attachments
                .values()
                .any(|a| matches!(a, Attachment::Radio { radio, .. } if *radio == r.id))
        })
        .collect()
}

fn cable_works(s: &Scenario, port: PortRef, attachment: &Attachment) -> bool {
    let Attachment::Radio {
        radio,
        cable: Some(cable),
    } = attachment
    else {
        return true;
    };
    let radio = s.radios.get(*radio).expect("the gate keeps references");
    let cable = s.cables.get(*cable).expect("the gate keeps references");
    let socket = s.port(port).expect("the gate keeps references");
    cable.radio_connector == radio.connector && cable.port_connector == socket.connector
}

fn transmit(
    s: &Scenario,
    phase: &Phase,
    radio: &Radio,
    sent_by: Option<(u32, u8)>,
) -> Option<Transmission> {
    let selected = s.selected_channel(phase, radio)?;
    let entry = radio.programmed.iter().find(|p| p.channel == selected)?;
    let channel = s.channels.get(selected)?;
    let system = s.systems.get(channel.system)?;
    if entry.receive_only {
        return None;
    }
    if system.coverage <= 0.0 && !matches!(system.kind, SystemKind::Repeater | SystemKind::Voter) {
        return None;
    }
    let key = match entry.protection.unwrap_or(channel.protection) {
        Protection::Clear => None,
        Protection::Optional(key) => entry.secure.then_some(key),
        Protection::Always(key) => Some(key),
    };
    if key.is_some_and(|key| !radio.keys.contains(&key)) {
        return None;
    }
    let sent = match channel.carrier {
        Carrier::Conventional(c) => Transmission {
            frequency: Some(entry.tx.unwrap_or(c.tx)),
            group: None,
            mode: entry.mode.unwrap_or(c.mode),
            code: entry.tx_code.unwrap_or(c.tx_code),
            key,
            sent_by,
        },
        Carrier::Grouped { group, mode } => {
            if system.talk_paths == 0 {
                return None;
            }
            Transmission {
                frequency: None,
                group: Some((system.id, entry.group.unwrap_or(group))),
                mode: entry.mode.unwrap_or(mode),
                code: AccessCode::None,
                key,
                sent_by,
            }
        }
    };
    let in_band = sent.frequency.is_none_or(|f| {
        radio.bands.is_empty() || radio.bands.iter().any(|b| b.low <= f && f <= b.high)
    });
    (in_band && radio.modes.contains(&sent.mode)).then_some(sent)
}

fn receives(s: &Scenario, phase: &Phase, radio: &Radio, t: &Transmission) -> bool {
    let selected = s.selected_channel(phase, radio);
    radio.programmed.iter().any(|entry| {
        if Some(entry.channel) != selected && !radio.scans.contains(&entry.channel) {
            return false;
        }
        let channel = s
            .channels
            .get(entry.channel)
            .expect("the gate keeps references");
        let (same_place, mode, mixed, asked) = match channel.carrier {
            Carrier::Conventional(c) => {
                let rx = entry.rx.unwrap_or(c.rx);
                let covered = radio.bands.is_empty()
                    || radio.bands.iter().any(|b| b.low <= rx && rx <= b.high);
                (
                    covered && t.frequency == Some(rx),
                    entry.mode.unwrap_or(c.mode),
                    c.mixed,
                    entry.rx_code.unwrap_or(c.rx_code),
                )
            }
            Carrier::Grouped { group, mode } => (
                t.group == Some((channel.system, entry.group.unwrap_or(group))),
                entry.mode.unwrap_or(mode),
                false,
                AccessCode::None,
            ),
        };
        if !same_place || !radio.modes.contains(&mode) {
            return false;
        }
        if t.mode != mode && !(mixed && t.mode == Mode::Fm && radio.modes.contains(&Mode::Fm)) {
            return false;
        }
        if !code_opens(asked, t) {
            return false;
        }
        match t.key {
            Some(key) => radio.keys.contains(&key),
            None => !entry.encrypted_only.unwrap_or(channel.encrypted_only),
        }
    })
}

/// The random scenarios use tones, NACs and open squelch; DCS twins have a test of their own.
fn code_opens(asked: AccessCode, t: &Transmission) -> bool {
    match asked {
        AccessCode::None => true,
        AccessCode::Nac(nac) => {
            t.mode != Mode::P25 || nac == 0xF7E || nac == 0xF7F || t.code == asked
        }
        other => t.code == other,
    }
}

fn repeated(s: &Scenario, t: &Transmission) -> Vec<Transmission> {
    let mut out = Vec::new();
    for channel in s.channels.iter() {
        let system = s
            .systems
            .get(channel.system)
            .expect("the gate keeps references");
        let Carrier::Conventional(c) = channel.carrier else {
            continue;
        };
        if !matches!(system.kind, SystemKind::Repeater | SystemKind::Voter)
            || system.coverage <= 0.0
            || t.frequency != Some(c.tx)
            || !(t.mode == c.mode || (c.mixed && t.mode == Mode::Fm))
            || !code_opens(c.tx_code, t)
        {
            continue;
        }
        let code = if c.tx_code == AccessCode::Nac(0xF7F) {
            t.code
        } else if c.rx_code == AccessCode::Nac(0xF7E) {
            c.tx_code
        } else {
            c.rx_code
        };
        out.push(Transmission {
            frequency: Some(c.rx),
            code,
            ..t.clone()
        });
    }
    out
}

//! What becomes of encrypted traffic at the gateways, in the words of form, card and briefing.
//!
//! Where it goes is hearing's answer; nothing here follows a signal.

use std::collections::{BTreeMap, BTreeSet};

use crate::hearing::Opening;
use crate::model::{Attachment, GatewayId, PortRef, TalkGroupRef};

use super::on::On;

/// One channel whose encrypted traffic is decrypted at some gateway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opened {
    /// What comes in: the channel the donor is on, or the donor where it is on none.
    pub what: String,
    /// The ports where it comes in and is decrypted.
    pub ports: BTreeSet<PortRef>,
    /// Where it goes from all of them.
    pub opening: Opening,
}

impl Opened {
    /// Lists every channel that is decrypted in a phase, by name.
    pub fn all(on: &On<'_>) -> Vec<Self> {
        let hearing = on.picture.hearing();
        let mut ports = hearing.decrypting_ports();
        // A channel nobody of the plan speaks on may be spoken on by others.
        for group in on.picture.talk_groups() {
            let sendings = hearing.sendings(group).into_iter();
            ports.extend(sendings.filter(|s| s.key.is_some()).map(|s| s.port));
        }
        let mut by: BTreeMap<String, Self> = BTreeMap::new();
        for port in ports {
            let what = plugged(on, port);
            let found = by.entry(what.clone()).or_insert_with(|| Self {
                what,
                ports: BTreeSet::new(),
                opening: Opening::default(),
            });
            found.ports.insert(port);
            let opening = hearing.opening(port);
            found.opening.clear.extend(opening.clear);
            found.opening.kept.extend(opening.kept);
            let mut listeners: BTreeSet<_> = found.opening.listeners.iter().copied().collect();
            listeners.extend(opening.listeners);
            found.opening.listeners = listeners.into_iter().collect();
        }
        by.into_values().collect()
    }

    /// Tells whether it leaves some box in clear.
    pub fn leaks(&self) -> bool {
        !self.opening.clear.is_empty()
    }

    /// Names all by which it leaves in clear, each once.
    pub fn clear_by(&self, on: &On<'_>) -> Vec<String> {
        named(on, self.opening.clear.iter())
    }

    /// Names what sends it on with a key, each once.
    pub fn kept_by(&self, on: &On<'_>) -> Vec<String> {
        named(on, self.opening.kept.iter())
    }

    /// Names those of a talk group by which it leaves in clear, each once.
    pub fn clear_at(&self, on: &On<'_>, group: TalkGroupRef) -> Vec<String> {
        let phase = on.picture.phase();
        let here = self.opening.clear.iter();
        let here = here.filter(|p| phase.and_then(|phase| phase.group_of(**p)) == Some(group));
        named(on, here)
    }

    /// Tells whether it comes in on a talk group.
    pub fn comes_in_at(&self, on: &On<'_>, group: TalkGroupRef) -> bool {
        let phase = on.picture.phase();
        let mut ports = self.ports.iter();
        ports.any(|p| phase.and_then(|phase| phase.group_of(*p)) == Some(group))
    }

    /// Names the ports where it is decrypted.
    pub fn at(&self, on: &On<'_>) -> String {
        let mut by: BTreeMap<GatewayId, Vec<String>> = BTreeMap::new();
        for port in &self.ports {
            by.entry(port.gateway)
                .or_default()
                .push(port.port.to_string());
        }
        let words = by.into_iter().map(|(gateway, ports)| {
            let word = if ports.len() == 1 { "port" } else { "ports" };
            format!("{} {word} {}", on.name(gateway), ports.join(", "))
        });
        words.collect::<Vec<_>>().join(" and ")
    }
}

fn named<'p>(on: &On<'_>, ports: impl Iterator<Item = &'p PortRef>) -> Vec<String> {
    let names: BTreeSet<String> = ports.map(|port| plugged(on, *port)).collect();
    names.into_iter().collect()
}

/// Names what is plugged into a port: a donor by its channel, so that alike ones are told apart.
fn plugged(on: &On<'_>, port: PortRef) -> String {
    let attachment = on.picture.phase().and_then(|p| p.attachments.get(&port));
    match attachment.copied() {
        Some(Attachment::Radio { radio, .. }) => {
            let radio = on.scenario().radios.get(radio);
            let tuned = radio.and_then(|radio| on.picture.tuned(radio));
            match (tuned, radio) {
                (Some(tuned), _) => on.channel_words(tuned.channel.id),
                (None, Some(radio)) => radio.name.clone(),
                (None, None) => String::new(),
            }
        }
        Some(Attachment::Tie(tie)) => format!("tie {} (not encrypted)", on.name(tie)),
        Some(Attachment::Telephone(id)) => format!("telephone {}", on.name(id)),
        Some(other) => on.name(other.thing()),
        None => String::new(),
    }
}

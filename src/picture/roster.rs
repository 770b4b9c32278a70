//! Who is on what in this phase: worked out once, since many checks ask.
//!
//! A radio is *in use* when a unit carries it or a port holds it; the others lie in the pool.

use std::collections::BTreeMap;

use crate::model::{Attachment, ChannelId, Phase, PortRef, Programmed, RadioId, Scenario};

/// The radios in use, by what they are set to.
#[derive(Debug, Clone, Default)]
pub(super) struct Roster {
    /// The port of each donor.
    pub(super) ports: BTreeMap<RadioId, PortRef>,
    /// The radios in use that have each channel selected.
    pub(super) users: BTreeMap<ChannelId, Vec<RadioId>>,
    /// The radios in use that have no channel selected.
    pub(super) idle: Vec<RadioId>,
    /// Every entry of every radio that differs from its channel's definition in more than the name.
    pub(super) differing: Vec<(RadioId, ChannelId)>,
}

impl Roster {
    /// Looks at every radio; empty where there is no phase.
    pub(super) fn of(scenario: &Scenario, phase: Option<&Phase>) -> Self {
        let mut roster = Self::default();
        let Some(phase) = phase else {
            return roster;
        };
        for (port, attachment) in &phase.attachments {
            if let Attachment::Radio { radio, .. } = attachment {
                roster.ports.insert(*radio, *port);
            }
        }
        for radio in scenario.radios.iter() {
            let differing = radio.programmed.iter().filter(|p| differs(p));
            roster
                .differing
                .extend(differing.map(|p| (radio.id, p.channel)));
            if radio.held_by.is_none() && !roster.ports.contains_key(&radio.id) {
                continue;
            }
            match scenario.selected_channel(phase, radio) {
                Some(channel) => roster.users.entry(channel).or_default().push(radio.id),
                None => roster.idle.push(radio.id),
            }
        }
        roster
    }
}

fn differs(entry: &Programmed) -> bool {
    let Programmed {
        channel: _,
        label: _,
        rx,
        tx,
        rx_code,
        tx_code,
        mode,
        bandwidth_hz,
        group,
        protection,
        encrypted_only,
        secure: _,
        receive_only: _,
        verified: _,
    } = entry;
    rx.is_some()
        || tx.is_some()
        || rx_code.is_some()
        || tx_code.is_some()
        || mode.is_some()
        || bandwidth_hz.is_some()
        || group.is_some()
        || protection.is_some()
        || encrypted_only.is_some()
}

//! Which of a party's radios sends or hears what, asked after the fact by whoever explains.

use crate::model::{ChannelId, Party, Phase, Radio, Scenario};

use super::network::{Emission, Network};
use super::rules::{self, Signal};

/// The radios of a scenario as one phase has them set.
#[derive(Clone, Copy)]
pub(super) struct Radios<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
}

impl<'a> Radios<'a> {
    /// Lists the radios a party speaks at, its donors left out.
    pub(super) fn carried(self, net: &'a Network, party: Party) -> impl Iterator<Item = &'a Radio> {
        let ids = match party {
            Party::Unit(unit) => net.carried.get(&unit).map_or(&[][..], Vec::as_slice),
            Party::Telephone(_) | Party::Headset(_) => &[],
        };
        ids.iter()
            .filter_map(move |id| self.scenario.radios.get(*id))
    }

    /// Tells whether a radio sends an emission.
    pub(super) fn sends(self, radio: &Radio, sent: &Emission) -> bool {
        if self.scenario.selected_channel(self.phase, radio) != Some(sent.channel) {
            return false;
        }
        let Some(entry) = radio.entry(sent.channel) else {
            return false;
        };
        let Some(channel) = self.scenario.channels.get(sent.channel) else {
            return false;
        };
        let Some(system) = self.scenario.systems.get(channel.system) else {
            return false;
        };
        rules::signal_of(radio, entry, channel, system) == Ok(sent.signal)
    }

    /// Returns the channel on which a radio hears a signal, the selected one first, and whether it
    /// does so by scanning.
    pub(super) fn hears_on(self, radio: &Radio, signal: &Signal) -> Option<(ChannelId, bool)> {
        let selected = self.scenario.selected_channel(self.phase, radio);
        let scanned = radio.scans.iter().copied().filter(|c| Some(*c) != selected);
        selected
            .map(|c| (c, false))
            .into_iter()
            .chain(scanned.map(|c| (c, true)))
            .find(|(channel, _)| {
                let Some(entry) = radio.entry(*channel) else {
                    return false;
                };
                let Some(channel) = self.scenario.channels.get(*channel) else {
                    return false;
                };
                rules::tuner_of(radio, entry, channel)
                    .is_ok_and(|tuner| rules::hears(&tuner, &radio.keys, signal))
            })
    }
}

//! What one radio could send or hear, with the changes each takes.
//!
//! The selected channel as it is programmed costs nothing; mending an entry, selecting another,
//! programming a new one each cost a change.

use std::collections::BTreeSet;

use crate::hearing::rules::{self, Fault, Signal};
use crate::model::connect::unable;
use crate::model::{ChannelId, Phase, Programmed, Radio, Scenario};

use super::change::{Change, Deviation, Maker, moved, optional_key};

/// The choices of radios in one scenario and phase.
pub(super) struct Options<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) maker: Maker<'a>,
    /// Channels worth programming into a radio that lacks them.
    pub(super) worth: BTreeSet<ChannelId>,
}

impl Options<'_> {
    /// Lists what a radio could send for so many changes, each with the changes it takes.
    pub(super) fn sendings(
        &self,
        radio: &Radio,
        is_donor: bool,
        left: u32,
    ) -> Vec<(Signal, ChannelId, Vec<Change>)> {
        let mut all = Vec::new();
        for (entry, changes) in self.entries(radio, None, is_donor, left) {
            let Some(channel) = self.scenario.channels.get(entry.channel) else {
                continue;
            };
            let Some(system) = self.scenario.systems.get(channel.system) else {
                continue;
            };
            let mut variants: Vec<(Programmed, Vec<Change>)> = vec![(entry.clone(), Vec::new())];
            if changes.len() as u32 >= left {
                // Nothing is left to spend on mending the entry.
                if let Ok(signal) = rules::signal_of(radio, &entry, channel, system) {
                    all.push((signal, channel.id, changes));
                }
                continue;
            }
            let mut cleared = entry.clone();
            let mut clearing = Vec::new();
            for deviation in Deviation::SENDING {
                let mut single = entry.clone();
                if let Some(change) = self.maker.undeviate(radio, &mut single, deviation) {
                    variants.push((single, vec![change]));
                    clearing.extend(self.maker.undeviate(radio, &mut cleared, deviation));
                }
            }
            if clearing.len() > 1 {
                variants.push((cleared, clearing));
            }
            if optional_key(entry.effective(channel).protection).is_some() {
                let mut turned = entry.clone();
                let change = self.maker.turn_secure(radio, &mut turned, !entry.secure);
                variants.push((turned, vec![change]));
            }
            for (mut variant, mut more) in variants {
                let signal = match rules::signal_of(radio, &variant, channel, system) {
                    Ok(signal) => Some(signal),
                    Err(faults) => self.mend_sending(radio, &mut variant, &faults, &mut more),
                };
                if let Some(signal) = signal {
                    all.push((
                        signal,
                        channel.id,
                        changes.iter().cloned().chain(more).collect(),
                    ));
                }
            }
        }
        all
    }

    /// Mends what stops a radio from sending; returns the signal it would then send.
    fn mend_sending(
        &self,
        radio: &Radio,
        entry: &mut Programmed,
        faults: &[Fault],
        changes: &mut Vec<Change>,
    ) -> Option<Signal> {
        let mut able = radio.clone();
        let channel = self.scenario.channels.get(entry.channel)?;
        let mut system = self.scenario.systems.get(channel.system)?.clone();
        for fault in faults {
            changes.push(self.maker.mend(radio, entry, *fault)?);
            match fault {
                Fault::NoKeyToSend(key) => drop(able.keys.insert(*key)),
                Fault::NoTalkPath(_) => system.talk_paths = 1,
                Fault::NoCoverage(_) => system.coverage = 1.0,
                _ => {}
            }
        }
        rules::signal_of(&able, entry, channel, &system).ok()
    }

    /// Returns the cheapest changes that let a radio hear a signal.
    pub(super) fn hearing(
        &self,
        radio: &Radio,
        signal: &Signal,
        sent_on: ChannelId,
        is_donor: bool,
        left: u32,
    ) -> Option<Vec<Change>> {
        let mut best: Option<Vec<Change>> = None;
        let price = |c: &[Change]| (c.len(), c.iter().map(|c| c.weight).sum::<u32>());
        for (entry, base) in self.entries(radio, Some(sent_on), is_donor, left) {
            if best.as_ref().is_some_and(|b| b.len() < base.len()) {
                continue;
            }
            let Some(mut changes) = self.mend_hearing(radio, entry, signal) else {
                continue;
            };
            changes.splice(0..0, base);
            if best.as_ref().is_none_or(|b| price(&changes) < price(b)) {
                best = Some(changes);
            }
        }
        best
    }

    fn mend_hearing(
        &self,
        radio: &Radio,
        mut entry: Programmed,
        signal: &Signal,
    ) -> Option<Vec<Change>> {
        let channel = self.scenario.channels.get(entry.channel)?;
        let mut able = radio.clone();
        let mut changes = Vec::new();
        // Each round mends one fault; a radio has few, so eight rounds are plenty.
        for _ in 0..8 {
            let Ok(tuner) = rules::tuner_of(&able, &entry, channel) else {
                let change = Deviation::LISTENING.into_iter().find_map(|deviation| {
                    let mut tried = entry.clone();
                    let change = self.maker.undeviate(radio, &mut tried, deviation)?;
                    rules::tuner_of(&able, &tried, channel).ok()?;
                    entry = tried;
                    Some(change)
                })?;
                changes.push(change);
                continue;
            };
            let faults = rules::reception_faults(&tuner, &able.keys, signal);
            let Some(fault) = faults.first() else {
                return Some(changes);
            };
            let change = match fault {
                Fault::Elsewhere { heard, .. } => {
                    let deviation = moved(&entry, *heard)?;
                    self.maker.undeviate(radio, &mut entry, deviation)?
                }
                fault => self.maker.mend(radio, &mut entry, *fault)?,
            };
            if let Fault::NoKey(key) = fault {
                able.keys.insert(*key);
            }
            changes.push(change);
        }
        None
    }

    /// Lists the entries a radio could work by: the selected one, the scanned ones when listening,
    /// the other programmed ones, and channels worth programming.
    fn entries(
        &self,
        radio: &Radio,
        sent_on: Option<ChannelId>,
        is_donor: bool,
        left: u32,
    ) -> Vec<(Programmed, Vec<Change>)> {
        let selected = self.scenario.selected_channel(self.phase, radio);
        let listening = sent_on.is_some();
        let mut all: Vec<(Programmed, Vec<Change>)> = Vec::new();
        for entry in &radio.programmed {
            let is_on = selected == Some(entry.channel)
                || (listening && radio.scans.contains(&entry.channel));
            if !is_on && left == 0 {
                continue;
            }
            let changes = if is_on {
                Vec::new()
            } else {
                vec![self.maker.select(radio, entry.channel, is_donor)]
            };
            all.push((entry.clone(), changes));
        }
        if left < 2 {
            return all;
        }
        let mut lacking = |channel: ChannelId| {
            let Some(found) = self.scenario.channels.get(channel) else {
                return;
            };
            if radio.entry(channel).is_none() && unable(radio, found).is_none() {
                let entry = Programmed::as_defined(channel);
                let changes = vec![
                    self.maker.program(radio, &entry),
                    self.maker.select(radio, channel, is_donor),
                ];
                all.push((entry, changes));
            }
        };
        match sent_on {
            Some(channel) => lacking(channel),
            None => self.worth.iter().copied().for_each(lacking),
        }
        all
    }
}

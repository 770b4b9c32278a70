//! What every radio sends and listens for, by number; kept while radio, channels and systems stay.
//!
//! Numbers are given in the order in which values are first seen and mean nothing else: whatever is laid
//! out of them must come out the same whichever they are.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{ChannelId, KeyRef, Phase, Radio, Scenario};

use super::kept;
use super::network::Listening;
use super::rules::{self, Signal};

/// Number of something sent.
pub(super) type SentIx = u32;
/// Number of a way to listen.
pub(super) type ListeningIx = u32;

/// What a radio sends, whoever keys it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Sent {
    pub(super) signal: Signal,
    /// The channel it is sent or repeated on.
    pub(super) channel: ChannelId,
    /// Delay until it is in the air or out of the repeater, in milliseconds.
    pub(super) latency_ms: u32,
}

/// Values with their numbers.
#[derive(Debug, Clone)]
pub(super) struct Numbers<T> {
    numbers: BTreeMap<T, u32>,
    all: Vec<T>,
}

impl<T> Default for Numbers<T> {
    fn default() -> Self {
        Self {
            numbers: BTreeMap::new(),
            all: Vec::new(),
        }
    }
}

impl<T: Ord + Clone> Numbers<T> {
    /// Returns the number of a value, a new one if it has none.
    pub(super) fn of(&mut self, value: &T) -> u32 {
        if let Some(number) = self.numbers.get(value) {
            return *number;
        }
        let number = self.all.len() as u32;
        self.all.push(value.clone());
        self.numbers.insert(value.clone(), number);
        number
    }

    /// Lists the values by number.
    pub(super) fn all(&self) -> &[T] {
        &self.all
    }
}

/// What the radios of a scenario are set to, by their place in its table.
#[derive(Debug, Clone, Default)]
pub(super) struct Sets {
    radios: Vec<Set>,
    ears: Vec<ListeningIx>,
    sent: Numbers<Sent>,
    listenings: Numbers<Listening>,
    held_keys: Numbers<BTreeSet<KeyRef>>,
    /// How many ears there were when all was worked out.
    made_with: usize,
}

/// What one radio is set to.
#[derive(Debug, Clone, Copy)]
struct Set {
    /// What it sends, with the wait before speaking in milliseconds.
    sent: Option<(SentIx, u32)>,
    /// Where its ears stand among all.
    ears: (u32, u32),
}

impl Sets {
    /// Looks at every radio.
    pub(super) fn of(scenario: &Scenario, phase: &Phase) -> Self {
        let mut sets = Self::default();
        for radio in scenario.radios.iter() {
            let set = sets.look(scenario, phase, radio);
            sets.radios.push(set);
        }
        sets.made_with = sets.ears.len();
        sets
    }

    /// Looks only at radios that are set otherwise than before, and returns their places too; `None`
    /// where more may have moved, or where so much was looked at again that too much of no use is kept.
    pub(super) fn after(
        &self,
        before: (&Scenario, &Phase),
        now: (&Scenario, &Phase),
    ) -> Option<(Self, Vec<usize>)> {
        if self.ears.len() > 2 * self.made_with
            || !kept::are_channels_alike(before.0, now.0)
            || before.0.radios.len() != self.radios.len()
        {
            return None;
        }
        let places = kept::set_otherwise(before, now)?;
        let mut sets = self.clone();
        for place in &places {
            let radio = now.0.radios.at(*place)?;
            let set = sets.look(now.0, now.1, radio);
            *sets.radios.get_mut(*place)? = set;
        }
        Some((sets, places))
    }

    /// Returns what the radio at a place sends, with the wait before speaking in milliseconds.
    pub(super) fn sent_by(&self, place: usize) -> Option<(SentIx, u32)> {
        self.radios.get(place)?.sent
    }

    /// Lists what the radio at a place listens for: the selected channel, then the scanned ones.
    pub(super) fn ears_of(&self, place: usize) -> &[ListeningIx] {
        let ears = self.radios.get(place).map_or((0, 0), |set| set.ears);
        let ears = ears.0 as usize..ears.1 as usize;
        self.ears.get(ears).unwrap_or_default()
    }

    /// Returns something sent.
    pub(super) fn sent(&self, number: SentIx) -> Option<&Sent> {
        self.sent.all().get(number as usize)
    }

    /// Returns the number of what a repeater sends.
    pub(super) fn number(&mut self, sent: &Sent) -> SentIx {
        self.sent.of(sent)
    }

    /// Lists all ways to listen, by number.
    pub(super) fn listenings(&self) -> &[Listening] {
        self.listenings.all()
    }

    /// Lists the distinct sets of keys radios hold, by number.
    pub(super) fn key_sets(&self) -> &[BTreeSet<KeyRef>] {
        self.held_keys.all()
    }

    fn look(&mut self, scenario: &Scenario, phase: &Phase, radio: &Radio) -> Set {
        let selected = scenario.selected_channel(phase, radio);
        let first = self.ears.len() as u32;
        let keys = self.held_keys.of(&radio.keys);
        let scanned = radio.scans.iter().copied();
        let scanned = scanned.filter(|c| Some(*c) != selected).map(|c| (c, true));
        for (channel, by_scan) in selected.map(|c| (c, false)).into_iter().chain(scanned) {
            if let Some(tuner) = tuner(scenario, radio, channel) {
                let number = self.listenings.of(&Listening {
                    tuner,
                    keys,
                    by_scan,
                });
                self.ears.push(number);
            }
        }
        let sent = selected.and_then(|channel| sent(scenario, radio, channel));
        Set {
            sent: sent.map(|(sent, access_ms)| (self.sent.of(&sent), access_ms)),
            ears: (first, self.ears.len() as u32),
        }
    }
}

/// Returns what a radio listens for on a channel; `None` where a rule or a dead system stops it.
fn tuner(scenario: &Scenario, radio: &Radio, channel: ChannelId) -> Option<rules::Tuner> {
    let entry = radio.entry(channel)?;
    let channel = scenario.channels.get(channel)?;
    let system = scenario.systems.get(channel.system)?;
    let is_dead = system.kind.is_grouped() && (system.talk_paths == 0 || system.coverage <= 0.0);
    if is_dead {
        return None;
    }
    rules::tuner_of(radio, entry, channel).ok()
}

/// Returns what a radio sends on a channel, and its access time.
fn sent(scenario: &Scenario, radio: &Radio, channel: ChannelId) -> Option<(Sent, u32)> {
    let entry = radio.entry(channel)?;
    let channel = scenario.channels.get(channel)?;
    let system = scenario.systems.get(channel.system)?;
    let signal = rules::signal_of(radio, entry, channel, system).ok()?;
    let sent = Sent {
        signal,
        channel: channel.id,
        latency_ms: rules::direct_latency_ms(system),
    };
    Some((sent, system.access_ms))
}

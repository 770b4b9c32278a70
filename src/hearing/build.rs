//! Builds the network of one phase from the scenario.
//!
//! Nothing here decides who hears; it lays out entries, habits and the air, and asks `rules`.

use std::collections::{BTreeMap, BTreeSet};

use crate::engineering::timing::clipping;
use crate::model::{
    Attachment, ChannelId, Frequency, KeyRef, Keying, Party, Phase, Radio, RadioId, Scenario,
    TalkGroupRef, TelephoneKind, TieId, TieKind,
};

use super::network::{
    Emission, EmissionIx, Entry, EntryIx, Habit, HabitIx, Hearer, Listening, Network, Output,
};
use super::rules::{self, Spot};

type HabitKey = (Vec<(EmissionIx, u32)>, Vec<Listening>, Vec<EntryIx>);

/// Lays out the network of a phase.
pub(super) fn network(scenario: &Scenario, phase: &Phase) -> Network {
    Builder::new(scenario, phase).build()
}

struct Builder<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
    net: Network,
    emission_ix: BTreeMap<Emission, EmissionIx>,
    key_set_ix: BTreeMap<BTreeSet<KeyRef>, u32>,
    habit_ears: Vec<Vec<Listening>>,
}

impl<'a> Builder<'a> {
    fn new(scenario: &'a Scenario, phase: &'a Phase) -> Self {
        Self {
            scenario,
            phase,
            net: Network::default(),
            emission_ix: BTreeMap::new(),
            key_set_ix: BTreeMap::new(),
            habit_ears: Vec::new(),
        }
    }

    fn build(mut self) -> Network {
        self.net.parties = self.scenario.parties().collect();
        self.net.parties.sort_unstable();
        let donors: BTreeSet<RadioId> = self
            .phase
            .attachments
            .values()
            .filter_map(|a| match a {
                Attachment::Radio { radio, .. } => Some(*radio),
                _ => None,
            })
            .collect();
        for radio in self.scenario.radios.iter() {
            if let Some(unit) = radio.held_by
                && !donors.contains(&radio.id)
            {
                self.net.carried.entry(unit).or_default().push(radio.id);
            }
        }
        let people = self.lay_entries();
        self.lay_habits(people);
        self.lay_air();
        self.net
    }

    /// Makes an entry of each port that is switched, plugged and fitted with the right cable.
    ///
    /// Returns the entries of telephones and headsets, by the party that speaks there.
    fn lay_entries(&mut self) -> BTreeMap<Party, Vec<EntryIx>> {
        let mut people: BTreeMap<Party, Vec<EntryIx>> = BTreeMap::new();
        let mut ties: BTreeMap<TieId, Vec<EntryIx>> = BTreeMap::new();
        for (port, attachment) in &self.phase.attachments {
            let (Some(group), Some(socket), Some(gateway)) = (
                self.phase.group_of(*port),
                self.scenario.port(*port),
                self.scenario.gateways.get(port.gateway),
            ) else {
                continue;
            };
            let ix = self.net.entries.len() as EntryIx;
            let mut access_ms = 0;
            let output = match attachment {
                Attachment::Radio { radio, cable } => {
                    let Some(radio) = self.scenario.radios.get(*radio) else {
                        continue;
                    };
                    let fits = cable
                        .and_then(|c| self.scenario.cables.get(c))
                        .is_none_or(|c| c.fits(&radio.connector, &socket.connector));
                    if !fits {
                        continue;
                    }
                    let sent = self.emission_of(radio, Some(group));
                    access_ms = sent.map_or(0, |(_, access_ms)| access_ms);
                    let ears = self.ears_of(radio);
                    self.net.donor_ears.insert(ix, ears);
                    Output::Donor {
                        radio: radio.id,
                        emission: sent.map(|(e, _)| e),
                    }
                }
                Attachment::Telephone(id) => {
                    let Some(telephone) = self.scenario.telephones.get(*id) else {
                        continue;
                    };
                    let party = telephone.held_by.map_or(Party::Telephone(*id), Party::Unit);
                    people.entry(party).or_default().push(ix);
                    Output::Person {
                        habit: 0,
                        party,
                        latency_ms: telephone.latency_ms,
                        coded: telephone.kind != TelephoneKind::Landline,
                        open: true,
                    }
                }
                Attachment::Headset(id) => {
                    let Some(headset) = self.scenario.headsets.get(*id) else {
                        continue;
                    };
                    let party = headset.held_by.map_or(Party::Headset(*id), Party::Unit);
                    people.entry(party).or_default().push(ix);
                    Output::Person {
                        habit: 0,
                        party,
                        latency_ms: 0,
                        coded: false,
                        open: false,
                    }
                }
                Attachment::Tie(id) => {
                    let Some(tie) = self.scenario.ties.get(*id) else {
                        continue;
                    };
                    ties.entry(*id).or_default().push(ix);
                    Output::Tie {
                        other: None,
                        latency_ms: tie.latency_ms,
                        coded: tie.kind == TieKind::Ip,
                        encrypted: tie.encrypted,
                    }
                }
            };
            let attack_ms = match socket.keying {
                Keying::PttLine => 0,
                Keying::VoiceOperated { attack_ms, .. } => attack_ms,
            };
            self.net.entries.push(Entry {
                port: *port,
                group,
                output,
                leave_ms: gateway.latency_ms.saturating_add(socket.buffer_ms),
                clipped_ms: clipping::lost_ms(access_ms, attack_ms, socket.buffer_ms),
            });
            self.net.groups.entry(group).or_default().push(ix);
        }
        for ends in ties.values() {
            if let [a, b] = ends.as_slice() {
                for (here, there) in [(*a, *b), (*b, *a)] {
                    if let Output::Tie { other, .. } = &mut self.net.entries[here as usize].output {
                        *other = Some(there);
                    }
                }
            }
        }
        people
    }

    /// Puts parties with the same habit together.
    fn lay_habits(&mut self, mut people: BTreeMap<Party, Vec<EntryIx>>) {
        let mut by_key: BTreeMap<HabitKey, HabitIx> = BTreeMap::new();
        let parties = std::mem::take(&mut self.net.parties);
        for (number, party) in parties.iter().enumerate() {
            let mut emissions = Vec::new();
            let mut ears = Vec::new();
            if let Party::Unit(unit) = party {
                let carried = self.net.carried.get(unit).cloned().unwrap_or_default();
                for radio in carried {
                    let Some(radio) = self.scenario.radios.get(radio) else {
                        continue;
                    };
                    emissions.extend(self.emission_of(radio, None));
                    ears.extend(self.ears_of(radio));
                }
            }
            emissions.sort_unstable();
            emissions.dedup();
            ears.sort_unstable();
            ears.dedup();
            let entries = people.remove(party).unwrap_or_default();
            let key = (emissions, ears, entries);
            let ix = if let Some(ix) = by_key.get(&key) {
                *ix
            } else {
                let ix = self.net.habits.len() as HabitIx;
                self.net.habits.push(Habit {
                    members: Vec::new(),
                    emissions: key.0.clone(),
                    entries: key.2.clone(),
                    hears: Vec::new(),
                });
                self.habit_ears.push(key.1.clone());
                by_key.insert(key, ix);
                ix
            };
            self.net.habits[ix as usize].members.push(number as u32);
            self.net.habit_of.push(ix);
        }
        self.net.parties = parties;
        for entry in 0..self.net.entries.len() {
            let Output::Person { party, .. } = self.net.entries[entry].output else {
                continue;
            };
            let speaker = self.net.habit_of(party);
            if let (Output::Person { habit, .. }, Some(speaker)) =
                (&mut self.net.entries[entry].output, speaker)
            {
                *habit = speaker;
            }
        }
    }

    /// Works out repeaters and hearers of every emission.
    fn lay_air(&mut self) {
        // Whoever listens alike is asked once.
        let mut alike: BTreeMap<Listening, Vec<Hearer>> = BTreeMap::new();
        for (entry, listenings) in &self.net.donor_ears {
            for listening in listenings {
                alike
                    .entry(*listening)
                    .or_default()
                    .push(Hearer::Entry(*entry));
            }
        }
        for (habit, listenings) in std::mem::take(&mut self.habit_ears).into_iter().enumerate() {
            for listening in listenings {
                alike
                    .entry(listening)
                    .or_default()
                    .push(Hearer::Habit(habit as HabitIx));
            }
        }
        let mut ears: BTreeMap<Spot, Vec<(Listening, Vec<Hearer>)>> = BTreeMap::new();
        for (listening, hearers) in alike {
            ears.entry(listening.tuner.spot)
                .or_default()
                .push((listening, hearers));
        }
        let mut repeaters: BTreeMap<Frequency, Vec<ChannelId>> = BTreeMap::new();
        for channel in self.scenario.channels.iter() {
            if let Some(c) = channel.conventional()
                && self
                    .scenario
                    .systems
                    .get(channel.system)
                    .is_some_and(|s| s.kind.repeats())
            {
                repeaters.entry(c.tx).or_default().push(channel.id);
            }
        }
        // Repeaters make new emissions, so the list grows while it is walked; it ends because a
        // chain of repeaters can only make finitely many different signals.
        let mut next = 0;
        while next < self.net.emissions.len() {
            let emission = self.net.emissions[next];
            let mut repeated = Vec::new();
            if let Spot::Frequency(input) = emission.signal.spot {
                for id in repeaters.get(&input).into_iter().flatten() {
                    let Some(channel) = self.scenario.channels.get(*id) else {
                        continue;
                    };
                    let Some(system) = self.scenario.systems.get(channel.system) else {
                        continue;
                    };
                    if let Some(Ok(signal)) = rules::repeats(channel, system, &emission.signal) {
                        repeated.push(self.intern(Emission {
                            signal,
                            origin: emission.origin,
                            channel: *id,
                            latency_ms: system.latency_ms,
                        }));
                    }
                }
            }
            repeated.sort_unstable();
            repeated.dedup();
            let hearers = self.hearers_of(&emission, ears.get(&emission.signal.spot));
            for (hearer, by_scan) in &hearers {
                if let Hearer::Habit(habit) = hearer {
                    // Emissions come in the order of their indices, so this stays sorted.
                    let heard = (next as EmissionIx, *by_scan);
                    self.net.habits[*habit as usize].hears.push(heard);
                }
            }
            self.net.repeated.push(repeated);
            self.net.hearers.push(hearers);
            next += 1;
        }
    }

    fn hearers_of(
        &self,
        emission: &Emission,
        ears: Option<&Vec<(Listening, Vec<Hearer>)>>,
    ) -> Vec<(Hearer, bool)> {
        let mut all: Vec<(Hearer, bool)> = Vec::new();
        for (listening, hearers) in ears.into_iter().flatten() {
            let keys = &self.net.key_sets[listening.keys as usize];
            if !rules::hears(&listening.tuner, keys, &emission.signal) {
                continue;
            }
            let others = hearers.iter().filter(|hearer| match hearer {
                Hearer::Entry(entry) => emission.origin != Some(self.net.entry(*entry).group),
                Hearer::Habit(_) => true,
            });
            all.extend(others.map(|hearer| (*hearer, listening.by_scan)));
        }
        // Sorted with "not by scanning" first, which is the one that is kept.
        all.sort_unstable();
        all.dedup_by_key(|(hearer, _)| *hearer);
        all
    }

    /// Returns what a radio sends on its selected channel, and its access time.
    fn emission_of(
        &mut self,
        radio: &Radio,
        origin: Option<TalkGroupRef>,
    ) -> Option<(EmissionIx, u32)> {
        let channel = self.scenario.selected_channel(self.phase, radio)?;
        let entry = radio.entry(channel)?;
        let channel = self.scenario.channels.get(channel)?;
        let system = self.scenario.systems.get(channel.system)?;
        let signal = rules::signal_of(radio, entry, channel, system).ok()?;
        let emission = Emission {
            signal,
            origin,
            channel: channel.id,
            latency_ms: rules::direct_latency_ms(system),
        };
        Some((self.intern(emission), system.access_ms))
    }

    /// Returns what a radio listens for: the selected channel, then the scanned ones.
    fn ears_of(&mut self, radio: &Radio) -> Vec<Listening> {
        let selected = self.scenario.selected_channel(self.phase, radio);
        let keys = self.key_set(&radio.keys);
        let tuner = |channel| {
            let entry = radio.entry(channel)?;
            let channel = self.scenario.channels.get(channel)?;
            let dead =
                self.scenario.systems.get(channel.system).is_none_or(|s| {
                    s.kind.is_grouped() && (s.talk_paths == 0 || s.coverage <= 0.0)
                });
            if dead {
                None
            } else {
                rules::tuner_of(radio, entry, channel).ok()
            }
        };
        let own = selected.and_then(tuner).map(|tuner| Listening {
            tuner,
            keys,
            by_scan: false,
        });
        let scanned = radio
            .scans
            .iter()
            .filter(|c| Some(**c) != selected)
            .filter_map(|c| tuner(*c))
            .map(|tuner| Listening {
                tuner,
                keys,
                by_scan: true,
            });
        own.into_iter().chain(scanned).collect()
    }

    fn intern(&mut self, emission: Emission) -> EmissionIx {
        let next = self.net.emissions.len() as EmissionIx;
        let ix = *self.emission_ix.entry(emission).or_insert(next);
        if ix == next {
            self.net.emissions.push(emission);
        }
        ix
    }

    fn key_set(&mut self, keys: &BTreeSet<KeyRef>) -> u32 {
        if let Some(ix) = self.key_set_ix.get(keys) {
            return *ix;
        }
        let ix = self.net.key_sets.len() as u32;
        self.net.key_sets.push(keys.clone());
        self.key_set_ix.insert(keys.clone(), ix);
        ix
    }
}

//! Builds the network of one phase from the scenario.
//!
//! Nothing here decides who hears; it lays out entries, habits and the air, and asks `rules`.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::engineering::timing::clipping;
use crate::model::{
    Attachment, ChannelId, Frequency, Keying, Party, Phase, PortRef, Radio, Scenario, TalkGroupRef,
    TelephoneKind, TieId, TieKind,
};

use super::habits::{Habits, Laid};
use super::network::{
    Emission, EmissionIx, Entry, EntryIx, Habit, HabitIx, Hearer, Listening, Network, Output,
};
use super::rules::{self, Spot};
use super::sets::{Sent, SentIx, Sets};

/// What a network was laid out of, kept for the next one.
#[derive(Debug, Clone, Default)]
pub(super) struct Kept {
    sets: Sets,
    habits: Habits,
}

/// A scenario in a phase, with what its network was laid out of.
#[derive(Clone, Copy)]
pub(super) struct Before<'a> {
    pub(super) scenario: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) kept: &'a Kept,
}

/// Lays out the network of a phase; the same whatever is known from before.
pub(super) fn network(
    scenario: &Scenario,
    phase: &Phase,
    before: Option<Before<'_>>,
) -> (Network, Kept) {
    let known = before.and_then(|before| {
        let was = (before.scenario, before.phase);
        let (sets, places) = before.kept.sets.after(was, (scenario, phase))?;
        Some((sets, Some((before, places))))
    });
    let (sets, known) = known.unwrap_or_else(|| (Sets::of(scenario, phase), None));
    Builder {
        scenario,
        phase,
        net: Network::default(),
        sets,
        by_origin: BTreeMap::new(),
        by_sent: Vec::new(),
    }
    .build(known)
}

struct Builder<'a> {
    scenario: &'a Scenario,
    phase: &'a Phase,
    net: Network,
    sets: Sets,
    /// Emissions of talk groups, and those of people by the number of what they send.
    by_origin: BTreeMap<(TalkGroupRef, SentIx), EmissionIx>,
    by_sent: Vec<Option<EmissionIx>>,
}

impl Builder<'_> {
    fn build(mut self, known: Option<(Before<'_>, Vec<usize>)>) -> (Network, Kept) {
        self.net.parties = self.scenario.parties().collect();
        self.net.parties.sort_unstable();
        let people = self.lay_entries();
        let ports: BTreeMap<Party, Vec<PortRef>> = people
            .iter()
            .map(|(party, entries)| {
                let ports = entries.iter().map(|entry| self.net.entry(*entry).port);
                (*party, ports.collect())
            })
            .collect();
        let laid = Laid {
            scenario: self.scenario,
            phase: self.phase,
            parties: &self.net.parties,
            ports: &ports,
            sets: &self.sets,
        };
        let habits = known.and_then(|(before, places)| {
            let was = (before.scenario, before.phase);
            before.kept.habits.after(was, laid, &places)
        });
        let habits = habits.unwrap_or_else(|| Habits::of(laid));
        self.net.carried = Arc::clone(&habits.carried);
        let ears = self.lay_habits(&habits, &people);
        self.lay_air(&habits, &ears);
        self.net.key_sets = self.sets.key_sets().to_vec();
        let kept = Kept {
            sets: self.sets,
            habits,
        };
        (self.net, kept)
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
                    let (emission, wait_ms) = self.lay_donor(ix, radio, group);
                    access_ms = wait_ms;
                    Output::Donor {
                        radio: radio.id,
                        emission,
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

    /// Puts parties with the same habit together; returns the number of each habit among all kept.
    fn lay_habits(&mut self, habits: &Habits, people: &BTreeMap<Party, Vec<EntryIx>>) -> Vec<u32> {
        // Emissions are numbered in the order of those who carry the radios.
        for (_, place) in habits.carriers.iter() {
            if let Some((sent, _)) = self.sets.sent_by(*place as usize) {
                self.emission(sent, None);
            }
        }
        let mut numbers = Vec::new();
        let mut known: Vec<Option<HabitIx>> = vec![None; habits.keys().len()];
        let parties = std::mem::take(&mut self.net.parties);
        for (member, party) in parties.iter().enumerate() {
            let number = habits.number(member);
            let place = number as usize;
            let (Some(key), Some(ix)) = (habits.keys().get(place), known.get_mut(place)) else {
                continue;
            };
            let ix = *ix.get_or_insert(self.net.habits.len() as HabitIx);
            if ix as usize == self.net.habits.len() {
                let sends = key.sends.iter();
                let mut emissions: Vec<(EmissionIx, u32)> = sends
                    .filter_map(|(sent, wait_ms)| Some((self.emission(*sent, None)?, *wait_ms)))
                    .collect();
                emissions.sort_unstable();
                self.net.habits.push(Habit {
                    members: Vec::new(),
                    emissions,
                    entries: people.get(party).cloned().unwrap_or_default(),
                    hears: Vec::new(),
                });
                numbers.push(number);
            }
            self.net.habits[ix as usize].members.push(member as u32);
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
        numbers
    }

    /// Works out repeaters and hearers of every emission.
    fn lay_air(&mut self, habits: &Habits, numbers: &[u32]) {
        // Whoever listens alike is asked once.
        let mut alike: Vec<Vec<Hearer>> = vec![Vec::new(); self.sets.listenings().len()];
        let mut listens = |listening: u32, hearer: Hearer| {
            if let Some(hearers) = alike.get_mut(listening as usize) {
                hearers.push(hearer);
            }
        };
        for (entry, found) in self.net.entries.iter().enumerate() {
            if let Output::Donor { radio, .. } = found.output
                && let Some(place) = self.scenario.radios.place_of(radio)
            {
                for listening in self.sets.ears_of(place) {
                    listens(*listening, Hearer::Entry(entry as EntryIx));
                }
            }
        }
        for (habit, number) in numbers.iter().enumerate() {
            let key = habits.keys().get(*number as usize);
            for listening in key.into_iter().flat_map(|key| &key.ears) {
                listens(*listening, Hearer::Habit(habit as HabitIx));
            }
        }
        let mut ears: BTreeMap<Spot, Vec<(Listening, Vec<Hearer>)>> = BTreeMap::new();
        for (listening, hearers) in self.sets.listenings().iter().zip(alike) {
            if !hearers.is_empty() {
                ears.entry(listening.tuner.spot)
                    .or_default()
                    .push((*listening, hearers));
            }
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
                        let sent = self.sets.number(&Sent {
                            signal,
                            channel: *id,
                            latency_ms: system.latency_ms,
                        });
                        repeated.extend(self.emission(sent, emission.origin));
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
            let keys = &self.sets.key_sets()[listening.keys as usize];
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

    /// Notes what a donor listens for; returns what it sends for its talk group, and its access time.
    fn lay_donor(
        &mut self,
        entry: EntryIx,
        radio: &Radio,
        group: TalkGroupRef,
    ) -> (Option<EmissionIx>, u32) {
        let Some(place) = self.scenario.radios.place_of(radio.id) else {
            return (None, 0);
        };
        let listenings = self.sets.listenings();
        let ears = self.sets.ears_of(place).iter();
        let ears: Vec<Listening> = ears
            .filter_map(|number| listenings.get(*number as usize).copied())
            .collect();
        self.net.donor_ears.insert(entry, ears);
        match self.sets.sent_by(place) {
            Some((sent, access_ms)) => (self.emission(sent, Some(group)), access_ms),
            None => (None, 0),
        }
    }

    /// Returns the emission of something sent, a new one the first time.
    fn emission(&mut self, sent: SentIx, origin: Option<TalkGroupRef>) -> Option<EmissionIx> {
        let place = sent as usize;
        if self.by_sent.len() <= place {
            self.by_sent.resize(place + 1, None);
        }
        let next = self.net.emissions.len() as EmissionIx;
        let ix = match origin {
            Some(group) => *self.by_origin.entry((group, sent)).or_insert(next),
            None => *self.by_sent.get_mut(place)?.get_or_insert(next),
        };
        if ix == next {
            let Sent {
                signal,
                channel,
                latency_ms,
            } = *self.sets.sent(sent)?;
            self.net.emissions.push(Emission {
                signal,
                origin,
                channel,
                latency_ms,
            });
        }
        Some(ix)
    }
}

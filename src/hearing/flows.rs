//! How much is carried where: the load of every speaker added up along the ways its speech takes.
//!
//! A joined talk group carries the sum of all its channels, and each joined channel carries that sum
//! too; it follows from the derivation and is never typed in. A party with several radios, telephones
//! and headsets is taken to speak at each of them equally often.

use std::collections::BTreeMap;

use crate::model::{ChannelId, Party, PortRef, TalkGroupRef};

use super::Hearing;
use super::network::{EntryIx, HabitIx, Network, Output};
use super::reach::Source;
use super::reached::Walked;

/// What one channel or talk group carries.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Carried {
    /// Load of those who speak on it themselves, in erlangs.
    pub own_erl: f64,
    /// Load of all speech that is carried on it, in erlangs.
    pub all_erl: f64,
    /// Groups of parties, as indices into [`Hearing::alike`], that speak on it themselves; rising.
    pub own: Vec<usize>,
    /// Groups of parties whose speech is carried on it; rising.
    pub all: Vec<usize>,
}

/// What a donor does.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct DonorLoad {
    /// Share of the time it transmits, if nobody ever had to wait, in erlangs.
    pub transmit_erl: f64,
    /// Share of the time it receives, in erlangs.
    pub receive_erl: f64,
}

/// What is carried everywhere.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Flows {
    /// By channel.
    pub channels: BTreeMap<ChannelId, Carried>,
    /// By talk group.
    pub groups: BTreeMap<TalkGroupRef, Carried>,
    /// By the port of each donor.
    pub donors: BTreeMap<PortRef, DonorLoad>,
}

impl Hearing {
    /// Adds up loads, given what each party offers in erlangs.
    ///
    /// Complexity: linear in everything that every distinct source reaches.
    pub fn flows(&self, offered_erl: impl Fn(Party) -> f64) -> Flows {
        let net = &self.net;
        let members = |habit: HabitIx| net.habits[habit as usize].members.iter();
        let offered: Vec<f64> = (0..net.habits.len() as HabitIx)
            .map(|habit| {
                members(habit)
                    .map(|p| offered_erl(net.parties[*p as usize]))
                    .sum()
            })
            .collect();
        let mut sums = Sums::of(net);
        for walked in self.reach.walks(net) {
            let load = offered[walked.habit as usize] / walked.among as f64;
            sums.add(net, &walked, load);
        }
        sums.flows(net)
    }
}

impl Carried {
    /// Adds what a group of parties offers; groups come in their order.
    fn add(&mut self, habit: usize, load: f64, is_own: bool) {
        self.all_erl += load;
        if self.all.last() != Some(&habit) {
            self.all.push(habit);
        }
        if is_own {
            self.own_erl += load;
            if self.own.last() != Some(&habit) {
                self.own.push(habit);
            }
        }
    }
}

/// Sums in the making, by number and not by name, since very many are added up.
struct Sums {
    /// The channels of all emissions, rising, and the place of each emission's channel among them.
    channels: Vec<ChannelId>,
    channel_of: Vec<usize>,
    on_channels: Vec<Carried>,
    /// The talk groups, rising, and the place of each entry's talk group among them.
    groups: Vec<TalkGroupRef>,
    group_of: Vec<usize>,
    on_groups: Vec<Carried>,
    /// What each entry does, where it is a donor of a talk group that carries something.
    donors: Vec<Option<DonorLoad>>,
    /// Room for the places that one source gets to.
    places: Vec<usize>,
    entered: Vec<(usize, EntryIx)>,
}

impl Sums {
    fn of(net: &Network) -> Self {
        let mut channels: Vec<ChannelId> = net.emissions.iter().map(|e| e.channel).collect();
        channels.sort_unstable();
        channels.dedup();
        let groups: Vec<TalkGroupRef> = net.groups.keys().copied().collect();
        let place = |channel: ChannelId| channels.partition_point(|c| *c < channel);
        let group_place = |group: TalkGroupRef| groups.partition_point(|g| *g < group);
        Self {
            channel_of: net.emissions.iter().map(|e| place(e.channel)).collect(),
            group_of: net.entries.iter().map(|e| group_place(e.group)).collect(),
            on_channels: vec![Carried::default(); channels.len()],
            on_groups: vec![Carried::default(); groups.len()],
            donors: vec![None; net.entries.len()],
            places: Vec::new(),
            entered: Vec::new(),
            channels,
            groups,
        }
    }

    fn add(&mut self, net: &Network, walked: &Walked<'_>, load: f64) {
        let habit = walked.habit as usize;
        let own = match walked.source {
            Source::Radio(emission) => Some(self.channel_of[emission as usize]),
            Source::Person(_) => None,
        };
        self.places.clear();
        let air = walked.air.iter();
        self.places
            .extend(air.map(|(e, _)| self.channel_of[*e as usize]));
        self.places.sort_unstable();
        self.places.dedup();
        for place in &self.places {
            self.on_channels[*place].add(habit, load, own == Some(*place));
        }
        self.entered.clear();
        let entries = walked.entries.iter();
        self.entered
            .extend(entries.map(|e| (self.group_of[*e as usize], *e)));
        self.entered.sort_unstable();
        for entered in self.entered.chunk_by(|a, b| a.0 == b.0) {
            let Some((place, _)) = entered.first() else {
                continue;
            };
            let has = |entry: EntryIx| entered.iter().any(|(_, e)| *e == entry);
            // Somebody at a headset or telephone of the group itself speaks on it.
            let is_own = matches!(walked.source, Source::Person(at) if has(at));
            self.on_groups[*place].add(habit, load, is_own);
            for port in net.groups.get(&self.groups[*place]).into_iter().flatten() {
                if !matches!(net.entry(*port).output, Output::Donor { .. }) {
                    continue;
                }
                let donor = self.donors[*port as usize].get_or_insert_default();
                if has(*port) {
                    donor.receive_erl += load;
                }
                if entered.iter().any(|(_, e)| e != port) {
                    donor.transmit_erl += load;
                }
            }
        }
    }

    fn flows(self, net: &Network) -> Flows {
        let is_used = |carried: &Carried| !carried.all.is_empty();
        let channels = self.channels.into_iter().zip(self.on_channels);
        let groups = self.groups.into_iter().zip(self.on_groups);
        let donors = net.entries.iter().zip(self.donors);
        Flows {
            channels: channels.filter(|(_, c)| is_used(c)).collect(),
            groups: groups.filter(|(_, c)| is_used(c)).collect(),
            donors: donors
                .filter_map(|(entry, load)| Some((entry.port, load?)))
                .collect(),
        }
    }
}

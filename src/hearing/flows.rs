//! How much is carried where: the load of every speaker added up along the ways its speech takes.
//!
//! A joined talk group carries the sum of all its channels, and each joined channel carries that sum
//! too; it follows from the derivation and is never typed in. A party with several radios, telephones
//! and headsets is taken to speak at each of them equally often.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{ChannelId, Party, PortRef, TalkGroupRef};

use super::Hearing;
use super::network::{EntryIx, HabitIx, Network, Output};
use super::reach::Source;

/// What one channel or talk group carries.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Carried {
    /// Load of those who speak on it themselves, in erlangs.
    pub own_erl: f64,
    /// Load of all speech that is carried on it, in erlangs.
    pub all_erl: f64,
    /// Groups of parties, as indices into [`Hearing::alike`], that speak on it themselves.
    pub own: BTreeSet<usize>,
    /// Groups of parties whose speech is carried on it.
    pub all: BTreeSet<usize>,
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
        let mut flows = Flows::default();
        let members = |habit: HabitIx| net.habits[habit as usize].members.iter();
        let offered: Vec<f64> = (0..net.habits.len() as HabitIx)
            .map(|habit| {
                members(habit)
                    .map(|p| offered_erl(net.parties[*p as usize]))
                    .sum()
            })
            .collect();
        for walked in self.reach.walks(net) {
            let habit = walked.habit as usize;
            let load = offered[habit] / walked.among as f64;
            let own = match walked.source {
                Source::Radio(emission) => Some(net.emission(emission).channel),
                Source::Person(_) => None,
            };
            let mut channels: Vec<ChannelId> = walked
                .air
                .iter()
                .map(|(e, _)| net.emission(*e).channel)
                .collect();
            channels.sort_unstable();
            channels.dedup();
            for channel in channels {
                let carried = flows.channels.entry(channel).or_default();
                carried.add(habit, load, own == Some(channel));
            }
            flows.add_groups(net, habit, load, walked.source, walked.entries);
        }
        flows
    }
}

impl Carried {
    fn add(&mut self, habit: usize, load: f64, is_own: bool) {
        self.all_erl += load;
        self.all.insert(habit);
        if is_own {
            self.own_erl += load;
            self.own.insert(habit);
        }
    }
}

impl Flows {
    fn add_groups(
        &mut self,
        net: &Network,
        habit: usize,
        load: f64,
        source: Source,
        entries: &[EntryIx],
    ) {
        let mut groups: BTreeMap<TalkGroupRef, Vec<EntryIx>> = BTreeMap::new();
        for entry in entries {
            groups
                .entry(net.entry(*entry).group)
                .or_default()
                .push(*entry);
        }
        for (group, entered) in groups {
            // Somebody at a headset or telephone of the group itself speaks on it.
            let is_own = matches!(source, Source::Person(at) if entered.contains(&at));
            let carried = self.groups.entry(group).or_default();
            carried.add(habit, load, is_own);
            for port in net.groups.get(&group).into_iter().flatten() {
                let entry = net.entry(*port);
                if !matches!(entry.output, Output::Donor { .. }) {
                    continue;
                }
                let donor = self.donors.entry(entry.port).or_default();
                if entered.contains(port) {
                    donor.receive_erl += load;
                }
                if entered.iter().any(|e| e != port) {
                    donor.transmit_erl += load;
                }
            }
        }
    }
}

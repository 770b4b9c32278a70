//! The network of one phase: who can send and hear what, with everything alike put together.
//!
//! Nodes are *emissions* (a signal on the air, and whose talk group sends it), *entries* (audio that
//! came in by one port and is on its talk group) and *habits* (parties that send and hear alike).
//! Edges are worked out once; a message is then a walk over them in `reach`.
//!
//! Two rules decide what a port hears. The audio that came in by a port leaves by every *other*
//! port of its talk group (rule 5). And the donors of one talk group are keyed at once, so none of
//! them hears what another of them sends, directly or through repeaters (rule 7); what comes back
//! by way of another gateway is heard, and is a loop.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::model::{ChannelId, GatewayId, KeyRef, Party, PortRef, RadioId, TalkGroupRef, UnitId};

use super::reach::Source;
use super::rules::{self, Signal, Tuner};

/// Index of an emission.
pub(super) type EmissionIx = u32;
/// Index of an entry: a port that is switched and plugged.
pub(super) type EntryIx = u32;
/// Index of a habit.
pub(super) type HabitIx = u32;

/// A signal on the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Emission {
    pub(super) signal: Signal,
    /// The talk group whose donors send it, also after a repeater.
    pub(super) origin: Option<TalkGroupRef>,
    /// The channel it is sent or repeated on.
    pub(super) channel: ChannelId,
    /// Delay until it is in the air or out of the repeater, in milliseconds.
    pub(super) latency_ms: u32,
}

/// One way a party or donor hears.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Listening {
    pub(super) tuner: Tuner,
    /// Index of the set of keys the radio holds.
    pub(super) keys: u32,
    pub(super) by_scan: bool,
}

/// Who hears an emission.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Hearer {
    Entry(EntryIx),
    Habit(HabitIx),
}

/// What a port is good for in this phase.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub(super) port: PortRef,
    pub(super) group: TalkGroupRef,
    pub(super) output: Output,
    /// Delay of leaving by this port, before the air: gateway and buffer.
    pub(super) leave_ms: u32,
    /// Speech cut off when leaving by this port.
    pub(super) clipped_ms: u32,
}

/// Where audio goes that leaves by a port.
#[derive(Debug, Clone, Copy)]
pub(super) enum Output {
    /// To a donor, which sends the emission, or nothing when a rule stops it.
    Donor {
        radio: RadioId,
        emission: Option<EmissionIx>,
    },
    /// To the party at a telephone or headset.
    Person {
        habit: HabitIx,
        party: Party,
        latency_ms: u32,
        coded: bool,
        open: bool,
    },
    /// To the port at the other end of a tie.
    Tie {
        other: Option<EntryIx>,
        latency_ms: u32,
        coded: bool,
        encrypted: bool,
    },
}

/// What parties who are evaluated together have in common.
#[derive(Debug, Clone, Default)]
pub(super) struct Habit {
    /// Indices into `Network::parties`.
    pub(super) members: Vec<u32>,
    /// What they send, with the wait before speaking in milliseconds.
    pub(super) emissions: Vec<(EmissionIx, u32)>,
    /// Ports of the telephones and headsets they speak into.
    pub(super) entries: Vec<EntryIx>,
    /// What they hear off the air, and whether by scanning; sorted.
    pub(super) hears: Vec<(EmissionIx, bool)>,
}

/// The network.
#[derive(Debug, Clone, Default)]
pub(super) struct Network {
    pub(super) parties: Vec<Party>,
    pub(super) habit_of: Vec<HabitIx>,
    pub(super) habits: Vec<Habit>,
    pub(super) emissions: Vec<Emission>,
    /// Emissions a repeater makes of an emission.
    pub(super) repeated: Vec<Vec<EmissionIx>>,
    /// Who hears an emission, and whether by scanning.
    pub(super) hearers: Vec<Vec<(Hearer, bool)>>,
    /// By port.
    pub(super) entries: Vec<Entry>,
    /// Entries of a talk group, by port.
    pub(super) groups: BTreeMap<TalkGroupRef, Vec<EntryIx>>,
    /// Radios each unit carries and speaks at, donors left out.
    pub(super) carried: Arc<BTreeMap<UnitId, Vec<RadioId>>>,
    /// What each donor listens for.
    pub(super) donor_ears: BTreeMap<EntryIx, Vec<Listening>>,
    /// The distinct sets of keys radios hold.
    pub(super) key_sets: Vec<BTreeSet<KeyRef>>,
}

impl Network {
    pub(super) fn party_index(&self, party: Party) -> Option<usize> {
        self.parties.binary_search(&party).ok()
    }

    pub(super) fn habit_of(&self, party: Party) -> Option<HabitIx> {
        self.habit_of.get(self.party_index(party)?).copied()
    }

    /// Lists what a habit sends and where it speaks.
    pub(super) fn sources(&self, habit: HabitIx) -> impl Iterator<Item = Source> + '_ {
        let habit = &self.habits[habit as usize];
        let radios = habit.emissions.iter().map(|(e, _)| Source::Radio(*e));
        radios.chain(habit.entries.iter().map(|e| Source::Person(*e)))
    }

    pub(super) fn entry(&self, ix: EntryIx) -> &Entry {
        &self.entries[ix as usize]
    }

    pub(super) fn emission(&self, ix: EmissionIx) -> &Emission {
        &self.emissions[ix as usize]
    }

    /// Lists the entries of a talk group whose donor would hear an emission of that group's.
    ///
    /// In a message they are deaf, being keyed themselves; off the air it is an echo all the same.
    pub(super) fn heard_by_own(
        &self,
        emission: EmissionIx,
        group: TalkGroupRef,
        sender: EntryIx,
    ) -> Vec<EntryIx> {
        let all = super::loops::with_repeats(self, emission);
        let signals: Vec<Signal> = all.into_iter().map(|e| self.emission(e).signal).collect();
        self.groups
            .get(&group)
            .into_iter()
            .flatten()
            .copied()
            .filter(|hearer| *hearer != sender)
            .filter(|hearer| {
                self.donor_ears.get(hearer).is_some_and(|ears| {
                    ears.iter().any(|listening| {
                        let keys = &self.key_sets[listening.keys as usize];
                        signals.iter().any(|signal| {
                            rules::reception_faults(&listening.tuner, keys, signal).is_empty()
                        })
                    })
                })
            })
            .collect()
    }

    /// Lists the ports audio leaves by when it came in by `entry`.
    pub(super) fn outputs(&self, entry: EntryIx) -> impl Iterator<Item = EntryIx> + '_ {
        self.groups
            .get(&self.entry(entry).group)
            .into_iter()
            .flatten()
            .copied()
            .filter(move |other| *other != entry)
    }
}

/// Lists the gateways whose bus a list of talk groups names, each once.
pub(super) fn gateways_of(groups: impl Iterator<Item = TalkGroupRef>) -> Vec<GatewayId> {
    let set: BTreeSet<GatewayId> = groups.map(|g| g.gateway).collect();
    set.into_iter().collect()
}

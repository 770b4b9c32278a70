//! Who hears whom, derived from how every radio is programmed and every gateway switched.
//!
//! [`Hearing::derive`] evaluates one scenario in one phase. [`Hearing::arrival`] answers for a pair,
//! [`Hearing::path`] explains it, [`why_not::why_not`] says why a pair is not heard and which fewest
//! changes would join it, [`Hearing::loops`] lists the loops.
//!
//! Terms. A *signal* is what is on the air: frequency or group, modulation, code, key. A *tuner* is
//! what a receiver listens for. An *emission* is a signal together with the talk group, if any,
//! whose donors send it. An *entry* is a port by which audio gets onto its talk group. A *habit* is
//! all that a party sends and hears: parties with the same habit are evaluated once.
//!
//! Contention is not silence: whether a trunked system has enough free talk paths for everything a
//! message keys at once depends on order and luck, so it is a finding and not a missing pair. Only a
//! system with no talk path at all carries nothing.

mod build;
mod explain;
mod flows;
mod habits;
mod kept;
pub mod loops;
mod network;
mod opened;
pub mod path;
mod radios;
mod reach;
mod reached;
pub mod rules;
mod sets;
pub mod together;
pub mod ways;
pub mod why_not;

use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

use crate::model::{
    ChannelId, KeyRef, Party, PhaseId, PortRef, RadioId, Scenario, SystemId, TalkGroupRef, UnitId,
};

pub use flows::{Carried, DonorLoad, Flows};
pub use loops::{Loop, OwnEcho};
pub use opened::Opening;
pub use path::{Arrival, Path, Secrecy, Step, StepKind};
pub use together::{Left, Meeting, Place, Together};
pub use ways::{Hops, Item, Ways};
pub use why_not::{Change, WhyNot};

use build::{Before, Kept};
use explain::Explainer;
use network::{Hearer, Network, Output};
use reach::{Cost, Node, Room, Walker};
use reached::Reach;
use rules::Spot;

/// Who hears whom in one phase.
#[derive(Debug, Clone, Default)]
pub struct Hearing {
    phase: Option<PhaseId>,
    net: Network,
    /// What the network was laid out of, for the edits to come.
    kept: Arc<Kept>,
    reach: Reach,
    loops: Vec<Loop>,
    rooms: Rooms,
}

/// Rooms for explaining, kept from one question to the next: making one takes longer than most walks.
#[derive(Debug, Default)]
struct Rooms(Mutex<Vec<Room>>);

impl Rooms {
    fn take(&self) -> Room {
        let kept = self.0.lock().ok().and_then(|mut rooms| rooms.pop());
        kept.unwrap_or_default()
    }

    fn put(&self, room: Room) {
        if let Ok(mut rooms) = self.0.lock() {
            rooms.push(room);
        }
    }
}

impl Clone for Rooms {
    fn clone(&self) -> Self {
        Self::default()
    }
}

/// What one port of a talk group sends while the group is keyed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Sending {
    /// The port.
    pub port: PortRef,
    /// Its donor.
    pub radio: RadioId,
    /// The channel selected on the donor.
    pub channel: ChannelId,
    /// The key it sends with, if any.
    pub key: Option<KeyRef>,
}

/// How far a talk group's sending gets.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spread {
    /// The talk groups it gets to, itself among them.
    pub groups: BTreeSet<TalkGroupRef>,
    /// How many groups of each trunked or satellite system it takes up at once.
    pub taken: BTreeMap<SystemId, usize>,
}

impl Hearing {
    /// Derives who hears whom in a phase; empty when there is no such phase.
    ///
    /// Complexity: one cheapest-way walk for each distinct thing that anybody sends, over the part of
    /// the network it reaches; the number of units with the same habit does not matter.
    pub fn derive(scenario: &Scenario, phase: PhaseId) -> Self {
        Self::derive_from(None, scenario, phase)
    }

    /// Derives who hears whom in a phase of another scenario, and keeps what is surely the same in both
    /// of what every radio sends and listens for.
    ///
    /// `before` is the scenario that this was derived of; in another phase nothing is kept.
    #[must_use]
    pub fn derive_after(&self, before: &Scenario, scenario: &Scenario, phase: PhaseId) -> Self {
        let was = self.phase.filter(|was| *was == phase);
        let known = was
            .and_then(|was| before.phases.get(was))
            .map(|phase| Before {
                scenario: before,
                phase,
                kept: &self.kept,
            });
        Self::derive_from(known, scenario, phase)
    }

    fn derive_from(before: Option<Before<'_>>, scenario: &Scenario, phase: PhaseId) -> Self {
        let Some(found) = scenario.phases.get(phase) else {
            return Self::default();
        };
        let (net, kept) = build::network(scenario, found, before);
        let reach = Reach::of(&net);
        let loops = loops::find(&net);
        Self {
            phase: Some(phase),
            net,
            kept: Arc::new(kept),
            reach,
            loops,
            rooms: Rooms::default(),
        }
    }

    /// Tells whether this, derived of one scenario, is also what would be derived of another; true only
    /// where that is sure.
    ///
    /// Complexity: linear in the things of the scenarios, and very quick where they are shared.
    pub fn still_holds(&self, before: &Scenario, after: &Scenario) -> bool {
        self.phase
            .is_some_and(|phase| kept::is_same_network(before, after, phase))
    }

    /// Lists everybody who can speak or listen, in the order of their ids.
    pub fn parties(&self) -> &[Party] {
        &self.net.parties
    }

    /// Returns what arrives at `to` when `from` speaks, or `None` when nothing does.
    pub fn arrival(&self, from: Party, to: Party) -> Option<Arrival> {
        if from == to {
            return None;
        }
        let (from, to) = (self.net.habit_of(from)?, self.net.habit_of(to)?);
        self.reach.cost(&self.net, from, to).map(Cost::arrival)
    }

    /// Lists everybody who hears `from`, with what arrives, in the order of their ids.
    pub fn hearers(&self, from: Party) -> Vec<(Party, Arrival)> {
        let Some(habit) = self.net.habit_of(from) else {
            return Vec::new();
        };
        let mut all: Vec<(Party, Arrival)> = self
            .reach
            .habits_hearing(&self.net, habit)
            .into_iter()
            .flat_map(|(heard, cost)| {
                self.net.habits[heard as usize]
                    .members
                    .iter()
                    .map(move |number| (self.net.parties[*number as usize], cost.arrival()))
            })
            .filter(|(party, _)| *party != from)
            .collect();
        all.sort_unstable();
        all
    }

    /// Tells whether anybody at all hears `from`.
    pub fn is_heard(&self, from: Party) -> bool {
        self.net
            .habit_of(from)
            .is_some_and(|h| self.reach.is_heard(h))
    }

    /// Tells whether `party` hears anybody at all.
    pub fn hears_anybody(&self, party: Party) -> bool {
        self.net
            .habit_of(party)
            .is_some_and(|h| self.reach.hears_anybody(h))
    }

    /// Lists the pairs that are heard one way only, as indices into [`Hearing::alike`]: the first
    /// is heard by the second, other than by scanning, and does not hear it.
    pub fn one_way_pairs(&self) -> Vec<(usize, usize)> {
        self.reach.one_way_pairs(&self.net)
    }

    /// Lists the pairs heard in clear although the message began encrypted, as indices into
    /// [`Hearing::alike`]: the first speaks, the second hears.
    ///
    /// Complexity: one walk for each group of parties alike; none where nobody encrypts.
    pub fn opened_pairs(&self) -> Vec<(usize, usize)> {
        if self.net.emissions.iter().all(|e| e.signal.key.is_none()) {
            return Vec::new();
        }
        let mut walker = Walker::new(&self.net, true);
        let mut pairs = Vec::new();
        for speaker in 0..self.net.habits.len() {
            walker.walk(self.net.sources(speaker as u32));
            let hearers = opened::opened(&self.net, &walker);
            pairs.extend(hearers.into_iter().map(|h| (speaker, h as usize)));
        }
        pairs
    }

    /// Lists groups of parties who send and hear alike; each list is sorted.
    pub fn alike(&self) -> Vec<Vec<Party>> {
        self.net
            .habits
            .iter()
            .map(|h| {
                h.members
                    .iter()
                    .map(|p| self.net.parties[*p as usize])
                    .collect()
            })
            .collect()
    }

    /// Returns the index into [`Hearing::alike`] of those who send and hear as a party does.
    pub fn alike_of(&self, party: Party) -> Option<usize> {
        self.net.habit_of(party).map(|habit| habit as usize)
    }

    /// Explains how `to` hears `from`; `None` when it does not.
    pub fn path(&self, scenario: &Scenario, from: Party, to: Party) -> Option<Path> {
        self.arrival(from, to)?;
        self.explain(scenario, from, &[to]).pop()
    }

    /// Explains a whole message: one path for everybody who hears it.
    pub fn message(&self, scenario: &Scenario, from: Party) -> Vec<Path> {
        let to: Vec<Party> = self
            .hearers(from)
            .into_iter()
            .map(|(party, _)| party)
            .collect();
        self.explain(scenario, from, &to)
    }

    /// Lists the loops.
    pub fn loops(&self) -> &[Loop] {
        &self.loops
    }

    /// Lists the donors that hear another donor of their own talk group off the air.
    pub fn own_echoes(&self) -> Vec<OwnEcho> {
        let mut all = Vec::new();
        for (group, members) in &self.net.groups {
            for sender in members {
                let Output::Donor {
                    emission: Some(emission),
                    ..
                } = self.net.entry(*sender).output
                else {
                    continue;
                };
                for hearer in self.net.heard_by_own(emission, *group, *sender) {
                    all.push(OwnEcho {
                        group: *group,
                        sender: self.net.entry(*sender).port,
                        hearer: self.net.entry(hearer).port,
                    });
                }
            }
        }
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Lists what the donors of a talk group send while it is keyed, by port.
    pub fn sendings(&self, group: TalkGroupRef) -> Vec<Sending> {
        let entries = self.net.groups.get(&group).into_iter().flatten();
        entries
            .filter_map(|ix| {
                let entry = self.net.entry(*ix);
                let Output::Donor {
                    radio,
                    emission: Some(emission),
                } = entry.output
                else {
                    return None;
                };
                let sent = self.net.emission(emission);
                Some(Sending {
                    port: entry.port,
                    radio,
                    channel: sent.channel,
                    key: sent.signal.key,
                })
            })
            .collect()
    }

    /// Lists the ports of a talk group that carry audio: switched, plugged, rightly cabled.
    pub fn live_ports(&self, group: TalkGroupRef) -> Vec<PortRef> {
        let entries = self.net.groups.get(&group).into_iter().flatten();
        entries.map(|ix| self.net.entry(*ix).port).collect()
    }

    /// Lists live ports that nothing comes in by and that nobody hears, ties without a far end too.
    ///
    /// Complexity: linear in the edges of the network.
    pub fn quiet_ports(&self) -> Vec<PortRef> {
        let mut hears = vec![false; self.net.entries.len()];
        for (hearer, _) in self.net.hearers.iter().flatten() {
            if let Hearer::Entry(entry) = hearer {
                hears[*entry as usize] = true;
            }
        }
        let is_heard = |emission| {
            let all = loops::with_repeats(&self.net, emission);
            all.iter()
                .any(|e| !self.net.hearers[*e as usize].is_empty())
        };
        let entries = self.net.entries.iter().zip(hears);
        entries
            .filter(|(entry, hears)| match entry.output {
                Output::Donor { emission, .. } => !hears && !emission.is_some_and(is_heard),
                Output::Tie { other, .. } => other.is_none(),
                Output::Person { .. } => false,
            })
            .map(|(entry, _)| entry.port)
            .collect()
    }

    /// Lists the ports whose donor takes in encrypted traffic and so decrypts it, by port.
    pub fn decrypting_ports(&self) -> BTreeSet<PortRef> {
        let emissions = self.net.emissions.iter().zip(&self.net.hearers);
        emissions
            .filter(|(emission, _)| emission.signal.key.is_some())
            .flat_map(|(_, hearers)| hearers)
            .filter_map(|(hearer, _)| match hearer {
                Hearer::Entry(entry) => Some(self.net.entry(*entry).port),
                Hearer::Habit(_) => None,
            })
            .collect()
    }

    /// Returns how many groups of each grouped system a message takes up at once.
    pub fn talk_paths_taken(&self, from: Party) -> BTreeMap<SystemId, usize> {
        let mut taken = BTreeMap::new();
        let Some(habit) = self.net.habit_of(from) else {
            return taken;
        };
        let mut walker = Walker::new(&self.net, false);
        walker.walk(self.net.sources(habit));
        let mut spots: Vec<Spot> = walker
            .touched()
            .iter()
            .filter_map(|node| match node {
                Node::Air(ix) => Some(self.net.emission(*ix).signal.spot),
                Node::In(_) | Node::Ear(_) => None,
            })
            .collect();
        spots.sort_unstable();
        spots.dedup();
        for spot in spots {
            if let Spot::Group { system, .. } = spot {
                *taken.entry(system).or_default() += 1;
            }
        }
        taken
    }

    /// Follows what a talk group sends: the talk groups it gets to, and how many groups of each
    /// grouped system it takes up at once.
    ///
    /// Complexity: linear in the part of the network that is reached.
    pub fn spread(&self, group: TalkGroupRef) -> Spread {
        let mut spread = Spread::default();
        let mut spots: BTreeSet<Spot> = BTreeSet::new();
        let mut waiting = vec![group];
        while let Some(here) = waiting.pop() {
            if !spread.groups.insert(here) {
                continue;
            }
            for ix in self.net.groups.get(&here).into_iter().flatten() {
                match self.net.entry(*ix).output {
                    Output::Donor {
                        emission: Some(emission),
                        ..
                    } => {
                        for emission in loops::with_repeats(&self.net, emission) {
                            spots.insert(self.net.emission(emission).signal.spot);
                            let hearers = &self.net.hearers[emission as usize];
                            waiting.extend(hearers.iter().filter_map(|(h, _)| match h {
                                Hearer::Entry(entry) => Some(self.net.entry(*entry).group),
                                Hearer::Habit(_) => None,
                            }));
                        }
                    }
                    Output::Tie {
                        other: Some(other), ..
                    } => waiting.push(self.net.entry(other).group),
                    Output::Donor { .. } | Output::Tie { .. } | Output::Person { .. } => {}
                }
            }
        }
        for spot in spots {
            if let Spot::Group { system, .. } = spot {
                *spread.taken.entry(system).or_default() += 1;
            }
        }
        spread
    }

    /// Lists the parties who hear a donor's own transmission without a gateway between.
    pub fn hear_donor(&self, port: PortRef) -> Vec<Party> {
        let entries = &self.net.entries;
        let place = entries.binary_search_by_key(&port, |e| e.port).ok();
        let Some(Output::Donor {
            emission: Some(emission),
            ..
        }) = place.map(|ix| entries[ix].output)
        else {
            return Vec::new();
        };
        let mut all: Vec<Party> = loops::with_repeats(&self.net, emission)
            .into_iter()
            .flat_map(|e| &self.net.hearers[e as usize])
            .filter_map(|(hearer, _)| match hearer {
                Hearer::Habit(habit) => Some(*habit),
                Hearer::Entry(_) => None,
            })
            .flat_map(|habit| &self.net.habits[habit as usize].members)
            .map(|p| self.net.parties[*p as usize])
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// Lists the radios a unit speaks at in this phase, its donors left out.
    pub fn carried(&self, unit: UnitId) -> &[RadioId] {
        self.net.carried.get(&unit).map_or(&[], Vec::as_slice)
    }

    fn explain(&self, scenario: &Scenario, from: Party, to: &[Party]) -> Vec<Path> {
        let (Some(phase), Some(habit)) = (
            self.phase.and_then(|p| scenario.phases.get(p)),
            self.net.habit_of(from),
        ) else {
            return Vec::new();
        };
        let mut walker = Walker::within(&self.net, true, self.rooms.take());
        walker.walk(self.net.sources(habit));
        let explainer = Explainer {
            scenario,
            phase,
            net: &self.net,
            walker: &walker,
            from,
            clear_listeners: OnceCell::new(),
        };
        let paths = to.iter().filter_map(|to| explainer.path(*to)).collect();
        drop(explainer);
        self.rooms.put(walker.leave());
        paths
    }
}

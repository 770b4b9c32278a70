//! How busy the nets are: load and waiting of every channel, talk group and trunked system, and what
//! joining them does to it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::engineering::traffic::erlang_c::{self, Waiting};
use crate::engineering::traffic::finite_source::{self, FiniteSource};
use crate::engineering::traffic::offered;
use crate::hearing::{Carried, DonorLoad, Hearing};
use crate::model::{
    AgencyId, ChannelId, Party, PortRef, Scenario, SystemId, TalkGroupRef, Unit, UnitId,
};

/// Loads of one phase.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Traffic {
    /// By channel in use.
    pub channels: BTreeMap<ChannelId, Net>,
    /// By talk group with audio on it.
    pub groups: BTreeMap<TalkGroupRef, Net>,
    /// By trunked or satellite system.
    pub systems: BTreeMap<SystemId, SystemLoad>,
    /// By the port of each donor.
    pub donors: BTreeMap<PortRef, DonorLoad>,
}

/// One net: a channel or a talk group, on which one message is carried at a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Net {
    /// Load of those who speak on it themselves, in erlangs.
    pub own_erl: f64,
    /// Load with everything joined to it, in erlangs.
    pub all_erl: f64,
    /// Units whose people speak on it themselves; shared among nets that have the same.
    pub own_units: Arc<BTreeSet<UnitId>>,
    /// Units whose speech is carried on it; shared as well, as by all that is joined.
    pub units: Arc<BTreeSet<UnitId>>,
    /// People whose speech is carried on it.
    pub people: u32,
    /// Agencies whose speech is carried on it.
    pub agencies: Arc<BTreeSet<AgencyId>>,
    /// Agencies whose people speak on it themselves.
    pub own_agencies: Arc<BTreeSet<AgencyId>>,
    /// How many of the units whose speech is carried ever say anything.
    pub speaking: usize,
    /// Mean length of a message on it, in seconds.
    pub message_s: f64,
    /// Mean length of a message of those who speak on it themselves, in seconds.
    pub own_message_s: f64,
    /// Probability that a message waits longer than the practice puts up with.
    pub waits_long: f64,
    /// Waiting before anything was joined.
    pub before: Waiting,
    /// Waiting now.
    pub now: Waiting,
    /// Waiting when the people are counted as the few they are; `None` when nobody speaks.
    pub few: Option<FiniteSource>,
}

/// A system that shares talk paths among groups.
#[derive(Debug, Clone, PartialEq)]
pub struct SystemLoad {
    /// Talk paths it has.
    pub talk_paths: u32,
    /// Load of the units that speak on its groups, in erlangs.
    pub own_erl: f64,
    /// Load with everything that gateways bring to its groups, in erlangs.
    pub all_erl: f64,
    /// Mean length of a message with the system's hang time, in seconds.
    pub hold_s: f64,
    /// Waiting without any patch.
    pub before: Waiting,
    /// Waiting now.
    pub now: Waiting,
}

/// Returns what a unit offers, in erlangs.
pub fn offered_erl(unit: &Unit, overhead_s: f64) -> f64 {
    let calls = f64::from(unit.heads) * unit.messages_per_hour;
    // Ranges of the model are wider than those of the formula only where the load is absurd.
    offered::offered_erl(calls, unit.seconds_per_message + overhead_s).unwrap_or(f64::MAX)
}

/// Adds everything up.
pub(super) fn of(scenario: &Scenario, hearing: &Hearing) -> Traffic {
    let overhead_s = scenario.practice.overhead_s;
    let flows = hearing.flows(|party| match party {
        Party::Unit(id) => scenario
            .units
            .get(id)
            .map_or(0.0, |unit| offered_erl(unit, overhead_s)),
        Party::Telephone(_) | Party::Headset(_) => 0.0,
    });
    let mut crowds = Crowds::of(scenario, hearing);
    let mut net = |carried: &Carried| net(scenario, &mut crowds, carried);
    let channels: BTreeMap<_, _> = flows.channels.iter().map(|(id, c)| (*id, net(c))).collect();
    let groups = flows.groups.iter().map(|(id, c)| (*id, net(c))).collect();
    let systems = systems(scenario, &channels);
    Traffic {
        channels,
        groups,
        systems,
        donors: flows.donors,
    }
}

fn net(scenario: &Scenario, crowds: &mut Crowds<'_>, carried: &Carried) -> Net {
    let all = crowds.crowd(&carried.all);
    let own = crowds.crowd(&carried.own);
    Net {
        own_erl: carried.own_erl,
        all_erl: carried.all_erl,
        own_units: own.units,
        units: all.units,
        people: all.people,
        agencies: all.agencies,
        own_agencies: own.agencies,
        speaking: all.speaking,
        message_s: all.message_s,
        own_message_s: own.message_s,
        waits_long: waits_longer(
            carried.all_erl,
            all.message_s,
            scenario.practice.wait_most_s,
        ),
        before: waiting(carried.own_erl, 1, own.message_s),
        now: waiting(carried.all_erl, 1, all.message_s),
        few: crowds.few(all.people, carried.all_erl, all.message_s),
    }
}

/// Units that speak on some net, with what follows from who they are.
#[derive(Clone)]
struct Crowd {
    units: Arc<BTreeSet<UnitId>>,
    people: u32,
    speaking: usize,
    agencies: Arc<BTreeSet<AgencyId>>,
    message_s: f64,
}

/// The crowds of all nets, each looked into once: everything that is joined carries the same.
struct Crowds<'a> {
    overhead_s: f64,
    /// The units of each group of parties.
    alike: Vec<Vec<&'a Unit>>,
    /// By the groups of parties that speak.
    known: BTreeMap<Vec<usize>, Crowd>,
    /// How few people wait for each other, by how many they are and the bits of load and length.
    few: BTreeMap<(u32, u64, u64), Option<FiniteSource>>,
}

impl<'a> Crowds<'a> {
    fn of(scenario: &'a Scenario, hearing: &Hearing) -> Self {
        let alike = hearing.alike().into_iter().map(|parties| {
            let units = parties.into_iter().filter_map(|party| match party {
                Party::Unit(id) => scenario.units.get(id),
                Party::Telephone(_) | Party::Headset(_) => None,
            });
            units.collect()
        });
        Self {
            overhead_s: scenario.practice.overhead_s,
            alike: alike.collect(),
            known: BTreeMap::new(),
            few: BTreeMap::new(),
        }
    }

    fn few(&mut self, people: u32, load_erl: f64, message_s: f64) -> Option<FiniteSource> {
        let key = (people, load_erl.to_bits(), message_s.to_bits());
        let known = self.few.entry(key);
        *known.or_insert_with(|| few(people, load_erl, message_s))
    }

    fn crowd(&mut self, habits: &[usize]) -> Crowd {
        if let Some(crowd) = self.known.get(habits) {
            return crowd.clone();
        }
        let units = habits.iter().filter_map(|h| self.alike.get(*h)).flatten();
        let mut units: Vec<&Unit> = units.copied().collect();
        units.sort_unstable_by_key(|unit| unit.id);
        let people = units.iter().map(|u| u.heads).fold(0, u32::saturating_add);
        let speaking = units.iter().filter(|u| u.messages_per_hour > 0.0);
        let crowd = Crowd {
            people,
            speaking: speaking.count(),
            agencies: Arc::new(units.iter().filter_map(|u| u.agency).collect()),
            message_s: mean_message_s(units.iter().copied(), self.overhead_s),
            units: Arc::new(units.iter().map(|unit| unit.id).collect()),
        };
        self.known.insert(habits.to_vec(), crowd.clone());
        crowd
    }
}

/// Returns the mean length of a message with its overhead, weighted by how often each unit speaks.
fn mean_message_s<'a>(units: impl Iterator<Item = &'a Unit>, overhead_s: f64) -> f64 {
    let (mut seconds, mut messages) = (0.0, 0.0);
    for unit in units {
        let often = f64::from(unit.heads) * unit.messages_per_hour;
        seconds += often * (unit.seconds_per_message + overhead_s);
        messages += often;
    }
    if messages > 0.0 {
        seconds / messages
    } else {
        0.0
    }
}

/// Returns the waiting of many callers; nobody waits where nobody speaks.
fn waiting(load_erl: f64, servers: u32, hold_s: f64) -> Waiting {
    let hold_s = hold_s.max(erlang_c::HOLD.low);
    erlang_c::wait(load_erl, servers, hold_s).unwrap_or(Waiting::GrowsWithoutEnd)
}

/// Returns the probability that a message waits longer than a time; certain where the queue grows.
fn waits_longer(load_erl: f64, hold_s: f64, t_s: f64) -> f64 {
    let hold_s = hold_s.max(erlang_c::HOLD.low);
    erlang_c::wait_longer_than(load_erl, 1, hold_s, t_s).unwrap_or(1.0)
}

/// Returns the waiting of few people who each offer the same.
fn few(people: u32, load_erl: f64, message_s: f64) -> Option<FiniteSource> {
    if people == 0 || message_s <= 0.0 || load_erl <= 0.0 {
        return None;
    }
    // Each person speaks for `message_s` and is quiet for the rest of its cycle.
    let each = load_erl / f64::from(people);
    let quiet_s = message_s * (1.0 / each - 1.0);
    finite_source::finite_source(people, quiet_s.max(finite_source::THINK.low), message_s).ok()
}

fn systems(
    scenario: &Scenario,
    channels: &BTreeMap<ChannelId, Net>,
) -> BTreeMap<SystemId, SystemLoad> {
    /// Erlangs, and messages per second.
    #[derive(Default, Clone, Copy)]
    struct Offered {
        speech_erl: f64,
        per_s: f64,
    }
    impl Offered {
        fn add(&mut self, erl: f64, message_s: f64) {
            self.speech_erl += erl;
            if message_s > 0.0 {
                self.per_s += erl / message_s;
            }
        }

        /// The load with hang time, which is holding time on a system that keeps the talk path for
        /// the answer, and the mean holding time.
        fn with_hang(self, hang_s: f64) -> (f64, f64) {
            let load = self.speech_erl + self.per_s * hang_s;
            let hold_s = if self.per_s > 0.0 {
                load / self.per_s
            } else {
                hang_s
            };
            (load, hold_s)
        }
    }
    let mut sums: BTreeMap<SystemId, (Offered, Offered)> = BTreeMap::new();
    for (id, net) in channels {
        let Some(channel) = scenario.channels.get(*id) else {
            continue;
        };
        let (own, all) = sums.entry(channel.system).or_default();
        own.add(net.own_erl, net.own_message_s);
        all.add(net.all_erl, net.message_s);
    }
    let grouped = sums.into_iter().filter_map(|(id, (own, all))| {
        let system = scenario.systems.get(id).filter(|s| s.kind.is_grouped())?;
        let hang_s = f64::from(system.hang_ms) / 1000.0;
        let (own_erl, own_hold_s) = own.with_hang(hang_s);
        let (all_erl, hold_s) = all.with_hang(hang_s);
        let load = SystemLoad {
            talk_paths: system.talk_paths,
            own_erl,
            all_erl,
            hold_s,
            before: waiting(own_erl, system.talk_paths, own_hold_s),
            now: waiting(all_erl, system.talk_paths, hold_s),
        };
        Some((id, load))
    });
    grouped.collect()
}

//! Two messages at once: where they meet, and what is left of each in every ear.
//!
//! One party speaks first, the other begins while it speaks. The rules, beside those of one message:
//!
//! - *Half duplex.* A radio that transmits does not hear. Whoever speaks on a radio hears nobody by
//!   radio; a donor that sends the first message does not take in the second. Telephones and headsets
//!   are full duplex.
//! - *First come.* A donor goes on with what it began: one that takes in the first message is not keyed
//!   with the second (common practice, no source).
//! - *One frequency.* Two signals on one frequency garble each other: a receiver there makes out
//!   neither, or only the stronger. Which is stronger depends on where people stand, so capture is not
//!   worked out (common practice, no source). What a repeater or donor makes of a garbled signal is
//!   garbled too.
//! - *Trunked groups.* A group, or a system without a free talk path, gives the second speaker a busy.
//! - *One talk group.* What enters one talk group by two ports is mixed and leaves as one signal.
//! - *Scanning.* A radio that scans stays on what it took first (common practice, no source).

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::model::{ChannelId, Party, PortRef, Scenario, SystemId, TalkGroupRef};

use super::Hearing;
use super::network::{EmissionIx, EntryIx, HabitIx, Hearer, Network, Output};
use super::reach::Source;
use super::rules::Spot;

/// What comes of two messages at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Together {
    /// Who spoke first.
    pub first: Party,
    /// Who began while the first spoke.
    pub second: Party,
    /// What is left for everybody, the two speakers among them.
    pub ears: BTreeMap<Party, Left>,
    /// Where the two meet, sorted.
    pub meetings: Vec<Meeting>,
}

/// What is left of two messages in an ear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Left {
    /// Both, one over the other.
    Both,
    /// The first, clearly.
    First,
    /// The second, clearly.
    Second,
    /// Neither, or only the stronger.
    Garbled,
    /// Nothing of either.
    Nothing,
}

/// One place where two messages meet.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Meeting {
    /// Where.
    pub place: Place,
    /// Who hears only garble there; empty where nothing is garbled.
    pub garbled: Vec<Party>,
}

/// Where two messages meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Place {
    /// On one frequency: both signals are garbled.
    Channel {
        /// The channel as the first speaker's side has it.
        channel: ChannelId,
        /// The repeater that takes in both.
        repeater: Option<SystemId>,
    },
    /// A trunked group or system that is taken: the second gets a busy.
    Busy(ChannelId),
    /// A donor that sends the first and so does not hear the second.
    Deaf(PortRef),
    /// A donor that takes in the first and so is not keyed with the second.
    Held(PortRef),
    /// A talk group on which both are mixed.
    TalkGroup(TalkGroupRef),
}

impl Hearing {
    /// Works out what comes of `second` speaking while `first` speaks; `None` when they are the same
    /// party or one of them is not there.
    ///
    /// Complexity: linear in the part of the network the two messages reach, and in the parties.
    pub fn together(&self, scenario: &Scenario, first: Party, second: Party) -> Option<Together> {
        let net = &self.net;
        let (one, two) = (net.habit_of(first)?, net.habit_of(second)?);
        if first == second {
            return None;
        }
        let a = Spoken::alone(net, one);
        let b = Spoken::over(net, scenario, two, &a);
        let air = Air { a: &a, b: &b, net };
        let (clean_a, clean_b) = (a.clean(net, &air), b.clean(net, &air));
        let mut ears = BTreeMap::new();
        for (party, habit) in net.parties.iter().zip(&net.habit_of) {
            let listener = Listener {
                net,
                habit: *habit,
                speaks: *party == first || *party == second,
            };
            let gets = |speaker: Party, spoken: &Spoken, clean: &Spoken| {
                if *party == speaker {
                    Got::No
                } else {
                    listener.gets(spoken, clean)
                }
            };
            let heard = [gets(first, &a, &clean_a), gets(second, &b, &clean_b)];
            ears.insert(*party, left(heard));
        }
        let meetings = meetings(net, scenario, &air, &ears);
        Some(Together {
            first,
            second,
            ears,
            meetings,
        })
    }
}

impl Together {
    /// Lists who is left with something.
    pub fn who(&self, left: Left) -> Vec<Party> {
        let who = self.ears.iter().filter(|(_, l)| **l == left);
        who.map(|(party, _)| *party).collect()
    }
}

/// Where a message gets to.
#[derive(Debug, Default)]
struct Spoken {
    sources: Vec<Source>,
    air: BTreeSet<EmissionIx>,
    /// Entries it came in by.
    inside: BTreeSet<EntryIx>,
    /// Entries it leaves by.
    leaves: BTreeSet<EntryIx>,
    limits: Limits,
    /// Where the limits stopped it.
    stopped: BTreeSet<Place>,
}

/// What a message finds taken by another.
#[derive(Debug, Clone, Default)]
struct Limits {
    /// Donors that send the other.
    deaf: BTreeSet<EntryIx>,
    /// Donors that take in the other.
    held: BTreeSet<EntryIx>,
    /// Emissions that get a busy.
    busy: BTreeSet<EmissionIx>,
}

impl Spoken {
    fn alone(net: &Network, habit: HabitIx) -> Self {
        let mut spoken = Self {
            sources: net.sources(habit).collect(),
            ..Self::default()
        };
        spoken.walk(net, |_| true);
        spoken
    }

    /// Walks a message that begins while another is carried.
    fn over(net: &Network, scenario: &Scenario, habit: HabitIx, other: &Self) -> Self {
        let is_donor = |entry: &EntryIx| matches!(net.entry(*entry).output, Output::Donor { .. });
        let mut spoken = Self {
            sources: net.sources(habit).collect(),
            limits: Limits {
                deaf: other.leaves.iter().copied().filter(is_donor).collect(),
                held: other.inside.iter().copied().filter(is_donor).collect(),
                busy: BTreeSet::new(),
            },
            ..Self::default()
        };
        // A talk path taken on the way may leave none for what is tried later: refuse and walk again.
        loop {
            spoken.walk(net, |_| true);
            let more = busy(net, scenario, other, &spoken);
            if more.is_subset(&spoken.limits.busy) {
                return spoken;
            }
            spoken.limits.busy.extend(more);
        }
    }

    /// Walks everywhere the message gets; from emissions that `goes_on` denies it goes nowhere.
    fn walk(&mut self, net: &Network, goes_on: impl Fn(EmissionIx) -> bool) {
        self.air.clear();
        self.inside.clear();
        self.leaves.clear();
        self.stopped.clear();
        let mut waiting: VecDeque<Source> = self.sources.iter().copied().collect();
        while let Some(next) = waiting.pop_front() {
            match next {
                Source::Radio(emission) => {
                    if self.limits.busy.contains(&emission) {
                        let channel = net.emission(emission).channel;
                        self.stopped.insert(Place::Busy(channel));
                    } else if self.air.insert(emission) && goes_on(emission) {
                        self.spread(net, emission, &mut waiting);
                    }
                }
                Source::Person(entry) => {
                    if self.inside.insert(entry) {
                        self.leave(net, entry, &mut waiting);
                    }
                }
            }
        }
    }

    fn spread(&mut self, net: &Network, emission: EmissionIx, waiting: &mut VecDeque<Source>) {
        let repeated = net.repeated.get(emission as usize).into_iter().flatten();
        waiting.extend(repeated.map(|e| Source::Radio(*e)));
        for (hearer, _) in net.hearers.get(emission as usize).into_iter().flatten() {
            let Hearer::Entry(entry) = *hearer else {
                continue;
            };
            if self.limits.deaf.contains(&entry) {
                self.stopped.insert(Place::Deaf(net.entry(entry).port));
            } else {
                waiting.push_back(Source::Person(entry));
            }
        }
    }

    fn leave(&mut self, net: &Network, entry: EntryIx, waiting: &mut VecDeque<Source>) {
        for out in net.outputs(entry) {
            if self.limits.held.contains(&out) {
                self.stopped.insert(Place::Held(net.entry(out).port));
                continue;
            }
            self.leaves.insert(out);
            match net.entry(out).output {
                Output::Donor {
                    emission: Some(emission),
                    ..
                } => waiting.push_back(Source::Radio(emission)),
                Output::Tie {
                    other: Some(other), ..
                } => waiting.push_back(Source::Person(other)),
                Output::Donor { emission: None, .. }
                | Output::Tie { other: None, .. }
                | Output::Person { .. } => {}
            }
        }
    }

    /// Returns where the message gets to without being garbled on the way.
    fn clean(&self, net: &Network, air: &Air<'_>) -> Self {
        let mut clean = Self {
            sources: self.sources.clone(),
            limits: self.limits.clone(),
            ..Self::default()
        };
        clean.walk(net, |emission| !air.is_garbled(emission));
        clean.air.retain(|emission| !air.is_garbled(*emission));
        clean
    }
}

/// Lists the emissions of the second message that get a busy.
fn busy(
    net: &Network,
    scenario: &Scenario,
    first: &Spoken,
    second: &Spoken,
) -> BTreeSet<EmissionIx> {
    let mut taken: BTreeMap<SystemId, BTreeSet<Spot>> = BTreeMap::new();
    for emission in &first.air {
        let spot = net.emission(*emission).signal.spot;
        if let Spot::Group { system, .. } = spot {
            taken.entry(system).or_default().insert(spot);
        }
    }
    let mut refused = BTreeSet::new();
    for emission in &second.air {
        let sent = net.emission(*emission);
        let Spot::Group { system, .. } = sent.signal.spot else {
            continue;
        };
        // A donor that is up already sends both, mixed on its talk group.
        if first.air.contains(emission) && sent.origin.is_some() {
            continue;
        }
        let paths = scenario.systems.get(system).map_or(0, |s| s.talk_paths);
        let here = taken.entry(system).or_default();
        let is_free = here.len() < usize::try_from(paths).unwrap_or(usize::MAX);
        if (here.contains(&sent.signal.spot) && first.holds(net, sent.signal.spot)) || !is_free {
            refused.insert(*emission);
        } else {
            here.insert(sent.signal.spot);
        }
    }
    refused
}

impl Spoken {
    fn holds(&self, net: &Network, spot: Spot) -> bool {
        self.air
            .iter()
            .any(|e| net.emission(*e).signal.spot == spot)
    }
}

/// Both messages on the air.
struct Air<'a> {
    net: &'a Network,
    a: &'a Spoken,
    b: &'a Spoken,
}

impl Air<'_> {
    /// Tells whether two signals that are not one donor's mix are on the frequency of an emission.
    fn is_garbled(&self, emission: EmissionIx) -> bool {
        let spot = self.net.emission(emission).signal.spot;
        if matches!(spot, Spot::Group { .. }) {
            return false;
        }
        let there = |spoken: &Spoken| -> Vec<EmissionIx> {
            let there = spoken.air.iter().copied();
            there
                .filter(|e| self.net.emission(*e).signal.spot == spot)
                .collect()
        };
        let (a, b) = (there(self.a), there(self.b));
        a.iter().any(|one| {
            let is_mix = |two: &EmissionIx| one == two && self.net.emission(*one).origin.is_some();
            b.iter().any(|two| !is_mix(two))
        })
    }
}

/// How a message gets to an ear.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Got {
    No,
    Garbled,
    ByScan,
    Yes,
}

struct Listener<'a> {
    net: &'a Network,
    habit: HabitIx,
    /// Speaks itself, and so is deaf on its radios.
    speaks: bool,
}

impl Listener<'_> {
    fn gets(&self, spoken: &Spoken, clean: &Spoken) -> Got {
        if self.is_called(&clean.leaves) {
            return Got::Yes;
        }
        let called = self.is_called(&spoken.leaves);
        let Some(habit) = self.net.habits.get(self.habit as usize) else {
            return Got::No;
        };
        let is_deaf = self.speaks && !habit.emissions.is_empty();
        let hears = |air: &BTreeSet<EmissionIx>, scan: bool| {
            let heard = |(e, by_scan): &(EmissionIx, bool)| air.contains(e) && (scan || !by_scan);
            !is_deaf && habit.hears.iter().any(heard)
        };
        if hears(&clean.air, false) {
            Got::Yes
        } else if hears(&clean.air, true) {
            Got::ByScan
        } else if called || hears(&spoken.air, true) {
            Got::Garbled
        } else {
            Got::No
        }
    }

    /// Tells whether a message leaves by a telephone or headset of theirs.
    fn is_called(&self, leaves: &BTreeSet<EntryIx>) -> bool {
        leaves.iter().any(|entry| {
            matches!(self.net.entry(*entry).output, Output::Person { habit, .. } if habit == self.habit)
        })
    }
}

fn left(heard: [Got; 2]) -> Left {
    match heard {
        [Got::Yes, Got::Yes] => Left::Both,
        [Got::Yes | Got::ByScan, _] => Left::First,
        [_, Got::Yes | Got::ByScan] => Left::Second,
        [Got::No, Got::No] => Left::Nothing,
        [Got::Garbled | Got::No, Got::Garbled | Got::No] => Left::Garbled,
    }
}

fn meetings(
    net: &Network,
    scenario: &Scenario,
    air: &Air<'_>,
    ears: &BTreeMap<Party, Left>,
) -> Vec<Meeting> {
    let mut garbled: BTreeMap<ChannelId, (Option<SystemId>, BTreeSet<Party>)> = BTreeMap::new();
    for emission in air.a.air.iter().filter(|e| air.is_garbled(**e)) {
        let sent = net.emission(*emission);
        let (repeater, parties) = garbled.entry(sent.channel).or_default();
        if net
            .repeated
            .get(*emission as usize)
            .is_some_and(|r| !r.is_empty())
        {
            *repeater = scenario.channels.get(sent.channel).map(|c| c.system);
        }
        for (hearer, _) in net.hearers.get(*emission as usize).into_iter().flatten() {
            let Hearer::Habit(habit) = hearer else {
                continue;
            };
            let members = net.habits.get(*habit as usize).map(|h| &h.members);
            let people = members.into_iter().flatten();
            let people = people.filter_map(|p| net.parties.get(*p as usize).copied());
            parties.extend(people.filter(|p| ears.get(p) == Some(&Left::Garbled)));
        }
    }
    let mut all: Vec<Meeting> = garbled
        .into_iter()
        .map(|(channel, (repeater, parties))| Meeting {
            place: Place::Channel { channel, repeater },
            garbled: parties.into_iter().collect(),
        })
        .collect();
    let groups = |spoken: &Spoken| -> BTreeSet<TalkGroupRef> {
        spoken.inside.iter().map(|e| net.entry(*e).group).collect()
    };
    let mixed = groups(air.a)
        .intersection(&groups(air.b))
        .copied()
        .collect::<Vec<_>>();
    let quiet = mixed
        .into_iter()
        .map(Place::TalkGroup)
        .chain(air.b.stopped.iter().copied());
    all.extend(quiet.map(|place| Meeting {
        place,
        garbled: Vec::new(),
    }));
    all.sort_unstable();
    all
}

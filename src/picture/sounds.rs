//! How everybody sounds to everybody, one word a pair, read off hearing, the needs and the practice.
//!
//! The word is the worst of all that is true of the pair, by the rules the checks go by: silence is that
//! of hearing, *in clear* that of a need that must stay encrypted or of a message that begins encrypted
//! and leaves in clear, *late* that of the need's own limit or else of ITU-T G.114, *one-way* that of
//! [`one_way_pairs`]. Must not know of colours or windows.

use std::collections::{BTreeMap, BTreeSet};

use crate::hearing::{Arrival, Hearing};
use crate::model::{Need, NeedId, Party, Scenario, Way};

use super::Picture;
pub use super::pair::{Asked, Facts, Sound};

/// Groups of parties alike up to which every pair is worked out at once; beyond, each when asked for.
pub const MOST_GROUPS: usize = 2_000;

/// A pair of which some need asks that it is heard, or that it is not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// The needs that ask for it to be heard.
    pub needs: Vec<NeedId>,
    /// The needs that keep the two apart.
    pub apart: Vec<NeedId>,
    /// The strictest of what they ask.
    pub asked: Asked,
    /// It is as all of them ask: heard, and encrypted where one asks for that, or not heard.
    pub met: bool,
}

/// How everybody sounds to everybody.
///
/// Parties are named by their place in [`Hearing::parties`].
#[derive(Debug, Clone, Default)]
pub struct Sounds {
    group_of: Vec<u32>,
    groups: Vec<Vec<Party>>,
    one_way: BTreeSet<(u32, u32)>,
    opened: BTreeSet<(u32, u32)>,
    /// A row for each group that speaks; empty when there are too many.
    table: Vec<Sound>,
    wanted: BTreeMap<(usize, usize), Wanted>,
}

impl Sounds {
    /// Works out every pair, or what each needs when there are very many.
    ///
    /// Complexity: linear in the pairs of groups alike that are heard, and in the pairs of needs.
    pub(super) fn of(picture: &Picture) -> Self {
        let hearing = picture.hearing();
        let groups = hearing.alike();
        let mut group_of = vec![0; hearing.parties().len()];
        for (number, group) in groups.iter().enumerate() {
            for party in group {
                if let Some(slot) = place(hearing, *party).and_then(|p| group_of.get_mut(p)) {
                    *slot = number as u32;
                }
            }
        }
        let small = |pairs: Vec<(usize, usize)>| -> BTreeSet<(u32, u32)> {
            let pairs = pairs.into_iter();
            pairs.map(|(a, b)| (a as u32, b as u32)).collect()
        };
        let mut sounds = Self {
            group_of,
            one_way: small(one_way_pairs(picture)),
            opened: small(hearing.opened_pairs()),
            groups,
            table: Vec::new(),
            wanted: BTreeMap::new(),
        };
        if sounds.groups.len() <= MOST_GROUPS {
            sounds.fill(hearing);
        }
        sounds.wanted = sounds.wanted_by(picture.scenario(), hearing);
        sounds
    }

    fn fill(&mut self, hearing: &Hearing) {
        let count = self.groups.len();
        let mut table = vec![Sound::Silent; count * count];
        for (from, group) in self.groups.iter().enumerate() {
            let Some(speaker) = group.first() else {
                continue;
            };
            for (hearer, arrival) in hearing.hearers(*speaker) {
                let to = place(hearing, hearer).and_then(|p| self.group_of.get(p));
                let Some(to) = to else { continue };
                let facts = self.facts_of((from as u32, *to), Some(arrival));
                if let Some(cell) = table.get_mut(from * count + *to as usize) {
                    *cell = facts.sound(Asked::default());
                }
            }
        }
        self.table = table;
    }

    fn wanted_by(
        &self,
        scenario: &Scenario,
        hearing: &Hearing,
    ) -> BTreeMap<(usize, usize), Wanted> {
        let mut wanted: BTreeMap<(usize, usize), Wanted> = BTreeMap::new();
        for need in scenario.needs.iter() {
            let asked = Asked::by(need);
            for (from, to) in need.pairs_to_hear() {
                let (Some(from), Some(to)) = (place(hearing, from), place(hearing, to)) else {
                    continue;
                };
                let arrival = self.facts(hearing, from, to).arrival;
                let met = arrival.is_some_and(|a| a.encrypted || !asked.encrypted);
                wanted
                    .entry((from, to))
                    .and_modify(|known| {
                        known.needs.push(need.id);
                        known.asked = known.asked.and(asked);
                        known.met &= met;
                    })
                    .or_insert_with(|| Wanted {
                        needs: vec![need.id],
                        apart: Vec::new(),
                        asked,
                        met,
                    });
            }
            for (from, to) in need.pairs_apart() {
                let (Some(from), Some(to)) = (place(hearing, from), place(hearing, to)) else {
                    continue;
                };
                let met = self.facts(hearing, from, to).arrival.is_none();
                let entry = wanted.entry((from, to)).or_insert_with(|| Wanted {
                    needs: Vec::new(),
                    apart: Vec::new(),
                    asked: Asked::default(),
                    met,
                });
                entry.apart.push(need.id);
                entry.met &= met;
            }
        }
        wanted
    }

    /// Returns how one sounds to another; `None` for a party and itself.
    pub fn at(&self, hearing: &Hearing, from: usize, to: usize) -> Option<Sound> {
        if from == to {
            return None;
        }
        let asked = self.wanted(from, to).map(|w| w.asked);
        let (a, b) = (*self.group_of.get(from)?, *self.group_of.get(to)?);
        let cell = a as usize * self.groups.len() + b as usize;
        match (asked, self.table.get(cell)) {
            (None, Some(known)) => Some(*known),
            _ => Some(
                self.facts(hearing, from, to)
                    .sound(asked.unwrap_or_default()),
            ),
        }
    }

    /// Returns all that is true of a pair.
    pub fn facts(&self, hearing: &Hearing, from: usize, to: usize) -> Facts {
        let party = |place: usize| hearing.parties().get(place).copied();
        let arrival = match (party(from), party(to)) {
            (Some(from), Some(to)) => hearing.arrival(from, to),
            _ => None,
        };
        let group = |place: usize| self.group_of.get(place).copied().unwrap_or(u32::MAX);
        self.facts_of((group(from), group(to)), arrival)
    }

    fn facts_of(&self, groups: (u32, u32), arrival: Option<Arrival>) -> Facts {
        Facts {
            arrival,
            one_way: self.one_way.contains(&groups),
            opened: self.opened.contains(&groups),
        }
    }

    /// Returns what needs ask of a pair, if any asks something.
    pub fn wanted(&self, from: usize, to: usize) -> Option<&Wanted> {
        self.wanted.get(&(from, to))
    }

    /// Lists the pairs of which needs ask something.
    pub fn all_wanted(&self) -> impl Iterator<Item = ((usize, usize), &Wanted)> {
        self.wanted.iter().map(|(pair, wanted)| (*pair, wanted))
    }

    /// Tells whether every pair was worked out at once, so that all can be counted.
    pub fn is_whole(&self) -> bool {
        !self.groups.is_empty() && self.table.len() == self.groups.len() * self.groups.len()
    }

    /// Counts the pairs of each word; `None` where there are too many to look at each.
    ///
    /// Complexity: linear in the pairs of groups alike and in the pairs of needs.
    pub fn tally(&self, hearing: &Hearing) -> Option<BTreeMap<Sound, usize>> {
        if !self.is_whole() {
            return None;
        }
        let mut tally: BTreeMap<Sound, usize> = Sound::ALL.iter().map(|s| (*s, 0)).collect();
        let count = self.groups.len();
        for (cell, sound) in self.table.iter().enumerate() {
            let size = |group: usize| self.groups.get(group).map_or(0, Vec::len);
            let (from, to) = (cell / count, cell % count);
            let itself = usize::from(from == to);
            *tally.entry(*sound).or_default() += size(from) * (size(to) - itself);
        }
        for (from, to) in self.wanted.keys() {
            let group = |place: &usize| self.group_of.get(*place).map_or(0, |g| *g as usize);
            let plain = self.table.get(group(from) * count + group(to));
            if let (Some(plain), Some(sound)) = (plain, self.at(hearing, *from, *to)) {
                *tally.entry(*plain).or_default() -= 1;
                *tally.entry(sound).or_default() += 1;
            }
        }
        Some(tally)
    }

    /// Counts the pairs from some parties to some that are heard, and all pairs between them.
    ///
    /// Complexity: linear in the pairs of groups alike that they belong to.
    pub fn heard_between(&self, hearing: &Hearing, from: &[usize], to: &[usize]) -> (usize, usize) {
        let itself: BTreeSet<&usize> = from.iter().collect();
        let itself = to.iter().filter(|party| itself.contains(party)).count();
        let (speakers, hearers) = (self.members_by_group(from), self.members_by_group(to));
        let mut heard = 0;
        for (a, those_a) in &speakers {
            for (b, those_b) in &hearers {
                let itself = those_a.intersection(those_b).count();
                let pairs = those_a.len() * those_b.len() - itself;
                if pairs > 0 && self.is_group_heard(hearing, *a, *b) {
                    heard += pairs;
                }
            }
        }
        (heard, from.len() * to.len() - itself)
    }

    fn members_by_group(&self, parties: &[usize]) -> BTreeMap<u32, BTreeSet<usize>> {
        let mut groups: BTreeMap<u32, BTreeSet<usize>> = BTreeMap::new();
        for party in parties {
            if let Some(group) = self.group_of.get(*party) {
                groups.entry(*group).or_default().insert(*party);
            }
        }
        groups
    }

    /// Tells whether the members of one group are heard by those of another, or by each other.
    fn is_group_heard(&self, hearing: &Hearing, from: u32, to: u32) -> bool {
        let cell = from as usize * self.groups.len() + to as usize;
        if let Some(known) = self.table.get(cell) {
            return *known != Sound::Silent;
        }
        let members = |group: u32| self.groups.get(group as usize).into_iter().flatten();
        let speaker = members(from).next();
        speaker.is_some_and(|speaker| {
            let hearer = members(to).find(|p| *p != speaker);
            hearer.is_some_and(|hearer| hearing.arrival(*speaker, *hearer).is_some())
        })
    }

    /// Counts how many hear a party.
    pub fn hearers(&self, hearing: &Hearing, from: usize) -> usize {
        let everybody = self.groups.iter().enumerate();
        let Some(group) = self.group_of.get(from) else {
            return 0;
        };
        if !self.is_whole() {
            let party = hearing.parties().get(from);
            return party.map_or(0, |party| hearing.hearers(*party).len());
        }
        everybody
            .map(|(to, members)| {
                let itself = usize::from(to == *group as usize);
                if self.is_group_heard(hearing, *group, to as u32) {
                    members.len() - itself
                } else {
                    0
                }
            })
            .sum()
    }
}

/// Returns the place of a party among those who can speak or listen.
pub fn place(hearing: &Hearing, party: Party) -> Option<usize> {
    hearing.parties().binary_search(&party).ok()
}

/// Lists the pairs heard one way only that nobody means to be so, as indices into [`Hearing::alike`]:
/// the first is heard by the second and does not hear it.
///
/// Pairs that a listen-only need asks for are left out, and so are pairs heard by scanning, and pairs
/// of which the hearer can transmit nothing at all, such as a pager.
pub fn one_way_pairs(picture: &Picture) -> Vec<(usize, usize)> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let groups = hearing.alike();
    let wanted = listen_only(scenario, hearing);
    let mut mute: Vec<Option<bool>> = vec![None; groups.len()];
    let mut is_mute = |group: usize| {
        let speaker = groups.get(group).and_then(|g| g.first());
        let (Some(speaker), Some(known)) = (speaker, mute.get_mut(group)) else {
            return true;
        };
        *known.get_or_insert_with(|| !hearing.is_heard(*speaker) && !can_send(picture, *speaker))
    };
    let mut pairs = hearing.one_way_pairs();
    pairs.retain(|(from, to)| !wanted.contains(&(*from, *to)) && !is_mute(*to));
    pairs
}

/// Lists the pairs that a listen-only need asks for, by group.
fn listen_only(scenario: &Scenario, hearing: &Hearing) -> BTreeSet<(usize, usize)> {
    let needs = scenario.needs.iter();
    let pairs = { needs }
        .filter(|n| n.way == Way::ListenOnly)
        .flat_map(Need::pairs_to_hear);
    pairs
        .filter_map(|(a, b)| Some((hearing.alike_of(a)?, hearing.alike_of(b)?)))
        .collect()
}

/// Tells whether a party has anything to transmit with.
fn can_send(picture: &Picture, party: Party) -> bool {
    let Party::Unit(unit) = party else {
        return true;
    };
    picture.hearing().carried(unit).iter().any(|radio| {
        let radio = picture.scenario().radios.get(*radio);
        let tuned = radio.and_then(|radio| picture.tuned(radio));
        tuned.is_some_and(|tuned| !tuned.entry.receive_only)
    })
}

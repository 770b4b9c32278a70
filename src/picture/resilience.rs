//! What breaks each need: what it cannot do without, which two failures cut it, how probable it is
//! that it is met, and what is left to fall back on.
//!
//! People are taken to be there; a radio that several people of a unit carry fails only when all of
//! theirs do.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use crate::engineering::reliability::cuts::{self, Cuts};
use crate::engineering::reliability::probability::{self, Chance};
use crate::engineering::reliability::{Failed, depth};
use crate::hearing::{Hearing, Hops, Item, Ways, rules};
use crate::model::{
    Channel, ChannelId, Need, NeedId, Party, Radio, RadioId, Scenario, SystemId, SystemKind,
    ThingId, UnitId,
};

use super::Picture;

/// Walks spent on the cuts of one need; beyond it the list says that it is not whole.
pub const CUT_WALKS: u32 = 4_000;
/// Walks spent on an exact probability before it is estimated.
pub const CHANCE_WALKS: u32 = 4_000;
/// Largest cut that is searched for.
pub const LARGEST_CUT: usize = 4;
/// Pairs of a need beyond which only the first ones are looked at.
pub const MOST_PAIRS: usize = 64;
/// Seed of the estimate: the same plan gives the same number.
const SEED: u64 = 205;

/// What breaks one need.
#[derive(Debug, Clone, PartialEq)]
pub struct Breaks {
    /// The need.
    pub need: NeedId,
    /// Items each of which cuts it alone.
    pub singles: Vec<Item>,
    /// Pairs of items that cut it together, neither of them alone.
    pub doubles: Vec<(Item, Item)>,
    /// How many things must fail at least for the need to be cut, up to [`LARGEST_CUT`]; `None` when it
    /// takes more, or is not met.
    pub smallest_cut: Option<usize>,
    /// Whether the lists are whole; they are not when a need has very many ways.
    pub whole: bool,
    /// Probability that it is met.
    pub chance: Option<Chance>,
    /// Ways that share nothing but what the speakers and hearers hold, best first, at most four.
    pub ways: Vec<Vec<Item>>,
    /// Channels that everybody of the need has in a radio in hand and could turn to.
    pub spare_channels: Vec<ChannelId>,
}

impl Breaks {
    /// Returns how many ways there are, spare channels among them, from none to four: primary,
    /// alternate, contingency, emergency.
    pub fn depth(&self) -> usize {
        (self.ways.len() + self.spare_channels.len()).min(depth::RANKS.len())
    }
}

/// Lists the needs that ask somebody to be heard; the others keep people apart, which nothing that
/// fails can break.
pub fn to_be_heard(scenario: &Scenario) -> impl Iterator<Item = &Need> {
    scenario.needs.iter().filter(|need| !need.keeps_apart())
}

/// Tells whether every pair of a need is heard, and encrypted all the way where the need asks for it; or
/// whether no pair is heard, where the need keeps people apart.
pub fn is_met(hearing: &Hearing, need: &Need) -> bool {
    if need.keeps_apart() {
        let mut apart = need.pairs_apart().into_iter();
        return apart.all(|(a, b)| hearing.arrival(a, b).is_none());
    }
    need.pairs_to_hear().iter().all(|(a, b)| {
        hearing
            .arrival(*a, *b)
            .is_some_and(|arrival| arrival.encrypted || !need.encrypted)
    })
}

/// The ways of all needs of a picture, laid out once.
#[derive(Debug, Clone, Default)]
pub struct NeedWays {
    any: Ways,
    encrypted: Ways,
    // Walked when somebody asks, and asked by several.
    singles: OnceLock<BTreeMap<NeedId, Vec<Item>>>,
    /// Items of either kind of ways that are not counted as failing.
    any_sure: OnceLock<Failed>,
    encrypted_sure: OnceLock<Failed>,
    /// Chances that the items of either kind of ways work.
    any_up: OnceLock<Vec<f64>>,
    encrypted_up: OnceLock<Vec<f64>>,
    /// The radios that each unit holds.
    held: OnceLock<BTreeMap<UnitId, Vec<RadioId>>>,
}

impl NeedWays {
    /// Lays out the ways between everybody some need names.
    pub(super) fn of(picture: &Picture) -> Self {
        let (scenario, hearing) = (picture.scenario(), picture.hearing());
        let parties_of = |encrypted: bool| -> BTreeSet<Party> {
            let needs = to_be_heard(scenario).filter(|n| n.encrypted == encrypted);
            needs
                .flat_map(|n| n.from.iter().chain(&n.to))
                .copied()
                .collect()
        };
        Self {
            any: hearing.ways(scenario, &parties_of(false), Hops::Any),
            encrypted: hearing.ways(scenario, &parties_of(true), Hops::Encrypted),
            ..Self::default()
        }
    }

    fn sure(&self, scenario: &Scenario, need: &Need) -> &Failed {
        let known = if need.encrypted {
            &self.encrypted_sure
        } else {
            &self.any_sure
        };
        known.get_or_init(|| sure(scenario, self.for_need(need)))
    }

    fn up(&self, scenario: &Scenario, need: &Need) -> &[f64] {
        let known = if need.encrypted {
            &self.encrypted_up
        } else {
            &self.any_up
        };
        known.get_or_init(|| {
            let items = self.for_need(need).items().iter();
            items.map(|item| availability(scenario, *item)).collect()
        })
    }

    /// Lists what the people of a need hold themselves.
    fn held_by(&self, scenario: &Scenario, need: &Need) -> Vec<ThingId> {
        let held = self.held.get_or_init(|| {
            let mut held: BTreeMap<UnitId, Vec<RadioId>> = BTreeMap::new();
            for radio in scenario.radios.iter() {
                if let Some(unit) = radio.held_by {
                    held.entry(unit).or_default().push(radio.id);
                }
            }
            held
        });
        let mut all = Vec::new();
        for party in need.from.iter().chain(&need.to) {
            match party {
                Party::Unit(unit) => {
                    let radios = held.get(unit).into_iter().flatten();
                    all.extend(radios.map(|radio| ThingId::from(*radio)));
                }
                Party::Telephone(id) => all.push((*id).into()),
                Party::Headset(id) => all.push((*id).into()),
            }
        }
        all
    }

    fn for_need(&self, need: &Need) -> &Ways {
        if need.encrypted {
            &self.encrypted
        } else {
            &self.any
        }
    }

    /// Lists the items that each cut a need alone; empty when it is not met anyway.
    pub fn singles(&self, scenario: &Scenario, need: &Need) -> Vec<Item> {
        let ways = self.for_need(need);
        let cuts = cuts_of(ways, self.sure(scenario, need), need, 1);
        items_of(ways, cuts.single_points())
    }

    /// Lists the items that cut each need alone, of those that ask somebody to be heard, for the scenario whose ways these are.
    pub fn all_singles(&self, scenario: &Scenario) -> &BTreeMap<NeedId, Vec<Item>> {
        self.singles.get_or_init(|| {
            let needs = to_be_heard(scenario);
            needs.map(|n| (n.id, self.singles(scenario, n))).collect()
        })
    }

    /// Lists ways of a need that share nothing but what the speakers and hearers hold, best first, at
    /// most four; none when it is not met.
    ///
    /// Complexity: at most four walks for each pair.
    pub fn apart(&self, scenario: &Scenario, need: &Need) -> Vec<Vec<Item>> {
        let ways = self.for_need(need);
        let pairs = some_pairs(need);
        let mut oracle = ways.oracle(&pairs);
        let mut free = self.sure(scenario, need).clone();
        for held in self.held_by(scenario, need) {
            if let Some(number) = ways.number(Item::Thing(held)) {
                free.insert(number);
            }
        }
        let found = depth::depth(&mut oracle, &free);
        found.into_iter().map(|way| items_of(ways, way)).collect()
    }

    /// Works out the probability that a need is met.
    ///
    /// Complexity: many walks where a need has many ways, at most [`CHANCE_WALKS`] before sampling.
    pub fn chance(&self, scenario: &Scenario, need: &Need) -> Option<Chance> {
        let ways = self.for_need(need);
        let pairs = some_pairs(need);
        let mut oracle = ways.oracle(&pairs);
        probability::met(&mut oracle, self.up(scenario, need), CHANCE_WALKS, SEED).ok()
    }

    /// Works out everything about a need.
    pub fn breaks(&self, picture: &Picture, need: &Need) -> Breaks {
        let scenario = picture.scenario();
        let ways = self.for_need(need);
        let sure = self.sure(scenario, need);
        let cuts = cuts_of(ways, sure, need, 2);
        let smallest_cut = match cuts.cuts.first() {
            Some(cut) => Some(cut.len()),
            None if is_met(picture.hearing(), need) => least_cut(ways, sure, need),
            None => None,
        };
        let doubles = cuts.cuts.iter().filter_map(|cut| match cut.as_slice() {
            [a, b] => Some((item(ways, *a)?, item(ways, *b)?)),
            _ => None,
        });
        Breaks {
            need: need.id,
            singles: items_of(ways, cuts.single_points()),
            doubles: doubles.collect(),
            smallest_cut,
            whole: cuts.whole && need.pairs_to_hear().len() <= MOST_PAIRS,
            chance: self.chance(scenario, need),
            ways: self.apart(scenario, need),
            spare_channels: spare_channels(picture, need),
        }
    }
}

/// Ranks items by how many needs they cut alone, worst first.
pub fn worst<'a>(singles: impl Iterator<Item = (NeedId, &'a [Item])>) -> Vec<(Item, Vec<NeedId>)> {
    let mut by_item: BTreeMap<Item, Vec<NeedId>> = BTreeMap::new();
    for (need, items) in singles {
        for item in items {
            by_item.entry(*item).or_default().push(need);
        }
    }
    let mut ranked: Vec<(Item, Vec<NeedId>)> = by_item.into_iter().collect();
    ranked.sort_by_key(|(item, needs)| (std::cmp::Reverse(needs.len()), *item));
    ranked
}

/// Returns the chance that an item works.
pub fn availability(scenario: &Scenario, item: Item) -> f64 {
    let practice = &scenario.practice;
    let thing = match item {
        Item::CableAt(_) => return practice.cable_up,
        Item::PowerOf(_) => return practice.power_up,
        Item::Thing(thing) => thing,
    };
    let one = match scenario.availability.get(&thing) {
        Some(known) => *known,
        None => match thing {
            ThingId::Unit(_) => practice.people_up,
            ThingId::Radio(_) => practice.radio_up,
            ThingId::Channel(_) => practice.channel_up,
            ThingId::System(_) => practice.system_up,
            ThingId::Gateway(_) => practice.gateway_up,
            ThingId::Port(_) => practice.port_up,
            ThingId::Site(_) => practice.site_up,
            ThingId::Tie(_) => practice.tie_up,
            ThingId::Telephone(_) | ThingId::Headset(_) => practice.telephone_up,
            _ => 1.0,
        },
    };
    let sets = match thing {
        ThingId::Radio(radio) => scenario
            .radios
            .get(radio)
            .map_or(1, |r| sets_of(scenario, r)),
        _ => 1,
    };
    1.0 - (1.0 - one).powi(i32::try_from(sets).unwrap_or(i32::MAX))
}

/// Returns how many people of a unit carry such a set; a donor is one.
fn sets_of(scenario: &Scenario, radio: &Radio) -> u32 {
    let unit = radio.held_by.and_then(|u| scenario.units.get(u));
    unit.map_or(1, |u| u.heads)
}

/// Lists the items that are not counted as failing: people, and sets of which there are several.
fn sure(scenario: &Scenario, ways: &Ways) -> Failed {
    let mut sure = Failed::new();
    for (number, item) in ways.items().iter().enumerate() {
        let is_sure = match item {
            Item::Thing(ThingId::Unit(_)) => true,
            Item::Thing(ThingId::Radio(radio)) => scenario
                .radios
                .get(*radio)
                .is_some_and(|r| r.held_by.is_some() && sets_of(scenario, r) > 1),
            _ => false,
        };
        if is_sure {
            sure.insert(number as u32);
        }
    }
    sure
}

fn some_pairs(need: &Need) -> Vec<(Party, Party)> {
    let mut pairs = need.pairs_to_hear();
    pairs.truncate(MOST_PAIRS);
    pairs
}

/// Answers with the items of a way that can fail: what cannot is no part of a cut.
fn what_can_fail<'a>(
    ways: &'a Ways,
    sure: &'a Failed,
    need: &Need,
) -> impl FnMut(&Failed) -> Option<Vec<u32>> + use<'a> {
    let mut oracle = ways.oracle(&some_pairs(need));
    move |failed: &Failed| {
        let mut way = oracle(failed)?;
        way.retain(|item| !sure.contains(*item));
        Some(way)
    }
}

fn cuts_of(ways: &Ways, sure: &Failed, need: &Need, most: usize) -> Cuts {
    let mut oracle = what_can_fail(ways, sure, need);
    let count = ways.items().len() as u32;
    let mut cuts = cuts::smallest(count, &mut oracle, most, CUT_WALKS);
    if cuts.cuts.iter().any(Vec::is_empty) {
        // The need is not met anyhow.
        cuts.cuts.clear();
    }
    cuts
}

/// Returns the size of the smallest cut, up to the largest that is searched for.
fn least_cut(ways: &Ways, sure: &Failed, need: &Need) -> Option<usize> {
    let mut oracle = what_can_fail(ways, sure, need);
    let count = ways.items().len() as u32;
    cuts::minimum(count, &mut oracle, LARGEST_CUT, CUT_WALKS)
}

fn item(ways: &Ways, number: u32) -> Option<Item> {
    ways.items().get(number as usize).copied()
}

fn items_of(ways: &Ways, numbers: impl IntoIterator<Item = u32>) -> Vec<Item> {
    numbers.into_iter().filter_map(|n| item(ways, n)).collect()
}

/// Lists the channels that everybody of a need has in hand, that the first speaker is not on now, and
/// that hang on no system of another way.
pub fn spare_channels(picture: &Picture, need: &Need) -> Vec<ChannelId> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let pairs = some_pairs(need);
    let (Some(phase), Some((Party::Unit(first), _))) = (picture.phase(), pairs.first()) else {
        return Vec::new();
    };
    let in_hand = |unit: UnitId| {
        let radios = hearing.carried(unit).iter();
        radios.filter_map(|r| scenario.radios.get(*r))
    };
    let mut channels: Vec<ChannelId> = in_hand(*first)
        .flat_map(|radio| radio.programmed.iter().map(|p| p.channel))
        .collect();
    channels.sort_unstable();
    channels.dedup();
    channels.retain(|channel| {
        let Some(channel) = scenario.channels.get(*channel) else {
            return false;
        };
        let is_in_use = in_hand(*first)
            .any(|radio| scenario.selected_channel(phase, radio) == Some(channel.id));
        !is_in_use
            && pairs.iter().all(|pair| match pair {
                (Party::Unit(a), Party::Unit(b)) => in_hand(*a).any(|from| {
                    in_hand(*b).any(|to| would_hear(scenario, channel, from, to, need.encrypted))
                }),
                _ => false,
            })
    });
    // What hangs on one repeater or trunked system is one channel to fall back on, and none when a
    // radio of the need is on that system already.
    let system_of = |channel: ChannelId| {
        let system = scenario.channels.get(channel)?.system;
        let system = scenario.systems.get(system)?;
        (system.kind != SystemKind::Simplex).then_some(system.id)
    };
    let parties = need.from.iter().chain(&need.to);
    let mut taken: BTreeSet<SystemId> = parties
        .filter_map(|party| match party {
            Party::Unit(unit) => Some(*unit),
            Party::Telephone(_) | Party::Headset(_) => None,
        })
        .flat_map(in_hand)
        .filter_map(|radio| scenario.selected_channel(phase, radio))
        .filter_map(system_of)
        .collect();
    channels.retain(|channel| system_of(*channel).is_none_or(|system| taken.insert(system)));
    channels
}

/// Tells whether one radio would hear another if both turned to a channel.
pub fn would_hear(
    scenario: &Scenario,
    channel: &Channel,
    from: &Radio,
    to: &Radio,
    encrypted: bool,
) -> bool {
    let (Some(sends), Some(hears), Some(system)) = (
        from.entry(channel.id),
        to.entry(channel.id),
        scenario.systems.get(channel.system),
    ) else {
        return false;
    };
    let Ok(signal) = rules::signal_of(from, sends, channel, system) else {
        return false;
    };
    let Ok(tuner) = rules::tuner_of(to, hears, channel) else {
        return false;
    };
    let through = match rules::repeats(channel, system, &signal) {
        Some(Ok(repeated)) => repeated,
        _ => signal,
    };
    let is_up = system.kind != SystemKind::Telephone;
    is_up
        && (signal.key.is_some() || !encrypted)
        && (rules::hears(&tuner, &to.keys, &signal) || rules::hears(&tuner, &to.keys, &through))
}

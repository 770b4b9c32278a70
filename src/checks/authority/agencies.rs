//! Which agencies are joined and what papers say of them; shared by checks, not a check itself.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{AgencyId, Discipline, Radio, Scenario, TalkGroupRef};
use crate::picture::Picture;

/// Two agencies, the lower id first.
pub(super) type Pair = (AgencyId, AgencyId);

/// Lists the pairs that some agreement lists together.
pub(super) fn agreed(scenario: &Scenario) -> BTreeSet<Pair> {
    let papers = scenario.agreements.iter();
    papers.flat_map(|paper| pairs(&paper.agencies)).collect()
}

/// Lists the pairs that each talk group joins: the speech of both is on it, and they have no channel on
/// which the people of both speak anyway.
pub(super) fn joined(picture: &Picture) -> BTreeMap<TalkGroupRef, Vec<Pair>> {
    let traffic = picture.traffic();
    let mut direct: BTreeSet<Pair> = BTreeSet::new();
    for net in traffic.channels.values() {
        direct.extend(pairs(&net.own_agencies));
    }
    let groups = traffic.groups.iter();
    groups
        .map(|(group, net)| {
            let joined = pairs(&net.agencies).filter(|pair| !direct.contains(pair));
            (*group, joined.collect())
        })
        .collect()
}

fn pairs(agencies: &BTreeSet<AgencyId>) -> impl Iterator<Item = Pair> + '_ {
    let all = agencies.iter().enumerate();
    all.flat_map(|(at, a)| agencies.iter().skip(at + 1).map(|b| (*a, *b)))
}

/// Tells whether one of a pair is military.
pub(super) fn has_military(scenario: &Scenario, pair: Pair) -> bool {
    [pair.0, pair.1].into_iter().any(|agency| {
        let agency = scenario.agencies.get(agency);
        agency.is_some_and(|a| a.discipline == Discipline::Military)
    })
}

/// Names a pair.
pub(super) fn pair_name(scenario: &Scenario, (a, b): Pair) -> String {
    let name = |agency: AgencyId| scenario.name(agency.into());
    format!("{} with {}", name(a), name(b))
}

/// Lists the agencies of some pairs.
pub(super) fn of_pairs(pairs: &[Pair]) -> BTreeSet<AgencyId> {
    pairs.iter().flat_map(|(a, b)| [*a, *b]).collect()
}

/// Names talk groups: the first, and how many more.
pub(super) fn group_names(scenario: &Scenario, groups: &[TalkGroupRef]) -> String {
    let Some(first) = groups.first() else {
        return String::new();
    };
    let name = scenario.name((*first).into());
    match groups.len() - 1 {
        0 => name,
        1 => format!("{name} and 1 more talk group"),
        more => format!("{name} and {more} more talk groups"),
    }
}

/// Puts talk groups together that have the same pairs, leaving out those without any.
pub(super) fn by_pairs(
    groups: impl Iterator<Item = (TalkGroupRef, Vec<Pair>)>,
) -> BTreeMap<Vec<Pair>, Vec<TalkGroupRef>> {
    let mut alike: BTreeMap<Vec<Pair>, Vec<TalkGroupRef>> = BTreeMap::new();
    for (group, pairs) in groups.filter(|(_, pairs)| !pairs.is_empty()) {
        alike.entry(pairs).or_default().push(group);
    }
    alike
}

/// Returns the agency whose people use a radio: that of the unit that holds it, or its owner.
pub(super) fn user(picture: &Picture, radio: &Radio) -> Option<AgencyId> {
    let unit = radio.held_by.and_then(|u| picture.scenario().units.get(u));
    unit.and_then(|u| u.agency).or(radio.owner)
}

//! Somebody hears and cannot answer, or is heard and cannot hear.
//!
//! ## What it flags
//! Pairs that are heard one way only, gathered by the party that most of them have in common.
//!
//! ## Why it matters
//! The side that hears believes the link is good. The other side calls again and again, or takes
//! silence for consent.
//!
//! ## How it decides
//! A pair is one-way when the derivation gives a path in one direction and none back. Pairs that a
//! listen-only need asks for are left out, and so are pairs heard only by a scanning radio, of which
//! another check speaks, and pairs of which the silent side can transmit nothing at all, such as a
//! pager. The party with most one-way pairs is reported first and its pairs are taken out, until none
//! is left, so that one wrong tone gives one finding.
//!
//! ## Severity
//! Warns: the link may be meant to be one-way; where a two-way need is hurt, that need stops the plan.
//!
//! ## Example
//! Engine 9 sends the right tone but asks for a wrong one: everybody hears Engine 9, Engine 9 hears
//! nobody.
//!
//! ## Source
//! Published plans ask for pairwise talk tests each way (national planning templates as cited in
//! field practice); the grouping is our own reasoning.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::Check;
use crate::model::{Evidence, Finding, Party, Severity, Way};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "R03",
    name: "one-way-path",
    severity: Severity::Warns,
    text: include_str!("one_way_path.rs"),
    run,
};

/// A group of parties who send and hear alike, by its place in the list.
type Alike = usize;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let groups = hearing.alike();
    let first = |group: Alike| groups.get(group).and_then(|g| g.first()).copied();
    let mut group_of: BTreeMap<Party, Alike> = BTreeMap::new();
    for (number, group) in groups.iter().enumerate() {
        group_of.extend(group.iter().map(|party| (*party, number)));
    }
    let wanted: BTreeSet<(Party, Party)> = scenario
        .needs
        .iter()
        .filter(|n| n.way == Way::ListenOnly)
        .flat_map(|n| {
            n.from
                .iter()
                .flat_map(|a| n.to.iter().map(move |b| (*a, *b)))
        })
        .collect();

    // One-way pairs among groups: the first speaks, the second hears and is not heard back.
    let mut pairs: BTreeSet<(Alike, Alike)> = BTreeSet::new();
    for from in 0..groups.len() {
        let Some(speaker) = first(from) else { continue };
        let heard: BTreeSet<Alike> = hearing
            .hearers(speaker)
            .into_iter()
            .filter(|(party, arrival)| !arrival.by_scan && !wanted.contains(&(speaker, *party)))
            .filter_map(|(party, _)| group_of.get(&party).copied())
            .filter(|to| *to != from)
            .collect();
        for to in heard {
            let Some(hearer) = first(to) else { continue };
            if hearing.arrival(hearer, speaker).is_none() && hearing.is_heard(hearer) {
                pairs.insert((from, to));
            }
        }
    }
    // A party that is heard by nobody at all but hears: its own pairs were left out above.
    for to in 0..groups.len() {
        let Some(hearer) = first(to) else { continue };
        if hearing.is_heard(hearer) || !can_send(picture, hearer) {
            continue;
        }
        for from in 0..groups.len() {
            let Some(speaker) = first(from) else { continue };
            let is_wanted = wanted.contains(&(speaker, hearer));
            let heard = hearing.arrival(speaker, hearer).is_some_and(|a| !a.by_scan);
            if from != to && heard && !is_wanted {
                pairs.insert((from, to));
            }
        }
    }
    while let Some((worst, is_speaker)) = worst(&pairs) {
        let (mine, rest): (BTreeSet<_>, BTreeSet<_>) = pairs.into_iter().partition(|(from, to)| {
            if is_speaker {
                *from == worst
            } else {
                *to == worst
            }
        });
        pairs = rest;
        let others: Vec<Party> = mine
            .iter()
            .flat_map(|(from, to)| groups[if is_speaker { *to } else { *from }].iter().copied())
            .collect();
        for party in &groups[worst] {
            let name = scenario.name((*party).into());
            let whom = match others.as_slice() {
                [one] => scenario.name((*one).into()),
                many => format!("{} others", many.len()),
            };
            let headline = if is_speaker {
                format!("{name} is heard by {whom} and does not hear the answer")
            } else {
                format!("{name} hears {whom} and is not heard in return")
            };
            let mut finding = CHECK.finding(Severity::Warns, *party, headline);
            finding.related = others.iter().map(|p| (*p).into()).collect();
            finding.evidence = vec![Evidence::number(
                "one-way pairs",
                others.len() as f64,
                "pairs",
            )];
            finding.unheard = others.first().map(|other| {
                if is_speaker {
                    (*other, *party)
                } else {
                    (*party, *other)
                }
            });
            out.push(finding);
        }
    }
}

/// Returns the group with most pairs, and whether it is their speaker.
fn worst(pairs: &BTreeSet<(Alike, Alike)>) -> Option<(Alike, bool)> {
    let mut count: BTreeMap<(Alike, bool), usize> = BTreeMap::new();
    for (from, to) in pairs {
        *count.entry((*from, true)).or_default() += 1;
        *count.entry((*to, false)).or_default() += 1;
    }
    count
        .into_iter()
        .max_by_key(|(key, n)| (*n, std::cmp::Reverse(*key)))
        .map(|(key, _)| key)
}

fn can_send(picture: &Picture, party: Party) -> bool {
    let Party::Unit(unit) = party else {
        return true;
    };
    picture.hearing().carried(unit).iter().any(|radio| {
        picture
            .scenario()
            .radios
            .get(*radio)
            .and_then(|radio| picture.tuned(radio))
            .is_some_and(|tuned| !tuned.entry.receive_only)
    })
}

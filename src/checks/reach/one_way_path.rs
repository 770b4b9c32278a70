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

use std::cmp::Reverse;
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
    let mut tally = Tally::of(one_way_pairs(picture, &groups));
    while let Some((worst, is_speaker, mine)) = tally.take_worst() {
        let others: Vec<Party> = mine
            .iter()
            .flat_map(|other| groups[*other].iter().copied())
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

/// Lists the one-way pairs among groups: the first speaks, the second hears and is not heard back.
fn one_way_pairs(picture: &Picture, groups: &[Vec<Party>]) -> Vec<(Alike, Alike)> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
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
    // A group that nobody hears counts when it could transmit: a pager is meant to be silent.
    let answers: Vec<bool> = groups
        .iter()
        .filter_map(|group| group.first())
        .map(|first| hearing.is_heard(*first) || can_send(picture, *first))
        .collect();
    let mut pairs = Vec::new();
    for (from, group) in groups.iter().enumerate() {
        let Some(speaker) = group.first() else {
            continue;
        };
        for (to, arrival) in hearing.heard_alike(from) {
            if to == from || arrival.by_scan || hearing.is_heard_alike(to, from) {
                continue;
            }
            let hearers = groups.get(to).map_or(&[][..], Vec::as_slice);
            let is_wanted = hearers.iter().all(|p| wanted.contains(&(*speaker, *p)));
            if !is_wanted && answers.get(to) == Some(&true) {
                pairs.push((from, to));
            }
        }
    }
    pairs
}

/// The pairs not yet told, by either side.
struct Tally {
    /// For each group, as speaker or as hearer, the other sides of its pairs.
    sides: BTreeMap<(Alike, bool), BTreeSet<Alike>>,
    /// The keys of `sides` by how many pairs they have; the last has most, the lower key among equals.
    ranks: BTreeSet<(usize, Reverse<(Alike, bool)>)>,
}

impl Tally {
    fn of(pairs: Vec<(Alike, Alike)>) -> Self {
        let mut sides: BTreeMap<(Alike, bool), BTreeSet<Alike>> = BTreeMap::new();
        for (from, to) in pairs {
            sides.entry((from, true)).or_default().insert(to);
            sides.entry((to, false)).or_default().insert(from);
        }
        let ranks = sides
            .iter()
            .map(|(key, others)| (others.len(), Reverse(*key)))
            .collect();
        Self { sides, ranks }
    }

    /// Takes out the group with most pairs: itself, whether it speaks in them, and the other sides.
    fn take_worst(&mut self) -> Option<(Alike, bool, BTreeSet<Alike>)> {
        let (_, Reverse((worst, is_speaker))) = self.ranks.pop_last()?;
        let others = self.sides.remove(&(worst, is_speaker))?;
        for other in &others {
            let key = (*other, !is_speaker);
            if let Some(side) = self.sides.get_mut(&key) {
                self.ranks.remove(&(side.len(), Reverse(key)));
                side.remove(&worst);
                if !side.is_empty() {
                    self.ranks.insert((side.len(), Reverse(key)));
                }
            }
        }
        Some((worst, is_speaker, others))
    }
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

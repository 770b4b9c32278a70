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
//! listen-only need asks for are left out, and so are pairs heard only by a scanning radio, which
//! hearing marks, and pairs of which the silent side can transmit nothing at all, such as a pager. The
//! side with most people at the other end is reported first and its pairs are taken out, until none is
//! left, so that one wrong tone gives one finding.
//!
//! ## Severity
//! Warns: the link may be meant to be one-way; where a two-way need is hurt, that need stops the plan.
//!
//! ## Example
//! Engine 9 sends the right tone but asks for a wrong one: everybody hears Engine 9, Engine 9 hears
//! nobody.
//!
//! ## Source
//! Talk tests of each pair both ways before a patch is relied on are common practice, no source; the
//! grouping is our own reasoning.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use crate::checks::Check;
use crate::model::{Evidence, Finding, Party, Severity};
use crate::picture::Picture;
use crate::picture::sounds::one_way_pairs;

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
    let mut pairs = Pairs::of(&groups);
    for (from, to) in one_way_pairs(picture) {
        pairs.add(from, to);
    }
    while let Some((worst, is_speaker, others)) = pairs.take_worst() {
        let others: Vec<Party> = others
            .iter()
            .flat_map(|g| groups[*g].iter().copied())
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

/// One-way pairs by either end, the end that most people are on the other side of first.
///
/// Invariant: `most` has every end once, under the number of parties at the other ends of its pairs.
struct Pairs<'a> {
    groups: &'a [Vec<Party>],
    ends: BTreeMap<(Alike, bool), (usize, BTreeSet<Alike>)>,
    most: BTreeSet<(usize, Reverse<Alike>, bool)>,
}

impl<'a> Pairs<'a> {
    fn of(groups: &'a [Vec<Party>]) -> Self {
        Self {
            groups,
            ends: BTreeMap::new(),
            most: BTreeSet::new(),
        }
    }

    fn add(&mut self, speaker: Alike, hearer: Alike) {
        self.join((speaker, true), hearer);
        self.join((hearer, false), speaker);
    }

    fn join(&mut self, end: (Alike, bool), other: Alike) {
        let (count, others) = self.ends.entry(end).or_default();
        if others.insert(other) {
            self.most.remove(&(*count, Reverse(end.0), end.1));
            *count += self.groups.get(other).map_or(0, Vec::len);
            self.most.insert((*count, Reverse(end.0), end.1));
        }
    }

    fn part(&mut self, end: (Alike, bool), other: Alike) {
        let Some((count, others)) = self.ends.get_mut(&end) else {
            return;
        };
        if others.remove(&other) {
            self.most.remove(&(*count, Reverse(end.0), end.1));
            *count -= self.groups.get(other).map_or(0, Vec::len);
            if others.is_empty() {
                self.ends.remove(&end);
            } else {
                self.most.insert((*count, Reverse(end.0), end.1));
            }
        }
    }

    /// Takes out the end with most pairs: who, whether it is the speaker, and the other ends.
    fn take_worst(&mut self) -> Option<(Alike, bool, BTreeSet<Alike>)> {
        let (_, Reverse(worst), is_speaker) = self.most.pop_last()?;
        let (_, others) = self.ends.remove(&(worst, is_speaker))?;
        for other in &others {
            self.part((*other, !is_speaker), worst);
        }
        Some((worst, is_speaker, others))
    }
}

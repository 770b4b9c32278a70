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
use std::collections::BinaryHeap;

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
    let mut pairs = Pairs::of(&groups, &one_way_pairs(picture));
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
/// Invariant: an end that is not out and has pairs stands in `most` under its count; what stands there under
/// another is passed over.
struct Pairs<'a> {
    groups: &'a [Vec<Party>],
    /// The other ends of every end; each once, with some that were taken out since.
    others: Vec<Vec<Alike>>,
    /// How many parties are at the other ends still there.
    counts: Vec<usize>,
    is_out: Vec<bool>,
    /// Ends by how many pairs they had at some time, the lower group first among equals.
    most: BinaryHeap<(usize, Reverse<Alike>, bool)>,
}

impl<'a> Pairs<'a> {
    /// Takes pairs of which none comes twice: who is heard, and by whom.
    fn of(groups: &'a [Vec<Party>], all: &[(Alike, Alike)]) -> Self {
        let ends = 2 * groups.len();
        let mut pairs = Self {
            groups,
            others: vec![Vec::new(); ends],
            counts: vec![0; ends],
            is_out: vec![false; ends],
            most: BinaryHeap::new(),
        };
        for (speaker, hearer) in all {
            for (end, other) in [
                (place(*speaker, true), hearer),
                (place(*hearer, false), speaker),
            ] {
                if let (Some(others), Some(count)) =
                    (pairs.others.get_mut(end), pairs.counts.get_mut(end))
                {
                    others.push(*other);
                    *count += groups.get(*other).map_or(0, Vec::len);
                }
            }
        }
        for group in 0..groups.len() {
            pairs.rank(group, true);
            pairs.rank(group, false);
        }
        pairs
    }

    fn rank(&mut self, group: Alike, is_speaker: bool) {
        let count = self.counts.get(place(group, is_speaker)).copied();
        if let Some(count) = count.filter(|count| *count > 0) {
            self.most.push((count, Reverse(group), is_speaker));
        }
    }

    /// Takes out the end with most pairs: who, whether it is the speaker, and the other ends, rising.
    fn take_worst(&mut self) -> Option<(Alike, bool, Vec<Alike>)> {
        while let Some((count, Reverse(worst), is_speaker)) = self.most.pop() {
            let end = place(worst, is_speaker);
            let is_stale = self.counts.get(end) != Some(&count);
            let Some(is_out) = self.is_out.get_mut(end).filter(|out| !**out && !is_stale) else {
                continue;
            };
            *is_out = true;
            let mut others = self
                .others
                .get_mut(end)
                .map(std::mem::take)
                .unwrap_or_default();
            others.retain(|other| self.is_out.get(place(*other, !is_speaker)) == Some(&false));
            others.sort_unstable();
            let fewer = self.groups.get(worst).map_or(0, Vec::len);
            for other in &others {
                if let Some(count) = self.counts.get_mut(place(*other, !is_speaker)) {
                    *count -= fewer;
                }
                self.rank(*other, !is_speaker);
            }
            return Some((worst, is_speaker, others));
        }
        None
    }
}

/// The place of an end among all.
fn place(group: Alike, is_speaker: bool) -> usize {
    2 * group + usize::from(is_speaker)
}

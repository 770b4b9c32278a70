//! Pairs of needs that are heard: how late, by which parts, and which of them are worth a walk.

use std::collections::BTreeSet;

use crate::hearing::{Arrival, Hearing};
use crate::model::{Evidence, Finding, Need, Party};
use crate::picture::Picture;
use crate::picture::resilience::MOST_PAIRS;
use crate::picture::timing::{self, Part, Timing};

/// Parts of a delay that are worth naming.
const PARTS_NAMED: usize = 3;

/// The pairs of a need that are heard later than a limit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Late {
    /// Who speaks in the latest pair.
    pub(super) from: Party,
    /// Who hears in it.
    pub(super) to: Party,
    /// How late it is, in milliseconds.
    pub(super) delay_ms: u32,
    /// How many pairs are later than the limit.
    pub(super) count: usize,
    /// How many pairs are heard at all.
    pub(super) heard: usize,
}

/// Lists the pairs of a need that are heard, with what arrives.
pub(super) fn heard(picture: &Picture, need: &Need) -> Vec<(Party, Party, Arrival)> {
    need.pairs_to_hear()
        .into_iter()
        .filter_map(|(from, to)| Some((from, to, picture.hearing().arrival(from, to)?)))
        .collect()
}

/// Returns the pairs of a need that are later than a limit, if there are any.
pub(super) fn later_than(picture: &Picture, need: &Need, limit_ms: u32) -> Option<Late> {
    let heard = heard(picture, need);
    let late = heard.iter().filter(|(_, _, a)| a.delay_ms > limit_ms);
    // The first of those that are equally late, so that the answer never depends on luck.
    let worst = late.clone().rev().max_by_key(|(_, _, a)| a.delay_ms)?;
    Some(Late {
        from: worst.0,
        to: worst.1,
        delay_ms: worst.2.delay_ms,
        count: late.count(),
        heard: heard.len(),
    })
}

impl Late {
    /// Says who hears whom how late, and how many others are late.
    pub(super) fn words(&self, picture: &Picture, need: &Need) -> String {
        let name = |party: Party| picture.scenario().name(party.into());
        let (from, to, delay_ms) = (name(self.from), name(self.to), self.delay_ms);
        let who = format!(
            "{}: speech of {from} reaches {to} after {delay_ms} ms",
            need.name
        );
        if self.count > 1 {
            format!("{who}, the latest of {} late pairs", self.count)
        } else {
            who
        }
    }

    /// Adds the delay, its largest parts and how many pairs are late.
    pub(super) fn tell(&self, finding: &mut Finding, picture: &Picture) {
        finding.related = vec![self.from.into(), self.to.into()];
        finding.evidence.extend([
            Evidence::number("pairs that are late", self.count as f64, "pairs"),
            Evidence::number("pairs that are heard", self.heard as f64, "pairs"),
        ]);
        let scenario = picture.scenario();
        let parts = walk(picture, self.from, self.to).map_or_else(Vec::new, largest_parts);
        let mut words = Vec::new();
        for part in parts {
            finding
                .evidence
                .push(Evidence::number(part.why, part.ms.into(), "ms"));
            finding.evidence.push(Evidence::thing("arises at", part.at));
            words.push(format!(
                "{} ms at {} ({})",
                part.ms,
                scenario.name(part.at),
                part.why
            ));
        }
        if !words.is_empty() {
            finding
                .hints
                .push(format!("Most of it is {}", words.join("; ")));
        }
    }
}

/// Lists the largest parts of a delay, largest first; what recurs at one place is taken together.
fn largest_parts(timing: Timing) -> Vec<Part> {
    let mut parts: Vec<Part> = Vec::new();
    for part in timing.parts {
        match parts
            .iter_mut()
            .find(|p| (p.at, p.why) == (part.at, part.why))
        {
            Some(same) => same.ms += part.ms,
            None => parts.push(part),
        }
    }
    parts.sort_by_key(|part| std::cmp::Reverse(part.ms));
    parts.truncate(PARTS_NAMED);
    parts
}

/// Who speaks and hears alike: a message between two such groups is walked once.
pub(super) struct Alike<'a> {
    hearing: &'a Hearing,
}

impl<'a> Alike<'a> {
    /// Asks the picture's hearing.
    pub(super) fn of(picture: &'a Picture) -> Self {
        Self {
            hearing: picture.hearing(),
        }
    }

    /// Returns the groups of a pair.
    pub(super) fn key(&self, from: Party, to: Party) -> Option<(usize, usize)> {
        Some((self.hearing.alike_of(from)?, self.hearing.alike_of(to)?))
    }

    /// Keeps one pair of those that are alike, and no more than a need's share of work.
    pub(super) fn distinct(&self, pairs: &mut Vec<(Party, Party, Arrival)>) {
        let mut seen = BTreeSet::new();
        pairs.retain(|(from, to, _)| self.key(*from, *to).is_some_and(|key| seen.insert(key)));
        pairs.truncate(MOST_PAIRS);
    }
}

/// Walks a pair and works out its timing.
pub(super) fn walk(picture: &Picture, from: Party, to: Party) -> Option<Timing> {
    let scenario = picture.scenario();
    let path = picture.hearing().path(scenario, from, to)?;
    Some(timing::of(scenario, &path))
}

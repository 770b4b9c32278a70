//! Why a pair is not heard, and the fewest changes that would join it.
//!
//! The search in `search` walks the same rules as the derivation, but a rule that fails costs one
//! named change instead of ending the way. The cheapest ways are then tried: the edits are applied to
//! a copy and the hearing derived again, and only changes that do join the pair are proposed. Among
//! proposals with equally few changes the one that joins the fewest people who are to be kept apart
//! comes first, then the one that cuts off the fewest other pairs.

mod change;
mod donors;
mod options;
mod search;

use std::collections::BTreeSet;

use crate::model::{Edit, NeedId, Party, PhaseId, Scenario};

use super::Hearing;
use super::path::Path;

pub use change::Change;

/// The answer for a pair that is not heard.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WhyNot {
    /// The broken rules in the order of the way, each with the change that mends it; empty when no
    /// way was found at all.
    pub changes: Vec<Change>,
    /// Pairs that are heard today and would not be after the changes; in scenarios of more than
    /// 400 parties only those of the two parties asked about.
    pub cuts: Vec<(Party, Party)>,
    /// Needs that keep people apart, do so today, and would not after the changes.
    pub joins: Vec<NeedId>,
    /// The changes were applied to a copy and the pair was heard.
    pub proved: bool,
    /// The way the message then takes, through things as they are after the changes.
    pub way: Option<Path>,
}

impl WhyNot {
    /// Lists all edits of all changes, in order, to be applied together.
    pub fn edits(&self) -> Vec<Edit> {
        self.changes
            .iter()
            .flat_map(|c| c.edits.iter().cloned())
            .collect()
    }
}

/// How many of the cheapest ways are tried.
const TRIES: usize = 12;
/// Up to how many parties side effects on everybody are compared.
const COMPARE_ALL: usize = 400;

/// Finds the fewest changes that let `to` hear `from` in a phase.
///
/// Returns no changes for a pair that is heard already, for a party and itself, and for a pair that
/// nothing short of other radios would join.
///
/// Determinism: the same scenario gives the same answer. Complexity: a cheapest-way search over
/// donors and channels, then at most twelve derivations.
pub fn why_not(scenario: &Scenario, phase: PhaseId, from: Party, to: Party) -> WhyNot {
    let today = Hearing::derive(scenario, phase);
    why_not_given(scenario, &today, phase, from, to)
}

/// The same as [`why_not`], given the hearing as derived already.
pub fn why_not_given(
    scenario: &Scenario,
    today: &Hearing,
    phase: PhaseId,
    from: Party,
    to: Party,
) -> WhyNot {
    let Some(found) = scenario.phases.get(phase) else {
        return WhyNot::default();
    };
    if from == to || today.arrival(from, to).is_some() {
        return WhyNot::default();
    }
    let ways = search::ways(scenario, found, from, to, TRIES);
    let mut best: Option<WhyNot> = None;
    for changes in &ways {
        if best
            .as_ref()
            .is_some_and(|b| b.changes.len() < changes.len())
        {
            break;
        }
        if changes.iter().any(|c| c.edits.is_empty()) {
            continue;
        }
        let heard = |changes: &[Change]| after(scenario, phase, changes, from, to);
        if heard(changes).is_none() {
            continue;
        }
        let changes = without_needless(changes.clone(), |fewer| heard(fewer).is_some());
        let Some((mended, then)) = heard(&changes) else {
            continue;
        };
        let cuts = cuts(today, &then, from, to);
        let joins = joins(scenario, today, &then);
        let cost = (changes.len(), joins.len(), cuts.len());
        let is_better = |b: &WhyNot| cost < (b.changes.len(), b.joins.len(), b.cuts.len());
        if best.as_ref().is_none_or(is_better) {
            best = Some(WhyNot {
                changes,
                cuts,
                joins,
                proved: true,
                way: then.path(&mended, from, to),
            });
        }
        if today.parties().len() > COMPARE_ALL {
            break;
        }
    }
    // Nothing that edits alone can do: show what hands would have to do. Ways of edits alone that
    // were tried and did not join the pair are not shown.
    best.unwrap_or_else(|| WhyNot {
        changes: ways
            .into_iter()
            .find(|changes| changes.iter().any(|c| c.edits.is_empty()))
            .unwrap_or_default(),
        cuts: Vec::new(),
        joins: Vec::new(),
        proved: false,
        way: None,
    })
}

/// Returns the scenario and the hearing after the changes, if they are legal and join the pair.
fn after(
    scenario: &Scenario,
    phase: PhaseId,
    changes: &[Change],
    from: Party,
    to: Party,
) -> Option<(Scenario, Hearing)> {
    let edits: Vec<Edit> = changes
        .iter()
        .flat_map(|c| c.edits.iter().cloned())
        .collect();
    let after = scenario.apply(&edits).ok()?;
    let then = Hearing::derive(&after, phase);
    then.arrival(from, to).is_some().then_some((after, then))
}

/// Leaves out changes that turn out not to be needed, because another one opens a shorter way.
///
/// Changes to a radio that others change too stay: each of their edits carries the earlier ones.
fn without_needless(mut changes: Vec<Change>, joins: impl Fn(&[Change]) -> bool) -> Vec<Change> {
    let mut at = changes.len();
    while at > 0 {
        at -= 1;
        let Some(change) = changes.get(at) else {
            continue;
        };
        let subject = change.things.first();
        let same = changes
            .iter()
            .filter(|c| c.things.first() == subject)
            .count();
        if same > 1 || changes.len() < 2 {
            continue;
        }
        let mut fewer = changes.clone();
        fewer.remove(at);
        if joins(&fewer) {
            changes = fewer;
            at = changes.len();
        }
    }
    changes
}

/// Lists the needs that keep people apart and would no longer.
fn joins(scenario: &Scenario, today: &Hearing, then: &Hearing) -> Vec<NeedId> {
    let is_kept = |hearing: &Hearing, pairs: &[(Party, Party)]| {
        pairs
            .iter()
            .all(|(from, to)| hearing.arrival(*from, *to).is_none())
    };
    let apart = scenario.needs.iter().filter(|need| need.keeps_apart());
    apart
        .filter(|need| {
            let pairs = need.pairs_apart();
            is_kept(today, &pairs) && !is_kept(then, &pairs)
        })
        .map(|need| need.id)
        .collect()
}

fn cuts(today: &Hearing, then: &Hearing, from: Party, to: Party) -> Vec<(Party, Party)> {
    let all = today.parties();
    let speakers: BTreeSet<Party> = if all.len() <= COMPARE_ALL {
        all.iter().copied().collect()
    } else {
        BTreeSet::from([from, to])
    };
    speakers
        .into_iter()
        .flat_map(|speaker| {
            today
                .hearers(speaker)
                .into_iter()
                .map(move |(hearer, _)| (speaker, hearer))
                .filter(|(speaker, hearer)| then.arrival(*speaker, *hearer).is_none())
                .collect::<Vec<_>>()
        })
        .collect()
}

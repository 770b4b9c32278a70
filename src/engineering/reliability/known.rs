//! An oracle and what it has said so far, for the probability of a need.
//!
//! A way remembered answers every question whose failed items it avoids; a cut remembered, every one
//! whose failed items contain it.

use super::{Failed, Works};

/// Ways and cuts remembered, each; it bounds the time to look them through.
const MOST_KNOWN: usize = 256;

/// What is known of a condition.
pub(super) enum Answer {
    /// The items of a way that are not known up.
    Way(Vec<u32>),
    Cut,
    /// No oracle call is left.
    Spent,
}

/// The oracle and what it has said so far.
pub(super) struct Known<'a, W> {
    works: &'a mut W,
    availability: &'a [f64],
    /// Items of availability 0; part of every condition.
    pub(super) never_up: Failed,
    /// Without items that are always up.
    ways: Vec<Failed>,
    cuts: Vec<Failed>,
    calls_left: u32,
}

impl<'a, W: Works> Known<'a, W> {
    pub(super) fn new(works: &'a mut W, availability: &'a [f64], budget: u32) -> Self {
        let never_up = (0..).zip(availability).filter(|(_, a)| **a <= 0.0);
        Self {
            never_up: never_up.map(|(item, _)| item).collect(),
            works,
            availability,
            ways: Vec::new(),
            cuts: Vec::new(),
            calls_left: budget,
        }
    }

    /// Finds a way when some items have failed and some are known up.
    ///
    /// Of those remembered it is the one with the fewest items in doubt.
    pub(super) fn way(&mut self, failed: &Failed, up: &Failed) -> Answer {
        let doubtful = |way: &Failed| way.iter().filter(|item| !up.contains(*item)).collect();
        let known = (self.ways.iter())
            .filter(|way| !way.meets(failed))
            .min_by_key(|way| way.count_outside(up));
        if let Some(way) = known {
            return Answer::Way(doubtful(way));
        }
        if self.is_known_cut(failed) {
            return Answer::Cut;
        }
        if self.calls_left == 0 {
            return Answer::Spent;
        }
        self.calls_left -= 1;
        if let Some(way) = self.ask(failed) {
            return Answer::Way(doubtful(&way));
        }
        self.remember_cut(failed);
        Answer::Cut
    }

    /// Tells whether the need is met; not counted against the budget.
    pub(super) fn is_met(&mut self, failed: &Failed) -> bool {
        if self.ways.iter().any(|way| !way.meets(failed)) {
            return true;
        }
        !self.is_known_cut(failed) && self.ask(failed).is_some()
    }

    fn is_known_cut(&self, failed: &Failed) -> bool {
        self.cuts.iter().any(|cut| cut.is_within(failed))
    }

    fn ask(&mut self, failed: &Failed) -> Option<Failed> {
        let way = self.works.way(failed)?.into_iter();
        let certain = |item: u32| {
            self.availability
                .get(item as usize)
                .is_none_or(|a| *a >= 1.0)
        };
        let way: Failed = way.filter(|item| !certain(*item)).collect();
        if self.ways.len() < MOST_KNOWN {
            self.ways.push(way.clone());
        }
        Some(way)
    }

    /// Remembers a cut, less the items it does not need so far as calls are left to find out.
    fn remember_cut(&mut self, failed: &Failed) {
        if self.cuts.len() >= MOST_KNOWN {
            return;
        }
        let mut cut = failed.clone();
        for item in failed.iter() {
            if self.never_up.contains(item) {
                continue;
            }
            cut.remove(item);
            if self.is_needed(&cut) {
                cut.insert(item);
            }
        }
        self.cuts.push(cut);
    }

    /// Tells whether what was taken out of a cut to leave this is needed, as far as calls go.
    fn is_needed(&mut self, rest: &Failed) -> bool {
        if self.ways.iter().any(|way| !way.meets(rest)) || self.calls_left == 0 {
            return true;
        }
        self.calls_left -= 1;
        self.ask(rest).is_some()
    }
}

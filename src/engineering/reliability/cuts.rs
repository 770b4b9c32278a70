//! The smallest sets of failures that cut a need.
//!
//! A *cut* is a set of items without which the need is not met; it is *minimal* when no part of it
//! is a cut. A minimal cut of one item is a single point of failure. A need that is not met even
//! with nothing failed has one minimal cut, the empty one.
//!
//! Formula: every cut has an item of every way, so a way that avoids the items failed so far names
//! all the next ones. The search fails each item of such a way in turn, sizes in ascending order. An
//! item already tried at a branching is left out beneath its later branches, so no set comes up
//! twice and none need be remembered. What contains a cut already found is passed over.
//!
//! Units: none; items are counted.
//!
//! Valid range: any count, any size. Items at or above the count are taken as never failing.
//!
//! When it is wrong: never as to what is listed: each cut is confirmed by the oracle and minimal,
//! also when the budget ran out. `whole` tells whether more may be missing.
//!
//! Complexity: with `w` the most items in a way, at most `w^most` sets. Ways are remembered, so the
//! oracle is called once for each cut found and once for each new way, never twice for one set; a
//! set whose answer is known from a remembered way costs a scan of ways and cuts. [`SETS_PER_CALL`]
//! bounds those.
//!
//! Source: the bounded search tree for hitting sets, in textbooks of parameterised algorithms; that
//! minimal cuts are the minimal hitting sets of the ways is Berge, "Hypergraphs", transversals. Both
//! from memory.
//!
//! Worked example: the bridge of five lines (1 and 2 leave the source, 4 and 5 enter the target, 3
//! joins the middles) has the minimal cuts {1, 2}, {4, 5}, {1, 3, 5} and {2, 3, 4}.

use super::{Failed, Works};

/// Sets that may be looked at for each oracle call of the budget.
///
/// It keeps the time within the budget where remembered ways answer almost everything.
pub const SETS_PER_CALL: u64 = 64;

/// The minimal cuts up to a size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cuts {
    /// The cuts, small ones first, then in the order of their items; each ascending.
    pub cuts: Vec<Vec<u32>>,
    /// Whether there is none besides; false when the budget ran out.
    pub whole: bool,
}

impl Cuts {
    /// Lists the single points of failure: the items that cut the need alone.
    pub fn single_points(&self) -> Vec<u32> {
        self.cuts
            .iter()
            .filter_map(|cut| match cut[..] {
                [item] => Some(item),
                _ => None,
            })
            .collect()
    }
}

/// Lists every minimal cut with at most `most` items out of those below `count`.
///
/// `budget` is the number of oracle calls allowed. The answer depends on nothing but the arguments;
/// when it is whole, not even on which ways the oracle picks.
pub fn smallest(count: u32, works: &mut impl Works, most: usize, budget: u32) -> Cuts {
    let mut search = Search::new(count, works, budget);
    let mut whole = true;
    for size in 0..=most {
        match search.level(size, Wanted::All) {
            Level::MoreAbove => {}
            Level::NoneAbove => break,
            Level::Stopped => {
                whole = false;
                break;
            }
        }
    }
    let mut cuts: Vec<Vec<u32>> = search.cuts.iter().map(|cut| cut.iter().collect()).collect();
    cuts.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    Cuts { cuts, whole }
}

/// Returns the size of the smallest cut, if it has at most `most` items.
///
/// `None` means that every cut is larger, that there is none, or that the budget of oracle calls ran
/// out before one was found; where the difference matters, ask [`smallest`].
pub fn minimum(count: u32, works: &mut impl Works, most: usize, budget: u32) -> Option<usize> {
    let mut search = Search::new(count, works, budget);
    for size in 0..=most {
        let level = search.level(size, Wanted::One);
        if !search.cuts.is_empty() {
            return Some(size);
        }
        if level != Level::MoreAbove {
            break;
        }
    }
    None
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wanted {
    All,
    One,
}

/// How the search of one size ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Level {
    /// Larger cuts may exist.
    MoreAbove,
    /// Every cut has been found.
    NoneAbove,
    /// The budget ran out, or the one cut wanted was found.
    Stopped,
}

/// What a set turned out to be.
enum Set {
    /// No cut: the remembered way of this number avoids it.
    Open(usize),
    /// A cut, or larger than one.
    Closed,
    /// The budget ran out before it was known.
    Unknown,
}

struct Search<'a, W> {
    count: u32,
    works: &'a mut W,
    ways: Vec<Failed>,
    /// Minimal: a size is begun only when all smaller ones are done.
    cuts: Vec<Failed>,
    calls_left: u32,
    sets_left: u64,
}

impl<'a, W: Works> Search<'a, W> {
    fn new(count: u32, works: &'a mut W, budget: u32) -> Self {
        Self {
            count,
            works,
            ways: Vec::new(),
            cuts: Vec::new(),
            calls_left: budget,
            sets_left: u64::from(budget) * SETS_PER_CALL,
        }
    }

    /// Finds the minimal cuts of one size, those of all smaller sizes being known.
    fn level(&mut self, size: usize, wanted: Wanted) -> Level {
        let mut is_more_above = false;
        let mut failed = Failed::new();
        // Items tried at an earlier branch of one of the branchings.
        let mut barred = Failed::new();
        // For each failed item, the branching it comes from and its place there.
        let mut branchings: Vec<(Vec<u32>, usize)> = Vec::with_capacity(size.min(64));
        loop {
            match self.look(&failed) {
                Set::Unknown => return Level::Stopped,
                Set::Closed if wanted == Wanted::One && !self.cuts.is_empty() => {
                    return Level::Stopped;
                }
                Set::Open(way) if branchings.len() < size => {
                    let next = |item: &u32| !barred.contains(*item) && !failed.contains(*item);
                    let items: Vec<u32> = self.ways[way].iter().filter(next).collect();
                    if let Some(first) = items.first() {
                        failed.insert(*first);
                        branchings.push((items, 0));
                        continue;
                    }
                }
                Set::Open(way) => {
                    is_more_above |= !self.ways[way].is_within(&barred);
                }
                Set::Closed => {}
            }
            // On to the next branch, closing the branchings that have none left.
            loop {
                let Some((items, at)) = branchings.last_mut() else {
                    return if is_more_above {
                        Level::MoreAbove
                    } else {
                        Level::NoneAbove
                    };
                };
                failed.remove(items[*at]);
                barred.insert(items[*at]);
                *at += 1;
                if let Some(item) = items.get(*at) {
                    failed.insert(*item);
                    break;
                }
                for item in items.iter() {
                    barred.remove(*item);
                }
                branchings.pop();
            }
        }
    }

    /// Tells what a set is, from what is remembered or else from the oracle.
    fn look(&mut self, failed: &Failed) -> Set {
        let Some(sets_left) = self.sets_left.checked_sub(1) else {
            return Set::Unknown;
        };
        self.sets_left = sets_left;
        if self.cuts.iter().any(|cut| cut.is_within(failed)) {
            return Set::Closed;
        }
        if let Some(way) = self.ways.iter().position(|way| !way.meets(failed)) {
            return Set::Open(way);
        }
        let Some(calls_left) = self.calls_left.checked_sub(1) else {
            return Set::Unknown;
        };
        self.calls_left = calls_left;
        let Some(way) = self.works.way(failed) else {
            self.cuts.push(failed.clone());
            return Set::Closed;
        };
        let can_fail = way.into_iter().filter(|item| *item < self.count);
        self.ways.push(can_fail.collect());
        Set::Open(self.ways.len() - 1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::reliability::brute::{self, System};
    use crate::engineering::reliability::seeded::SplitMix64;

    fn bridge() -> System {
        System::new(&[&[1, 4], &[2, 5], &[1, 3, 5], &[2, 3, 4]])
    }

    #[test]
    fn the_bridge_has_its_textbook_cuts() {
        let found = smallest(6, &mut bridge(), 5, 1000);
        let cuts: [&[u32]; 4] = [&[1, 2], &[4, 5], &[1, 3, 5], &[2, 3, 4]];
        assert_eq!(found.cuts, cuts);
        assert!(found.whole && found.single_points().is_empty());
        assert_eq!(smallest(6, &mut bridge(), 2, 1000).cuts, cuts[..2]);
        assert_eq!(minimum(6, &mut bridge(), 5, 1000), Some(2));
        assert_eq!(minimum(6, &mut bridge(), 1, 1000), None);
    }

    #[test]
    fn cuts_are_those_of_brute_force() {
        let mut random = SplitMix64::new(11);
        let mut sizes = [0; 13];
        for round in 0..600 {
            let count = 1 + random.below(12);
            let mut system = System::random(&mut random, count);
            let all = brute::minimal_cuts(count, |failed| system.way(failed).is_some());
            for most in [0, 1, 2, 3, 12] {
                let found = smallest(count, &mut system, most, 100_000);
                let expected: Vec<_> = all
                    .iter()
                    .filter(|cut| cut.len() <= most)
                    .cloned()
                    .collect();
                assert_eq!(
                    found.cuts, expected,
                    "round {round}, most {most}: {system:?}"
                );
                assert!(found.whole, "round {round}");
                let least = expected.first().map(Vec::len);
                assert_eq!(minimum(count, &mut system, most, 100_000), least);
            }
            for cut in &all {
                sizes[cut.len()] += 1;
            }
        }
        assert!(
            sizes[..5].iter().all(|n| *n > 10),
            "many sizes came up: {sizes:?}"
        );
    }

    #[test]
    fn needs_always_met_and_never_met() {
        let mut always = |_: &Failed| Some(Vec::new());
        assert_eq!(smallest(4, &mut always, 9, 10).cuts, Vec::<Vec<u32>>::new());
        assert_eq!(minimum(4, &mut always, 9, 10), None);
        let mut never = |_: &Failed| None;
        assert_eq!(smallest(4, &mut never, 9, 10).cuts, [Vec::<u32>::new()]);
        assert_eq!(minimum(4, &mut never, 9, 10), Some(0));
        assert_eq!(minimum(4, &mut never, 0, 10), Some(0));
    }

    #[test]
    fn items_at_or_above_the_count_never_fail() {
        let mut system = System::new(&[&[0, 3], &[1, 3]]);
        assert_eq!(smallest(4, &mut system, 4, 100).cuts, [vec![3], vec![0, 1]]);
        assert_eq!(smallest(3, &mut system, 4, 100).cuts, [vec![0, 1]]);
    }

    #[test]
    fn a_budget_is_kept_and_what_is_listed_stays_right() {
        let mut random = SplitMix64::new(12);
        let mut cut_short = 0;
        for _ in 0..100 {
            let mut system = System::random(&mut random, 12);
            let all = smallest(12, &mut system, 12, 100_000);
            for budget in 0..30 {
                let mut calls = 0;
                let mut counted = |failed: &Failed| {
                    calls += 1;
                    system.way(failed)
                };
                let found = smallest(12, &mut counted, 12, budget);
                assert!(calls <= budget, "{calls} calls, {budget} allowed");
                assert!(found.cuts.iter().all(|cut| all.cuts.contains(cut)));
                assert!(!found.whole || found == all);
                cut_short += u32::from(!found.whole);
            }
        }
        assert!(cut_short > 100, "{cut_short}");
    }

    #[test]
    fn no_question_is_asked_twice_and_remembered_ways_answer_most() {
        // Twenty pairs in series: 2^20 ways, 20 cuts of two, 821 sets of at most two items.
        let mut asked = std::collections::BTreeSet::new();
        let mut pairs = |failed: &Failed| {
            assert!(asked.insert(failed.clone()), "asked twice: {failed:?}");
            brute::pairs_in_series(20, failed)
        };
        let found = smallest(40, &mut pairs, 2, 1000);
        assert_eq!(found.cuts.len(), 20);
        assert!(found.whole);
        assert!(asked.len() < 250, "{} calls", asked.len());
    }

    #[test]
    fn no_set_is_looked_at_twice_in_one_size() {
        // Six of ten items: 252 cuts of five.
        let mut six = |failed: &Failed| {
            let up: Vec<u32> = (0..10)
                .filter(|item| !failed.contains(*item))
                .take(6)
                .collect();
            (up.len() == 6).then_some(up)
        };
        let mut search = Search::new(10, &mut six, 1000);
        let before = search.sets_left;
        let levels = [0, 1, 2, 3, 4, 5].map(|size| search.level(size, Wanted::All));
        assert_eq!(levels[4..], [Level::MoreAbove, Level::NoneAbove]);
        assert_eq!(search.cuts.len(), 252);
        // Sets of at most 0, 1, … 5 of ten items, each size searched from the start.
        let sets = 1 + 11 + 56 + 176 + 386 + 638;
        assert!(
            before - search.sets_left <= sets,
            "{}",
            before - search.sets_left
        );
    }

    #[test]
    fn a_wide_need_is_searched_to_its_full_width() {
        // 100 items side by side: one cut, of all of them.
        let mut any = |failed: &Failed| (0..100).find(|i| !failed.contains(*i)).map(|i| vec![i]);
        assert_eq!(minimum(100, &mut any, usize::MAX, 10_000), Some(100));
        assert_eq!(minimum(100, &mut any, 99, 10_000), None);
    }
}

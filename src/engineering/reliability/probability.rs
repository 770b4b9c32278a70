//! The probability that a need is met, items failing independently.
//!
//! Formula: let a way have the items `i1 … ik`. Either all are up, or one is the first that is down:
//! `P = a1 … ak + sum over j of a1 … a(j-1) (1 - aj) P(met | i1 … i(j-1) up, ij down)`, and again
//! for each condition with a way that avoids what is down. Items known to be up count as certain.
//! The most probable condition is opened first. When the budget is used up, the conditions still
//! open, of probability `R` together, are sampled instead: `P = L + R m / n`, `L` being what is
//! settled and `m` of `n` samples having been met. Each condition gets samples by its share of `R`
//! (stratified sampling).
//!
//! Units: probabilities, 0 to 1.
//!
//! Valid range: every availability from 0 to 1. Items above those given are taken as always up.
//!
//! When it is wrong: items that fail together (one battery, one mast, one storm), unless the common
//! cause is an item of its own. Availability is a long-run share of time; a need of a few hours is
//! met or not with what works on that day.
//!
//! The error: without a standard error the value is exact to 1e-12. Otherwise the standard error is
//! at most 0.002, since `n` is `(R / 0.004)^2` and a share of samples is off by at most
//! `1 / (2 sqrt n)`; about 95 of 100 values are within two standard errors. It is computed from
//! `(m + 1) / (n + 2)`, so that it is never nought, and is on the large side as stratifying
//! only makes the value better.
//!
//! Complexity: exponential in the worst case, as is the question (Valiant 1979). Ways are remembered
//! and cuts too, made minimal first, so that most conditions are settled without the oracle. At most
//! `budget` oracle calls before sampling and at most 62 500 in it. [`CONDITIONS_PER_CALL`] bounds what
//! is done without the oracle; where it is reached first, sampling begins before the calls are used
//! up.
//!
//! Determinism: the same arguments and the same ways give the same bits on every machine; only sums,
//! products, quotients and square roots are taken.
//!
//! Source: factoring on a pivot, textbook reliability theory (Barlow and Proschan), with the items
//! of a way as pivots in turn (Dotson and Gobien 1979); stratified sampling after settling the most
//! probable states first (Li and Silvester 1984). All from memory. The bridge's closed form is a
//! textbook one, from memory too; that its leading coefficient is 2 is in print (Barlow,
//! "Engineering Reliability", section 6.1).
//!
//! Worked example: five lines of 0.9 as a bridge: `2 p^2 + 2 p^3 - 5 p^4 + 2 p^5 = 0.97848`.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::availability::AVAILABILITY;
use super::known::{Answer, Known};
use super::seeded::SplitMix64;
use super::{Failed, Works};
use crate::engineering::OutOfRange;

/// The standard error that sampling must not exceed.
pub const STANDARD_ERROR: f64 = 0.002;
/// The fewest samples taken when any are.
pub const FEWEST_SAMPLES: u32 = 1000;
/// Conditions that may be opened for each oracle call of the budget.
///
/// It keeps the time within the budget where remembered ways answer almost everything.
pub const CONDITIONS_PER_CALL: u64 = 16;
/// Conditions that may be open at once; it bounds the memory.
const MOST_OPEN: usize = 1 << 17;
/// Probability that may stay open in a value called exact.
const NEGLIGIBLE: f64 = 1e-13;

/// The probability that a need is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chance {
    /// The probability.
    pub value: f64,
    /// The standard error, if the value was estimated; `None` when it is exact.
    pub error: Option<f64>,
    /// Samples taken, 0 when exact.
    pub samples: u32,
}

/// Returns the probability that a need is met, the items having these availabilities.
///
/// It is exact if `budget` oracle calls are enough for that, and estimated if not. The seed matters
/// only for an estimate; one seed always gives one answer.
///
/// # Errors
///
/// An availability is not a number from 0 to 1.
pub fn met(
    works: &mut impl Works,
    availability: &[f64],
    budget: u32,
    seed: u64,
) -> Result<Chance, OutOfRange> {
    for a in availability {
        AVAILABILITY.check(*a)?;
    }
    let mut oracle = Known::new(works, availability, budget);
    let mut open = BinaryHeap::from([Condition::first(oracle.never_up.clone())]);
    let mut opened = 0;
    let mut settled = 0.0;
    let most_opened = u64::from(budget) * CONDITIONS_PER_CALL;
    while let Some(condition) = open.pop() {
        // None of those left is more probable than this one.
        if condition.mass * (open.len() + 1) as f64 <= NEGLIGIBLE {
            break;
        }
        let answer = if opened < most_opened && open.len() < MOST_OPEN {
            oracle.way(&condition.failed, &condition.up)
        } else {
            Answer::Spent
        };
        match answer {
            Answer::Way(items) => {
                opened += items.len() as u64;
                settled += condition.split(&items, availability, &mut open);
            }
            Answer::Cut => {}
            Answer::Spent => {
                open.push(condition);
                return Ok(estimate(&mut oracle, availability, open, settled, seed));
            }
        }
    }
    Ok(Chance {
        value: settled.min(1.0),
        error: None,
        samples: 0,
    })
}

/// Samples the conditions still open.
fn estimate<W: Works>(
    oracle: &mut Known<'_, W>,
    availability: &[f64],
    open: BinaryHeap<Condition>,
    settled: f64,
    seed: u64,
) -> Chance {
    let open = open.into_sorted_vec();
    let rest: f64 = open.iter().map(|condition| condition.mass).sum();
    let wanted = rest / (2.0 * STANDARD_ERROR);
    let samples = ((wanted * wanted).ceil() as u32).max(FEWEST_SAMPLES);
    let mut random = SplitMix64::new(seed);
    let mut met = 0;
    // One sample from each of as many equal parts of the open probability.
    let part = rest / f64::from(samples);
    let mut sample = 0;
    let mut place = random.unit() * part;
    let mut passed = 0.0;
    for (number, condition) in (1..).zip(&open) {
        // Rounding may put a place beyond the end; the last condition takes it.
        let is_last = number == open.len();
        passed = if is_last {
            f64::INFINITY
        } else {
            passed + condition.mass
        };
        if place >= passed {
            continue;
        }
        let doubtful = condition.doubtful(availability);
        while sample < samples && place < passed {
            let down = doubtful.iter().filter(|(_, a)| random.unit() >= *a);
            let mut failed = condition.failed.clone();
            failed.extend(down.map(|(item, _)| *item));
            met += u32::from(oracle.is_met(&failed));
            sample += 1;
            place = (f64::from(sample) + random.unit()) * part;
        }
    }
    let share = f64::from(met) / f64::from(samples);
    let cautious = f64::from(met + 1) / f64::from(samples + 2);
    Chance {
        value: (settled + rest * share).min(1.0),
        error: Some(rest * (cautious * (1.0 - cautious) / f64::from(samples)).sqrt()),
        samples,
    }
}

/// Some items known up, some known failed, and how probable that is.
struct Condition {
    mass: f64,
    failed: Failed,
    up: Failed,
}

impl Condition {
    const fn first(failed: Failed) -> Self {
        Self {
            mass: 1.0,
            failed,
            up: Failed::new(),
        }
    }

    /// Opens one condition for each item that may be the first down; returns the probability that
    /// none is.
    fn split(self, items: &[u32], availability: &[f64], open: &mut BinaryHeap<Self>) -> f64 {
        let Self {
            mut mass,
            failed,
            mut up,
        } = self;
        for item in items {
            let a = availability.get(*item as usize).copied().unwrap_or(1.0);
            let down = mass * (1.0 - a);
            if down > 0.0 {
                open.push(Self {
                    mass: down,
                    failed: failed.with(*item),
                    up: up.clone(),
                });
            }
            mass *= a;
            up.insert(*item);
        }
        mass
    }

    /// Lists the items neither known up nor known failed, with their availabilities.
    fn doubtful(&self, availability: &[f64]) -> Vec<(u32, f64)> {
        let is_open = |item: &u32| !self.failed.contains(*item) && !self.up.contains(*item);
        let items = (0..).zip(availability.iter().copied());
        items.filter(|(item, _)| is_open(item)).collect()
    }
}

impl Ord for Condition {
    /// The more probable is the greater; ties go by the items, so that the order is total.
    fn cmp(&self, other: &Self) -> Ordering {
        (self.mass.total_cmp(&other.mass))
            .then_with(|| other.failed.cmp(&self.failed))
            .then_with(|| other.up.cmp(&self.up))
    }
}

impl PartialOrd for Condition {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Condition {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Condition {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::reliability::availability::{k_of_n, parallel, series};
    use crate::engineering::reliability::brute::{self, Items, System};

    fn exact(works: &mut impl Works, availability: &[f64]) -> f64 {
        let chance = met(works, availability, 1_000_000, 0).expect("from 0 to 1");
        assert_eq!(
            (chance.error, chance.samples),
            (None, 0),
            "the budget is ample"
        );
        chance.value
    }

    #[test]
    fn textbook_networks_have_their_closed_forms() {
        let mut bridge = System::new(&[&[0, 3], &[1, 4], &[0, 2, 4], &[1, 2, 3]]);
        let mut majority = System::new(&[&[0, 1], &[1, 2], &[0, 2]]);
        let mut line = System::new(&[&[0, 1, 2]]);
        let mut fan = System::new(&[&[0], &[1], &[2]]);
        agrees(
            "bridge 2p^2 + 2p^3 - 5p^4 + 2p^5 (textbook, from memory), others as formulas",
            1e-12,
            &[
                ("bridge at 0.9", exact(&mut bridge, &[0.9; 5]), 0.97848),
                ("bridge at 0.5", exact(&mut bridge, &[0.5; 5]), 0.5),
                ("two of three", exact(&mut majority, &[0.9; 3]), 0.972),
                ("series", exact(&mut line, &[0.9, 0.8, 0.7]), 0.504),
                ("parallel", exact(&mut fan, &[0.9, 0.8, 0.7]), 0.994),
            ],
        );
        for p in (0..=20_i32).map(|step| f64::from(step) / 20.0) {
            let closed = 2.0 * p.powi(2) + 2.0 * p.powi(3) - 5.0 * p.powi(4) + 2.0 * p.powi(5);
            assert!((exact(&mut bridge, &[p; 5]) - closed).abs() < 1e-12, "{p}");
        }
        let unlike = [0.3, 0.99, 0.5];
        let close = |a: f64, b: Result<f64, _>| (a - b.unwrap()).abs() < 1e-12;
        assert!(close(exact(&mut line, &unlike), series(&unlike)));
        assert!(close(exact(&mut fan, &unlike), parallel(&unlike)));
        assert!(close(exact(&mut majority, &unlike), k_of_n(2, &unlike)));
    }

    /// Draws an availability, certain up and certain down among them.
    fn availability(random: &mut SplitMix64) -> f64 {
        match random.below(8) {
            0 => 0.0,
            1 => 1.0,
            _ => random.unit(),
        }
    }

    #[test]
    fn small_systems_agree_with_brute_force() {
        let mut random = SplitMix64::new(61);
        let mut between = 0;
        for round in 0..400 {
            let count = 1 + random.below(10);
            let mut system = System::random(&mut random, count);
            let items: Vec<f64> = (0..count).map(|_| availability(&mut random)).collect();
            let expected = brute::probability(&items, |failed| system.way(failed).is_some());
            let ours = exact(&mut system, &items);
            assert!(
                (ours - expected).abs() < 1e-12,
                "round {round}: {ours}, {expected}"
            );
            between += u32::from(ours > 0.01 && ours < 0.99);
        }
        assert!(between > 100, "{between}");
        for _ in 0..100 {
            let graph = brute::graph(&mut random, Items::Anywhere);
            let items: Vec<f64> = (0..12).map(|_| availability(&mut random)).collect();
            let mut need = graph.pair(0, 1);
            let expected = brute::probability(&items, |failed| need.way(failed).is_some());
            let ours = exact(&mut need, &items);
            assert!(
                (ours - expected).abs() < 1e-12,
                "{ours}, {expected}: {graph:?}"
            );
        }
    }

    #[test]
    fn estimates_keep_their_stated_error() {
        // Ten pairs in series, with a closed form; too small a budget for it.
        let items: Vec<f64> = (0..20).map(|item| 0.6 + 0.015 * f64::from(item)).collect();
        let pairs: Vec<f64> = items
            .chunks(2)
            .map(|pair| parallel(pair).unwrap())
            .collect();
        let truth = series(&pairs).unwrap();
        for (budget, seeds) in [(0, 1), (40, 8), (100, 40)] {
            let mut within_two = 0;
            for seed in 0..seeds {
                let mut works = |failed: &Failed| brute::pairs_in_series(10, failed);
                let chance = met(&mut works, &items, budget, seed).unwrap();
                let error = chance.error.expect("the budget is too small");
                assert!(error > 0.0 && error <= STANDARD_ERROR, "{chance:?}");
                assert!(chance.samples >= FEWEST_SAMPLES && chance.samples <= 62_500);
                let off = (chance.value - truth).abs();
                assert!(off <= 4.0 * error, "{chance:?}, truth {truth}");
                within_two += u32::from(off <= 2.0 * error);
            }
            // 95.4 % expected of a normal error, less four standard deviations of that count.
            let (n, p) = (seeds as f64, 0.954);
            let least = n * p - 4.0 * (n * p * (1.0 - p)).sqrt();
            assert!(
                f64::from(within_two) >= least,
                "budget {budget}: {within_two} of {seeds}"
            );
        }
    }

    #[test]
    fn an_estimate_agrees_with_the_exact_value_of_the_same_graph() {
        let mut random = SplitMix64::new(62);
        let mut estimated = 0;
        for seed in 0..40 {
            let graph = brute::graph(&mut random, Items::Once);
            let items: Vec<f64> = (0..12).map(|_| 0.3 + 0.7 * random.unit()).collect();
            let mut need = graph.pair(0, graph.vertices.len() - 1);
            let truth = exact(&mut need, &items);
            let chance = met(&mut need, &items, 1, seed).unwrap();
            let error = chance.error.unwrap_or(1e-12);
            assert!(
                (chance.value - truth).abs() <= 4.0 * error,
                "{chance:?}, truth {truth}"
            );
            estimated += u32::from(chance.error.is_some());
        }
        assert!(estimated > 10, "{estimated}");
    }

    #[test]
    fn one_seed_gives_one_answer_and_a_budget_is_kept() {
        let items = [0.9; 24];
        let run = |budget: u32, seed: u64| {
            let mut calls = 0;
            let mut works = |failed: &Failed| {
                calls += 1;
                brute::pairs_in_series(12, failed)
            };
            let chance = met(&mut works, &items, budget, seed).unwrap();
            assert!(calls <= budget + chance.samples, "{calls} calls");
            chance
        };
        let bits = |chance: Chance| (chance.value.to_bits(), chance.error.map(f64::to_bits));
        for budget in [20, 50, 200] {
            assert_eq!(bits(run(budget, 7)), bits(run(budget, 7)));
            assert_ne!(bits(run(budget, 7)), bits(run(budget, 8)));
        }
        // The bits of one run, written down: no machine may give others.
        assert_eq!(run(50, 7).value.to_bits(), 4_606_162_207_122_284_594);
    }

    #[test]
    fn a_likely_need_is_estimated_the_better() {
        // With items of 0.999 most of the probability is settled before sampling.
        let items = [0.999; 40];
        let mut works = |failed: &Failed| brute::pairs_in_series(20, failed);
        let chance = met(&mut works, &items, 20, 1).unwrap();
        let truth = series(&[1.0 - 1e-6; 20]).unwrap();
        let error = chance.error.unwrap_or(1e-12);
        assert!(
            error < 1e-4 && (chance.value - truth).abs() <= 4.0 * error,
            "{chance:?}"
        );
    }

    #[test]
    fn raising_an_availability_never_lowers_the_chance() {
        let mut random = SplitMix64::new(63);
        for _ in 0..100 {
            let mut system = System::random(&mut random, 8);
            let mut items: Vec<f64> = (0..8).map(|_| random.unit()).collect();
            let item = random.below(8) as usize;
            let mut before = 0.0;
            for step in 0..=5 {
                items[item] = f64::from(step) / 5.0;
                let now = exact(&mut system, &items);
                assert!(now >= before - 1e-12 && now <= 1.0, "{now} after {before}");
                before = now;
            }
        }
    }

    #[test]
    fn certain_needs_and_refusals() {
        assert!((exact(&mut |_: &Failed| Some(vec![3]), &[0.5; 2]) - 1.0).abs() < 1e-15);
        assert!((exact(&mut |_: &Failed| Some(Vec::new()), &[]) - 1.0).abs() < 1e-15);
        assert!(exact(&mut |_: &Failed| None, &[0.5; 2]).abs() < 1e-15);
        for bad in [-0.1, 1.1, f64::NAN] {
            let refused = met(&mut |_: &Failed| None, &[0.5, bad], 10, 0).unwrap_err();
            assert_eq!(refused.range, AVAILABILITY);
        }
    }
}

//! Availability of one item, and of items in series, in parallel and k out of n.
//!
//! Formula: `A = MTBF / (MTBF + MTTR)`; in series `A = A1 A2 …`; in parallel
//! `A = 1 - (1 - A1)(1 - A2) …`; k out of n is the sum of the probabilities of all states with at
//! least k items up, which for equal items is `sum over i from k to n of C(n, i) A^i (1 - A)^(n-i)`.
//!
//! Units: hours; availability is a share of time from 0 to 1.
//!
//! Valid range: [`MTBF_H`], [`MTTR_H`], [`AVAILABILITY`]; k at most n.
//!
//! When it is wrong: early in an item's life (this is the long-run share). Items that fail together
//! (one battery, one mast, one storm) or queue for one repairer. The mean time between failures is
//! the operating time between them (IEC 60050-192); a figure that has the repair in it already gives
//! too much. At an incident the time to repair is often the time to fetch a spare.
//!
//! Source: textbook reliability engineering, from memory. Printed examples: System Analysis
//! Reference, chapter "RBDs and Analytical System Reliability" (inputs of the series example found
//! in print, the other figures from memory).
//!
//! Worked example: 1000 h between failures and 10 h to repair give 0.990099; two such in parallel
//! 0.999902; three items of 0.995, 0.987 and 0.973 in series 0.9555.

use crate::engineering::{OutOfRange, Range};

/// Mean operating time between failures.
pub const MTBF_H: Range = Range::new("mean time between failures", 0.001, 1e9, "h");
/// Mean time to repair, waiting for parts and people included.
pub const MTTR_H: Range = Range::new("mean time to repair", 0.0, 1e6, "h");
/// Share of time that an item is up.
pub const AVAILABILITY: Range = Range::new("availability", 0.0, 1.0, "");

/// Returns the long-run share of time that an item is up.
pub fn steady(mtbf_h: f64, mttr_h: f64) -> Result<f64, OutOfRange> {
    let (up, down) = (MTBF_H.check(mtbf_h)?, MTTR_H.check(mttr_h)?);
    Ok(up / (up + down))
}

/// Returns the availability of items that must all be up; of none at all, 1.
pub fn series(items: &[f64]) -> Result<f64, OutOfRange> {
    let up = |product: f64, a: &f64| Ok(product * AVAILABILITY.check(*a)?);
    items.iter().try_fold(1.0, up)
}

/// Returns the availability of items of which one must be up; of none at all, 0.
pub fn parallel(items: &[f64]) -> Result<f64, OutOfRange> {
    let down = |product: f64, a: &f64| Ok(product * (1.0 - AVAILABILITY.check(*a)?));
    Ok(1.0 - items.iter().try_fold(1.0, down)?)
}

/// Returns the availability of items of which at least `k` must be up; they need not be alike.
///
/// Complexity: `n` squared. It sums terms of one sign only, so rounding stays near 1e-15.
///
/// # Errors
///
/// An availability is outside 0 to 1, or `k` is more than there are items.
pub fn k_of_n(k: usize, items: &[f64]) -> Result<f64, OutOfRange> {
    Range::new("number of items needed", 0.0, items.len() as f64, "").check(k as f64)?;
    // up[i] is the probability that exactly i of the items seen so far are up.
    let mut up = vec![0.0; items.len() + 1];
    up[0] = 1.0;
    for (seen, a) in items.iter().enumerate() {
        let a = AVAILABILITY.check(*a)?;
        for i in (0..=seen).rev() {
            up[i + 1] += up[i] * a;
            up[i] *= 1.0 - a;
        }
    }
    Ok(up[k..].iter().sum::<f64>().min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::reliability::brute;
    use crate::engineering::reliability::seeded::SplitMix64;

    #[test]
    fn values_are_as_published() {
        let source = "System Analysis Reference, RBDs and Analytical System Reliability";
        let three = [0.995, 0.987, 0.973];
        agrees(
            source,
            0.5e-4,
            &[
                ("series of three", series(&three).unwrap(), 0.9555),
                (
                    "two of three unlike",
                    k_of_n(2, &[0.9, 0.88, 0.85]).unwrap(),
                    0.9586,
                ),
            ],
        );
        agrees(
            source,
            0.5e-6,
            &[("parallel", parallel(&three).unwrap(), 0.999_998)],
        );
    }

    #[test]
    fn values_are_those_of_the_textbook_formulas() {
        // Two of three is 3 p^2 - 2 p^3 and three of five 10 p^3 - 15 p^4 + 6 p^5, from memory.
        let unit = steady(1000.0, 10.0).unwrap();
        agrees(
            "textbook formulas",
            1e-12,
            &[
                ("MTBF 1000 h, MTTR 10 h", unit, 100.0 / 101.0),
                (
                    "two of it",
                    parallel(&[unit; 2]).unwrap(),
                    1.0 - 1.0 / 10_201.0,
                ),
                ("no time to repair", steady(1000.0, 0.0).unwrap(), 1.0),
                ("two of three at 0.9", k_of_n(2, &[0.9; 3]).unwrap(), 0.972),
                (
                    "three of five at 0.9",
                    k_of_n(3, &[0.9; 5]).unwrap(),
                    0.99144,
                ),
            ],
        );
        let five_nines = series(&[0.99999; 2]).unwrap();
        agrees(
            "common table of nines",
            0.5e-5,
            &[("in series", five_nines, 0.99998)],
        );
    }

    #[test]
    fn k_of_n_is_brute_force_and_has_series_and_parallel_as_its_ends() {
        let mut random = SplitMix64::new(51);
        for _ in 0..100 {
            let n = 1 + random.below(10) as usize;
            let items: Vec<f64> = (0..n).map(|_| random.unit()).collect();
            for k in 0..=n {
                let expected = brute::probability(&items, |failed| n - failed.len() >= k);
                let ours = k_of_n(k, &items).unwrap();
                assert!((ours - expected).abs() < 1e-12, "{k} of {items:?}");
                assert!(k == 0 || ours <= k_of_n(k - 1, &items).unwrap());
            }
            let ends = [series(&items).unwrap(), parallel(&items).unwrap()];
            for (k, end) in [n, 1].into_iter().zip(ends) {
                assert!(
                    (k_of_n(k, &items).unwrap() - end).abs() < 1e-12,
                    "{k} of {items:?}"
                );
            }
        }
    }

    #[test]
    fn nothing_in_series_is_up_and_nothing_in_parallel_is_down() {
        assert_eq!(series(&[]), Ok(1.0));
        assert_eq!(parallel(&[]), Ok(0.0));
        assert_eq!(k_of_n(0, &[]), Ok(1.0));
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [-0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert!(series(&[0.5, bad]).is_err(), "{bad}");
            assert!(parallel(&[0.5, bad]).is_err(), "{bad}");
            assert!(k_of_n(1, &[0.5, bad]).is_err(), "{bad}");
        }
        assert!(steady(0.0, 1.0).is_err() && steady(1.0, -1.0).is_err());
        assert!(steady(f64::NAN, 1.0).is_err() && steady(1.0, f64::INFINITY).is_err());
        let said = k_of_n(4, &[0.5; 3]).unwrap_err().to_string();
        assert_eq!(said, "number of items needed is 4; it must be 0 to 3");
    }
}

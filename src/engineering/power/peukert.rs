//! How high drain shortens a lead-acid battery's life.
//!
//! Formula: `t = H (C / (I H))^k`.
//!
//! Units: ampere-hours, hours, amperes; the exponent is a plain number.
//!
//! Valid range: exponent 1 (ideal) to 2; rated for 0.1 to 1000 h.
//!
//! When it is wrong: below the rated current it promises more than the rated capacity, which a
//! battery does not hold; age, cold and cut-off are not in it. With pulses, as of a transmitter,
//! the formula on the average current is hopeful.
//!
//! Source: textbook (W. Peukert, 1897). Usual exponents, 1.1 to 1.25 for sealed lead-acid, 1.2 to
//! 1.5 for flooded, 1.02 to 1.08 for lithium iron phosphate: from memory.
//!
//! Worked example: 100 Ah at 20 h, drained with 10 A at exponent 1.2, last 8.7055 h.

use crate::engineering::{OutOfRange, Range};

/// Rated capacities.
pub const CAPACITY: Range = Range::new("rated capacity", 0.001, 100_000.0, "Ah");
/// Hours for which the capacity is rated.
pub const RATED: Range = Range::new("rated time", 0.1, 1000.0, "h");
/// Drains.
pub const DRAIN: Range = Range::new("drain", 0.000_1, 100_000.0, "A");
/// Exponents.
pub const EXPONENT: Range = Range::new("Peukert exponent", 1.0, 2.0, "");

/// Returns the hours that a battery lasts at a steady drain.
///
/// # Errors
///
/// An argument is outside [`CAPACITY`], [`RATED`], [`DRAIN`] or [`EXPONENT`].
pub fn hours(capacity_ah: f64, rated_hours: f64, amps: f64, k: f64) -> Result<f64, OutOfRange> {
    let (capacity_ah, rated) = (CAPACITY.check(capacity_ah)?, RATED.check(rated_hours)?);
    let (amps, k) = (DRAIN.check(amps)?, EXPONENT.check(k)?);
    Ok(rated * (capacity_ah / (amps * rated)).powf(k))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn hours_and_delivered_capacity_are_as_computed_by_hand() {
        for (capacity, rated, amps, k, theirs, delivered) in [
            (100.0, 20.0, 5.0, 1.2, 20.0, 100.0),
            (100.0, 20.0, 10.0, 1.2, 8.7055, 87.055),
            (7.0, 20.0, 1.4, 1.15, 4.0613, 5.686),
            (12.0, 20.0, 3.0, 1.2, 2.8991, 8.697),
            (20.0, 20.0, 4.0, 1.05, 4.6652, 18.661),
        ] {
            let name = format!("{capacity} Ah at {amps} A");
            let ours = hours(capacity, rated, amps, k).unwrap();
            agrees("Peukert", 5.1e-5, &[(&name, ours, theirs)]);
            agrees("Peukert", 5.1e-4, &[(&name, ours * amps, delivered)]);
        }
    }

    #[test]
    fn an_ideal_battery_gives_its_capacity_and_others_less() {
        for amps in [0.5, 1.0, 3.0, 40.0] {
            let ideal = hours(20.0, 20.0, amps, 1.0).unwrap();
            agrees("k = 1", 1e-9, &[("hours", ideal, 20.0 / amps)]);
            let real = hours(20.0, 20.0, amps, 1.2).unwrap();
            assert_eq!(real < ideal, amps > 1.0, "{amps} A");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(hours(bad, 20.0, 1.0, 1.2).is_err());
            assert!(hours(20.0, bad, 1.0, 1.2).is_err());
            assert!(hours(20.0, 20.0, bad, 1.2).is_err());
            assert!(hours(20.0, 20.0, 1.0, bad).is_err());
        }
    }
}

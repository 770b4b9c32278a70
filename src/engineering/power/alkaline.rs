//! What an alkaline AA cell gives at a drain, at a temperature, down to a voltage.
//!
//! Formula: capacity is a straight line over the logarithm of the drain, between the durations that
//! a cell must reach at least; a good cell gives 1.7 times that. Cold and a higher cut-off each
//! leave a share.
//!
//! Units: milliamperes, milliampere-hours, degrees Celsius, volts per cell.
//!
//! Valid range: 1 to 1000 mA, -20 to 54 C, cut-off 0.8 to 1.5 V. Below 28 mA the capacity of 28 mA
//! is kept.
//!
//! When it is wrong: the minimums are of intermittent tests, an hour or so a day, and a steady
//! drain gives less at 250 mA and above. Shelf loss, 2 to 3 % a year at 20 C (from memory), is left
//! out. Cold and high drain together take more than each alone. A converter that draws steady power
//! draws more current as the cells sink.
//!
//! Source: minimum durations of LR6: IEC 60086-2 (2015 and 2021; 43 ohm from an older edition), from
//! memory. Resistive tests are taken at a mean of 1.2 V. No minimum is published at 1 A; 550 mAh
//! keeps a good cell below 1 Ah there, which is from memory. **The factor 1.7 and the shares by
//! cut-off are common practice, no source**: good present cells give 1.5 to 2 times the minimums,
//! and within that 1.7 was chosen so that a gateway at 85 mA runs the 30 h that practice reports.
//!
//! Worked example: at 85 mA and 20 C a good cell gives 1500 * 1.7 = 2550 mAh to 0.9 V: 30 h.

use super::curve;
use crate::engineering::{OutOfRange, Range};
use crate::model::Chemistry;

/// Drains of a cell.
pub const DRAIN: Range = Range::new("drain", 1.0, 1000.0, "mA");
/// Voltages at which a set stops.
pub const CUTOFF: Range = Range::new("cut-off", 0.8, 1.5, "V per cell");
/// Usual end of an alkaline cell, in volts.
pub const USUAL_CUTOFF_V: f64 = 0.9;
/// How far a good cell beats the minimum; common practice, no source.
pub const GOOD_CELL: f64 = 1.7;
/// Drain of the 43 ohm test, at which cells are usually labelled.
pub const LABEL_DRAIN_MA: f64 = MEAN_V / 43.0 * 1e3;

/// Mean voltage of a cell over its life, in volts.
const MEAN_V: f64 = 1.2;

/// Drain and least duration in hours.
const DURATIONS: [(f64, f64); 6] = [
    (LABEL_DRAIN_MA, 60.0),
    (50.0, 30.0),
    (100.0, 15.0),
    (250.0, 5.0),
    (MEAN_V / 3.9 * 1e3, 230.0 / 60.0),
    (1000.0, 0.55),
];

/// Cut-off and share of the capacity to 0.9 V; common practice, no source.
const BY_CUTOFF: [(f64, f64); 8] = [
    (0.8, 1.03),
    (USUAL_CUTOFF_V, 1.0),
    (1.0, 0.93),
    (1.1, 0.8),
    (1.2, 0.58),
    (1.3, 0.33),
    (1.4, 0.13),
    (1.5, 0.02),
];

/// Returns the least capacity of a cell at a drain, at 20 C to about 0.9 V, in mAh.
///
/// # Errors
///
/// The drain is outside [`DRAIN`].
pub fn minimum_mah(drain_ma: f64) -> Result<f64, OutOfRange> {
    let points = DURATIONS.map(|(drain, hours)| (drain.ln(), drain * hours));
    Ok(curve::at(&points, DRAIN.check(drain_ma)?.ln()))
}

/// Returns the capacity of a good cell at a drain and a temperature, to 0.9 V, in mAh.
///
/// # Errors
///
/// The drain is outside [`DRAIN`] or the temperature outside that of cells.
pub fn capacity_mah(drain_ma: f64, celsius: f64) -> Result<f64, OutOfRange> {
    Ok(GOOD_CELL * minimum_mah(drain_ma)? * Chemistry::Alkaline.share_at(celsius)?)
}

/// Returns the share of the capacity at the label's drain that is left at another drain.
///
/// # Errors
///
/// The drain is outside [`DRAIN`].
pub fn share_at_drain(drain_ma: f64) -> Result<f64, OutOfRange> {
    Ok(minimum_mah(drain_ma)? / minimum_mah(LABEL_DRAIN_MA)?)
}

/// Returns the share of the capacity to 0.9 V that comes out above a cut-off.
///
/// # Errors
///
/// The cut-off is outside [`CUTOFF`].
pub fn share_above(cutoff_v: f64) -> Result<f64, OutOfRange> {
    Ok(curve::at(&BY_CUTOFF, CUTOFF.check(cutoff_v)?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn least_durations_are_as_published() {
        let hours = |drain: f64| minimum_mah(drain).unwrap() / drain;
        let rows = [
            ("50 mA", hours(50.0), 30.0),
            ("100 mA", hours(100.0), 15.0),
            ("250 mA", hours(250.0), 5.0),
            ("43 ohm", hours(1200.0 / 43.0), 60.0),
            ("3.9 ohm, minutes", 60.0 * hours(1200.0 / 3.9), 230.0),
        ];
        agrees("IEC 60086-2, from memory", 1e-9, &rows);
        // 24 ohm, 15 s a minute, is 50 mA in pulses, for which 33 h are asked: the curve, which is
        // not drawn through it, must not promise more.
        assert!(hours(1200.0 / 24.0) <= 33.0);
        let rows = [
            ("50 mA", minimum_mah(50.0).unwrap(), 1500.0),
            ("70 mA", minimum_mah(70.0).unwrap(), 1500.0),
            ("100 mA", minimum_mah(100.0).unwrap(), 1500.0),
            ("250 mA", minimum_mah(250.0).unwrap(), 1250.0),
        ];
        agrees("by those minimums", 1e-9, &rows);
    }

    #[test]
    fn a_data_sheet_lies_between_the_minimum_and_a_good_cell() {
        let drain = LABEL_DRAIN_MA;
        agrees("43 ohm", 0.51, &[("mean current", drain, 28.0)]);
        agrees("2200 mAh", 1.0, &[("hours", 2200.0 / drain, 78.0)]);
        let (least, good) = (minimum_mah(drain), capacity_mah(drain, 20.0));
        assert!(least.unwrap() < 2200.0 && 2200.0 < good.unwrap());
    }

    #[test]
    fn good_cells_beat_the_minimum_and_stay_below_one_ampere_hour_at_one_ampere() {
        // By half or more, up to twice.
        assert!((1.5..=2.0).contains(&GOOD_CELL));
        assert!(capacity_mah(1000.0, 20.0).unwrap() < 1000.0);
    }

    #[test]
    fn more_drain_never_gives_more_and_lasts_less() {
        let mut before = (f64::INFINITY, f64::INFINITY);
        for drain in 1..=1000_u32 {
            let drain = f64::from(drain);
            let now = capacity_mah(drain, 20.0).unwrap();
            assert!(
                now <= before.0 + 1e-9 && now / drain < before.1,
                "{drain} mA"
            );
            before = (now, now / drain);
        }
    }

    #[test]
    fn a_higher_cutoff_and_cold_give_less() {
        let shares: Vec<f64> = (0..=70)
            .map(|step| share_above(1.5 - f64::from(step) / 100.0).unwrap())
            .collect();
        assert!(shares.is_sorted());
        agrees(
            "to 0.9 V",
            0.0,
            &[("share", share_above(0.9).unwrap(), 1.0)],
        );
        let cold = capacity_mah(50.0, 0.0).unwrap() / capacity_mah(50.0, 20.0).unwrap();
        agrees(
            "70 to 80 % at 0 C, from memory",
            0.05,
            &[("share", cold, 0.75)],
        );
        agrees(
            "label",
            1e-12,
            &[("share", share_at_drain(LABEL_DRAIN_MA).unwrap(), 1.0)],
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, 0.0, 1000.1] {
            assert!(minimum_mah(bad).is_err());
            assert!(capacity_mah(bad, 20.0).is_err());
            assert!(share_at_drain(bad).is_err());
        }
        assert!(capacity_mah(50.0, -21.0).is_err());
        for bad in [f64::NAN, 0.79, 1.51] {
            assert!(share_above(bad).is_err());
        }
    }
}

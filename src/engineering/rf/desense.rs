//! Desensitisation of a receiver by a transmitter on the same site.
//!
//! Formula: what arrives is `Ptx - feed loss - isolation - filter`; the receiver bears
//! `sensitivity + rejection`, the blocking or adjacent-channel rejection by how near the channels
//! are; missing is what arrives less what is borne, or 0. The spacing that gives an isolation is
//! `d = lambda 10^((Iv - 28) / 40)` vertically and `d = lambda 10^((Ih - 22 + Ga + Gb) / 20)`
//! horizontally.
//!
//! Units: watts, dBm, dB, MHz, metres.
//!
//! Valid range: transmitters 1 mW to 10 kW, losses 0 to 300 dB, sensitivities -150 to 0 dBm, rejections
//! 0 to 150 dB; vertical isolation to 70 dB.
//!
//! When it is wrong: noise of the transmitter on the receive channel adds to this, and only a filter at
//! the *transmitter* takes it away.
//!
//! Source: TIA-603-D (2009) defines the rejections; the sum is textbook, from memory. Spacings: the
//! formulas of [`isolation`](crate::engineering::rf::isolation), turned round.
//!
//! Worked example: 40 W (46.02 dBm) through 21.55 dB arrives with 24.47 dBm; a receiver of -116 dBm with
//! 90 dB blocking bears -26 dBm, so 50.5 dB are missing.

use crate::engineering::rf::isolation::{
    GAIN_SUM, HORIZONTAL_DB, METRES, VERTICAL_CAP, VERTICAL_DB,
};
use crate::engineering::rf::path_loss::wavelength_m;
use crate::engineering::{OutOfRange, Range};
use crate::model::{Dbm, Decibels};

/// Transmitter powers the formula takes.
pub const POWER: Range = Range::new("power", 0.001, 10_000.0, "W");

/// Losses the formula takes: of feeders, filters, and between antennas.
pub const LOSS: Range = Range::new("loss", 0.0, 300.0, "dB");

/// Sensitivities the formula takes.
pub const SENSITIVITY: Range = Range::new("sensitivity", -150.0, 0.0, "dBm");

/// Rejections the formula takes.
pub const REJECTION: Range = Range::new("rejection", 0.0, 150.0, "dB");

/// Isolations for which a vertical spacing is given.
pub const VERTICAL_WANTED: Range =
    Range::new("vertical isolation wanted", 0.0, VERTICAL_CAP.0, "dB");

/// Isolations for which a horizontal spacing is given.
pub const HORIZONTAL_WANTED: Range = Range::new("horizontal isolation wanted", 0.0, 300.0, "dB");

/// Returns the level at which a transmitter arrives at another radio's receiver.
///
/// # Errors
///
/// The power or a loss is outside its range.
pub fn arriving(
    power_w: f64,
    feed_loss: Decibels,
    isolation: Decibels,
    filter: Decibels,
) -> Result<Dbm, OutOfRange> {
    let sent = Dbm(10.0 * (POWER.check(power_w)? * 1e3).log10());
    let lost = [feed_loss, isolation, filter]
        .into_iter()
        .try_fold(Decibels(0.0), |sum, loss| {
            LOSS.check(loss.0).map(|loss| sum + Decibels(loss))
        })?;
    Ok(sent - lost)
}

/// Returns the highest level that a receiver bears from a channel it rejects.
///
/// # Errors
///
/// The sensitivity or the rejection is outside its range.
pub fn limit(sensitivity: Dbm, rejection: Decibels) -> Result<Dbm, OutOfRange> {
    let rejection = Decibels(REJECTION.check(rejection.0)?);
    Ok(Dbm(SENSITIVITY.check(sensitivity.0)?) + rejection)
}

/// Returns the isolation that is still missing, 0 dB when there is enough.
///
/// # Errors
///
/// A number is outside its range.
pub fn missing(
    power_w: f64,
    feed_loss: Decibels,
    isolation: Decibels,
    filter: Decibels,
    sensitivity: Dbm,
    rejection: Decibels,
) -> Result<Decibels, OutOfRange> {
    let arrives = arriving(power_w, feed_loss, isolation, filter)?;
    let over = arrives - limit(sensitivity, rejection)?;
    Ok(Decibels(over.0.max(0.0)))
}

/// Returns the vertical spacing in metres that gives an isolation.
///
/// A result below a wavelength lies in the near field and is only a hint.
///
/// # Errors
///
/// The frequency or the isolation is outside its range.
pub fn vertical_metres_for(mhz: f64, wanted: Decibels) -> Result<f64, OutOfRange> {
    let lambda = wavelength_m(mhz)?;
    let reachable = VERTICAL_DB + 40.0 * (METRES.high / lambda).log10();
    let allowed = Range {
        high: VERTICAL_WANTED.high.min(reachable),
        ..VERTICAL_WANTED
    };
    let iv = allowed.check(wanted.0)?;
    Ok(lambda * 10_f64.powf((iv - VERTICAL_DB) / 40.0))
}

/// Returns the horizontal spacing in metres that gives an isolation.
///
/// A result below a wavelength lies in the near field and is only a hint.
///
/// # Errors
///
/// The frequency or the sum of gains is outside its range, or the isolation is more than the widest
/// spacing gives.
pub fn horizontal_metres_for(
    mhz: f64,
    wanted: Decibels,
    gain_sum_dbi: f64,
) -> Result<f64, OutOfRange> {
    let lambda = wavelength_m(mhz)?;
    let alike = HORIZONTAL_DB - GAIN_SUM.check(gain_sum_dbi)?;
    let reachable = alike + 20.0 * (METRES.high / lambda).log10();
    let allowed = Range {
        high: HORIZONTAL_WANTED.high.min(reachable),
        ..HORIZONTAL_WANTED
    };
    let ih = allowed.check(wanted.0)?;
    Ok(lambda * 10_f64.powf((ih - alike) / 20.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::rf::isolation::{horizontal, vertical};

    const NONE: Decibels = Decibels(0.0);

    fn forty_watts(isolation: f64) -> f64 {
        let (sensitivity, blocking) = (Dbm(-116.0), Decibels(90.0));
        missing(40.0, NONE, Decibels(isolation), NONE, sensitivity, blocking)
            .expect("inside the range")
            .0
    }

    fn level(power_w: f64, isolation: f64) -> f64 {
        arriving(power_w, NONE, Decibels(isolation), NONE)
            .expect("inside the range")
            .0
    }

    #[test]
    fn published_values_are_met() {
        let levels = [
            ("40 W", level(40.0, 0.0), 46.02),
            ("40 W behind 21.55 dB", level(40.0, 21.55), 24.47),
            (
                "limit",
                limit(Dbm(-116.0), Decibels(90.0)).unwrap().0,
                -26.0,
            ),
        ];
        agrees("desensitisation, computed levels", 0.005, &levels);
        let rounded = [
            ("50 W", level(50.0, 0.0), 47.0),
            ("50 W at 3 m, about", level(50.0, 21.55), 25.0),
        ];
        agrees("desensitisation, rounded levels", 0.5, &rounded);
        let (beside, above) = (
            horizontal(155.7525, 3.0, 4.3).unwrap().loss.0,
            vertical(155.7525, 3.0).unwrap().loss.0,
        );
        let uhf_above = vertical(453.2125, 3.0).unwrap().loss.0;
        let missing = [
            ("3 m beside", forty_watts(beside), 50.5),
            ("3 m above", forty_watts(above), 36.3),
            ("3 m above, 453 MHz", forty_watts(uhf_above), 17.8),
        ];
        agrees("desensitisation, missing isolation", 0.05, &missing);
    }

    #[test]
    fn a_decibel_anywhere_is_a_decibel() {
        let (s, r) = (Dbm(-116.0), Decibels(90.0));
        let gap = |feed, between, filter| {
            missing(
                40.0,
                Decibels(feed),
                Decibels(between),
                Decibels(filter),
                s,
                r,
            )
            .unwrap()
            .0
        };
        let all_between = gap(0.0, 31.0, 0.0);
        for shared in [
            gap(31.0, 0.0, 0.0),
            gap(0.0, 0.0, 31.0),
            gap(1.0, 20.0, 10.0),
        ] {
            assert!((shared - all_between).abs() < 1e-9, "{shared}");
        }
        // 46.02 dBm less -26 dBm: from there on nothing is missing, never less than nothing.
        assert!(gap(0.0, 72.0, 0.0) > 0.0);
        assert!(gap(0.0, 72.1, 0.0).abs() < 1e-9);
        assert!(gap(0.0, 120.0, 0.0).abs() < 1e-9);
    }

    #[test]
    fn spacings_give_the_isolation_they_were_asked_for() {
        for mhz in [45.88, 155.7525, 453.2125, 851.0125] {
            for wanted in [30.0, 47.5, 70.0] {
                let above = vertical_metres_for(mhz, Decibels(wanted)).unwrap();
                let got = vertical(mhz, above).unwrap().loss.0;
                assert!((got - wanted).abs() < 1e-9, "{mhz} MHz: {got}");
                let beside = horizontal_metres_for(mhz, Decibels(wanted), 4.3).unwrap();
                let got = horizontal(mhz, beside, 4.3).unwrap().loss.0;
                assert!((got - wanted).abs() < 1e-9, "{mhz} MHz: {got}");
            }
        }
        // The published table of isolations, read backwards.
        let rows = [
            (
                "vertical",
                vertical_metres_for(155.7525, Decibels(35.71)).unwrap(),
                3.0,
            ),
            (
                "vertical",
                vertical_metres_for(851.0125, Decibels(65.21)).unwrap(),
                3.0,
            ),
            (
                "horizontal",
                horizontal_metres_for(453.2125, Decibels(30.83), 4.3).unwrap(),
                3.0,
            ),
        ];
        agrees("antenna isolation, turned round", 0.002, &rows);
    }

    #[test]
    fn nonsense_is_refused() {
        let (s, r) = (Dbm(-116.0), Decibels(90.0));
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            let wrong = Decibels(bad);
            let range = |result: Result<Decibels, OutOfRange>| result.unwrap_err().range;
            assert_eq!(range(missing(bad, NONE, NONE, NONE, s, r)), POWER);
            assert_eq!(range(missing(1.0, wrong, NONE, NONE, s, r)), LOSS);
            assert_eq!(range(missing(1.0, NONE, wrong, NONE, s, r)), LOSS);
            assert_eq!(range(missing(1.0, NONE, NONE, wrong, s, r)), LOSS);
            assert_eq!(range(missing(1.0, NONE, NONE, NONE, s, wrong)), REJECTION);
            assert!(vertical_metres_for(bad, r).is_err(), "{bad}");
            assert!(vertical_metres_for(155.0, wrong).is_err(), "{bad}");
            assert!(horizontal_metres_for(155.0, wrong, 0.0).is_err(), "{bad}");
        }
        assert_eq!(limit(Dbm(1.0), r).unwrap_err().range, SENSITIVITY);
        assert_eq!(limit(Dbm(f64::NAN), r).unwrap_err().range, SENSITIVITY);
        let above = vertical_metres_for(155.0, Decibels(70.1)).unwrap_err();
        assert_eq!(above.range, VERTICAL_WANTED);
        let gains = horizontal_metres_for(155.0, r, 121.0).unwrap_err();
        assert_eq!(gains.range, GAIN_SUM);
        // 100 km at 155 MHz isolates isotropic antennas by 116.27 dB and no more.
        let beside = horizontal_metres_for(155.0, Decibels(120.0), 0.0).unwrap_err();
        assert!((beside.range.high - 116.27).abs() < 0.01, "{beside}");
    }
}

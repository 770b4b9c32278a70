//! Exposure of people to radio waves: limits, and how far from an antenna they are met.
//!
//! Formula: `S = k EIRP duty / (4 pi R^2)`, with `EIRP = P 10^(G / 10)` and k 1 in free space, 2.56 with
//! the usual reflection from the ground (field 1.6 times), 4 with full reflection (field twice). The
//! same with k 2.56 reads `S = 33.4 F^2 ERP / R^2` in microwatts a square centimetre, F the field
//! relative to the main beam, `EIRP = 1.64 ERP`. Of several antennas the fractions of each one's limit
//! add, and the sum must not exceed 1.
//!
//! Units: MHz, W, dBi, m, mW/cm2; duty is the share of the averaging time on the air, 0 to 1. Limits
//! average over [`OCCUPATIONAL_MINUTES`] and [`PUBLIC_MINUTES`].
//!
//! Valid range: limits 0.3 to 100 000 MHz; distances in the far field.
//!
//! When it is wrong: nearer than about a sixth of a wavelength (`lambda / (2 pi)`) the field is not a
//! wave yet, and beside long antennas it is spread over their length. Body-worn radios are judged by
//! absorption (SAR), not by distance. The occupational limits hold for people who are trained and able
//! to step away; bystanders are the public (47 CFR 1.1310(e), from memory).
//!
//! Source: 47 CFR 1.1310, table of maximum permissible exposure (rows from 30 MHz up and those below
//! 3 MHz, 1.34 MHz for the public, from memory); FCC OET Bulletin 65, edition 97-01, formulas from memory.
//!
//! Worked example: 50 W into 2.15 dBi at 155.7525 MHz, usual reflection: 1.293 m for the 1.0 mW/cm2 of
//! workers, 2.891 m for the 0.2 mW/cm2 of the public; 0.914 m for workers at half the time on the air.

use std::f64::consts::PI;

use crate::engineering::{OutOfRange, Range};

/// Frequencies for which there is a limit.
pub const MHZ: Range = Range::new("frequency", 0.3, 100_000.0, "MHz");

/// Transmitter powers at the antenna the formula takes.
pub const POWER: Range = Range::new("power", 0.0001, 1e6, "W");

/// Antenna gains the formula takes.
pub const GAIN: Range = Range::new("antenna gain", -40.0, 60.0, "dBi");

/// Shares of the averaging time on the air.
pub const DUTY: Range = Range::new("duty", 0.0, 1.0, "");

/// Limits the formula takes.
pub const LIMIT: Range = Range::new("exposure limit", 0.0001, 1000.0, "mW/cm2");

/// Power densities that are added up.
pub const DENSITY: Range = Range::new("power density", 0.0, 1e12, "mW/cm2");

/// Distances the formula takes.
pub const METRES: Range = Range::new("distance", 0.01, 100_000.0, "m");

/// Minutes over which exposure at work is averaged.
pub const OCCUPATIONAL_MINUTES: f64 = 6.0;

/// Minutes over which exposure of the public is averaged.
pub const PUBLIC_MINUTES: f64 = 30.0;

/// How much the ground adds to the wave.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reflection {
    /// Nothing: free space.
    Free,
    /// The field is 1.6 times that of free space, the usual assumption.
    Typical,
    /// The field doubles, the worst case.
    Full,
}

impl Reflection {
    /// Returns the factor on power density.
    pub const fn factor(self) -> f64 {
        match self {
            Self::Free => 1.0,
            Self::Typical => 2.56,
            Self::Full => 4.0,
        }
    }
}

/// One antenna's part in the exposure at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Part {
    /// Power density of that antenna, averaged, in mW/cm2.
    pub density_mw_cm2: f64,
    /// Limit at that antenna's frequency, in mW/cm2.
    pub limit_mw_cm2: f64,
}

/// Returns the limit for trained people at work, in mW/cm2.
///
/// # Errors
///
/// The frequency is outside [`MHZ`].
pub fn occupational_mw_cm2(mhz: f64) -> Result<f64, OutOfRange> {
    let f = MHZ.check(mhz)?;
    Ok(match f {
        ..3.0 => 100.0,
        ..30.0 => 900.0 / (f * f),
        ..300.0 => 1.0,
        ..1500.0 => f / 300.0,
        _ => 5.0,
    })
}

/// Returns the limit for everybody else, in mW/cm2.
///
/// # Errors
///
/// The frequency is outside [`MHZ`].
pub fn public_mw_cm2(mhz: f64) -> Result<f64, OutOfRange> {
    let f = MHZ.check(mhz)?;
    Ok(match f {
        ..=1.34 => 100.0,
        ..30.0 => 180.0 / (f * f),
        ..300.0 => 0.2,
        ..1500.0 => f / 1500.0,
        _ => 1.0,
    })
}

/// Returns the distance in metres from which the limit is kept, in the antenna's main beam.
///
/// # Errors
///
/// A number is outside its range.
pub fn distance_m(
    watts: f64,
    gain_dbi: f64,
    duty: f64,
    limit_mw_cm2: f64,
    reflection: Reflection,
) -> Result<f64, OutOfRange> {
    let mw = radiated_mw(watts, gain_dbi, duty)? * reflection.factor();
    let cm = (mw / (4.0 * PI * LIMIT.check(limit_mw_cm2)?)).sqrt();
    Ok(cm / 100.0)
}

/// Returns the averaged power density at a distance in the antenna's main beam, in mW/cm2.
///
/// # Errors
///
/// A number is outside its range.
pub fn density_mw_cm2(
    watts: f64,
    gain_dbi: f64,
    duty: f64,
    metres: f64,
    reflection: Reflection,
) -> Result<f64, OutOfRange> {
    let cm = METRES.check(metres)? * 100.0;
    let mw = radiated_mw(watts, gain_dbi, duty)? * reflection.factor();
    Ok(mw / (4.0 * PI * cm * cm))
}

/// Returns the exposure by several antennas as a fraction of the limits; above 1 is too much.
///
/// # Errors
///
/// A density or a limit is outside its range.
pub fn fraction_of_limit(parts: &[Part]) -> Result<f64, OutOfRange> {
    parts.iter().try_fold(0.0, |sum, part| {
        let density = DENSITY.check(part.density_mw_cm2)?;
        Ok(sum + density / LIMIT.check(part.limit_mw_cm2)?)
    })
}

/// Returns the averaged power radiated in the main beam, in milliwatts.
fn radiated_mw(watts: f64, gain_dbi: f64, duty: f64) -> Result<f64, OutOfRange> {
    let gain = 10_f64.powf(GAIN.check(gain_dbi)? / 10.0);
    Ok(POWER.check(watts)? * 1e3 * gain * DUTY.check(duty)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    /// W, dBi, MHz; limits of workers and public; metres for workers and public in free space, the
    /// same with usual reflection, and for workers with usual reflection at half the time.
    type Row = ([f64; 3], [f64; 2], [f64; 5]);

    const PUBLISHED: [Row; 6] = [
        (
            [50.0, 2.15, 155.7525],
            [1.0, 0.2],
            [0.808, 1.807, 1.293, 2.891, 0.914],
        ),
        (
            [50.0, 2.15, 453.2125],
            [1.5107, 0.3021],
            [0.657, 1.470, 1.052, 2.352, 0.744],
        ),
        (
            [35.0, 5.15, 851.0125],
            [2.8367, 0.5673],
            [0.567, 1.268, 0.907, 2.028, 0.641],
        ),
        (
            [110.0, 2.15, 155.7525],
            [1.0, 0.2],
            [1.198, 2.680, 1.917, 4.287, 1.356],
        ),
        (
            [4.0, 2.15, 27.0],
            [1.2346, 0.2469],
            [0.206, 0.460, 0.329, 0.736, 0.233],
        ),
        (
            [5.0, 0.0, 155.7525],
            [1.0, 0.2],
            [0.199, 0.446, 0.319, 0.714, 0.226],
        ),
    ];

    fn limits(mhz: f64) -> (f64, f64) {
        let both = occupational_mw_cm2(mhz).and_then(|o| Ok((o, public_mw_cm2(mhz)?)));
        both.expect("inside the range")
    }

    #[test]
    fn published_distances_are_met() {
        for ([watts, gain, mhz], [occupational, public], metres) in PUBLISHED {
            let (o, p) = limits(mhz);
            let printed = [("occupational", o, occupational), ("public", p, public)];
            agrees("47 CFR 1.1310, limits", 0.000_06, &printed);
            let r = |limit, duty, k| distance_m(watts, gain, duty, limit, k).unwrap();
            let ours = [
                r(o, 1.0, Reflection::Free),
                r(p, 1.0, Reflection::Free),
                r(o, 1.0, Reflection::Typical),
                r(p, 1.0, Reflection::Typical),
                r(o, 0.5, Reflection::Typical),
            ];
            let rows: Vec<_> = (ours.iter().zip(metres))
                .map(|(ours, printed)| ("distance", *ours, printed))
                .collect();
            agrees("FCC OET Bulletin 65, distances", 0.000_55, &rows);
        }
    }

    #[test]
    fn every_row_of_the_limits_is_met() {
        let rows = [
            ("0.3 to 3, occupational", limits(0.3).0, 100.0),
            ("3 to 30, occupational", limits(3.0).0, 100.0),
            ("3 to 30, occupational", limits(15.0).0, 4.0),
            ("30 to 300, occupational", limits(30.0).0, 1.0),
            ("30 to 300, occupational", limits(299.0).0, 1.0),
            ("300 to 1500, occupational", limits(300.0).0, 1.0),
            ("300 to 1500, occupational", limits(900.0).0, 3.0),
            ("1500 up, occupational", limits(1500.0).0, 5.0),
            ("1500 up, occupational", limits(100_000.0).0, 5.0),
            ("0.3 to 1.34, public", limits(0.3).1, 100.0),
            ("0.3 to 1.34, public", limits(1.34).1, 100.0),
            ("1.34 to 30, public", limits(3.0).1, 20.0),
            ("1.34 to 30, public", limits(15.0).1, 0.8),
            ("30 to 300, public", limits(30.0).1, 0.2),
            ("30 to 300, public", limits(299.0).1, 0.2),
            ("300 to 1500, public", limits(300.0).1, 0.2),
            ("300 to 1500, public", limits(900.0).1, 0.6),
            ("1500 up, public", limits(1500.0).1, 1.0),
            ("1500 up, public", limits(100_000.0).1, 1.0),
        ];
        agrees("47 CFR 1.1310, rows", 1e-9, &rows);
        // Where two rows meet they agree, but for the public at 1.34 MHz (100 against 100.2).
        for mhz in [3.0, 30.0, 300.0, 1500.0] {
            let (before, after) = (limits(mhz * (1.0 - 1e-9)), limits(mhz));
            assert!((before.0 - after.0).abs() < 1e-6, "{mhz} MHz");
            assert!((before.1 - after.1).abs() < 1e-6, "{mhz} MHz");
        }
        // The public is never allowed more than workers.
        for step in 0..=600 {
            let mhz = 0.3 * 10_f64.powf(f64::from(step) / 110.0);
            let (o, p) = limits(mhz);
            assert!(p <= o && p > 0.0, "{mhz} MHz: {p} and {o}");
        }
    }

    #[test]
    fn the_bulletins_short_form_agrees() {
        // FCC OET Bulletin 65: 33.4 F^2 ERP / R^2 microwatts a square centimetre, F 1 in the beam.
        let dipole_dbi = 10.0 * 1.64_f64.log10();
        for (erp, metres) in [(50.0, 2.0), (5.0, 0.7), (250.0, 30.0)] {
            let s = density_mw_cm2(erp, dipole_dbi, 1.0, metres, Reflection::Typical).unwrap();
            let per_unit = s * 1000.0 * metres * metres / erp;
            agrees(
                "OET Bulletin 65, short form",
                0.05,
                &[("33.4", per_unit, 33.4)],
            );
        }
        // 0.64 EIRP / (pi R^2) and EIRP / (pi R^2), R in cm.
        let forms = |k| density_mw_cm2(10.0, 0.0, 1.0, 1.0, k).unwrap();
        let rows = [
            (
                "0.64",
                forms(Reflection::Typical),
                0.64 * 10_000.0 / (PI * 10_000.0),
            ),
            ("full", forms(Reflection::Full), 10_000.0 / (PI * 10_000.0)),
        ];
        agrees("OET Bulletin 65, reflection", 1e-9, &rows);
    }

    #[test]
    fn at_the_distance_the_density_is_the_limit() {
        for reflection in [Reflection::Free, Reflection::Typical, Reflection::Full] {
            let metres = distance_m(40.0, 5.0, 0.3, 0.2, reflection).unwrap();
            let s = density_mw_cm2(40.0, 5.0, 0.3, metres, reflection).unwrap();
            assert!((s - 0.2).abs() < 1e-12, "{reflection:?}: {s}");
        }
        let silent = distance_m(40.0, 5.0, 0.0, 0.2, Reflection::Full).unwrap();
        assert!(silent.abs() < 1e-12);
    }

    #[test]
    fn fractions_add() {
        let part = |density_mw_cm2, limit_mw_cm2| Part {
            density_mw_cm2,
            limit_mw_cm2,
        };
        assert_eq!(fraction_of_limit(&[]), Ok(0.0));
        let sum = fraction_of_limit(&[part(0.1, 0.2), part(0.15, 0.3), part(0.0, 1.0)]).unwrap();
        assert!((sum - 1.0).abs() < 1e-12, "{sum}");
        let refused = fraction_of_limit(&[part(0.1, 0.0)]).unwrap_err();
        assert_eq!(refused.range, LIMIT);
        let refused = fraction_of_limit(&[part(f64::NAN, 1.0)]).unwrap_err();
        assert_eq!(refused.range, DENSITY);
    }

    #[test]
    fn nonsense_is_refused() {
        let k = Reflection::Free;
        for bad in [f64::NAN, f64::INFINITY, -100.0] {
            assert_eq!(occupational_mw_cm2(bad).unwrap_err().range, MHZ);
            assert_eq!(public_mw_cm2(bad).unwrap_err().range, MHZ);
            let range = |result: Result<f64, OutOfRange>| result.unwrap_err().range;
            assert_eq!(range(distance_m(bad, 0.0, 1.0, 0.2, k)), POWER);
            assert_eq!(range(distance_m(5.0, bad, 1.0, 0.2, k)), GAIN);
            assert_eq!(range(distance_m(5.0, 0.0, bad, 0.2, k)), DUTY);
            assert_eq!(range(distance_m(5.0, 0.0, 1.0, bad, k)), LIMIT);
            assert_eq!(range(density_mw_cm2(5.0, 0.0, 1.0, bad, k)), METRES);
        }
        assert!(public_mw_cm2(0.29).is_err());
        assert!(public_mw_cm2(100_001.0).is_err());
    }
}

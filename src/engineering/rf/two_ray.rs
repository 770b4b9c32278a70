//! Loss over flat ground, where the ray off the ground nearly cancels the direct one.
//!
//! Formula: `L = 40 log d - 20 log(h1 h2)`, logarithm to base 10. It meets free space at
//! `d = 4 pi h1 h2 / lambda`.
//!
//! Units: metres, MHz (only for where the formula begins), dB.
//!
//! Valid range: from the distance where it meets free space to 100 km; heights 0.1 to 1000 m.
//! Nearer than that free space holds and this formula would promise too little loss.
//!
//! When it is wrong: on hills, in streets and woods (more loss), and beyond the radio horizon of the
//! round earth (far more).
//!
//! Source: textbooks of land mobile propagation, from memory. Where it meets free space follows from
//! equating it with ITU-R P.525.
//!
//! Worked example: 1000 m between antennas 10 m and 1.5 m high is 96.48 dB.

use std::f64::consts::PI;

use crate::engineering::rf::path_loss::wavelength_m;
use crate::engineering::{OutOfRange, Range};
use crate::model::Decibels;

/// Distances the formula takes, if beyond [`crossover_m`].
pub const METRES: Range = Range::new("distance", 1.0, 100_000.0, "m");

/// Heights of antennas above ground the formula takes.
pub const HEIGHT: Range = Range::new("antenna height", 0.1, 1000.0, "m");

/// Returns the loss between isotropic antennas over flat ground.
///
/// # Errors
///
/// A number is outside its range, or the distance is below [`crossover_m`].
pub fn loss(
    mhz: f64,
    metres: f64,
    height_a_m: f64,
    height_b_m: f64,
) -> Result<Decibels, OutOfRange> {
    let allowed = Range {
        low: METRES.low.max(crossover_m(mhz, height_a_m, height_b_m)?),
        ..METRES
    };
    let d = allowed.check(metres)?;
    Ok(Decibels(
        40.0 * d.log10() - 20.0 * (height_a_m * height_b_m).log10(),
    ))
}

/// Returns the distance in metres from which the formula holds: where it meets free space.
///
/// # Errors
///
/// The frequency or a height is outside its range.
pub fn crossover_m(mhz: f64, height_a_m: f64, height_b_m: f64) -> Result<f64, OutOfRange> {
    let heights = HEIGHT.check(height_a_m)? * HEIGHT.check(height_b_m)?;
    Ok(4.0 * PI * heights / wavelength_m(mhz)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::rf::path_loss::free_space;

    fn decibels(mhz: f64, metres: f64) -> f64 {
        loss(mhz, metres, 10.0, 1.5).expect("inside the range").0
    }

    #[test]
    fn published_values_are_met() {
        let rows = [("1 km, 10 m and 1.5 m", decibels(155.7525, 1000.0), 96.48)];
        agrees("two-ray model, from memory", 0.005, &rows);
    }

    #[test]
    fn it_begins_at_free_space_and_grows_by_twelve_decibels_a_doubling() {
        let start = crossover_m(453.2125, 10.0, 1.5).unwrap();
        let open = |metres: f64| free_space(453.2125, metres / 1e3).unwrap().0;
        assert!((decibels(453.2125, start) - open(start)).abs() < 1e-9);
        assert!(decibels(453.2125, 2.0 * start) > open(2.0 * start));
        let doubled = decibels(453.2125, 2.0 * start) - decibels(453.2125, start);
        assert!((doubled - 12.04).abs() < 0.01, "{doubled}");
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(loss(bad, 1000.0, 10.0, 1.5).is_err(), "{bad}");
            assert!(loss(155.0, bad, 10.0, 1.5).is_err(), "{bad}");
            assert!(loss(155.0, 1000.0, bad, 1.5).is_err(), "{bad}");
            assert!(loss(155.0, 1000.0, 10.0, bad).is_err(), "{bad}");
        }
        // At 851 MHz free space still holds at 500 m.
        let refused = loss(851.0125, 500.0, 10.0, 1.5).unwrap_err();
        assert!((refused.range.low - 535.08).abs() < 0.1, "{refused}");
    }
}

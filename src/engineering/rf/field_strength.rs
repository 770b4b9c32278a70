//! Field strength at a distance from a transmitter in free space.
//!
//! Formula: `e = sqrt(30 p) / d`.
//!
//! Units: watts of power radiated as from an isotropic antenna (e.i.r.p.), metres, volts a metre.
//!
//! Valid range: 1 microwatt to 10 MW, 0.1 m to 400 000 km; many wavelengths away.
//!
//! When it is wrong: near the antenna, and on the ground, where the field is weaker.
//!
//! Source: Recommendation ITU-R P.525-5 (11/2024), equations (1) and (2).
//!
//! Worked example: 5 W at 1000 m is 0.012247 V/m.

use crate::engineering::{OutOfRange, Range};

/// Radiated powers the formula takes.
pub const EIRP: Range = Range::new("radiated power", 1e-6, 1e7, "W");

/// Distances the formula takes.
pub const METRES: Range = Range::new("distance", 0.1, 4e8, "m");

/// Returns the field strength in volts a metre.
///
/// # Errors
///
/// The power or the distance is outside its range.
pub fn volts_per_m(eirp_w: f64, metres: f64) -> Result<f64, OutOfRange> {
    Ok((30.0 * EIRP.check(eirp_w)?).sqrt() / METRES.check(metres)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    fn field(eirp_w: f64, metres: f64) -> f64 {
        volts_per_m(eirp_w, metres).expect("inside the range")
    }

    #[test]
    fn published_values_are_met() {
        let rows = [("5 W at 1 km", field(5.0, 1000.0), 0.012_247)];
        agrees("ITU-R P.525-5, equations (1) and (2)", 0.000_000_6, &rows);
    }

    #[test]
    fn the_power_through_a_sphere_is_the_power_sent() {
        // e^2 / (120 pi) watts a square metre, times 4 pi d^2.
        use std::f64::consts::PI;
        for metres in [1.0, 30.0, 2500.0] {
            let density = field(40.0, metres).powi(2) / (120.0 * PI);
            let through = density * 4.0 * PI * metres.powi(2);
            assert!((through - 40.0).abs() < 1e-9, "{metres} m: {through} W");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert_eq!(volts_per_m(bad, 1.0).unwrap_err().range, EIRP, "{bad}");
            assert_eq!(volts_per_m(1.0, bad).unwrap_err().range, METRES, "{bad}");
        }
    }
}

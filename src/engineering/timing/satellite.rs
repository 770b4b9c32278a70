//! How far a satellite is, how long the signal takes, and how long its orbit lasts.
//!
//! Formula: `d = sqrt((Re + h)^2 - (Re cos e)^2) - Re sin e`; one hop up and down `2 d / c`; period
//! `2 pi sqrt((Re + h)^3 / mu)`.
//!
//! Units: kilometres, degrees, milliseconds, minutes.
//!
//! Valid range: altitude 100 to 100 000 km, elevation 0 to 90 degrees.
//!
//! When it is wrong: both ends of a hop are taken at the same elevation; the air bends low paths a
//! little; links between satellites and the satellite's own processing come on top. A mobile that
//! reaches another mobile through a ground station takes two hops.
//!
//! Source: plane geometry. Earth radius 6378.137 km and gravitational parameter
//! 398 600.4418 km3/s2: WGS 84. Speed of light 299 792.458 km/s: exact by definition of the metre.
//!
//! Worked example: a geostationary satellite, 35 786 km, seen 40 degrees high is 37 780.3 km away;
//! a hop takes 252.04 ms.

use crate::engineering::{OutOfRange, Range};

/// Altitudes above the equatorial radius.
pub const ALTITUDE: Range = Range::new("orbit altitude", 100.0, 100_000.0, "km");
/// Elevations above the horizon.
pub const ELEVATION: Range = Range::new("elevation", 0.0, 90.0, "degrees");
/// Altitude of a geostationary orbit, in kilometres.
pub const GEOSTATIONARY_KM: f64 = 35_786.0;

const EARTH_RADIUS_KM: f64 = 6378.137;
const GRAVITY_KM3_S2: f64 = 398_600.441_8;
const LIGHT_KM_S: f64 = 299_792.458;

/// Returns the distance to the satellite, in kilometres.
///
/// # Errors
///
/// An argument is outside [`ALTITUDE`] or [`ELEVATION`].
pub fn slant_km(altitude_km: f64, elevation_deg: f64) -> Result<f64, OutOfRange> {
    let orbit_km = EARTH_RADIUS_KM + ALTITUDE.check(altitude_km)?;
    let elevation = ELEVATION.check(elevation_deg)?.to_radians();
    let across_km = EARTH_RADIUS_KM * elevation.cos();
    let up_km = EARTH_RADIUS_KM * elevation.sin();
    Ok((orbit_km * orbit_km - across_km * across_km).sqrt() - up_km)
}

/// Returns the time of one hop, up and down, in milliseconds.
///
/// # Errors
///
/// An argument is outside [`ALTITUDE`] or [`ELEVATION`].
pub fn hop_ms(altitude_km: f64, elevation_deg: f64) -> Result<f64, OutOfRange> {
    Ok(2.0 * slant_km(altitude_km, elevation_deg)? / LIGHT_KM_S * 1e3)
}

/// Returns the time of one circular orbit, in minutes.
///
/// # Errors
///
/// The altitude is outside [`ALTITUDE`].
pub fn period_min(altitude_km: f64) -> Result<f64, OutOfRange> {
    let orbit_km = EARTH_RADIUS_KM + ALTITUDE.check(altitude_km)?;
    Ok(std::f64::consts::TAU * (orbit_km.powi(3) / GRAVITY_KM3_S2).sqrt() / 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    const SOURCE: &str = "geometry on WGS 84, computed by hand";

    #[test]
    fn distances_and_hops_are_as_computed_by_hand() {
        for (altitude_km, elevation_deg, slant, hop) in [
            (35_786.0, 90.0, 35_786.0, 238.74),
            (35_786.0, 40.0, 37_780.3, 252.04),
            (35_786.0, 10.0, 40_586.1, 270.76),
            (35_786.0, 0.0, 41_678.9, 278.05),
            (1414.0, 90.0, 1414.0, 9.43),
            (1414.0, 10.0, 3503.7, 23.37),
            (780.0, 90.0, 780.0, 5.20),
            (780.0, 8.2, 2464.6, 16.44),
            (550.0, 90.0, 550.0, 3.67),
            (550.0, 25.0, 1123.4, 7.49),
        ] {
            let name = format!("{altitude_km} km at {elevation_deg} degrees");
            let ours = slant_km(altitude_km, elevation_deg).unwrap();
            agrees(SOURCE, 0.051, &[(&name, ours, slant)]);
            let ours = hop_ms(altitude_km, elevation_deg).unwrap();
            agrees(SOURCE, 0.005_1, &[(&name, ours, hop)]);
        }
    }

    #[test]
    fn periods_are_as_computed_by_hand() {
        let rows = [
            ("550 km", period_min(550.0).unwrap(), 95.65),
            ("780 km", period_min(780.0).unwrap(), 100.45),
            ("1414 km", period_min(1414.0).unwrap(), 114.09),
            (
                "geostationary",
                period_min(GEOSTATIONARY_KM).unwrap(),
                1436.07,
            ),
        ];
        agrees(SOURCE, 0.005_1, &rows);
    }

    #[test]
    fn two_geostationary_hops_take_about_half_a_second() {
        let rows = [
            (
                "overhead",
                2.0 * hop_ms(GEOSTATIONARY_KM, 90.0).unwrap(),
                480.0,
            ),
            (
                "horizon",
                2.0 * hop_ms(GEOSTATIONARY_KM, 0.0).unwrap(),
                560.0,
            ),
        ];
        agrees("two hops, to the nearest 10 ms", 5.0, &rows);
    }

    #[test]
    fn lower_in_the_sky_is_farther() {
        for altitude_km in [200.0, 780.0, GEOSTATIONARY_KM] {
            let slants: Vec<f64> = (0..=90)
                .rev()
                .map(|deg| slant_km(altitude_km, f64::from(deg)).unwrap())
                .collect();
            assert!(slants.is_sorted(), "{altitude_km} km");
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 99.0, 100_001.0] {
            assert!(slant_km(bad, 10.0).is_err());
            assert!(hop_ms(bad, 10.0).is_err());
            assert!(period_min(bad).is_err());
        }
        for bad in [f64::NAN, -0.1, 90.1] {
            assert!(slant_km(780.0, bad).is_err());
        }
    }
}

//! Loss between two isotropic antennas in free space, and the wavelength.
//!
//! Formula: `L = 20 log(4 pi d / lambda)`, `lambda = c / f`, logarithm to base 10. The handy form
//! `32.4 + 20 log f + 20 log d` rounds its constant and reads 0.047 dB low.
//!
//! Units: MHz, km, dB; the wavelength in metres.
//!
//! Valid range: 0.1 to 100 000 MHz, 1 m to 400 000 km, and no closer than `lambda / (4 pi)`, where the
//! loss would fall below 0 dB. It is meant for distances of many wavelengths.
//!
//! When it is wrong: on the ground, where it is a floor: hills, houses and the ground itself add
//! loss. Expect more (ITU-R P.1546 or P.1812).
//!
//! Source: Recommendation ITU-R P.525-5 (11/2024), free-space basic transmission loss; unchanged since
//! P.525-2.
//!
//! Worked example: 155.7525 MHz over 10 km is 96.296 dB, 96.249 dB by the handy form.

use std::f64::consts::PI;

use crate::engineering::{OutOfRange, Range};
use crate::model::Decibels;

/// Speed of light in a vacuum, in metres a second; exact by definition of the metre.
pub const LIGHT_M_S: f64 = 299_792_458.0;

/// Frequencies the formula takes.
pub const MHZ: Range = Range::new("frequency", 0.1, 100_000.0, "MHz");

/// Distances the formula takes.
pub const KM: Range = Range::new("distance", 0.001, 400_000.0, "km");

/// Returns the loss between isotropic antennas in free space.
///
/// # Errors
///
/// The frequency or the distance is outside its range, or the distance is below `lambda / (4 pi)`.
pub fn free_space(mhz: f64, km: f64) -> Result<Decibels, OutOfRange> {
    let lambda_km = wavelength_m(mhz)? / 1e3;
    let lossless_km = lambda_km / (4.0 * PI);
    let allowed = Range {
        low: KM.low.max(lossless_km),
        ..KM
    };
    Ok(Decibels(20.0 * (allowed.check(km)? / lossless_km).log10()))
}

/// Returns the wavelength in metres.
///
/// # Errors
///
/// The frequency is outside [`MHZ`].
pub fn wavelength_m(mhz: f64) -> Result<f64, OutOfRange> {
    Ok(LIGHT_M_S / (MHZ.check(mhz)? * 1e6))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    /// MHz, km, loss of the handy form, exact loss: ITU-R P.525-5, both forms computed.
    const PUBLISHED: [(f64, f64, f64, f64); 6] = [
        (155.7525, 1.0, 76.249, 76.296),
        (155.7525, 10.0, 96.249, 96.296),
        (453.2125, 5.0, 99.505, 99.553),
        (769.243_75, 5.0, 104.101, 104.148),
        (851.0125, 10.0, 110.999, 111.047),
        (1621.25, 780.0, 154.439, 154.487),
    ];

    fn loss(mhz: f64, km: f64) -> f64 {
        free_space(mhz, km).expect("inside the range").0
    }

    fn handy(mhz: f64, km: f64) -> f64 {
        32.4 + 20.0 * mhz.log10() + 20.0 * km.log10()
    }

    #[test]
    fn published_values_are_met() {
        let exact = PUBLISHED.map(|(mhz, km, _, printed)| ("exact", loss(mhz, km), printed));
        agrees("ITU-R P.525-5, exact form", 0.0006, &exact);
        let rounded = PUBLISHED.map(|(mhz, km, printed, _)| ("32.4", handy(mhz, km), printed));
        agrees("ITU-R P.525-5, form with 32.4", 0.0006, &rounded);
        let apart = PUBLISHED.map(|(mhz, km, _, _)| {
            let difference = loss(mhz, km) - handy(mhz, km);
            ("how low 32.4 reads", difference, 0.047)
        });
        agrees("ITU-R P.525-5, rounding", 0.001, &apart);
        let waves = [
            ("VHF", wavelength_m(155.7525).unwrap(), 1.9248),
            ("UHF", wavelength_m(453.2125).unwrap(), 0.6615),
            ("800 MHz", wavelength_m(851.0125).unwrap(), 0.3523),
        ];
        agrees("wavelengths", 0.000_06, &waves);
    }

    #[test]
    fn twice_the_distance_or_the_frequency_adds_six_decibels() {
        let once = loss(155.0, 7.0);
        let rows = [
            ("distance", loss(155.0, 14.0) - once, 6.02),
            ("frequency", loss(310.0, 7.0) - once, 6.02),
        ];
        agrees("ITU-R P.525-5, doubling", 0.001, &rows);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert_eq!(free_space(bad, 1.0).unwrap_err().range, MHZ, "{bad}");
            assert_eq!(free_space(155.0, bad).unwrap_err().range, KM, "{bad}");
        }
        // Closer than a 4 pi th of a wavelength the loss would be a gain.
        let refused = free_space(0.1, 0.2).unwrap_err();
        assert!((refused.range.low - 0.2386).abs() < 0.0001, "{refused}");
        assert!(loss(0.1, refused.range.low).abs() < 1e-9);
    }
}

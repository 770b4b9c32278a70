//! Isolation between two antennas on one site.
//!
//! Formula: side by side `Ih = 22 + 20 log(d / lambda) - (Ga + Gb)`; one above the other on one axis
//! `Iv = 28 + 40 log(d / lambda)`, with no correction for gain; aslant
//! `Is = (Iv - Ih) theta / 90 + Ih`, `theta = atan(dv / dh)` in degrees, where Ih is taken at the
//! horizontal distance dh and Iv at the vertical distance dv. Logarithms to base 10.
//!
//! Units: MHz, metres from centre to centre, dBi in the direction of the other antenna, dB.
//!
//! Valid range: at least a wavelength apart; nearer the result is flagged `near_field`. Horizontal
//! spacing asks for the far field, `d > 2 D^2 / lambda` for antennas D long; about
//! [`GAIN_ANTENNA_M`] between gain antennas is the published advice. Vertical isolation above 70 dB is
//! not to be trusted: it is held at [`VERTICAL_CAP`] and flagged. Isolation below 0 dB makes no sense:
//! it is held at 0 and flagged.
//!
//! When it is wrong: masts, feeders and vehicles between or beside the antennas change it by many
//! decibels either way; a measured figure is better. Between two bands at one site the lower
//! frequency gives the smaller, safer figure.
//!
//! Source: site pages of a published repeater manual; the same pair of formulas in Report ITU-R
//! M.2244, from memory. The distances of the slant form are those that give the worked value.
//!
//! Worked example: two dipoles (2.15 dBi) at 155.7525 MHz, 3 m beside and 3 m above each other: 28.63 dB
//! aslant, between 21.55 dB horizontal and 35.71 dB vertical.

use crate::engineering::rf::path_loss::wavelength_m;
use crate::engineering::{OutOfRange, Range};
use crate::model::Decibels;

/// Distances between antennas the formulas take, centre to centre.
pub const METRES: Range = Range::new("antenna spacing", 0.01, 100_000.0, "m");

/// Horizontal or vertical share of a spacing, which may be nothing.
pub const SHARE: Range = Range::new("antenna spacing", 0.0, METRES.high, "m");

/// Gains of one antenna the formulas take.
pub const GAIN: Range = Range::new("antenna gain", -40.0, 60.0, "dBi");

/// Sums of two gains the formulas take.
pub const GAIN_SUM: Range = Range::new("sum of antenna gains", -80.0, 120.0, "dBi");

/// Highest vertical isolation that is believed.
pub const VERTICAL_CAP: Decibels = Decibels(70.0);

/// Spacing in metres that published advice asks for between gain antennas side by side.
pub const GAIN_ANTENNA_M: f64 = 15.0;

/// Horizontal isolation of isotropic antennas a wavelength apart, in dB.
pub(super) const HORIZONTAL_DB: f64 = 22.0;

/// Vertical isolation a wavelength apart, in dB.
pub(super) const VERTICAL_DB: f64 = 28.0;

/// How the antennas stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Form {
    /// Side by side.
    Horizontal,
    /// One above the other, on one axis.
    Vertical,
    /// Neither.
    Slant,
}

/// Where a formula's result was replaced by a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bound {
    /// Below 0 dB, held at 0.
    Floor,
    /// The vertical part was above [`VERTICAL_CAP`], held there.
    Cap,
}

/// An isolation, and how far it may be trusted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isolation {
    /// The isolation.
    pub loss: Decibels,
    /// Which formula gave it.
    pub form: Form,
    /// The antennas are less than a wavelength apart, centre to centre.
    pub near_field: bool,
    /// The limit that replaced the formula's result, if one did.
    pub bound: Option<Bound>,
    /// Neither in the near field nor held at a limit.
    pub in_valid_range: bool,
}

impl Isolation {
    fn new(form: Form, decibels: f64, waves_apart: f64, capped: bool) -> Self {
        let near_field = waves_apart < 1.0;
        let bound = match capped {
            _ if decibels < 0.0 => Some(Bound::Floor),
            true => Some(Bound::Cap),
            false => None,
        };
        Self {
            loss: Decibels(decibels.max(0.0)),
            form,
            near_field,
            bound,
            in_valid_range: !near_field && bound.is_none(),
        }
    }
}

/// Returns the isolation of antennas side by side.
///
/// # Errors
///
/// The frequency, the spacing or the sum of gains is outside its range.
pub fn horizontal(mhz: f64, metres: f64, gain_sum_dbi: f64) -> Result<Isolation, OutOfRange> {
    let waves = METRES.check(metres)? / wavelength_m(mhz)?;
    let decibels = horizontal_db(waves, GAIN_SUM.check(gain_sum_dbi)?);
    Ok(Isolation::new(Form::Horizontal, decibels, waves, false))
}

/// Returns the isolation of antennas one above the other.
///
/// # Errors
///
/// The frequency or the spacing is outside its range.
pub fn vertical(mhz: f64, metres: f64) -> Result<Isolation, OutOfRange> {
    let waves = METRES.check(metres)? / wavelength_m(mhz)?;
    let (decibels, capped) = vertical_db(waves);
    Ok(Isolation::new(Form::Vertical, decibels, waves, capped))
}

/// Returns the isolation of two antennas by the form that their places ask for.
///
/// A share of the spacing below 1 cm counts as none.
///
/// # Errors
///
/// The frequency, a gain, a share of the spacing or the whole spacing is outside its range.
pub fn between(
    mhz: f64,
    horizontal_m: f64,
    vertical_m: f64,
    gain_a_dbi: f64,
    gain_b_dbi: f64,
) -> Result<Isolation, OutOfRange> {
    let gain_sum_dbi = GAIN.check(gain_a_dbi)? + GAIN.check(gain_b_dbi)?;
    let (dh, dv) = (SHARE.check(horizontal_m)?, SHARE.check(vertical_m)?);
    let metres = METRES.check(dh.hypot(dv))?;
    if dv < METRES.low {
        return horizontal(mhz, metres, gain_sum_dbi);
    }
    if dh < METRES.low {
        return vertical(mhz, metres);
    }
    let lambda = wavelength_m(mhz)?;
    let ih = horizontal_db(dh / lambda, gain_sum_dbi);
    let (iv, capped) = vertical_db(dv / lambda);
    let theta = dv.atan2(dh).to_degrees();
    let is = (iv - ih) * theta / 90.0 + ih;
    Ok(Isolation::new(Form::Slant, is, metres / lambda, capped))
}

fn horizontal_db(waves: f64, gain_sum_dbi: f64) -> f64 {
    HORIZONTAL_DB + 20.0 * waves.log10() - gain_sum_dbi
}

/// Returns the vertical isolation, and whether it was held at the cap.
fn vertical_db(waves: f64) -> (f64, bool) {
    let decibels = VERTICAL_DB + 40.0 * waves.log10();
    (decibels.min(VERTICAL_CAP.0), decibels > VERTICAL_CAP.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    /// MHz, metres, horizontal isotropic, horizontal between dipoles, vertical.
    const PUBLISHED: [(f64, f64, f64, f64, f64); 6] = [
        (155.7525, 1.0, 16.31, 12.01, 16.62),
        (155.7525, 3.0, 25.85, 21.55, 35.71),
        (155.7525, 6.0, 31.88, 27.58, 47.75),
        (453.2125, 3.0, 35.13, 30.83, 54.26),
        (851.0125, 1.0, 31.06, 26.76, 46.12),
        (851.0125, 3.0, 40.60, 36.30, 65.21),
    ];
    const DIPOLE: f64 = 2.15;

    fn places(mhz: f64, dh: f64, dv: f64) -> Isolation {
        between(mhz, dh, dv, DIPOLE, DIPOLE).expect("inside the range")
    }

    #[test]
    fn published_values_are_met() {
        for (mhz, metres, isotropic, dipoles, above) in PUBLISHED {
            let rows = [
                (
                    "isotropic",
                    horizontal(mhz, metres, 0.0).unwrap().loss.0,
                    isotropic,
                ),
                ("dipoles", places(mhz, metres, 0.0).loss.0, dipoles),
                ("vertical", places(mhz, 0.0, metres).loss.0, above),
            ];
            agrees("antenna isolation, published formulas", 0.0055, &rows);
        }
        let slant = [("3 m and 3 m", places(155.7525, 3.0, 3.0).loss.0, 28.63)];
        agrees("antenna isolation, slant", 0.005, &slant);
    }

    #[test]
    fn the_form_follows_the_places() {
        assert_eq!(places(155.0, 3.0, 0.0).form, Form::Horizontal);
        assert_eq!(places(155.0, 0.0, 3.0).form, Form::Vertical);
        assert_eq!(places(155.0, 3.0, 3.0).form, Form::Slant);
        // Tiny shares are no share, and nothing jumps there.
        let plain = places(155.0, 3.0, 0.0).loss.0;
        assert_eq!(places(155.0, 3.0, f64::MIN_POSITIVE).form, Form::Horizontal);
        assert!((places(155.0, 3.0, 0.0101).loss.0 - plain).abs() < 0.25);
        let upright = places(155.0, 0.0, 3.0).loss.0;
        assert!((places(155.0, 0.0101, 3.0).loss.0 - upright).abs() < 0.25);
    }

    #[test]
    fn more_distance_never_means_less_isolation() {
        let metres = (1..400).map(|step| f64::from(step) * 0.25);
        let mut before = [Decibels(-1.0); 3];
        for d in metres {
            let now = [
                horizontal(453.0, d, 4.3).unwrap().loss,
                vertical(453.0, d).unwrap().loss,
                places(453.0, d, d).loss,
            ];
            for (earlier, later) in before.iter().zip(now) {
                assert!(*earlier <= later, "{d} m: {earlier:?}, then {later:?}");
            }
            before = now;
        }
    }

    #[test]
    fn doubtful_results_are_flagged_and_held() {
        let near = horizontal(155.7525, 1.9, 0.0).unwrap();
        assert!(near.near_field && !near.in_valid_range);
        assert_eq!(near.bound, None);
        let sound = horizontal(155.7525, 1.93, 0.0).unwrap();
        assert!(!sound.near_field && sound.in_valid_range);

        let high = vertical(851.0125, 6.0).unwrap();
        assert_eq!((high.loss, high.bound), (VERTICAL_CAP, Some(Bound::Cap)));
        assert!(!high.in_valid_range && !high.near_field);
        // The share of the vertical form in a slant is held as well.
        assert_eq!(places(851.0125, 6.0, 6.0).bound, Some(Bound::Cap));
        // Far apart side by side there is no cap.
        let far = horizontal(851.0125, 2000.0, 0.0).unwrap();
        assert!(far.loss > VERTICAL_CAP && far.in_valid_range);

        let low = horizontal(155.7525, 0.05, 12.0).unwrap();
        assert_eq!((low.loss, low.bound), (Decibels(0.0), Some(Bound::Floor)));
        assert_eq!(vertical(155.7525, 0.2).unwrap().bound, Some(Bound::Floor));
        let beams = between(155.7525, 20.0, 20.0, 60.0, 60.0).unwrap();
        assert_eq!(
            (beams.loss, beams.bound),
            (Decibels(0.0), Some(Bound::Floor))
        );
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(horizontal(bad, 3.0, 0.0).is_err(), "{bad}");
            assert_eq!(horizontal(155.0, bad, 0.0).unwrap_err().range, METRES);
            assert_eq!(vertical(155.0, bad).unwrap_err().range, METRES);
            assert!(vertical(bad, 3.0).is_err(), "{bad}");
            assert!(between(bad, 3.0, 3.0, 0.0, 0.0).is_err(), "{bad}");
            assert_eq!(between(155.0, bad, 3.0, 0.0, 0.0).unwrap_err().range, SHARE);
            assert_eq!(between(155.0, 3.0, bad, 0.0, 0.0).unwrap_err().range, SHARE);
        }
        assert_eq!(horizontal(155.0, 3.0, 121.0).unwrap_err().range, GAIN_SUM);
        assert_eq!(between(155.0, 3.0, 3.0, 61.0, 0.0).unwrap_err().range, GAIN);
        assert_eq!(
            between(155.0, 3.0, 3.0, 0.0, f64::NAN).unwrap_err().range,
            GAIN
        );
        // Two antennas in one place.
        assert_eq!(
            between(155.0, 0.0, 0.0, 0.0, 0.0).unwrap_err().range,
            METRES
        );
    }
}

//! Noise floor of a receiver.
//!
//! Formula: `N = 10 log(k T B / 1 mW) + NF` with `T = 290 K`, logarithm to base 10. The handy form
//! `-174 + 10 log B + NF` rounds -173.975 and reads 0.025 dB low.
//!
//! Units: Hz, dB, dBm.
//!
//! Valid range: bandwidths 1 Hz to 1 GHz, noise figures 0 to 50 dB.
//!
//! When it is wrong: outdoors below about 300 MHz and in towns, where noise made by man and sky is
//! above the receiver's own (from memory).
//!
//! Source: textbook, from memory; Boltzmann's constant is exact in the SI of 2019.
//!
//! Worked example: 12 500 Hz and 8 dB give -125.01 dBm, -125.03 dBm by the handy form.

use crate::engineering::{OutOfRange, Range};
use crate::model::{Dbm, Decibels};

/// Bandwidths the formula takes.
pub const BANDWIDTH: Range = Range::new("bandwidth", 1.0, 1e9, "Hz");

/// Noise figures the formula takes.
pub const NOISE_FIGURE: Range = Range::new("noise figure", 0.0, 50.0, "dB");

/// Boltzmann's constant, in joules a kelvin.
const BOLTZMANN: f64 = 1.380_649e-23;

/// The reference temperature of noise figures, in kelvins.
const KELVINS: f64 = 290.0;

/// Returns the noise floor in a bandwidth, at the antenna port.
///
/// # Errors
///
/// The bandwidth or the noise figure is outside its range.
pub fn floor(bandwidth_hz: f64, noise_figure: Decibels) -> Result<Dbm, OutOfRange> {
    let thermal_mw = BOLTZMANN * KELVINS * BANDWIDTH.check(bandwidth_hz)? * 1e3;
    let figure = Decibels(NOISE_FIGURE.check(noise_figure.0)?);
    Ok(Dbm(10.0 * thermal_mw.log10()) + figure)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    /// Hz, thermal noise and the same with 8 dB noise figure, by the handy form.
    const PUBLISHED: [(f64, f64, f64); 3] = [
        (8500.0, -134.71, -126.71),
        (12_500.0, -133.03, -125.03),
        (16_000.0, -131.96, -123.96),
    ];

    fn dbm(hz: f64, figure: f64) -> f64 {
        floor(hz, Decibels(figure)).expect("inside the range").0
    }

    fn handy(hz: f64, figure: f64) -> f64 {
        -174.0 + 10.0 * hz.log10() + figure
    }

    #[test]
    fn published_values_are_met() {
        let one = [("1 Hz", dbm(1.0, 0.0), -173.975)];
        agrees("kTB at 290 K", 0.0005, &one);
        for (hz, bare, with_figure) in PUBLISHED {
            let rounded = [
                ("bare", handy(hz, 0.0), bare),
                ("8 dB", handy(hz, 8.0), with_figure),
            ];
            agrees("textbook form with -174", 0.0055, &rounded);
            let exact = [
                ("bare", dbm(hz, 0.0) - 0.025, bare),
                ("8 dB", dbm(hz, 8.0) - 0.025, with_figure),
            ];
            agrees("exact, less the rounding", 0.006, &exact);
        }
    }

    #[test]
    fn ten_times_the_bandwidth_is_ten_decibels() {
        assert!((dbm(125_000.0, 6.0) - dbm(12_500.0, 6.0) - 10.0).abs() < 1e-9);
        assert!((dbm(12_500.0, 6.0) - dbm(12_500.0, 0.0) - 6.0).abs() < 1e-9);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            let bandwidth = floor(bad, Decibels(0.0)).unwrap_err();
            assert_eq!(bandwidth.range, BANDWIDTH, "{bad}");
            let figure = floor(1.0, Decibels(bad)).unwrap_err();
            assert_eq!(figure.range, NOISE_FIGURE, "{bad}");
        }
    }
}

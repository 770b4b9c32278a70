//! Level of a voltage across 50 ohms.
//!
//! Formula: `P = 10 log(V^2 / R / 1 mW)` with `R = 50 ohm`, logarithm to base 10.
//!
//! Units: microvolts across the load, dBm.
//!
//! Valid range: 0.001 microvolt to 10 V.
//!
//! When it is wrong: for figures given as open-circuit voltage (emf), which is twice the voltage
//! across a matched load and would read 6 dB high, and for other impedances.
//!
//! Source: Ohm's law.
//!
//! Worked example: 0.35 microvolt is -116.11 dBm.

use crate::engineering::{OutOfRange, Range};
use crate::model::Dbm;

/// Voltages the formula takes.
pub const MICROVOLTS: Range = Range::new("voltage", 0.001, 1e7, "uV");

/// Impedance of land mobile antenna ports, in ohms.
const OHMS: f64 = 50.0;

/// Returns the level of a voltage across 50 ohms.
///
/// # Errors
///
/// The voltage is outside [`MICROVOLTS`].
pub fn of_microvolts(microvolts: f64) -> Result<Dbm, OutOfRange> {
    let volts = MICROVOLTS.check(microvolts)? * 1e-6;
    Ok(Dbm(10.0 * (volts * volts / OHMS * 1e3).log10()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    fn dbm(microvolts: f64) -> f64 {
        of_microvolts(microvolts).expect("inside the range").0
    }

    #[test]
    fn published_values_are_met() {
        let computed = [
            ("0.25 uV", dbm(0.25), -119.03),
            ("0.35 uV", dbm(0.35), -116.11),
            ("0.5 uV", dbm(0.5), -113.01),
        ];
        agrees("Ohm's law, 50 ohm", 0.005, &computed);
        // A mobile radio's published service specification, 12 dB SINAD.
        let printed = [("0.3 uV", dbm(0.3), -117.5)];
        agrees("a published service specification", 0.06, &printed);
        // Usual sensitivities for 12 dB SINAD, from memory.
        let usual = [("worst", dbm(0.35), -116.0), ("best", dbm(0.25), -119.0)];
        agrees("usual sensitivities, from memory", 0.15, &usual);
    }

    #[test]
    fn ten_times_the_voltage_is_twenty_decibels() {
        assert!((dbm(10.0) - dbm(1.0) - 20.0).abs() < 1e-9);
        // 1 mW across 50 ohms is 223.607 mV.
        assert!(dbm(223_606.8).abs() < 1e-6);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert_eq!(of_microvolts(bad).unwrap_err().range, MICROVOLTS, "{bad}");
        }
    }
}

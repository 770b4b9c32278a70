//! Battery chemistries: voltages, what cold and high drain take, how deep to plan.
//!
//! Formula: a set's voltage is the cells in series times the volts of one. Cold leaves a share of
//! capacity, on straight lines between a few tabulated temperatures.
//!
//! Units: volts per cell, degrees Celsius, milliampere-hours; shares of 1.
//!
//! Valid range: -20 to 54 C, the range for which alkaline cells are rated.
//!
//! When it is wrong: makers differ and so do old cells. What cold takes is an order of size only,
//! at low drain, and more at high drain. With lithium iron phosphate the voltage says little
//! between 20 and 90 % of charge.
//!
//! Source: alkaline voltages and temperature range: data sheets that cite IEC 60086. Lead-acid and
//! lithium iron phosphate, exponents, and what cold takes of alkaline and lead-acid: from memory.
//! **Nickel-metal hydride, lithium-ion and primary lithium, and what cold takes of any lithium:
//! common practice, no source.** A caller who knows better should say so.
//!
//! Worked example: eight alkaline cells are 12 V nominal and 7.2 V at their end.

use super::curve;
use crate::engineering::{OutOfRange, Range};
use crate::model::Chemistry;

/// Temperatures of cells in use.
pub const TEMPERATURE: Range = Range::new("temperature", -20.0, 54.0, "C");
/// Numbers of cells in series.
pub const CELLS: Range = Range::new("number of cells", 1.0, 1000.0, "");

/// Volts of one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CellVolts {
    /// As named.
    pub nominal: f64,
    /// Where it counts as empty, under load.
    pub end_point: f64,
    /// Full and at rest.
    pub full: f64,
}

impl Chemistry {
    /// Returns the volts of one cell.
    pub const fn volts(self) -> CellVolts {
        let (nominal, end_point, full) = match self {
            Self::Alkaline => (1.5, 0.9, 1.6),
            Self::NickelMetalHydride => (1.2, 1.0, 1.4),
            Self::LithiumIon => (3.6, 3.0, 4.2),
            Self::LithiumIronPhosphate => (3.2, 2.5, 3.375),
            Self::SealedLeadAcid => (2.0, 1.75, 2.14),
            Self::LithiumPrimary => (1.5, 0.9, 1.8),
        };
        CellVolts {
            nominal,
            end_point,
            full,
        }
    }

    /// Returns Peukert's exponent, for the chemistries rated by it (from memory).
    ///
    /// The middle of what is usual: 1.1 to 1.25 for sealed lead-acid, 1.02 to 1.08 for lithium iron
    /// phosphate.
    pub const fn peukert(self) -> Option<f64> {
        match self {
            Self::SealedLeadAcid => Some(1.15),
            Self::LithiumIronPhosphate => Some(1.05),
            Self::Alkaline | Self::NickelMetalHydride | Self::LithiumIon | Self::LithiumPrimary => {
                None
            }
        }
    }

    /// Returns the usual capacity of a cell of AA size, in mAh, where one is made.
    ///
    /// Alkaline: 2200 mAh into 43 ohm to 0.9 V, from a data sheet. Others: common practice, no
    /// source.
    pub const fn aa_capacity_mah(self) -> Option<f64> {
        match self {
            Self::Alkaline => Some(2200.0),
            Self::NickelMetalHydride => Some(2000.0),
            Self::LithiumPrimary => Some(3000.0),
            Self::LithiumIon | Self::LithiumIronPhosphate | Self::SealedLeadAcid => None,
        }
    }

    /// Returns how deep to plan a discharge (from memory): half for the cycle life of lead-acid,
    /// four fifths for lithium that is charged again, all for the rest.
    pub const fn planned_depth(self) -> f64 {
        match self {
            Self::SealedLeadAcid => 0.5,
            Self::LithiumIon | Self::LithiumIronPhosphate => 0.8,
            Self::Alkaline | Self::NickelMetalHydride | Self::LithiumPrimary => 1.0,
        }
    }

    /// Returns the share of capacity that is left at a temperature; 1 from 20 C up.
    ///
    /// # Errors
    ///
    /// The temperature is outside [`TEMPERATURE`].
    pub fn share_at(self, celsius: f64) -> Result<f64, OutOfRange> {
        let (at_minus_20, at_0) = match self {
            // From memory, the middle of 10 to 30 and of 70 to 80 %.
            Self::Alkaline => (0.2, 0.75),
            // From memory, the middle of 50 to 60 and of 80 to 85 %.
            Self::SealedLeadAcid => (0.55, 0.825),
            // Common practice, no source.
            Self::NickelMetalHydride => (0.5, 0.85),
            Self::LithiumIon => (0.6, 0.85),
            Self::LithiumIronPhosphate => (0.5, 0.8),
            Self::LithiumPrimary => (0.8, 0.95),
        };
        let points = [(-20.0, at_minus_20), (0.0, at_0), (20.0, 1.0)];
        Ok(curve::at(&points, TEMPERATURE.check(celsius)?))
    }

    /// Tells whether such cells may be charged at a temperature (from memory).
    ///
    /// Lithium must not be charged below 0 C, and cells that are not rechargeable never.
    pub fn may_charge_at(self, celsius: f64) -> bool {
        match self {
            Self::Alkaline | Self::LithiumPrimary => false,
            Self::LithiumIon | Self::LithiumIronPhosphate => celsius >= 0.0,
            Self::NickelMetalHydride | Self::SealedLeadAcid => true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn voltages_are_as_published() {
        let alkaline = Chemistry::Alkaline.volts();
        let lead = Chemistry::SealedLeadAcid.volts();
        let lithium = Chemistry::LithiumIronPhosphate.volts();
        let rows = [
            ("alkaline", alkaline.nominal, 1.5),
            ("alkaline, end", alkaline.end_point, 0.9),
            ("eight, nominal", 8.0 * alkaline.nominal, 12.0),
            ("eight, end", 8.0 * alkaline.end_point, 7.2),
        ];
        agrees("data sheets that cite IEC 60086", 1e-12, &rows);
        // Open circuit 1.56 to 1.65 V when new.
        agrees("IEC 60086", 0.045, &[("new", alkaline.full, 1.605)]);
        let rows = [
            ("lead, six at the end", 6.0 * lead.end_point, 10.5),
            ("lead, end", lead.end_point, 1.75),
            ("lithium, four at the end", 4.0 * lithium.end_point, 10.0),
        ];
        agrees("batteries of 12 V, from memory", 1e-12, &rows);
        // Full at rest: lead 12.8 to 12.9 V, lithium iron phosphate 13.4 to 13.6 V.
        let rows = [
            ("lead, six full", 6.0 * lead.full, 12.85),
            ("lithium, four full", 4.0 * lithium.full, 13.5),
        ];
        agrees("batteries of 12 V at rest, from memory", 0.051, &rows);
        for chemistry in Chemistry::ALL {
            let volts = chemistry.volts();
            assert!(volts.end_point < volts.nominal && volts.nominal < volts.full);
        }
    }

    #[test]
    fn exponents_lie_in_the_usual_range() {
        let exponent = |chemistry: Chemistry| chemistry.peukert().unwrap();
        assert!((1.1..=1.25).contains(&exponent(Chemistry::SealedLeadAcid)));
        assert!((1.02..=1.08).contains(&exponent(Chemistry::LithiumIronPhosphate)));
        assert_eq!(Chemistry::Alkaline.peukert(), None);
    }

    #[test]
    fn cold_takes_the_order_of_size_that_is_recalled() {
        let share = |chemistry: Chemistry, celsius| chemistry.share_at(celsius).unwrap();
        for (chemistry, celsius, low, high) in [
            (Chemistry::Alkaline, 0.0, 0.7, 0.8),
            (Chemistry::Alkaline, -20.0, 0.1, 0.3),
            (Chemistry::SealedLeadAcid, 0.0, 0.8, 0.85),
            (Chemistry::SealedLeadAcid, -20.0, 0.5, 0.6),
        ] {
            let ours = share(chemistry, celsius);
            assert!((low..=high).contains(&ours), "{chemistry:?} at {celsius} C");
        }
        for chemistry in Chemistry::ALL {
            let shares: Vec<f64> = (-20..=54).map(|c| share(chemistry, f64::from(c))).collect();
            assert!(shares.is_sorted(), "{chemistry:?}");
            agrees("warm", 0.0, &[("54 C", share(chemistry, 54.0), 1.0)]);
            for bad in [f64::NAN, -20.1, 54.1] {
                assert!(chemistry.share_at(bad).is_err());
            }
        }
    }

    #[test]
    fn depth_and_charging_are_as_recalled() {
        let rows = [
            ("lead", Chemistry::SealedLeadAcid.planned_depth(), 0.5),
            (
                "lithium",
                Chemistry::LithiumIronPhosphate.planned_depth(),
                0.8,
            ),
        ];
        agrees("from memory", 0.0, &rows);
        assert!(!Chemistry::LithiumIronPhosphate.may_charge_at(-0.1));
        assert!(Chemistry::LithiumIronPhosphate.may_charge_at(0.0));
        assert!(Chemistry::SealedLeadAcid.may_charge_at(-10.0));
        assert!(!Chemistry::Alkaline.may_charge_at(20.0));
    }
}

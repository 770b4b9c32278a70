//! Batteries as a scenario notes them: what a set of cells is made of and when it counts as empty.

use std::fmt;

/// What the cells of a battery are made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Chemistry {
    /// Alkaline manganese, not rechargeable (IEC LR types).
    #[default]
    Alkaline,
    /// Nickel-metal hydride.
    NickelMetalHydride,
    /// Lithium-ion with a cobalt, manganese or nickel cathode.
    LithiumIon,
    /// Lithium iron phosphate.
    LithiumIronPhosphate,
    /// Sealed lead-acid.
    SealedLeadAcid,
    /// Lithium with iron disulphide, not rechargeable.
    LithiumPrimary,
}

impl Chemistry {
    /// All chemistries.
    pub const ALL: [Self; 6] = [
        Self::Alkaline,
        Self::NickelMetalHydride,
        Self::LithiumIon,
        Self::LithiumIronPhosphate,
        Self::SealedLeadAcid,
        Self::LithiumPrimary,
    ];

    /// Returns the words for it.
    pub fn words(self) -> &'static str {
        match self {
            Self::Alkaline => "alkaline",
            Self::NickelMetalHydride => "nickel-metal hydride",
            Self::LithiumIon => "lithium-ion",
            Self::LithiumIronPhosphate => "lithium iron phosphate",
            Self::SealedLeadAcid => "sealed lead-acid",
            Self::LithiumPrimary => "primary lithium",
        }
    }
}

impl fmt::Display for Chemistry {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// A set of cells in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cells {
    /// What they are made of.
    pub chemistry: Chemistry,
    /// How many stand in series.
    pub count: u32,
    /// Voltage of the whole set at which the box gives up, in volts; the chemistry's usual end where
    /// none is noted.
    pub end_v: Option<f64>,
}

/// Currents of a radio on its own battery, in milliamperes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// While it transmits.
    pub transmit_ma: f64,
    /// While it receives.
    pub receive_ma: f64,
    /// While nothing is on the air.
    pub standby_ma: f64,
}

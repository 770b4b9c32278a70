//! Quantities whose unit must never be guessed.
//!
//! Frequencies and tones keep an exact whole number of their smallest step, so that equality is exact
//! and the same value always prints the same digits. Levels and ratios are two types: a level minus
//! a level is a ratio, a level minus a ratio is a level, and two levels never add.

use std::{fmt, ops};

/// A radio frequency, kept in whole hertz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Frequency {
    hertz: u64,
}

impl Frequency {
    /// Lowest frequency accepted, in MHz.
    pub const LOWEST_MHZ: f64 = 0.1;
    /// Highest frequency accepted, in MHz.
    pub const HIGHEST_MHZ: f64 = 6000.0;

    /// Makes a frequency from megahertz, rounded to one hertz.
    ///
    /// Returns `None` outside 0.1 to 6000 MHz, the range in which voice radio is met.
    pub fn from_mhz(mhz: f64) -> Option<Self> {
        (Self::LOWEST_MHZ..=Self::HIGHEST_MHZ)
            .contains(&mhz)
            .then(|| Self {
                hertz: (mhz * 1e6).round() as u64,
            })
    }

    /// Makes a frequency from whole hertz, without a range.
    pub const fn from_hertz(hertz: u64) -> Self {
        Self { hertz }
    }

    /// Returns the frequency in megahertz.
    pub fn mhz(self) -> f64 {
        self.hertz as f64 / 1e6
    }

    /// Returns the frequency in hertz.
    pub const fn hertz(self) -> u64 {
        self.hertz
    }
}

impl fmt::Display for Frequency {
    /// Prints four decimals, or five or six where they carry digits, as the ICS 205 asks.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = match self.hertz {
            hz if hz % 100 == 0 => 4,
            hz if hz % 10 == 0 => 5,
            _ => 6,
        };
        write!(f, "{:.decimals$} MHz", self.mhz())
    }
}

/// A CTCSS tone, kept in tenths of a hertz.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Tone {
    tenths: u16,
}

impl Tone {
    /// Lowest tone accepted, in Hz.
    pub const LOWEST_HZ: f64 = 60.0;
    /// Highest tone accepted, in Hz.
    pub const HIGHEST_HZ: f64 = 260.0;

    /// Makes a tone from hertz, rounded to a tenth; `None` outside 60 to 260 Hz.
    pub fn from_hz(hz: f64) -> Option<Self> {
        (Self::LOWEST_HZ..=Self::HIGHEST_HZ)
            .contains(&hz)
            .then(|| Self {
                tenths: (hz * 10.0).round() as u16,
            })
    }

    /// Makes a tone from tenths of a hertz, without a range.
    pub const fn from_tenths(tenths: u16) -> Self {
        Self { tenths }
    }

    /// Returns the tone in hertz.
    pub fn hz(self) -> f64 {
        f64::from(self.tenths) / 10.0
    }
}

impl fmt::Display for Tone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} Hz", self.hz())
    }
}

/// A stretch of spectrum that a radio covers, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Band {
    /// Lowest frequency covered.
    pub low: Frequency,
    /// Highest frequency covered.
    pub high: Frequency,
}

impl Band {
    /// Tells whether the band covers a frequency.
    pub fn covers(self, frequency: Frequency) -> bool {
        self.low <= frequency && frequency <= self.high
    }
}

impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {} MHz", self.low.mhz(), self.high.mhz())
    }
}

/// A ratio of powers in decibels: a gain, a loss, an isolation. Never a level.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Decibels(pub f64);

impl ops::Add for Decibels {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl ops::Sub for Decibels {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl fmt::Display for Decibels {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} dB", self.0)
    }
}

/// A level: power over one milliwatt, in dBm. Never a ratio.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Dbm(pub f64);

impl Dbm {
    /// Makes a level from watts; `None` unless the power is above zero and finite.
    pub fn from_watts(watts: f64) -> Option<Self> {
        (watts > 0.0 && watts.is_finite()).then(|| Self(10.0 * (watts * 1e3).log10()))
    }

    /// Returns the power in milliwatts.
    pub fn milliwatts(self) -> f64 {
        10_f64.powf(self.0 / 10.0)
    }
}

impl ops::Sub<Decibels> for Dbm {
    type Output = Self;
    fn sub(self, loss: Decibels) -> Self {
        Self(self.0 - loss.0)
    }
}

impl ops::Add<Decibels> for Dbm {
    type Output = Self;
    fn add(self, gain: Decibels) -> Self {
        Self(self.0 + gain.0)
    }
}

impl ops::Sub for Dbm {
    type Output = Decibels;
    fn sub(self, other: Self) -> Decibels {
        Decibels(self.0 - other.0)
    }
}

impl fmt::Display for Dbm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} dBm", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_frequency_prints_the_decimals_it_needs() {
        let text = |mhz: f64| Frequency::from_mhz(mhz).unwrap().to_string();
        assert_eq!(text(155.7525), "155.7525 MHz");
        assert_eq!(text(769.243_75), "769.24375 MHz");
        assert_eq!(text(453.0), "453.0000 MHz");
    }

    #[test]
    fn numbers_outside_the_range_are_refused() {
        for mhz in [f64::NAN, f64::INFINITY, -155.0, 0.0, 6000.1] {
            assert_eq!(Frequency::from_mhz(mhz), None, "{mhz}");
        }
        for hz in [f64::NAN, 0.0, 59.9, 260.1] {
            assert_eq!(Tone::from_hz(hz), None, "{hz}");
        }
    }
}

//! The range in which a formula may be used, and the refusal of a number outside it.
//!
//! One place says the range; the formula refuses by it, and whoever asked for the number reads the
//! same words.

use std::fmt;

/// An allowed range, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// What is measured, as "distance".
    pub quantity: &'static str,
    /// Lowest value allowed.
    pub low: f64,
    /// Highest value allowed.
    pub high: f64,
    /// Unit, or nothing for a plain number.
    pub unit: &'static str,
}

/// A number outside the range of a formula.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{} is {found}; it must be {range}", .range.quantity)]
pub struct OutOfRange {
    /// The range.
    pub range: Range,
    /// What was given.
    pub found: f64,
}

impl Range {
    /// Makes a range.
    pub const fn new(quantity: &'static str, low: f64, high: f64, unit: &'static str) -> Self {
        Self {
            quantity,
            low,
            high,
            unit,
        }
    }

    /// Returns the number, if it is inside.
    ///
    /// # Errors
    ///
    /// The number is outside the range, or not a number at all.
    pub fn check(self, found: f64) -> Result<f64, OutOfRange> {
        if (self.low..=self.high).contains(&found) {
            Ok(found)
        } else {
            Err(OutOfRange { range: self, found })
        }
    }
}

/// Writes the ends and the unit, as "0.001 to 100000 km".
impl fmt::Display for Range {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let space = if self.unit.is_empty() { "" } else { " " };
        write!(f, "{} to {}{space}{}", self.low, self.high, self.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_says_what_is_allowed() {
        let range = Range::new("distance", 0.001, 100_000.0, "km");
        assert_eq!(range.check(0.001), Ok(0.001));
        assert_eq!(range.check(100_000.0), Ok(100_000.0));
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(range.check(bad).is_err(), "{bad}");
        }
        let said = range.check(-1.0).unwrap_err().to_string();
        assert_eq!(said, "distance is -1; it must be 0.001 to 100000 km");
    }
}

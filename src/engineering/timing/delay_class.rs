//! How a one-way delay from mouth to ear is felt.
//!
//! Formula: fine up to 150 ms, noticeable up to 400 ms, excessive beyond.
//!
//! Units: milliseconds, mouth to ear, all parts summed.
//!
//! Valid range: any delay.
//!
//! When it is wrong: the bounds were set for two people who may interrupt each other. Half-duplex
//! press-to-talk forgives more, since nobody can interrupt; a double satellite hop is the usual
//! accepted exception to the upper bound.
//!
//! Source: ITU-T G.114 (05/2003), the two bounds for network planning; from memory.
//!
//! Worked example: one geostationary hop of 252 ms is noticeable, two are excessive.

/// Longest delay that is fine for most uses, in milliseconds.
pub const FINE_UP_TO_MS: f64 = 150.0;
/// Longest delay that network planning should allow, in milliseconds.
pub const NOTICEABLE_UP_TO_MS: f64 = 400.0;

/// How a delay is felt, from good to bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DelayClass {
    /// Fine for most uses.
    Fine,
    /// Acceptable where the planner knows what it does to quick talk.
    Noticeable,
    /// Not for general planning.
    Excessive,
}

/// Returns the class of a delay; what is not a number counts as excessive.
pub fn class(delay_ms: f64) -> DelayClass {
    if delay_ms <= FINE_UP_TO_MS {
        DelayClass::Fine
    } else if delay_ms <= NOTICEABLE_UP_TO_MS {
        DelayClass::Noticeable
    } else {
        DelayClass::Excessive
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn the_bounds_are_those_of_the_recommendation() {
        let rows = [
            ("fine up to", FINE_UP_TO_MS, 150.0),
            ("acceptable up to", NOTICEABLE_UP_TO_MS, 400.0),
        ];
        agrees("ITU-T G.114 (05/2003), from memory", 0.0, &rows);
    }

    #[test]
    fn a_bound_belongs_to_the_better_class() {
        use DelayClass::{Excessive, Fine, Noticeable};
        for (delay_ms, expected) in [
            (0.0, Fine),
            (150.0, Fine),
            (150.1, Noticeable),
            (252.04, Noticeable),
            (400.0, Noticeable),
            (400.1, Excessive),
            (504.08, Excessive),
            (f64::INFINITY, Excessive),
            (f64::NAN, Excessive),
        ] {
            assert_eq!(class(delay_ms), expected, "{delay_ms} ms");
        }
        assert!(Fine < Noticeable && Noticeable < Excessive);
    }
}

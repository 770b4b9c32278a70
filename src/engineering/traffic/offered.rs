//! Offered load: how much talk a channel is asked to carry.
//!
//! Formula: `A = calls per hour * seconds per call / 3600`.
//!
//! Units: calls per hour, seconds, erlangs.
//!
//! Valid range: up to a million calls an hour, a call up to a day.
//!
//! When it is wrong: overhead counts too. Where a channel is held through a hang time, the hang is
//! part of the call. The mean of a whole day is below the busy hour, and talk at one incident comes
//! in bursts.
//!
//! Source: textbook (definition of the erlang). Six presses of 5 s an hour for each radio in use:
//! 700 MHz regional planning loading calculator, 2016.
//!
//! Worked example: 5400 presses of 5 s in an hour are 7.5 erlangs.

use crate::engineering::{OutOfRange, Range};

/// Calls in an hour.
pub const CALLS: Range = Range::new("number of calls", 0.0, 1_000_000.0, "per hour");
/// Length of a call.
pub const CALL: Range = Range::new("length of a call", 0.0, 86_400.0, "s");

/// Returns the offered load, in erlangs.
///
/// # Errors
///
/// An argument is outside [`CALLS`] or [`CALL`].
pub fn offered_erl(calls_per_hour: f64, seconds_per_call: f64) -> Result<f64, OutOfRange> {
    Ok(CALLS.check(calls_per_hour)? * CALL.check(seconds_per_call)? / 3600.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    const SOURCE: &str = "700 MHz regional planning loading calculator, 2016, and from its figures";

    #[test]
    fn loads_are_as_published() {
        let of = |calls, seconds| offered_erl(calls, seconds).unwrap();
        let calculator = [("5400 presses", of(5400.0, 5.0), 7.5)];
        agrees(SOURCE, 1e-12, &calculator);
        let one = [
            ("one radio", of(6.0, 5.0), 0.008_33),
            ("one radio with overhead", of(6.0, 5.2), 0.008_67),
        ];
        agrees(SOURCE, 5.1e-6, &one);
        agrees(SOURCE, 5.1e-4, &[("1000 radios", of(6000.0, 5.2), 8.667)]);
        agrees(
            SOURCE,
            5.1e-5,
            &[("with a hang of 3 s", of(6.0, 8.0), 0.0133)],
        );
    }

    #[test]
    fn users_of_one_channel_are_as_computed_by_hand() {
        let each = offered_erl(6.0, 5.2).unwrap();
        let users = |load: f64| (load / each).floor();
        let rows = [
            ("load 0.25", users(0.25), 28.0),
            ("load 0.35", users(0.35), 40.0),
            ("load 0.5", users(0.5), 57.0),
        ];
        agrees("computed by hand, rounded down", 0.0, &rows);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(offered_erl(bad, 5.0).is_err());
            assert!(offered_erl(6.0, bad).is_err());
        }
    }
}

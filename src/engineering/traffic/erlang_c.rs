//! Erlang C: how probable and how long the wait is where calls queue.
//!
//! Formula: `C = N / (A + (N - A) / B)`, the same as `N B / (N - A (1 - B))` without the difference
//! that cancels as A comes near N. Mean wait over all calls `W = C H / (N - A)`;
//! `P(wait > t) = C exp(-(N - A) t / H)`.
//!
//! Units: erlangs, channels, seconds, probability.
//!
//! Valid range: load 0 to 1 000 000 erlangs, 1 to 100 000 channels, holding time up to a day. At
//! `A >= N` the queue grows without end, which is an answer of its own and not a number.
//!
//! When it is wrong: as with Erlang B, callers must be many and independent; talk within one
//! incident comes in bursts. A short overload has no time to grow a long queue, so near saturation
//! the steady answer overstates a busy quarter of an hour. For few users take `finite_source`.
//!
//! Source: textbook (A. K. Erlang, 1917; in any book on teletraffic).
//!
//! Worked example: 1000 radios that press six times an hour for 5.2 s offer 8.667 erlangs; on 12
//! channels 0.218 of presses wait.

use crate::engineering::traffic::erlang_b::{self, LOAD, SERVERS};
use crate::engineering::{OutOfRange, Range};

/// Mean holding times.
pub const HOLD: Range = Range::new("holding time", 0.001, 86_400.0, "s");
/// Waits that can be asked for.
pub const WAIT: Range = Range::new("wait", 0.0, 1e9, "s");

/// What waiting is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Waiting {
    /// The queue settles.
    Settles {
        /// Probability that a call waits.
        probability: f64,
        /// Mean wait over all calls, those that do not wait included, in seconds.
        mean_wait_s: f64,
    },
    /// As much is offered as the channels carry, or more: the queue grows without end.
    GrowsWithoutEnd,
}

/// Returns the probability and the mean of waiting.
///
/// # Errors
///
/// An argument is outside its range, or there is no channel.
pub fn wait(load_erl: f64, servers: u32, hold_s: f64) -> Result<Waiting, OutOfRange> {
    let hold_s = HOLD.check(hold_s)?;
    let load_erl = LOAD.check(load_erl)?;
    let n = Range {
        low: 1.0,
        ..SERVERS
    }
    .check(f64::from(servers))?;
    if load_erl >= n {
        return Ok(Waiting::GrowsWithoutEnd);
    }
    let spare = n - load_erl;
    let probability = n / (load_erl + spare * erlang_b::inverse(load_erl, servers)?);
    Ok(Waiting::Settles {
        probability,
        mean_wait_s: probability * hold_s / spare,
    })
}

/// Returns the probability that a call waits longer than a time; 1 where the queue grows without end.
///
/// # Errors
///
/// An argument is outside its range, or there is no channel.
pub fn wait_longer_than(
    load_erl: f64,
    servers: u32,
    hold_s: f64,
    t_s: f64,
) -> Result<f64, OutOfRange> {
    let t_s = WAIT.check(t_s)?;
    Ok(match wait(load_erl, servers, hold_s)? {
        Waiting::GrowsWithoutEnd => 1.0,
        Waiting::Settles { probability, .. } => {
            probability * (-(f64::from(servers) - load_erl) * t_s / hold_s).exp()
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::traffic::exact::Inverse;

    const TABLE: &str = include_str!("../../../tests/data/erlang_tables.csv");

    fn settled(load_erl: f64, servers: u32, hold_s: f64) -> (f64, f64) {
        match wait(load_erl, servers, hold_s) {
            Ok(Waiting::Settles {
                probability,
                mean_wait_s,
            }) => (probability, mean_wait_s),
            other => panic!("{load_erl} on {servers}: {other:?}"),
        }
    }

    #[test]
    fn every_row_of_the_table_agrees() {
        let mut checked = 0;
        for line in TABLE.lines().filter(|l| l.starts_with("erlang_c,")) {
            let fields: Vec<&str> = line.split(',').collect();
            let number = |at: usize| fields[at].parse::<f64>().unwrap();
            let (servers, load) = (number(1) as u32, number(2));
            let (probability, mean) = settled(load, servers, 1.0);
            let long = wait_longer_than(load, servers, 1.0, 1.0).unwrap();
            let rows = [(line, probability, number(3)), (line, long, number(5))];
            agrees("Erlang C table", 5.1e-9, &rows);
            agrees("Erlang C table", 5.1e-7, &[(line, mean, number(4))]);
            checked += 1;
        }
        assert_eq!(checked, 24);
        // With the 84 rows of Erlang B that is the whole table and its head.
        assert_eq!(TABLE.lines().count(), 24 + 84 + 1);
    }

    #[test]
    fn a_thousand_radios_wait_as_computed_by_hand() {
        let load = 1000.0 * 6.0 * 5.2 / 3600.0;
        let of = |servers| settled(load, servers, 5.2).0;
        let rows = [
            ("10", of(10), 0.574),
            ("11", of(11), 0.361),
            ("12", of(12), 0.218),
            ("13", of(13), 0.126),
        ];
        agrees("Erlang C, 8.667 erlangs", 5.1e-4, &rows);
        let rows = [("14", of(14), 0.0691), ("15", of(15), 0.0363)];
        agrees("Erlang C, 8.667 erlangs", 5.1e-5, &rows);
    }

    #[test]
    fn joining_two_nets_more_than_doubles_the_wait() {
        let (alone, joined) = (settled(0.3, 1, 1.0), settled(0.6, 1, 1.0));
        let rows = [
            ("alone, mean", alone.1, 0.43),
            ("joined, mean", joined.1, 1.5),
            ("joined, twice as often", joined.0, 2.0 * alone.0),
        ];
        agrees("A/(1-A) for one channel", 0.005_1, &rows);
    }

    #[test]
    fn exact_arithmetic_agrees_up_to_saturation() {
        let mut largest: f64 = 0.0;
        for (load_erl, servers) in [
            (0.1, 1),
            (1.0 - 1e-9, 1),
            (9.5, 10),
            (10.0 * (1.0 - 1e-9), 10),
            (700.25, 1000),
            (1000.0 * (1.0 - 1e-9), 1000),
            (2400.1, 3000),
            (2999.9, 3000),
            (3000.0 * (1.0 - 1e-9), 3000),
            (3000.0 * (1.0 - 1e-15), 3000),
            (9990.5, 10_000),
        ] {
            let (probability, mean) = settled(load_erl, servers, 1.0);
            let (exact, exact_mean) = Inverse::new(load_erl, servers).waiting();
            for (ours, exact) in [(probability, exact), (mean, exact_mean)] {
                let error = (ours / exact - 1.0).abs();
                assert!(error < 1e-9, "{load_erl} on {servers}: {ours}, {exact}");
                largest = largest.max(error);
            }
        }
        assert!(largest < 1e-12, "largest relative error {largest:e}");
    }

    #[test]
    fn one_channel_waits_as_often_as_it_is_busy() {
        for percent in 1..100_u32 {
            let load = f64::from(percent) / 100.0;
            let (probability, mean) = settled(load, 1, 5.0);
            let rows = [
                ("probability", probability, load),
                ("mean", mean, load * 5.0 / (1.0 - load)),
            ];
            agrees("M/M/1", 1e-10, &rows);
        }
    }

    #[test]
    fn saturation_is_an_answer_of_its_own() {
        for load in [3.0, 3.000_001, 100_000.0] {
            assert_eq!(wait(load, 3, 5.0), Ok(Waiting::GrowsWithoutEnd));
            let long = wait_longer_than(load, 3, 5.0, 60.0).unwrap();
            agrees("queue without end", 0.0, &[("wait", long, 1.0)]);
        }
        let (probability, mean) = settled(0.0, 3, 5.0);
        let rows = [("none wait", probability, 0.0), ("no wait", mean, 0.0)];
        agrees("no load", 0.0, &rows);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(wait(bad, 3, 5.0).is_err());
            assert!(wait(1.0, 3, bad).is_err());
            assert!(wait_longer_than(1.0, 3, 5.0, bad).is_err());
        }
        assert!(wait(0.0, 0, 5.0).is_err());
        assert!(wait(1.0, 3, 0.0).is_err());
    }
}

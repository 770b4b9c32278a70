//! Erlang B: how probable it is that a call finds every channel busy and is lost.
//!
//! Formula: `B(0) = 1`, `B(i) = A B(i-1) / (i + A B(i-1))`, computed as its inverse,
//! `1/B(i) = 1 + (i / A) / B(i-1)`: a sum of positive terms, so nothing cancels however near or
//! far beyond saturation the load is.
//!
//! Units: erlangs, channels, probability.
//!
//! Valid range: load 0 to 1 000 000 erlangs, up to 100 000 channels. The relative error is below
//! 1e-9 wherever the true value is above 1e-300; the inverse overflows only where it is below
//! 6e-309, and then 0 is returned.
//!
//! When it is wrong: calls must come independently from many callers and be given up when lost.
//! Talk within one incident comes in bursts, so the figure is hopeful at the worst moments.
//! Press-to-talk users press again, for which Erlang C is nearer.
//!
//! Source: textbook (A. K. Erlang, 1917; recursion in any book on teletraffic).
//!
//! Worked example: 8 erlangs on 10 channels: 0.12166.

use crate::engineering::{OutOfRange, Range};

/// Loads.
pub const LOAD: Range = Range::new("offered load", 0.0, 1_000_000.0, "erlangs");
/// Numbers of channels.
pub const SERVERS: Range = Range::new("number of channels", 0.0, 100_000.0, "");
/// Probabilities of blocking that can be asked for.
pub const BLOCKING: Range = Range::new("blocking probability", 1e-300, 0.99, "");

/// Returns the probability that a call is lost.
///
/// Without channels every call is lost; without load none is, where there is a channel.
///
/// # Errors
///
/// An argument is outside [`LOAD`] or [`SERVERS`].
pub fn blocking(load_erl: f64, servers: u32) -> Result<f64, OutOfRange> {
    Ok(inverse(load_erl, servers)?.recip())
}

/// Returns the largest load that loses no more than the given share of calls, in erlangs.
///
/// # Errors
///
/// An argument is outside [`BLOCKING`] or [`SERVERS`], there is no channel, or the load would be
/// above [`LOAD`].
pub fn load_for(blocking: f64, servers: u32) -> Result<f64, OutOfRange> {
    let limit = BLOCKING.check(blocking)?.recip();
    let servers_range = Range {
        low: 1.0,
        ..SERVERS
    };
    servers_range.check(f64::from(servers))?;
    // What the highest load loses is the most that may be asked for.
    let high = BLOCKING.high.min(self::blocking(LOAD.high, servers)?);
    Range { high, ..BLOCKING }.check(blocking)?;
    // Floats above zero are in the order of their bits, so halving the bits reaches neighbours in
    // 64 steps at any size of load.
    let (mut enough, mut too_much) = (0, LOAD.high.to_bits());
    while too_much - enough > 1 {
        let middle = u64::midpoint(enough, too_much);
        if inverse(f64::from_bits(middle), servers)? >= limit {
            enough = middle;
        } else {
            too_much = middle;
        }
    }
    Ok(f64::from_bits(enough))
}

/// Returns the smallest number of channels that loses no more than the given share of calls.
///
/// # Errors
///
/// An argument is outside [`LOAD`] or [`BLOCKING`], or the number would be above [`SERVERS`].
pub fn servers_for(load_erl: f64, blocking: f64) -> Result<u32, OutOfRange> {
    let load_erl = LOAD.check(load_erl)?;
    let limit = BLOCKING.check(blocking)?.recip();
    let (mut servers, mut inverse) = (0, 1.0);
    while inverse < limit {
        servers += 1;
        SERVERS.check(f64::from(servers))?;
        inverse = next(inverse, load_erl, servers);
    }
    Ok(servers)
}

/// Returns 1/B, infinite where B is too small for a float.
pub(super) fn inverse(load_erl: f64, servers: u32) -> Result<f64, OutOfRange> {
    let load_erl = LOAD.check(load_erl)?;
    SERVERS.check(f64::from(servers))?;
    Ok((1..=servers).fold(1.0, |inverse, i| next(inverse, load_erl, i)))
}

fn next(inverse: f64, load_erl: f64, servers: u32) -> f64 {
    1.0 + f64::from(servers) / load_erl * inverse
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::traffic::exact::Inverse;

    /// Computed by bisection and exact fractions; part agrees with printed tables, as it says.
    const TABLE: &str = include_str!("../../../tests/data/erlang_tables.csv");

    #[test]
    fn every_row_of_the_table_agrees() {
        let (mut loads, mut blockings) = (0, 0);
        for line in TABLE.lines() {
            let fields: Vec<&str> = line.split(',').collect();
            let number = |at: usize| fields[at].parse::<f64>().unwrap();
            match fields[0] {
                "erlang_b_load" => {
                    let (servers, load, wanted) = (number(1) as u32, number(2), number(3));
                    let ours = load_for(wanted, servers).unwrap();
                    agrees("Erlang B load table", 5.1e-9, &[(line, ours, load)]);
                    assert_eq!(servers_for(ours, wanted), Ok(servers), "{line}");
                    loads += 1;
                }
                "erlang_b_blocking" => {
                    let ours = blocking(number(2), number(1) as u32).unwrap();
                    agrees("Erlang B table", 5.1e-9, &[(line, ours, number(3))]);
                    blockings += 1;
                }
                _ => {}
            }
        }
        assert_eq!((loads, blockings), (68, 16));
    }

    #[test]
    fn found_figures_agree() {
        let rows = [
            ("8 on 10", blocking(8.0, 10).unwrap(), 0.121_66),
            ("12 on 10", blocking(12.0, 10).unwrap(), 0.301_93),
            ("12 on 14", blocking(12.0, 14).unwrap(), 0.117_21),
            ("20 on 18", blocking(20.0, 18).unwrap(), 0.221_26),
        ];
        agrees("a published calculator's example table", 5.1e-6, &rows);
        let rows = [("15 at 1 %", load_for(0.01, 15).unwrap(), 8.108)];
        agrees("a published calculator's manual", 5.1e-4, &rows);
    }

    #[test]
    fn exact_arithmetic_agrees_up_to_ten_thousand_channels() {
        let mut largest: f64 = 0.0;
        for (load_erl, servers) in [
            (0.001, 1),
            (7.3, 10),
            (0.5, 100),
            (99.999_999, 100),
            (1000.0, 100),
            (900.25, 1000),
            (1000.0, 1000),
            (1500.0, 3000),
            (2400.1, 3000),
            (3000.0 * (1.0 - 1e-9), 3000),
            (3000.0, 3000),
            (3000.1, 3000),
            (60_000.0, 3000),
            (7000.5, 10_000),
            (10_000.0, 10_000),
        ] {
            let ours = blocking(load_erl, servers).unwrap();
            let exact = Inverse::new(load_erl, servers).blocking();
            let error = (ours / exact - 1.0).abs();
            assert!(error < 1e-9, "{load_erl} on {servers}: {ours}, {exact}");
            largest = largest.max(error);
        }
        assert!(largest < 1e-12, "largest relative error {largest:e}");
    }

    #[test]
    fn the_smallest_values_agree_with_exact_arithmetic() {
        for (load_erl, servers, low, high) in [
            (1.0, 166, 1e-299, 1e-296),
            (1.0, 167, 1e-301, 1e-298),
            (1500.0, 3140, 1e-300, 1e-290),
        ] {
            let exact = Inverse::new(load_erl, servers).blocking();
            assert!(
                (low..high).contains(&exact),
                "{load_erl}, {servers}: {exact:e}"
            );
            let error = (blocking(load_erl, servers).unwrap() / exact - 1.0).abs();
            assert!(error < 1e-9, "{load_erl}, {servers}: {error:e}");
        }
        // Below the smallest float there is nothing but 0.
        agrees(
            "underflow",
            0.0,
            &[("1 on 500", blocking(1.0, 500).unwrap(), 0.0)],
        );
    }

    #[test]
    fn the_inverse_questions_agree_with_the_formula() {
        for servers in [1, 2, 7, 40, 500, 3000, 10_000] {
            for wanted in [1e-300, 1e-250, 1e-6, 0.01, 0.3, 0.99] {
                let load = load_for(wanted, servers).unwrap();
                let error = (blocking(load, servers).unwrap() / wanted - 1.0).abs();
                assert!(error < 1e-9, "{servers}, {wanted}: {error:e}");
                assert_eq!(servers_for(load, wanted), Ok(servers));
                assert!(servers_for(load * 1.000_001, wanted).unwrap() > servers);
            }
        }
        assert_eq!(servers_for(0.0, 0.01), Ok(1));
    }

    #[test]
    fn more_load_loses_more_and_more_channels_lose_less() {
        let mut before = 0.0;
        for load in 1..400_u32 {
            let now = blocking(f64::from(load), 100).unwrap();
            assert!(now > before && now < 1.0);
            assert!(blocking(f64::from(load), 101).unwrap() < now);
            before = now;
        }
        let ends = [
            ("no channel", blocking(3.0, 0).unwrap(), 1.0),
            ("no load", blocking(0.0, 3).unwrap(), 0.0),
        ];
        agrees("limits", 0.0, &ends);
    }

    #[test]
    fn nonsense_is_refused() {
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1_000_001.0] {
            assert!(blocking(bad, 3).is_err());
            assert!(servers_for(bad, 0.1).is_err());
        }
        for bad in [f64::NAN, 0.0, 1.0, -0.1] {
            assert!(load_for(bad, 3).is_err());
            assert!(servers_for(1.0, bad).is_err());
        }
        assert!(blocking(1.0, 100_001).is_err());
        assert!(load_for(0.1, 0).is_err());
        let most = load_for(0.99, 100_000).unwrap_err();
        assert!(
            (most.range.high - 0.9).abs() < 1e-4,
            "more load than the formula takes"
        );
        let most = servers_for(LOAD.high, 0.01).unwrap_err();
        assert!(most.range == SERVERS && most.found > SERVERS.high);
    }
}

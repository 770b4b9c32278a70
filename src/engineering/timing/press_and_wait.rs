//! How long a speaker must wait after pressing, so that no hop cuts off the first word.
//!
//! Each hop opens only after it is keyed: the transmitter comes up, a system grants, a squelch and a
//! code decoder open. A gateway keys the next hop when the one before has opened, and may hold audio
//! back meanwhile, which gives time away again.
//!
//! Formula: with `o(k)` the time hop k takes to open and `h(k)` the audio held back before it,
//! `wait = max over k of sum over j <= k of (o(j) - h(j))`, and never below 0.
//!
//! Units: milliseconds throughout.
//!
//! Valid range: any whole numbers of milliseconds, up to a few hops; sums saturate.
//!
//! When it is wrong: a system that is busy grants later (load), and a receiver that scans joins
//! later still.
//!
//! Source: arithmetic of hops that open one after the other; that users are trained to press, pause
//! and then speak is common practice, no source.
//!
//! Worked example: two hops of 100 ms key-up and 230 ms squelch and tone each, nothing held back:
//! 660 ms. With 330 ms held back before the second: 330 ms.

/// One hop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hop {
    /// Time from being keyed until speech gets through.
    pub opens_ms: u32,
    /// Audio held back before it.
    pub held_ms: u32,
}

/// Returns the wait between pressing and speaking, in milliseconds.
pub fn wait_ms(hops: &[Hop]) -> u32 {
    let mut sum: i64 = 0;
    let mut most: i64 = 0;
    for hop in hops {
        sum += i64::from(hop.opens_ms) - i64::from(hop.held_ms);
        most = most.max(sum);
    }
    u32::try_from(most).unwrap_or(u32::MAX)
}

/// Returns the wait in tenths of a second, rounded up, as it is told to users.
pub fn tenths(wait_ms: u32) -> u32 {
    wait_ms.div_ceil(100)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hop(opens_ms: u32, held_ms: u32) -> Hop {
        Hop { opens_ms, held_ms }
    }

    #[test]
    fn two_coded_hops_cost_half_a_second_and_more_unless_audio_is_held_back() {
        // Published: squelch under 30 ms, tone decode about 200 ms (a mobile radio's service
        // specification); key-up at most 100 ms (TIA-603, from memory). Two hops clip about 0.5 to
        // 0.7 s unless audio is held back: computed from those rows.
        let both = wait_ms(&[hop(330, 0), hop(330, 0)]);
        assert!((500..=700).contains(&both), "{both}");
        assert_eq!(wait_ms(&[hop(330, 0), hop(330, 330)]), 330);
        assert_eq!(tenths(both), 7);
    }

    #[test]
    fn time_given_away_late_does_not_help_an_earlier_hop() {
        assert_eq!(wait_ms(&[hop(350, 0), hop(100, 900), hop(200, 0)]), 350);
        assert_eq!(wait_ms(&[hop(0, 500), hop(400, 0)]), 0);
        assert_eq!(wait_ms(&[]), 0);
        assert_eq!(wait_ms(&[hop(u32::MAX, 0), hop(u32::MAX, 0)]), u32::MAX);
        assert_eq!([0, 1, 100, 101].map(tenths), [0, 1, 1, 2]);
    }
}

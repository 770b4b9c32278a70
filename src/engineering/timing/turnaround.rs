//! Ports that are keyed by a carrier which stays up after the voice has ended.
//!
//! A repeater holds its carrier for a hang time. A port keyed by carrier takes it for a message and
//! keys the other legs; their repeaters hang in turn, and the join plays ping-pong with no voice in
//! it. A lockout, a time for which the port ignores its receiver after its own donor has sent,
//! prevents it.
//!
//! Formula: it can happen where `hang > lockout`. Hang times along a chain add.
//!
//! Units: milliseconds.
//!
//! Valid range: any whole numbers of milliseconds; sums saturate.
//!
//! When it is wrong: a port that needs a tone or code hears no message in a hang that is sent
//! without it; a hang is longer where a second user comes in before it ends. Ping-pong goes on only
//! where the ports at both ends can be keyed so; with one such port there is one false keying.
//!
//! Source: the order of events, by reasoning. Usual hang times of 0.5 to 3 s: common practice, no
//! source.
//!
//! Worked example: a hang of 2000 ms against a lockout of 500 ms can ping-pong; against one of
//! 2000 ms it cannot.

/// Shortest and longest usual hang time of a repeater; common practice, no source.
pub const USUAL_HANG_MS: (u32, u32) = (500, 3000);

/// Tells whether a port keyed by carrier takes the hang of its own repeater for a message.
///
/// `lockout_ms` is how long the port ignores its receiver after its donor has sent.
pub fn can_ping_pong(hang_ms: u32, lockout_ms: u32) -> bool {
    hang_ms > lockout_ms
}

/// Returns the time for which a chain stays busy after the voice: the sum of its hang times.
pub fn stacked_ms(hangs_ms: &[u32]) -> u32 {
    hangs_ms
        .iter()
        .fold(0, |sum: u32, hang| sum.saturating_add(*hang))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Plays the last keying of a port millisecond by millisecond and tells whether it keys again.
    fn keys_again(hang_ms: u32, lockout_ms: u32) -> bool {
        (0..hang_ms).any(|after_ms| after_ms >= lockout_ms)
    }

    #[test]
    fn a_hang_that_outlasts_the_lockout_keys_again() {
        for hang_ms in [0, 1, 499, 500, 501, 2000, 3000] {
            for lockout_ms in [0, 1, 500, 1999, 2000, 2001, 3000] {
                assert_eq!(
                    can_ping_pong(hang_ms, lockout_ms),
                    keys_again(hang_ms, lockout_ms),
                    "{hang_ms}, {lockout_ms}"
                );
            }
        }
        assert!(can_ping_pong(USUAL_HANG_MS.0, 0));
        assert!(!can_ping_pong(USUAL_HANG_MS.1, USUAL_HANG_MS.1));
    }

    #[test]
    fn usual_hang_times_are_half_a_second_to_three() {
        assert_eq!(USUAL_HANG_MS, (500, 3000));
    }

    #[test]
    fn hangs_add_along_a_chain() {
        assert_eq!(stacked_ms(&[]), 0);
        assert_eq!(stacked_ms(&[3000, 500, 2000]), 5500);
        assert_eq!(stacked_ms(&[u32::MAX, 1]), u32::MAX);
    }
}

//! Speech cut off the front of a message by a port that is keyed too late.
//!
//! A port holds audio back in a buffer while its donor gets access. What the buffer cannot hold is
//! lost.
//!
//! Formula: `lost = max(0, access + attack - buffer)`.
//!
//! Units: milliseconds throughout.
//!
//! Valid range: any whole numbers of milliseconds; sums saturate.
//!
//! When it is wrong: access that is refused or queued (load), or a donor that is busy; those waits
//! have no upper bound.
//!
//! Source: arithmetic of a first-in first-out buffer. That about 250 ms covers one widespread kind
//! of trunking and 350 ms another is common practice, no source.

/// Returns the speech lost at the front, in milliseconds.
///
/// `access_ms` is the time from keying to being carried, `attack_ms` the time voice-operated keying
/// takes (0 for a push-to-talk line), `buffer_ms` the audio held back.
pub fn lost_ms(access_ms: u32, attack_ms: u32, buffer_ms: u32) -> u32 {
    access_ms
        .saturating_add(attack_ms)
        .saturating_sub(buffer_ms)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_buffer_as_long_as_the_access_time_loses_nothing() {
        // Common practice, no source: 250 ms and 350 ms are the two usual buffers.
        assert_eq!(lost_ms(250, 0, 250), 0);
        assert_eq!(lost_ms(350, 0, 250), 100);
        assert_eq!(lost_ms(350, 0, 350), 0);
        // A trunked grant target of 500 ms (P25 Statement of Requirements, from memory).
        assert_eq!(lost_ms(500, 0, 250), 250);
    }

    #[test]
    fn voice_operated_keying_adds_its_attack() {
        assert_eq!(lost_ms(250, 80, 250), 80);
        assert_eq!(lost_ms(0, 80, 250), 0);
        assert_eq!(lost_ms(u32::MAX, 80, 0), u32::MAX);
    }
}

//! How long a receiver takes to open, and how P25 frames divide time.
//!
//! Formula: a code word of n bits lasts `n / rate`; a digital-coded squelch opens after one word at
//! best and two at worst; a P25 frame lasts `bits / 9600`.
//!
//! Units: milliseconds; bits; bit/s.
//!
//! Valid range: analogue FM with carrier, tone or digital-coded squelch; P25 Phase 1.
//!
//! When it is wrong: weak signals open a decoder late or never, low tones take longer than high
//! ones, and a scanning receiver first has to come round to the channel.
//!
//! Source: squelch below 30 ms and about 200 ms more for a tone: a mobile radio's published service
//! specification. Decode limit of 250 ms, transmitter attack of 100 ms, end signals of 150 to
//! 200 ms: TIA-603, from memory. Frame sizes: public frame constants of TIA-102.BAAA; bit rate of
//! digital-coded squelch: TIA-603, from memory.
//!
//! Worked example: 23 bits at 134.4 bit/s last 171 ms; 1728 bits at 9600 bit/s last 180 ms.

/// Time of a carrier squelch, at most.
pub const SQUELCH_MS: f64 = 30.0;
/// What a tone decoder adds to the squelch, about.
pub const TONE_DECODE_MS: f64 = 200.0;
/// Longest time that a tone decoder may take (TIA-603, from memory).
pub const TONE_DECODE_LIMIT_MS: f64 = 250.0;
/// Longest time that a transmitter may take to reach power (TIA-603, from memory).
pub const TRANSMITTER_ATTACK_LIMIT_MS: f64 = 100.0;
/// Shortest and longest end signal, reversed tone or 134.4 Hz (TIA-603, from memory).
pub const END_SIGNAL_MS: (f64, f64) = (150.0, 200.0);

/// Bits of a digital-coded squelch word.
pub const CODE_WORD_BITS: u32 = 23;
/// Bit rate of digital-coded squelch.
pub const CODE_BITS_PER_S: f64 = 134.4;

/// Bit rate of P25 Phase 1.
pub const P25_BITS_PER_S: f64 = 9600.0;
/// One frame of P25 speech.
pub const VOICE_FRAME_MS: f64 = 20.0;
/// Bits of a header data unit.
pub const HEADER_BITS: u32 = 792;
/// Bits of a logical data unit, either kind, with nine voice frames.
pub const LOGICAL_UNIT_BITS: u32 = 1728;
/// Bits of a terminator without link control.
pub const TERMINATOR_BITS: u32 = 144;
/// Bits of a terminator with link control.
pub const LONG_TERMINATOR_BITS: u32 = 432;

/// What an FM receiver waits for before it opens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Squelch {
    /// A carrier.
    Carrier,
    /// A tone, CTCSS.
    Tone,
    /// A digital code, DCS.
    Code,
}

/// Returns the usual time until a receiver opens.
pub fn opening_ms(squelch: Squelch) -> f64 {
    match squelch {
        Squelch::Carrier => SQUELCH_MS,
        Squelch::Tone => SQUELCH_MS + TONE_DECODE_MS,
        Squelch::Code => SQUELCH_MS + code_word_ms(),
    }
}

/// Returns the longest time until a receiver in order opens on a good signal.
///
/// With a tone it is the limit of TIA-603, with a code two words.
pub fn longest_opening_ms(squelch: Squelch) -> f64 {
    match squelch {
        Squelch::Carrier => SQUELCH_MS,
        Squelch::Tone => TONE_DECODE_LIMIT_MS,
        Squelch::Code => SQUELCH_MS + 2.0 * code_word_ms(),
    }
}

/// Returns the time of one digital-coded squelch word.
pub fn code_word_ms() -> f64 {
    f64::from(CODE_WORD_BITS) / CODE_BITS_PER_S * 1e3
}

/// Returns the time of so many P25 Phase 1 bits.
pub fn p25_ms(bits: u32) -> f64 {
    f64::from(bits) / P25_BITS_PER_S * 1e3
}

/// Returns the time of a superframe: both logical data units.
pub fn superframe_ms() -> f64 {
    2.0 * p25_ms(LOGICAL_UNIT_BITS)
}

/// Returns the longest extra wait of a receiver that joins in mid-call.
///
/// Link control, and the sync that decryption needs, come once a superframe.
pub fn late_entry_ms() -> f64 {
    superframe_ms()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;

    #[test]
    fn squelch_times_are_as_published() {
        let specification = [
            ("carrier", opening_ms(Squelch::Carrier), 30.0),
            ("tone adds", opening_ms(Squelch::Tone) - SQUELCH_MS, 200.0),
        ];
        agrees("a published service specification", 0.0, &specification);
        let limits = [
            ("tone", longest_opening_ms(Squelch::Tone), 250.0),
            ("attack", TRANSMITTER_ATTACK_LIMIT_MS, 100.0),
            ("end signal, shortest", END_SIGNAL_MS.0, 150.0),
            ("end signal, longest", END_SIGNAL_MS.1, 200.0),
        ];
        agrees("TIA-603, from memory", 0.0, &limits);
    }

    #[test]
    fn a_code_takes_one_word_or_two() {
        let word = [("one word", code_word_ms(), 171.0)];
        agrees("23 bits at 134.4 bit/s", 0.5, &word);
        let longest = longest_opening_ms(Squelch::Code) - SQUELCH_MS;
        let rows = [
            ("shortest", opening_ms(Squelch::Code) - SQUELCH_MS, 170.0),
            ("longest", longest, 350.0),
        ];
        agrees("170 to 350 ms, to the nearest 10 ms or so", 10.0, &rows);
    }

    #[test]
    fn frames_last_as_published() {
        let rows = [
            ("header", p25_ms(HEADER_BITS), 82.5),
            ("header, bytes", p25_ms(99 * 8), 82.5),
            ("logical unit", p25_ms(LOGICAL_UNIT_BITS), 180.0),
            ("logical unit, bytes", p25_ms(216 * 8), 180.0),
            ("terminator", p25_ms(TERMINATOR_BITS), 15.0),
            ("terminator, bytes", p25_ms(18 * 8), 15.0),
            ("long terminator", p25_ms(LONG_TERMINATOR_BITS), 45.0),
            ("long terminator, bytes", p25_ms(54 * 8), 45.0),
            ("superframe", superframe_ms(), 360.0),
            ("18 voice frames", superframe_ms(), 18.0 * VOICE_FRAME_MS),
            ("late entry", late_entry_ms(), 360.0),
        ];
        agrees("TIA-102.BAAA frame constants", 1e-9, &rows);
    }

    #[test]
    fn two_tone_coded_hops_clip_half_a_second_or_more() {
        // Computed from the rows above: two decode limits, without and with two transmitter attacks.
        let opening = longest_opening_ms(Squelch::Tone);
        let rows = [
            ("quick transmitters", 2.0 * opening, 500.0),
            (
                "slowest transmitters",
                2.0 * (opening + TRANSMITTER_ATTACK_LIMIT_MS),
                700.0,
            ),
        ];
        agrees("0.5 to 0.7 s for two hops", 1e-9, &rows);
    }

    #[test]
    fn the_longest_time_is_not_below_the_usual_one() {
        for squelch in [Squelch::Carrier, Squelch::Tone, Squelch::Code] {
            assert!(
                longest_opening_ms(squelch) >= opening_ms(squelch),
                "{squelch:?}"
            );
        }
    }
}

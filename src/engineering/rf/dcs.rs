//! Which digital-coded squelch codes are the same on the air.
//!
//! A DCS code is sent over and over as a 23-bit word without a mark where it begins, so a receiver
//! cannot tell a word from its rotations. Inverted polarity complements every bit. Two settings
//! therefore open each other when one word is a rotation of the other.
//!
//! Formula: the word is the systematic codeword of the (23,12) Golay code: the twelve data bits are
//! 100 followed by the nine bits of the octal code, the eleven parity bits are the remainder of
//! `data * x^11` by the generator `x^11 + x^9 + x^7 + x^6 + x^5 + x + 1`.
//!
//! Units: none. Codes are octal, 000 to 777.
//!
//! Valid range: every nine-bit code; the trade uses about a hundred of them.
//!
//! When it is wrong: a decoder that also checks where a word begins, which none is known to do.
//!
//! Source: TIA-603 (coded squelch; from memory) for the word; the pairs of equal codes that the
//! tests check are published in code tables of the trade.
//!
//! Worked example: code 023 gives the word `0x409F63`; 023 upright equals 047 inverted.

const GENERATOR: u32 = 0b1010_1110_0011;
const WORD_BITS: u32 = 23;
const WORD_MASK: u32 = (1 << WORD_BITS) - 1;

/// Returns the 23-bit word of a code, first bit sent last.
pub fn word(code: u16, inverted: bool) -> u32 {
    let data = 0b100 << 9 | u32::from(code & 0o777);
    let mut remainder = data << 11;
    for bit in (11..WORD_BITS).rev() {
        if remainder >> bit & 1 == 1 {
            remainder ^= GENERATOR << (bit - 11);
        }
    }
    let word = data << 11 | remainder;
    if inverted { !word & WORD_MASK } else { word }
}

/// Tells whether a receiver set to one code opens on the other.
pub fn same_on_air(a: (u16, bool), b: (u16, bool)) -> bool {
    let (a, b) = (word(a.0, a.1), word(b.0, b.1));
    (0..WORD_BITS).any(|turn| (a << turn | a >> (WORD_BITS - turn)) & WORD_MASK == b)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Words and inverted twins from published code tables of 83 standard codes.
    const PUBLISHED: [(u16, u32, u16); 4] = [
        (0o023, 0x0040_9F63, 0o047),
        (0o025, 0x0040_AEB7, 0o244),
        (0o026, 0x0040_B65D, 0o464),
        (0o031, 0x0040_CD1F, 0o627),
    ];

    #[test]
    fn words_and_inverted_twins_are_as_published() {
        for (code, published_word, twin) in PUBLISHED {
            assert_eq!(word(code, false), published_word, "{code:03o}");
            assert!(same_on_air((code, false), (twin, true)), "{code:03o} and {twin:03o}");
            assert!(same_on_air((twin, false), (code, true)), "{twin:03o} and {code:03o}");
            assert!(!same_on_air((code, false), (twin, false)), "{code:03o} upright twin");
        }
    }

    #[test]
    fn upright_aliases_are_as_published() {
        // The same tables list 023, 340 and 766 as one word read from three places.
        assert!(same_on_air((0o023, false), (0o340, false)));
        assert!(same_on_air((0o023, false), (0o766, false)));
        assert!(!same_on_air((0o023, false), (0o025, false)));
    }
}

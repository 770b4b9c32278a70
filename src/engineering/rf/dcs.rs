//! Which digital-coded squelch codes are the same on the air.
//!
//! A DCS code is sent over and over as a 23-bit word without a mark where it begins, so a receiver
//! cannot tell a word from its rotations. Inverted polarity complements every bit. Two settings
//! therefore open each other when one word is a rotation of the other.
//!
//! Formula: the word is the systematic codeword of the (23,12) Golay code: the twelve data bits are
//! 100 followed by the nine bits of the octal code, the eleven parity bits are the remainder of
//! `data * x^11` by the generator. The generator published for the order in which the bits are sent,
//! lowest first, is `x^11 + x^9 + x^7 + x^6 + x^5 + x + 1`; for a word written highest bit first it
//! is the reciprocal, `x^11 + x^10 + x^6 + x^5 + x^4 + x^2 + 1`.
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

/// The reciprocal generator, for words written highest bit first.
const GENERATOR: u32 = 0b1100_0111_0101;
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

    /// Code, word and inverted twin of 105 codes, from published code tables of the trade.
    const PUBLISHED: &str = include_str!("../../../tests/data/dcs_words.csv");

    #[test]
    fn words_and_inverted_twins_are_as_published() {
        let octal = |text: &str| u16::from_str_radix(text, 8).unwrap();
        let mut checked = 0;
        for line in PUBLISHED.lines().filter(|l| !l.starts_with('#')) {
            let [code, published_word, twin] = line.split(',').collect::<Vec<_>>()[..] else {
                panic!("three columns: {line}");
            };
            let published_word = u32::from_str_radix(published_word, 16).unwrap();
            let code = octal(code);
            assert_eq!(word(code, false), published_word, "{line}");
            if !twin.is_empty() {
                let twin = octal(twin);
                assert!(same_on_air((code, false), (twin, true)), "{line}");
                assert!(same_on_air((twin, false), (code, true)), "{line}");
                assert!(!same_on_air((code, false), (twin, false)), "{line}");
            }
            checked += 1;
        }
        assert_eq!(checked, 105);
    }

    #[test]
    fn upright_aliases_are_as_published() {
        // The same tables list 023, 340 and 766 as one word read from three places.
        assert!(same_on_air((0o023, false), (0o340, false)));
        assert!(same_on_air((0o023, false), (0o766, false)));
        assert!(!same_on_air((0o023, false), (0o025, false)));
    }
}

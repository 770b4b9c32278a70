//! Harmonics of transmitters that fall on receivers.
//!
//! Formula: a harmonic n f hits a receiver when `|n f - rx| <= receiver width / 2 + n width / 2`.
//!
//! Units: whole hertz.
//!
//! Valid range: n from 2; frequencies 1 Hz to 100 GHz, others are left out.
//!
//! When it is wrong: it says where harmonics fall, not how strong they are; a transmitter's low-pass
//! filter takes most of them away, and the higher the weaker. A harmonic may also be made in the
//! receiver, which a filter at the transmitter does not help.
//!
//! Source: textbook, from memory; also that the n-th harmonic of an FM signal is n times as wide.
//!
//! Worked example: three times 151.1375 MHz is 453.4125 MHz; with 12.5 kHz of everything it reaches
//! 25 kHz, so it misses a receiver on 453.4625 MHz by 25 kHz.

use crate::engineering::rf::intermod::{HIGHEST_HZ, Receiver, Sender};

/// Highest harmonic usually looked at; common practice, no source.
pub const HIGHEST: u8 = 5;

/// A harmonic on a receiver.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// Which multiple of the frequency, from 2.
    pub multiple: u8,
    /// Index of the sender.
    pub sender: usize,
    /// Where the harmonic falls, in hertz.
    pub product_hz: u64,
    /// Index of the receiver.
    pub receiver: usize,
    /// Harmonic less receive frequency, in hertz.
    pub offset_hz: i64,
}

/// Finds harmonics from the second to the highest that fall on receivers.
///
/// `width_hz` is the bandwidth of one signal. Each sender stands for itself, also beside another on its
/// frequency, since each makes its own harmonics. Hits come by size of offset, then multiple, receiver
/// and sender.
///
/// Complexity: senders times multiples times receivers.
pub fn search(senders: &[Sender], receivers: &[Receiver], width_hz: u32, highest: u8) -> Vec<Hit> {
    let mut hits = Vec::new();
    let used = 1..=HIGHEST_HZ;
    for (sender, from) in senders.iter().enumerate() {
        if !used.contains(&from.hz) {
            continue;
        }
        for multiple in 2..=highest {
            let product_hz = u64::from(multiple) * from.hz;
            let signal = u64::from(multiple) * u64::from(width_hz);
            for (receiver, at) in receivers.iter().enumerate() {
                let widths = u64::from(at.width_hz) + signal;
                if used.contains(&at.hz) && 2 * product_hz.abs_diff(at.hz) <= widths {
                    hits.push(Hit {
                        multiple,
                        sender,
                        product_hz,
                        receiver,
                        offset_hz: product_hz.cast_signed() - at.hz.cast_signed(),
                    });
                }
            }
        }
    }
    hits.sort_by_key(|hit| {
        let away = hit.offset_hz.unsigned_abs();
        (away, hit.multiple, hit.receiver, hit.sender)
    });
    hits
}

#[cfg(test)]
mod tests {
    use super::*;

    const NARROW: u32 = 12_500;

    fn at(hz: u64) -> Receiver {
        Receiver {
            hz,
            width_hz: NARROW,
        }
    }

    #[test]
    fn a_harmonic_is_as_wide_as_its_multiple() {
        let senders = [Sender { hz: 151_137_500 }];
        let third = |hz| search(&senders, &[at(hz)], NARROW, HIGHEST);
        // The worked example, and the edge of its reach on both sides.
        assert!(third(453_462_500).is_empty());
        assert!(third(453_437_501).is_empty());
        assert!(third(453_387_499).is_empty());
        for (hz, offset_hz) in [(453_437_500, -25_000), (453_387_500, 25_000)] {
            let expected = Hit {
                multiple: 3,
                sender: 0,
                product_hz: 453_412_500,
                receiver: 0,
                offset_hz,
            };
            assert_eq!(third(hz), [expected]);
        }
    }

    #[test]
    fn only_multiples_from_two_to_the_highest_count() {
        let senders = [Sender { hz: 100_000_000 }];
        let receivers: Vec<_> = (1..=7).map(|n| at(n * 100_000_000)).collect();
        let multiples = |highest| -> Vec<u8> {
            let hits = search(&senders, &receivers, 0, highest);
            hits.iter().map(|hit| hit.multiple).collect()
        };
        assert_eq!(multiples(HIGHEST), [2, 3, 4, 5]);
        assert_eq!(multiples(7), [2, 3, 4, 5, 6, 7]);
        assert_eq!(multiples(2), [2]);
        assert!(multiples(1).is_empty());
        assert!(multiples(0).is_empty());
    }

    #[test]
    fn hits_come_nearest_first_and_absurd_frequencies_are_left_out() {
        let senders = [
            Sender { hz: u64::MAX },
            Sender { hz: 0 },
            Sender { hz: 50_000_000 },
            Sender { hz: 75_000_500 },
            Sender { hz: 50_000_000 },
        ];
        let receivers = [at(u64::MAX), at(0), at(150_002_000), at(150_000_000)];
        let found: Vec<_> = search(&senders, &receivers, NARROW, u8::MAX)
            .iter()
            .map(|hit| (hit.offset_hz, hit.multiple, hit.receiver, hit.sender))
            .collect();
        let expected = [
            (0, 3, 3, 2),
            (0, 3, 3, 4),
            (-1000, 2, 2, 3),
            (1000, 2, 3, 3),
            (-2000, 3, 2, 2),
            (-2000, 3, 2, 4),
        ];
        assert_eq!(found, expected);
    }
}

//! Intermodulation products of transmitters that fall on receivers, and their levels.
//!
//! Formula: two-signal third order `2 A - B`, three-signal third order `A + B - C`, two-signal fifth order
//! `3 A - 2 B`. A product of order n hits when `|product - rx| <= receiver width / 2 + n width / 2`.
//! Levels at one port, in dBm: `2 PA + PB - 2 IIP3` for two signals, `PA + PB + PC - 2 IIP3 + 6` for three;
//! `IIP3 = sensitivity + 1.5 rejection`.
//!
//! Units: whole hertz, dBm, dB.
//!
//! Valid range: frequencies 1 Hz to 100 GHz, others are left out. Levels up to the intercept point: above
//! it the receiver is overloaded outright and the law does not hold.
//!
//! When it is wrong: it says where products fall. Products made in transmitters and in rusty joints
//! follow the same frequencies but not these levels. Orders above five and fifth orders of three signals
//! are left out.
//!
//! Source: third order in land mobile receivers, Recommendation ITU-R SM.1134-1 (2007); orders,
//! coefficients and levels textbook, from memory; that a product of order n of FM signals is about n
//! times as wide, from memory.
//!
//! Worked example: 2 x 453.4625 - 453.2125 = 453.7125 MHz: two national UHF channels keyed on one site fall
//! on a third. Two tones of -30 dBm at IIP3 0 dBm make -90 dBm.

use crate::engineering::rf::ears::{Ears, Shape, signals};
use crate::engineering::{OutOfRange, Range};
use crate::model::{Dbm, Decibels};

/// Highest frequency that takes part, in hertz.
pub const HIGHEST_HZ: u64 = 100_000_000_000;

/// Highest order of the products looked at.
pub const HIGHEST_ORDER: u8 = 5;

/// Levels and intercept points the level formulas take.
pub const LEVEL: Range = Range::new("level", -300.0, 100.0, "dBm");

/// A frequency on the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sender {
    /// Frequency in hertz.
    pub hz: u64,
}

/// A frequency listened to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Receiver {
    /// Frequency in hertz.
    pub hz: u64,
    /// Bandwidth in hertz.
    pub width_hz: u32,
}

/// A product on a receiver.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hit {
    /// Order, 3 or 5: the sum of the coefficients without their signs.
    pub order: u8,
    /// Coefficient and index of each sender; the largest coefficient first, then the lower index.
    pub terms: Vec<(i8, usize)>,
    /// Where the product falls, in hertz.
    pub product_hz: u64,
    /// Index of the receiver.
    pub receiver: usize,
    /// Product less receive frequency, in hertz.
    pub offset_hz: i64,
}

/// Finds the products that fall on receivers.
///
/// `width_hz` is the bandwidth of one signal. Senders on one frequency are one signal, named by the
/// lowest index: they make no product with each other. A receiver on the frequency of one of the
/// product's own senders is passed over, since it hears that sender, far stronger, whenever the
/// product is there.
///
/// Hits come by size of offset, then order, receiver and terms.
///
/// Complexity: senders cubed over two, each a look at one bit, plus sorting of what is found.
pub fn search(senders: &[Sender], receivers: &[Receiver], width_hz: u32) -> Vec<Hit> {
    let signals = signals(senders);
    let third = Ears::new(receivers, 3, width_hz);
    let fifth = Ears::new(receivers, 5, width_hz);
    let mut found = Vec::new();
    for a in &signals {
        for b in signals.iter().filter(|b| b.hz != a.hz) {
            third.listen(&mut found, 2 * a.hz - b.hz, Shape::TwoThird, [a, b, b]);
            fifth.listen(&mut found, 3 * a.hz - 2 * b.hz, Shape::TwoFifth, [a, b, b]);
        }
    }
    for (at, a) in signals.iter().enumerate() {
        for b in signals.iter().skip(at + 1) {
            let sum = a.hz + b.hz;
            // Signals rise, so products fall: only a stretch of signals can reach a receiver.
            let first = signals.partition_point(|c| sum - c.hz > third.high);
            let reaching = signals.iter().skip(first);
            for c in reaching.take_while(|c| sum - c.hz >= third.low) {
                third.listen(&mut found, sum - c.hz, Shape::Three, [a, b, c]);
            }
        }
    }
    found.sort_unstable();
    found.iter().map(|found| found.hit(receivers)).collect()
}

/// Lists where products of the senders fall, in hertz and in no order, some perhaps twice: every
/// product that [`search`] tries, so that a receiver far from all of these can be left out of it.
///
/// Complexity: senders cubed over two.
pub fn falls(senders: &[Sender]) -> Vec<i64> {
    let signals = signals(senders);
    let mut all = Vec::new();
    for (at, a) in signals.iter().enumerate() {
        for b in signals.iter().filter(|b| b.hz != a.hz) {
            all.extend([2 * a.hz - b.hz, 3 * a.hz - 2 * b.hz]);
        }
        for b in signals.iter().skip(at + 1) {
            all.extend(signals.iter().map(|c| a.hz + b.hz - c.hz));
        }
    }
    all
}

/// Returns the level of the product `2 A - B`, of the signal taken twice and the one taken once.
///
/// # Errors
///
/// A level is outside [`LEVEL`] or a signal is above the intercept point.
pub fn product_level(twice: Dbm, once: Dbm, iip3: Dbm) -> Result<Dbm, OutOfRange> {
    third_order_level([twice, twice, once], iip3)
}

/// Returns the level of the product `A + B - C`, 6 dB above that of two signals as strong.
///
/// # Errors
///
/// A level is outside [`LEVEL`] or a signal is above the intercept point.
pub fn three_signal_product_level(signals: [Dbm; 3], iip3: Dbm) -> Result<Dbm, OutOfRange> {
    Ok(third_order_level(signals, iip3)? + THREE_SIGNALS)
}

/// Returns the third-order intercept point of a receiver from its intermodulation rejection.
///
/// The rejection is that of two equal signals which make a product as strong as the sensitivity.
pub fn iip3_from_rejection(sensitivity: Dbm, rejection: Decibels) -> Dbm {
    sensitivity + Decibels(1.5 * rejection.0)
}

/// How much stronger a product of three signals is than one of two.
const THREE_SIGNALS: Decibels = Decibels(6.0);

fn third_order_level(signals: [Dbm; 3], iip3: Dbm) -> Result<Dbm, OutOfRange> {
    let intercept = LEVEL.check(iip3.0)?;
    let allowed = Range {
        high: intercept,
        ..LEVEL
    };
    let sum = signals.iter().try_fold(0.0, |sum, signal| {
        allowed.check(signal.0).map(|level| sum + level)
    })?;
    Ok(Dbm(sum - 2.0 * intercept))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::rf::national;

    fn senders(mhz: &[f64]) -> Vec<Sender> {
        let hz = |mhz: &f64| (mhz * 1e6).round() as u64;
        mhz.iter().map(|mhz| Sender { hz: hz(mhz) }).collect()
    }

    fn receivers(senders: &[Sender], width_hz: u32) -> Vec<Receiver> {
        let at = |sender: &Sender| Receiver {
            hz: sender.hz,
            width_hz,
        };
        senders.iter().map(at).collect()
    }

    /// Exact hits of channels, all sent and received as a mobile hears them, as (terms, receiver).
    fn inside(names: &[&str]) -> Vec<(Vec<(i8, usize)>, usize)> {
        let hz = |name: &&str| national::find(name).expect("a national channel").rx.hertz();
        let sent: Vec<_> = names.iter().map(|name| Sender { hz: hz(name) }).collect();
        let hits = search(&sent, &receivers(&sent, 0), 0);
        let third = hits.into_iter().filter(|hit| hit.order == 3);
        third.map(|hit| (hit.terms, hit.receiver)).collect()
    }

    #[test]
    fn worked_frequencies_are_met() {
        let vhf = senders(&[155.7525, 154.4525, 158.7375]);
        let uhf = senders(&[453.2125, 453.4625]);
        let (ab, ba) = ([(2, 0), (-1, 1)], [(2, 1), (-1, 0)]);
        let (aab, bba) = ([(3, 0), (-2, 1)], [(3, 1), (-2, 0)]);
        let (abc, acb, bca) = (
            [(1, 0), (1, 1), (-1, 2)],
            [(1, 0), (1, 2), (-1, 1)],
            [(1, 1), (1, 2), (-1, 0)],
        );
        type Row<'a> = (&'a [Sender], f64, &'a [(i8, usize)]);
        let rows: [Row<'_>; 11] = [
            (&vhf, 157.0525, &ab),
            (&vhf, 153.1525, &ba),
            (&vhf, 158.3525, &aab),
            (&vhf, 151.8525, &bba),
            (&vhf, 151.4675, &abc),
            (&vhf, 160.0375, &acb),
            (&vhf, 157.4375, &bca),
            (&uhf, 452.9625, &ab),
            (&uhf, 453.7125, &ba),
            (&uhf, 452.7125, &aab),
            (&uhf, 453.9625, &bba),
        ];
        for (sent, mhz, terms) in rows {
            let at = receivers(&senders(&[mhz]), 0);
            let hits = search(sent, &at, 0);
            let [hit] = hits.as_slice() else {
                panic!("{mhz} MHz: {hits:?}");
            };
            assert_eq!(
                (hit.terms.as_slice(), hit.offset_hz),
                (terms, 0),
                "{mhz} MHz"
            );
            assert_eq!(hit.product_hz, at[0].hz);
            let sum: u8 = terms.iter().map(|(n, _)| n.unsigned_abs()).sum();
            assert_eq!(hit.order, sum);
        }
    }

    #[test]
    fn what_is_hit_lies_where_products_fall() {
        let hz: Vec<f64> = (0..14)
            .map(|i| 150.0 + f64::from(i * i % 23) * 0.0625)
            .collect();
        let sent = senders(&hz);
        let falls = falls(&sent);
        let hits = search(&sent, &receivers(&sent, 12_500), 11_250);
        assert!(hits.len() > 100);
        for hit in hits {
            assert!(falls.contains(&hit.product_hz.cast_signed()), "{hit:?}");
        }
    }

    #[test]
    fn national_sets_hit_themselves_as_counted() {
        let uhf = inside(&["UCALL40", "UTAC41", "UTAC42", "UTAC43"]);
        let expected = [(vec![(2, 1), (-1, 2)], 0), (vec![(2, 1), (-1, 0)], 2)];
        assert_eq!(uhf, expected);

        let eight = inside(&["8CALL90", "8TAC91", "8TAC92", "8TAC93", "8TAC94"]);
        let of = |signals| {
            eight
                .iter()
                .filter(|(terms, _)| terms.len() == signals)
                .count()
        };
        assert_eq!((of(2), of(3)), (8, 12));
        assert!(eight.contains(&(vec![(2, 1), (-1, 0)], 2)), "{eight:?}");

        let fire = inside(&[
            "VFIRE21", "VFIRE22", "VFIRE23", "VFIRE24", "VFIRE25", "VFIRE26",
        ]);
        let two = fire.iter().filter(|(terms, _)| terms.len() == 2).count();
        assert_eq!(two, 12);
        assert!(fire.contains(&(vec![(2, 0), (-1, 1)], 2)), "{fire:?}");

        assert_eq!(
            inside(&["VCALL10", "VTAC11", "VTAC12", "VTAC13", "VTAC14"]),
            []
        );
    }

    #[test]
    fn published_levels_are_met() {
        let two = |level, iip3| product_level(Dbm(level), Dbm(level), Dbm(iip3)).unwrap().0;
        let three = three_signal_product_level([Dbm(-30.0); 3], Dbm(0.0)).unwrap();
        let uneven = product_level(Dbm(-20.0), Dbm(-50.0), Dbm(0.0)).unwrap();
        let iip3 = iip3_from_rejection(Dbm(-116.0), Decibels(70.0));
        let rows = [
            ("-30 dBm, IIP3 0", two(-30.0, 0.0), -90.0),
            ("-20 dBm, IIP3 5", two(-20.0, 5.0), -70.0),
            ("three signals, 6 dB more", three.0, -84.0),
            ("2 PA + PB", uneven.0, -90.0),
            ("IIP3 of 70 dB rejection", iip3.0, -11.0),
        ];
        agrees("third-order levels, textbook", 1e-9, &rows);
        // Tones as far up as the rejection make a product as strong as the sensitivity.
        assert!((two(-116.0 + 70.0, iip3.0) - -116.0).abs() < 1e-9);
        // Above the intercept point the law is void.
        let refused = product_level(Dbm(25.0), Dbm(-50.0), iip3).unwrap_err();
        assert_eq!(
            refused.range,
            Range {
                high: iip3.0,
                ..LEVEL
            }
        );
        for bad in [f64::NAN, f64::INFINITY] {
            assert!(product_level(Dbm(bad), Dbm(0.0), Dbm(0.0)).is_err());
            assert!(product_level(Dbm(0.0), Dbm(bad), Dbm(0.0)).is_err());
            assert!(three_signal_product_level([Dbm(0.0); 3], Dbm(bad)).is_err());
        }
    }

    #[test]
    fn a_product_is_as_wide_as_its_order() {
        // 2 x 150 - 149 = 151 MHz: 6.25 kHz of the receiver and 18.75 kHz of the product.
        let sent = senders(&[150.0, 149.0]);
        let reaches = |mhz| !search(&sent, &receivers(&senders(&[mhz]), 12_500), 12_500).is_empty();
        assert!(reaches(151.025) && reaches(150.975));
        assert!(!reaches(151.025_001) && !reaches(150.974_999));
        // 3 x 150 - 2 x 149 = 152 MHz: 6.25 kHz and 31.25 kHz.
        assert!(reaches(152.0375) && !reaches(152.037_501));
    }

    #[test]
    fn senders_on_one_frequency_are_one_signal() {
        let sent = senders(&[150.0, 150.0, 149.0, 150.0]);
        let hits = search(
            &sent,
            &receivers(&senders(&[151.0, 150.0, 149.0]), 25_000),
            25_000,
        );
        let terms: Vec<_> = hits.iter().map(|hit| hit.terms.clone()).collect();
        assert_eq!(terms, [vec![(2, 0), (-1, 2)]]);
        // On the middle one of three, A + B - C falls on C itself: no news to who listens to C.
        let even = senders(&[150.0, 151.0, 152.0]);
        assert_eq!(search(&even, &receivers(&senders(&[151.0]), 0), 0), []);
    }

    #[test]
    fn absurd_frequencies_are_left_out() {
        let sent = [u64::MAX, 0, 150_000_000, 149_000_000].map(|hz| Sender { hz });
        let at = [u64::MAX, 0, 151_000_000].map(|hz| Receiver {
            hz,
            width_hz: u32::MAX,
        });
        let hits = search(&sent, &at, u32::MAX);
        assert!(!hits.is_empty());
        assert!(hits.iter().all(|hit| hit.receiver == 2));
        assert!(
            hits.iter()
                .flat_map(|hit| &hit.terms)
                .all(|(_, sender)| *sender >= 2)
        );
        assert_eq!(search(&sent, &[], 0), []);
        assert_eq!(search(&[], &at, 0), []);
    }

    /// Every product by the definition, in no hurry.
    fn slowly(senders: &[Sender], receivers: &[Receiver], width_hz: u32) -> Vec<Hit> {
        let hz = |index: usize| senders[index].hz.cast_signed();
        let count = senders.len();
        let first = |index: &usize| (0..*index).all(|earlier| hz(earlier) != hz(*index));
        let all: Vec<usize> = (0..count).filter(first).collect();
        let mut products: Vec<Vec<(i8, usize)>> = Vec::new();
        for &a in &all {
            for &b in all.iter().filter(|b| **b != a) {
                products.push(vec![(2, a), (-1, b)]);
                products.push(vec![(3, a), (-2, b)]);
                for &c in all.iter().filter(|c| a < b && **c != a && **c != b) {
                    products.push(vec![(1, a), (1, b), (-1, c)]);
                }
            }
        }
        let mut hits = Vec::new();
        for terms in products {
            let product: i64 = terms.iter().map(|(n, s)| i64::from(*n) * hz(*s)).sum();
            let order: u8 = terms.iter().map(|(n, _)| n.unsigned_abs()).sum();
            for (receiver, at) in receivers.iter().enumerate() {
                let offset_hz = product - at.hz.cast_signed();
                let twice = i64::from(at.width_hz) + i64::from(order) * i64::from(width_hz);
                let own = terms.iter().any(|(_, s)| senders[*s].hz == at.hz);
                if product > 0 && 2 * offset_hz.abs() <= twice && !own {
                    hits.push(Hit {
                        order,
                        terms: terms.clone(),
                        product_hz: product as u64,
                        receiver,
                        offset_hz,
                    });
                }
            }
        }
        hits.sort_by_key(|h| (h.offset_hz.abs(), h.order, h.receiver, h.terms.clone()));
        hits
    }

    /// The next number below a bound, of Knuth's linear congruential generator.
    fn next(state: &mut u64, below: u64) -> u64 {
        let (factor, step) = (6_364_136_223_846_793_005, 1_442_695_040_888_963_407);
        *state = state.wrapping_mul(factor).wrapping_add(step);
        (*state >> 33) % below
    }

    /// A small set on a raster, so that frequencies repeat and hits are many.
    fn random_set(state: &mut u64) -> (Vec<Sender>, Vec<Receiver>, u32) {
        let raster = [2_500, 6_250, 12_500, 5_000_000][next(state, 4) as usize];
        let (count, ears) = (1 + next(state, 9), 1 + next(state, 9));
        let mut hz = || 100_000_000 + raster * next(state, 60);
        let sent = (0..count).map(|_| Sender { hz: hz() }).collect();
        let tuned: Vec<_> = (0..ears).map(|_| hz()).collect();
        let heard = tuned.into_iter().map(|hz| Receiver {
            hz,
            width_hz: [0, 8_501, 16_000][next(state, 3) as usize],
        });
        let heard = heard.collect();
        (sent, heard, [0, 6_251, 12_500][next(state, 3) as usize])
    }

    #[test]
    fn the_quick_search_finds_what_the_slow_one_finds() {
        let (mut state, mut seen) = (7, 0);
        for round in 0..150 {
            let (sent, heard, width) = random_set(&mut state);
            let quick = search(&sent, &heard, width);
            assert_eq!(quick, slowly(&sent, &heard, width), "round {round}");
            seen += quick.len();
        }
        assert!(seen > 1000, "only {seen} hits compared");
    }

    #[test]
    fn the_order_of_senders_changes_only_indices() {
        let mut state = 11;
        for round in 0..100 {
            let (sent, heard, width) = random_set(&mut state);
            let named = |sent: &[Sender]| {
                let mut named: Vec<_> = search(sent, &heard, width)
                    .into_iter()
                    .map(|hit| {
                        let terms = hit.terms.iter().map(|(n, s)| (*n, sent[*s].hz));
                        let mut terms: Vec<_> = terms.collect();
                        terms.sort_unstable();
                        (
                            hit.receiver,
                            hit.order,
                            hit.product_hz,
                            hit.offset_hz,
                            terms,
                        )
                    })
                    .collect();
                named.sort_unstable();
                named
            };
            let mut shuffled = sent.clone();
            for at in (1..shuffled.len()).rev() {
                shuffled.swap(at, next(&mut state, at as u64 + 1) as usize);
            }
            assert_eq!(named(&sent), named(&shuffled), "round {round}");
        }
    }
}

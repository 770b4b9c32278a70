//! Receivers as a long row of intermodulation products meets them.
//!
//! Millions of products are tried and few are heard, so a product first meets one bit that says
//! whether anybody may hear it; only then are the receivers near it asked. Which products there are
//! is the business of [`intermod`](crate::engineering::rf::intermod).

use crate::engineering::rf::intermod::{HIGHEST_HZ, Hit, Receiver, Sender};

/// A frequency on the air and the lowest index of a sender on it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Signal {
    pub(super) hz: i64,
    index: u32,
}

/// Returns the different frequencies, rising.
pub(super) fn signals(senders: &[Sender]) -> Vec<Signal> {
    let mut signals: Vec<_> = (0..1 << INDEX_BITS)
        .zip(senders)
        .filter(|(_, sender)| (1..=HIGHEST_HZ).contains(&sender.hz))
        .map(|(index, sender)| Signal {
            hz: sender.hz.cast_signed(),
            index,
        })
        .collect();
    signals.sort_unstable();
    signals.dedup_by_key(|signal| signal.hz);
    signals
}

/// The kind of product.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    Three,
    TwoThird,
    TwoFifth,
}

/// A hit in one number, which sorts as hits do: millions are sorted.
///
/// From the highest bit down: size of the offset, fifth order or not, receiver, two signals or not,
/// three senders, product below the receiver or not.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Found(u128);

impl Found {
    fn new(offset: i64, receiver: u32, shape: Shape, signals: [u32; 3]) -> Self {
        let [a, b, c] = signals;
        let mut packed = u128::from(offset.unsigned_abs());
        let mut push = |value: u32, bits: u32| packed = packed << bits | u128::from(value);
        push(u32::from(shape == Shape::TwoFifth), 1);
        push(receiver, INDEX_BITS);
        push(u32::from(shape != Shape::Three), 1);
        push(a, INDEX_BITS);
        push(b, INDEX_BITS);
        push(c, INDEX_BITS);
        push(u32::from(offset < 0), 1);
        Self(packed)
    }

    /// Returns the hit with everything spelled out.
    pub(super) fn hit(self, receivers: &[Receiver]) -> Hit {
        let mut packed = self.0;
        let mut pop = |bits: u32| {
            let value = packed & ((1_u128 << bits) - 1);
            packed >>= bits;
            value as usize
        };
        let below = pop(1) == 1;
        let (c, b, a) = (pop(INDEX_BITS), pop(INDEX_BITS), pop(INDEX_BITS));
        let two = pop(1) == 1;
        let receiver = pop(INDEX_BITS);
        let fifth = pop(1) == 1;
        let away = packed as i64;
        let offset_hz = if below { -away } else { away };
        let hz = receivers.get(receiver).map_or(0, |at| at.hz);
        Hit {
            order: if fifth { 5 } else { 3 },
            terms: match (fifth, two) {
                (true, _) => vec![(3, a), (-2, b)],
                (false, true) => vec![(2, a), (-1, b)],
                (false, false) => vec![(1, a), (1, b), (-1, c)],
            },
            product_hz: hz.saturating_add_signed(offset_hz),
            receiver,
            offset_hz,
        }
    }
}

/// Bits that an index takes; the search of this many senders would last for years.
const INDEX_BITS: u32 = 21;

/// A receiver and how far from its frequency it hears a product.
struct Ear {
    hz: i64,
    reach: i64,
    receiver: u32,
}

/// All receivers as products of one order meet them.
pub(super) struct Ears {
    /// The receivers, by rising frequency.
    rising: Vec<Ear>,
    /// The furthest reach of all.
    widest: i64,
    /// No product below is heard.
    pub(super) low: i64,
    /// No product above is heard.
    pub(super) high: i64,
    /// A bit of `heard` stands for 2 to this power hertz from `low` on.
    shift: u32,
    /// Clear where certainly nobody hears a product.
    heard: Vec<u64>,
}

impl Ears {
    /// Stretches told apart; their bits stay in the fastest memory.
    const STRETCHES: i64 = 1 << 17;

    pub(super) fn new(receivers: &[Receiver], order: u8, width_hz: u32) -> Self {
        let signal = i64::from(order) * i64::from(width_hz);
        let mut ears: Vec<_> = (0..1 << INDEX_BITS)
            .zip(receivers)
            .filter(|(_, at)| (1..=HIGHEST_HZ).contains(&at.hz))
            .map(|(receiver, at)| {
                let widths = i64::from(at.width_hz) + signal;
                Ear {
                    hz: at.hz.cast_signed(),
                    reach: widths / 2,
                    receiver,
                }
            })
            .collect();
        ears.sort_unstable_by_key(|ear| (ear.hz, ear.receiver));
        let low = ears.iter().map(|ear| ear.hz - ear.reach).min();
        let low = low.unwrap_or(1).max(1);
        let high = ears.iter().map(|ear| ear.hz + ear.reach).max();
        let high = high.unwrap_or(0);
        let mut shift = 0;
        while (high - low) >> shift >= Self::STRETCHES {
            shift += 1;
        }
        let mut all = Self {
            widest: ears.iter().map(|ear| ear.reach).max().unwrap_or(0),
            low,
            high,
            shift,
            heard: vec![0; 1 + (((high - low).max(0) >> shift) / 64) as usize],
            rising: ears,
        };
        for ear in &all.rising {
            let from = (ear.hz - ear.reach).max(low) - low;
            for stretch in (from >> shift)..=((ear.hz + ear.reach - low) >> shift) {
                if let Some(word) = all.heard.get_mut((stretch / 64) as usize) {
                    *word |= 1 << (stretch % 64);
                }
            }
        }
        all
    }

    /// Notes every receiver that hears a product, unless it listens to one of its senders.
    #[inline]
    pub(super) fn listen(
        &self,
        found: &mut Vec<Found>,
        product: i64,
        shape: Shape,
        of: [&Signal; 3],
    ) {
        if self.may_hear(product) {
            self.note(found, product, shape, of);
        }
    }

    #[inline]
    fn may_hear(&self, product: i64) -> bool {
        if product < self.low || product > self.high {
            return false;
        }
        let stretch = (product - self.low) >> self.shift;
        let word = self.heard.get((stretch / 64) as usize);
        word.is_some_and(|word| word >> (stretch % 64) & 1 == 1)
    }

    fn note(&self, found: &mut Vec<Found>, product: i64, shape: Shape, of: [&Signal; 3]) {
        let [a, b, c] = of;
        // Here the third signal of three is one of the first two: no product at all.
        if shape == Shape::Three && (c.hz == a.hz || c.hz == b.hz) {
            return;
        }
        let signals = match shape {
            Shape::Three => [a.index.min(b.index), a.index.max(b.index), c.index],
            Shape::TwoThird | Shape::TwoFifth => [a.index, b.index, b.index],
        };
        let first = self
            .rising
            .partition_point(|ear| ear.hz < product - self.widest);
        let near = self.rising.iter().skip(first);
        for ear in near.take_while(|ear| ear.hz <= product + self.widest) {
            let offset = product - ear.hz;
            let own = of.iter().any(|signal| signal.hz == ear.hz);
            if offset.abs() <= ear.reach && !own {
                found.push(Found::new(offset, ear.receiver, shape, signals));
            }
        }
    }
}

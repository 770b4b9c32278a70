//! Where the radios in people's hands listen, and whom of them a site may disturb.

use crate::engineering::rf::harmonics;
use crate::engineering::rf::intermod::{self, Sender};
use crate::model::{Carrier, ChannelId, Frequency};

use super::Picture;
use super::site::{Disturbed, Set};

/// A receiver somewhere near.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ear {
    pub(super) disturbed: Disturbed,
    pub(super) hz: u64,
    pub(super) width_hz: u32,
}

/// Where the radios people hold listen, each channel and frequency once.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Listeners {
    /// By channel and frequency.
    ears: Vec<Ear>,
    /// Frequency and number of each, rising.
    rising: Vec<(u64, usize)>,
    /// Bandwidth of the widest, in hertz.
    widest_hz: u32,
}

impl Listeners {
    pub(super) fn of(picture: &Picture) -> Self {
        let mut found: Vec<(ChannelId, Frequency, u32)> = Vec::new();
        for (channel, _) in picture.users() {
            for (radio, entry) in picture.users_of(channel.id) {
                if picture.port_of(radio.id).is_none()
                    && let Carrier::Conventional(c) = entry.effective(channel).carrier
                {
                    found.push((channel.id, c.rx, c.bandwidth_hz));
                }
            }
        }
        found.sort_unstable();
        found.dedup();
        let ears = found.into_iter().map(|(channel, rx, width_hz)| Ear {
            disturbed: Disturbed::Listeners(channel),
            hz: rx.hertz(),
            width_hz,
        });
        Self::new(ears.collect())
    }

    fn new(ears: Vec<Ear>) -> Self {
        let rising = ears.iter().enumerate().map(|(number, e)| (e.hz, number));
        let mut rising: Vec<(u64, usize)> = rising.collect();
        rising.sort_unstable();
        Self {
            widest_hz: ears.iter().map(|e| e.width_hz).max().unwrap_or(0),
            ears,
            rising,
        }
    }

    /// Lists those whom products or harmonics of some sets may reach, in their order, and perhaps
    /// others: few sets disturb few of very many.
    pub(super) fn near(&self, sets: &[Set]) -> Vec<Ear> {
        let keyed: Vec<&Set> = sets.iter().filter(|s| s.transmits).collect();
        let count = keyed.len();
        if count * count * count > self.ears.len() {
            return self.ears.clone();
        }
        let senders: Vec<Sender> = keyed.iter().map(|s| Sender { hz: s.tx.hertz() }).collect();
        let signal_hz = keyed.iter().map(|s| s.bandwidth_hz).max().unwrap_or(0);
        // No product is wider than one of the highest order that is looked at.
        let order = u64::from(harmonics::HIGHEST.max(intermod::HIGHEST_ORDER));
        let reach = (u64::from(self.widest_hz) + order * u64::from(signal_hz)).cast_signed();
        let harmonics = senders.iter().flat_map(|sender| {
            (2..=i64::from(harmonics::HIGHEST))
                .map(|multiple| multiple.saturating_mul(sender.hz.cast_signed()))
        });
        let mut numbers: Vec<usize> = Vec::new();
        for hz in intermod::falls(&senders).into_iter().chain(harmonics) {
            let low = hz.saturating_sub(reach).max(0).cast_unsigned();
            let high = hz.saturating_add(reach).max(0).cast_unsigned();
            let first = self.rising.partition_point(|(hz, _)| *hz < low);
            let near = self.rising.iter().skip(first);
            let near = near.take_while(|(hz, _)| *hz <= high);
            numbers.extend(near.map(|(_, number)| *number));
        }
        numbers.sort_unstable();
        numbers.dedup();
        let near = numbers.into_iter().filter_map(|n| self.ears.get(n));
        near.copied().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::rf::intermod::Receiver;
    use crate::model::{GatewayId, PortRef, RadioId};

    fn set(port: u8, hz: u64) -> Set {
        let port = PortRef {
            gateway: GatewayId(1),
            port,
        };
        Set {
            port,
            radio: RadioId(1),
            group: None,
            channel: ChannelId(1),
            tx: Frequency::from_hertz(hz),
            rx: Frequency::from_hertz(hz),
            bandwidth_hz: 11_250,
            power_w: 5.0,
            transmits: true,
            antenna: None,
        }
    }

    /// Everything that `ears` are disturbed by: who, how far off, by which order or multiple.
    fn disturbed(sets: &[Set], ears: &[Ear]) -> Vec<(Disturbed, i64, u8)> {
        let receivers = ears.iter().map(|e| Receiver {
            hz: e.hz,
            width_hz: e.width_hz,
        });
        let receivers: Vec<Receiver> = receivers.collect();
        let senders: Vec<Sender> = sets.iter().map(|s| Sender { hz: s.tx.hertz() }).collect();
        let products = intermod::search(&senders, &receivers, 11_250);
        let products = products
            .into_iter()
            .map(|h| (h.receiver, h.offset_hz, h.order));
        let multiples = harmonics::search(&senders, &receivers, 11_250, harmonics::HIGHEST);
        let multiples = multiples
            .into_iter()
            .map(|h| (h.receiver, h.offset_hz, h.multiple));
        let all = products.chain(multiples);
        all.map(|(ear, offset, order)| (ears[ear].disturbed, offset, order))
            .collect()
    }

    #[test]
    fn those_left_out_are_disturbed_by_nothing() {
        let mut seed = 5_u64;
        let mut below = |end: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) % end
        };
        let (mut found, mut left_out) = (0, 0);
        for round in 0..200 {
            let ears = (0..400).map(|i| Ear {
                disturbed: Disturbed::Listeners(ChannelId(i)),
                hz: [150_000_000, 453_000_000][below(2) as usize] + 12_500 * below(1_200),
                width_hz: [11_250, 25_000][below(2) as usize],
            });
            let listeners = Listeners::new(ears.collect());
            let sets: Vec<Set> = (0..=round % 7)
                .map(|port| {
                    set(
                        port,
                        [150_000_000, 453_000_000][below(2) as usize] + 12_500 * below(1_200),
                    )
                })
                .collect();
            let near = listeners.near(&sets);
            let expected = disturbed(&sets, &listeners.ears);
            assert_eq!(disturbed(&sets, &near), expected);
            found += expected.len();
            left_out += listeners.ears.len() - near.len();
        }
        assert!(found > 1_000, "{found}");
        assert!(left_out > 10_000, "{left_out}");
    }
}

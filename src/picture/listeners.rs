//! Where the radios in people's hands listen, and whom of them a site may disturb.

use std::collections::BTreeSet;

use crate::engineering::rf::harmonics;
use crate::engineering::rf::intermod::{self, Sender};
use crate::model::{Carrier, ChannelId, Frequency};

use super::Picture;
use super::site::{Disturbed, Set};

/// A receiver somewhere near.
#[derive(Clone, Copy)]
pub(super) struct Ear {
    pub(super) disturbed: Disturbed,
    pub(super) hz: u64,
    pub(super) width_hz: u32,
}

/// Where the radios people hold listen, each channel and frequency once.
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
        let mut found: BTreeSet<(ChannelId, Frequency, u32)> = BTreeSet::new();
        for (channel, _) in picture.users() {
            for (radio, entry) in picture.users_of(channel.id) {
                if picture.port_of(radio.id).is_none()
                    && let Carrier::Conventional(c) = entry.effective(channel).carrier
                {
                    found.insert((channel.id, c.rx, c.bandwidth_hz));
                }
            }
        }
        let ears = found.into_iter().map(|(channel, rx, width_hz)| Ear {
            disturbed: Disturbed::Listeners(channel),
            hz: rx.hertz(),
            width_hz,
        });
        let ears: Vec<Ear> = ears.collect();
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

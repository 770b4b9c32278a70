//! What happens on the air at each site: which donors are keyed together, what their mixing products
//! and strong signals do to the receivers beside them, and how far people must stay from antennas.
//!
//! Which transmitters are on together follows from the switches: a talk group keys all its donors but
//! the one by which the message came in, so two donors alone in a group are never on at once. Donors on group numbers have no frequency of their own that
//! the plan knows, so they are named and left out.

use std::collections::BTreeMap;

use crate::engineering::rf::desense;
use crate::engineering::rf::harmonics;
use crate::engineering::rf::intermod::{self, Receiver, Sender};
use crate::engineering::rf::isolation::{self, Isolation};
use crate::model::{
    Antenna, Carrier, ChannelId, Dbm, Decibels, Frequency, PortRef, Practice, RadioId, Site,
    SiteId, TalkGroupRef,
};

use super::Donor;
use super::exposure::Exposure;
use super::listeners::Ear;

/// Most products of a site that are kept; a site with more is past saving.
pub const MOST_PRODUCTS: usize = 500;

/// One site in one phase.
#[derive(Debug, Clone, PartialEq)]
pub struct SiteView {
    /// The site.
    pub site: SiteId,
    /// Donors there whose frequencies are known, by port.
    pub sets: Vec<Set>,
    /// Donors there on group numbers, which nothing is computed for.
    pub without_frequency: Vec<PortRef>,
    /// Strong signals at receivers that are too little isolated.
    pub desense: Vec<Desense>,
    /// Mixing products that fall into a receiver.
    pub products: Vec<Product>,
    /// Harmonics that fall into a receiver.
    pub harmonics: Vec<Harmonic>,
    /// Pairs of antennas too near for the formulas.
    pub too_near: Vec<(PortRef, PortRef, f64)>,
    /// How far to stay from each antenna, and from all together.
    pub exposure: Exposure,
}

/// A donor at a site.
#[derive(Debug, Clone, PartialEq)]
pub struct Set {
    /// Its port.
    pub port: PortRef,
    /// The radio.
    pub radio: RadioId,
    /// The talk group it is switched to.
    pub group: Option<TalkGroupRef>,
    /// The channel selected.
    pub channel: ChannelId,
    /// Where it transmits.
    pub tx: Frequency,
    /// Where it receives.
    pub rx: Frequency,
    /// Bandwidth, in hertz.
    pub bandwidth_hz: u32,
    /// Power, in watts.
    pub power_w: f64,
    /// It may transmit: the entry is not for listening only, and the port is on a talk group.
    pub transmits: bool,
    /// Its antenna; `None` where nobody noted one.
    pub antenna: Option<Antenna>,
}

/// A transmitter that is too strong at a receiver.
#[derive(Debug, Clone, PartialEq)]
pub struct Desense {
    /// Port of the transmitter.
    pub from: PortRef,
    /// Port of the receiver.
    pub to: PortRef,
    /// Isolation between their antennas.
    pub isolation: Isolation,
    /// What arrives at the receiver.
    pub arrives: Dbm,
    /// What the receiver stands.
    pub limit: Dbm,
    /// Isolation still missing.
    pub missing: Decibels,
    /// Whether an antenna of the two is nowhere noted, so that a spacing is assumed.
    pub assumed: bool,
    /// Vertical spacing that would do, in metres, where one does.
    pub vertical_m: Option<f64>,
    /// Horizontal spacing that would do, in metres, where one does.
    pub horizontal_m: Option<f64>,
    /// Power that would do, in watts.
    pub power_w: f64,
}

/// Who is disturbed by a product.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Disturbed {
    /// The donor at a port.
    Donor(PortRef),
    /// Radios that listen on a channel near the site.
    Listeners(ChannelId),
}

/// A mixing product in a receiver.
#[derive(Debug, Clone, PartialEq)]
pub struct Product {
    /// 3 or 5.
    pub order: u8,
    /// Coefficient and port of each signal.
    pub terms: Vec<(i8, PortRef)>,
    /// Where it falls.
    pub at: Frequency,
    /// Whose receiver.
    pub disturbed: Disturbed,
    /// How far from the receive frequency, in hertz.
    pub offset_hz: i64,
    /// The talk group that keys all its signals at once; `None` when two groups must speak at a time.
    pub together: Option<TalkGroupRef>,
    /// Level in the receiver, where the law holds.
    pub level: Option<Dbm>,
}

/// A harmonic in a receiver.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Harmonic {
    /// Which multiple.
    pub multiple: u8,
    /// Port of the transmitter.
    pub from: PortRef,
    /// Whose receiver.
    pub disturbed: Disturbed,
    /// How far from the receive frequency, in hertz.
    pub offset_hz: i64,
}

/// A site's transmitters and the receivers around, as the formulas take them.
struct Air<'a> {
    /// The sets behind the senders, in their order.
    keyed: Vec<&'a Set>,
    senders: Vec<Sender>,
    receivers: Vec<Receiver>,
    /// The widest signal there.
    width_hz: u32,
}

impl<'a> Air<'a> {
    fn of(sets: &'a [Set], ears: &[Ear]) -> Self {
        let keyed: Vec<&Set> = sets.iter().filter(|s| s.transmits).collect();
        let senders = keyed.iter().map(|s| Sender { hz: s.tx.hertz() });
        let receivers = ears.iter().map(|e| Receiver {
            hz: e.hz,
            width_hz: e.width_hz,
        });
        Self {
            senders: senders.collect(),
            receivers: receivers.collect(),
            width_hz: keyed.iter().map(|s| s.bandwidth_hz).max().unwrap_or(0),
            keyed,
        }
    }
}

/// Returns a donor as a set; `None` where it has no frequency of its own.
pub(super) fn set(site: &Site, donor: &Donor<'_>) -> Option<Set> {
    let tuned = donor.tuned?;
    let Carrier::Conventional(c) = tuned.entry.effective(tuned.channel).carrier else {
        return None;
    };
    let antenna = site
        .antennas
        .iter()
        .find(|a| a.radio == Some(donor.radio.id));
    Some(Set {
        port: donor.port,
        radio: donor.radio.id,
        group: donor.group,
        channel: tuned.channel.id,
        tx: c.tx,
        rx: c.rx,
        bandwidth_hz: c.bandwidth_hz,
        power_w: donor.radio.power_w,
        transmits: donor.group.is_some() && !tuned.entry.receive_only && donor.radio.power_w > 0.0,
        antenna: antenna.cloned(),
    })
}

/// Returns the distance between two antennas, height and all, in metres.
pub fn apart_m(a: &Antenna, b: &Antenna) -> f64 {
    let flat = (a.east_m - b.east_m).hypot(a.north_m - b.north_m);
    flat.hypot(a.height_m - b.height_m)
}

/// Returns the isolation between the antennas of two sets at a frequency.
fn isolation_of(practice: &Practice, a: &Set, b: &Set, mhz: f64) -> Option<Isolation> {
    let (dh, dv) = match (&a.antenna, &b.antenna) {
        (Some(a), Some(b)) => (
            (a.east_m - b.east_m).hypot(a.north_m - b.north_m),
            (a.height_m - b.height_m).abs(),
        ),
        _ => (practice.antenna_apart_m, 0.0),
    };
    // Antennas noted at the very same spot stand a hand's breadth apart at least.
    let dh = if dh.hypot(dv) < isolation::METRES.low {
        0.1
    } else {
        dh
    };
    let gain = |set: &Set| set.antenna.as_ref().map_or(0.0, |a| a.gain_dbi);
    isolation::between(mhz, dh, dv, gain(a), gain(b)).ok()
}

/// Tells whether a transmitter may be on while a receiver is to hear.
///
/// In one talk group the message that comes in by the receiver is what keys the transmitter.
fn at_odds(from: &Set, to: &Set) -> bool {
    from.port != to.port && from.transmits && to.group.is_some() && from.tx != to.rx
}

pub(super) fn desenses(practice: &Practice, sets: &[Set]) -> Vec<Desense> {
    let mut all = Vec::new();
    for from in sets {
        for to in sets.iter().filter(|to| at_odds(from, to)) {
            all.extend(desense(practice, from, to));
        }
    }
    all.sort_by(|a, b| b.missing.0.total_cmp(&a.missing.0));
    all
}

fn desense(practice: &Practice, from: &Set, to: &Set) -> Option<Desense> {
    let mhz = from.tx.mhz();
    let isolation = isolation_of(practice, from, to, mhz)?;
    let (sensitivity, feed, filter) = (
        Dbm(practice.sensitivity_dbm),
        Decibels(practice.feed_loss_db),
        Decibels(practice.filter_db),
    );
    let apart_khz = from.tx.hertz().abs_diff(to.rx.hertz()) as f64 / 1e3;
    let rejection = Decibels(if apart_khz <= practice.near_channel_khz {
        practice.adjacent_db
    } else {
        practice.blocking_db
    });
    let loss = isolation.loss;
    let arrives = desense::arriving(from.power_w, feed, loss, filter).ok()?;
    let limit = desense::limit(sensitivity, rejection).ok()?;
    let missing =
        desense::missing(from.power_w, feed, loss, filter, sensitivity, rejection).ok()?;
    if missing.0 <= 0.0 {
        return None;
    }
    let wanted = loss + missing;
    let gain = |set: &Set| set.antenna.as_ref().map_or(0.0, |a| a.gain_dbi);
    Some(Desense {
        from: from.port,
        to: to.port,
        isolation,
        arrives,
        limit,
        missing,
        assumed: from.antenna.is_none() || to.antenna.is_none(),
        vertical_m: desense::vertical_metres_for(mhz, wanted).ok(),
        horizontal_m: desense::horizontal_metres_for(mhz, wanted, gain(from) + gain(to)).ok(),
        power_w: from.power_w / 10_f64.powf(missing.0 / 10.0),
    })
}

pub(super) fn products(
    practice: &Practice,
    live: &BTreeMap<TalkGroupRef, usize>,
    sets: &[Set],
    ears: &[Ear],
) -> Vec<Product> {
    let air = Air::of(sets, ears);
    let mut all: Vec<Product> = intermod::search(&air.senders, &air.receivers, air.width_hz)
        .into_iter()
        .filter_map(|hit| {
            let ear = ears.get(hit.receiver)?;
            let terms: Vec<(i8, &Set)> = hit
                .terms
                .iter()
                .filter_map(|(c, sender)| Some((*c, *air.keyed.get(*sender)?)))
                .collect();
            // A set that sends does not hear, and who sends on a listener's own frequency is wanted.
            let is_own = match ear.disturbed {
                Disturbed::Donor(port) => terms.iter().any(|(_, s)| s.port == port),
                Disturbed::Listeners(_) => air.keyed.iter().any(|s| s.tx.hertz() == ear.hz),
            };
            if is_own {
                return None;
            }
            // A message keys every port of its talk group but the one it came in by, so at least one
            // further port must be there for all the signals of a talk group to be on at once.
            let can_be_on = |group: Option<TalkGroupRef>| {
                let of_group = terms.iter().filter(|(_, s)| s.group == group).count();
                group.is_some_and(|g| live.get(&g).is_some_and(|ports| *ports > of_group))
            };
            if !terms.iter().all(|(_, s)| can_be_on(s.group)) {
                return None;
            }
            let group = terms.first()?.1.group;
            let together = group.filter(|_| terms.iter().all(|(_, s)| s.group == group));
            Some(Product {
                order: hit.order,
                at: Frequency::from_hertz(hit.product_hz),
                disturbed: ear.disturbed,
                offset_hz: hit.offset_hz,
                together,
                level: level(practice, sets, &terms, ear.disturbed),
                terms: terms.into_iter().map(|(c, s)| (c, s.port)).collect(),
            })
        })
        .collect();
    all.sort_by_key(|p| {
        (
            p.together.is_none(),
            matches!(p.disturbed, Disturbed::Listeners(_)),
            p.order,
            p.offset_hz.unsigned_abs(),
        )
    });
    all.truncate(MOST_PRODUCTS);
    all
}

/// Returns the level of a third-order product in the receiver of a donor.
fn level(
    practice: &Practice,
    sets: &[Set],
    terms: &[(i8, &Set)],
    disturbed: Disturbed,
) -> Option<Dbm> {
    let Disturbed::Donor(port) = disturbed else {
        return None;
    };
    let to = sets.iter().find(|s| s.port == port)?;
    let arriving = |set: &Set| {
        let isolation = isolation_of(practice, set, to, set.tx.mhz())?;
        let (feed, filter) = (
            Decibels(practice.feed_loss_db),
            Decibels(practice.filter_db),
        );
        desense::arriving(set.power_w, feed, isolation.loss, filter).ok()
    };
    let iip3 = intermod::iip3_from_rejection(
        Dbm(practice.sensitivity_dbm),
        Decibels(practice.intermod_db),
    );
    match terms {
        [(2, twice), (-1, once)] => {
            intermod::product_level(arriving(twice)?, arriving(once)?, iip3).ok()
        }
        [(_, a), (_, b), (_, c)] => {
            let signals = [arriving(a)?, arriving(b)?, arriving(c)?];
            intermod::three_signal_product_level(signals, iip3).ok()
        }
        _ => None,
    }
}

pub(super) fn harmonics(sets: &[Set], ears: &[Ear]) -> Vec<Harmonic> {
    let air = Air::of(sets, ears);
    harmonics::search(
        &air.senders,
        &air.receivers,
        air.width_hz,
        harmonics::HIGHEST,
    )
    .into_iter()
    .filter_map(|hit| {
        let ear = ears.get(hit.receiver)?;
        let from = air.keyed.get(hit.sender)?;
        (ear.disturbed != Disturbed::Donor(from.port)).then_some(Harmonic {
            multiple: hit.multiple,
            from: from.port,
            disturbed: ear.disturbed,
            offset_hz: hit.offset_hz,
        })
    })
    .collect()
}

/// Lists pairs of noted antennas of which one transmits, nearer than the formulas hold, in metres.
pub(super) fn too_near(practice: &Practice, sets: &[Set]) -> Vec<(PortRef, PortRef, f64)> {
    let mut all = Vec::new();
    for (i, a) in sets.iter().enumerate() {
        for b in sets.iter().skip(i + 1) {
            let (Some(here), Some(there)) = (&a.antenna, &b.antenna) else {
                continue;
            };
            let mhz = a.tx.mhz().min(b.tx.mhz());
            let is_near =
                isolation_of(practice, a, b, mhz).is_some_and(|isolation| isolation.near_field);
            if is_near && (a.transmits || b.transmits) {
                all.push((a.port, b.port, apart_m(here, there)));
            }
        }
    }
    all
}

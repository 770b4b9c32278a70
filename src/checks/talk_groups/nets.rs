//! Nets as traffic sees them: talk groups with their channels, and channels that are on none.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::engineering::traffic::erlang_c::Waiting;
use crate::model::{ChannelId, Practice, TalkGroupRef, ThingId, UnitId};
use crate::picture::Picture;
use crate::picture::traffic::Net;

/// How much two sums of the same loads may differ, in erlangs.
const SAME_ERL: f64 = 1e-6;

/// A net on which one message is carried at a time.
pub(super) struct Joined<'a> {
    /// The talk group, or the channel that is on none.
    pub(super) thing: ThingId,
    /// What it carries.
    pub(super) net: &'a Net,
    /// Other talk groups that carry the very same speech, by way of ties or shared channels.
    pub(super) same: Vec<TalkGroupRef>,
    /// The channels of a talk group, the busiest by itself first.
    pub(super) channels: Vec<(ChannelId, &'a Net)>,
}

impl Joined<'_> {
    /// Lists the channels whose mean wait joining has multiplied, worst first, with the factor.
    pub(super) fn multiplied(&self, practice: &Practice) -> Vec<(ChannelId, &Net, f64)> {
        let mut all: Vec<(ChannelId, &Net, f64)> = self
            .channels
            .iter()
            .filter_map(|(id, net)| {
                let (_, before_s) = settled(net.before)?;
                let (_, now_s) = settled(net.now)?;
                let factor = if before_s > 0.0 {
                    now_s / before_s
                } else {
                    0.0
                };
                (factor >= practice.wait_times).then_some((*id, *net, factor))
            })
            .collect();
        all.sort_by(|a, b| b.2.total_cmp(&a.2));
        all
    }
}

/// Returns the probability of waiting and the mean wait, where the queue settles.
pub(super) fn settled(waiting: Waiting) -> Option<(f64, f64)> {
    match waiting {
        Waiting::Settles {
            probability,
            mean_wait_s,
        } => Some((probability, mean_wait_s)),
        Waiting::GrowsWithoutEnd => None,
    }
}

/// Lists talk groups with speech on them, each net once however many talk groups carry it.
pub(super) fn groups(picture: &Picture) -> Vec<Joined<'_>> {
    let traffic = picture.traffic();
    let mut on: BTreeMap<TalkGroupRef, BTreeSet<ChannelId>> = BTreeMap::new();
    for donor in picture.donors() {
        if let (Some(group), Some(tuned)) = (donor.group, donor.tuned) {
            on.entry(group).or_default().insert(tuned.channel.id);
        }
    }
    // Talk groups with the same speakers stand side by side.
    let mut all: Vec<(TalkGroupRef, &Net)> = traffic
        .groups
        .iter()
        .filter(|(_, net)| !net.units.is_empty())
        .map(|(group, net)| (*group, net))
        .collect();
    all.sort_by(|a, b| same_or(&a.1.units, &b.1.units).then(a.0.cmp(&b.0)));
    let is_same = |a: &Net, b: &Net| a.units == b.units && (a.all_erl - b.all_erl).abs() < SAME_ERL;
    let mut joined: Vec<Joined<'_>> = all
        .chunk_by(|a, b| is_same(a.1, b.1))
        .filter_map(|part| {
            let [(group, net), others @ ..] = part else {
                return None;
            };
            let channels: BTreeSet<ChannelId> = part
                .iter()
                .flat_map(|(group, _)| on.get(group).into_iter().flatten())
                .copied()
                .collect();
            let mut channels: Vec<(ChannelId, &Net)> = channels
                .into_iter()
                .filter_map(|id| Some((id, traffic.channels.get(&id)?)))
                .collect();
            channels.sort_by(|a, b| b.1.own_erl.total_cmp(&a.1.own_erl));
            Some(Joined {
                thing: (*group).into(),
                net,
                same: others.iter().map(|(group, _)| *group).collect(),
                channels,
            })
        })
        .collect();
    joined.sort_by_key(|net| net.thing);
    joined
}

/// Lists channels with speech on them that are on no talk group.
pub(super) fn channels(picture: &Picture) -> Vec<Joined<'_>> {
    let on_groups: BTreeSet<ChannelId> = picture
        .donors()
        .filter(|donor| donor.group.is_some())
        .filter_map(|donor| Some(donor.tuned?.channel.id))
        .collect();
    picture
        .traffic()
        .channels
        .iter()
        .filter(|(id, _)| !on_groups.contains(id))
        .map(|(id, net)| Joined {
            thing: (*id).into(),
            net,
            same: Vec::new(),
            channels: Vec::new(),
        })
        .collect()
}

/// Compares who speaks; what is shared need not be looked into.
fn same_or(a: &Arc<BTreeSet<UnitId>>, b: &Arc<BTreeSet<UnitId>>) -> Ordering {
    if Arc::ptr_eq(a, b) {
        Ordering::Equal
    } else {
        a.cmp(b)
    }
}

//! A gateway joins people who have a channel in common.
//!
//! ## What it flags
//! A talk group that carries the speech of two or more units, all of whom have one channel in a radio
//! in hand on which they would hear each other, and are not all on it.
//!
//! ## Why it matters
//! A patch adds delay, takes the air time of every channel it joins and breaks in more places. Turning
//! a knob does not. A gateway spent here is missing elsewhere.
//!
//! ## How it decides
//! The units whose speech is on the talk group follow from the derivation. A channel is common when
//! each of them has it in a radio they hold and would hear, and be heard by, the first of them and the
//! one before; it must be encrypted where a donor of the group sends encrypted. Talk groups with a
//! telephone or headset are left out, since those cannot turn to a channel. Talk groups that join the
//! same units are told together. Whether the channel is free and reaches everywhere is not known.
//!
//! ## Severity
//! Warns when the channel covers as much of the ground as the least of those now joined and is not
//! simplex where one of them is repeated: the plain way is then as good. Notes otherwise: to be tried
//! on the ground.
//!
//! ## Example
//! Fire and rescue are joined by a gateway, and both have the same mutual-aid channel.
//!
//! ## Source
//! Same system, shared channel, patch inside a system, and a gateway when nothing better fits: gateway
//! training workshop of the DHS Office of Emergency Communications for the methods; their order from
//! memory.

use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::sync::Arc;

use crate::checks::{Check, say};
use crate::model::{
    Attachment, ChannelId, Evidence, Finding, Radio, Severity, System, SystemKind, TalkGroupRef,
    ThingId, UnitId,
};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "F03",
    name: "shared-channel-would-do",
    severity: Severity::Warns,
    text: include_str!("shared_channel_would_do.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let with_people = with_people(picture);
    let mut alike: Vec<(&Arc<BTreeSet<UnitId>>, TalkGroupRef)> =
        { picture.traffic().groups.iter() }
            .filter(|(group, net)| net.units.len() > 1 && !with_people.contains(group))
            .map(|(group, net)| (&net.units, *group))
            .collect();
    // What is shared need not be looked into.
    alike.sort_by(|a, b| {
        let units = if Arc::ptr_eq(a.0, b.0) {
            Ordering::Equal
        } else {
            a.0.cmp(b.0)
        };
        units.then(a.1.cmp(&b.1))
    });
    for alike in alike.chunk_by(|a, b| a.0 == b.0) {
        let Some((units, _)) = alike.first() else {
            continue;
        };
        let groups: Vec<TalkGroupRef> = alike.iter().map(|(_, group)| *group).collect();
        let joined: Vec<_> = groups
            .iter()
            .flat_map(|g| picture.hearing().sendings(*g))
            .collect();
        let is_secret = joined.iter().any(|sending| sending.key.is_some());
        let common = in_common(picture, units, is_secret);
        if common.is_empty() || common.iter().any(|c| all_on(picture, units, *c)) {
            continue;
        }
        let in_use: BTreeSet<ChannelId> = joined.iter().map(|sending| sending.channel).collect();
        let best = common
            .iter()
            .copied()
            .find(|channel| is_as_good(picture, *channel, &in_use));
        if let Some(channel) = best.or(common.first().copied()) {
            let severity = if best.is_some() {
                Severity::Warns
            } else {
                Severity::Notes
            };
            out.extend(finding(picture, severity, channel, units, &groups));
        }
    }
}

/// Talk groups with a telephone or headset.
fn with_people(picture: &Picture) -> BTreeSet<TalkGroupRef> {
    let phases = picture.phase().into_iter();
    let groups = phases.flat_map(|phase| {
        let attachments = phase.attachments.iter();
        attachments.filter_map(|(port, attachment)| match attachment {
            Attachment::Telephone(_) | Attachment::Headset(_) => phase.group_of(*port),
            Attachment::Radio { .. } | Attachment::Tie(_) => None,
        })
    });
    groups.collect()
}

/// Lists what a unit has in hand.
fn in_hand(picture: &Picture, unit: UnitId) -> impl Iterator<Item = &Radio> {
    let radios = picture.hearing().carried(unit).iter();
    radios.filter_map(|r| picture.scenario().radios.get(*r))
}

/// Lists the channels on which all units would hear each other.
fn in_common(picture: &Picture, units: &BTreeSet<UnitId>, is_secret: bool) -> Vec<ChannelId> {
    let programmed = |unit: UnitId| -> BTreeSet<ChannelId> {
        let radios = in_hand(picture, unit);
        radios
            .flat_map(|r| r.programmed.iter().map(|p| p.channel))
            .collect()
    };
    let mut units = units.iter().copied();
    let Some(first) = units.next() else {
        return Vec::new();
    };
    let mut common = programmed(first);
    let rest: Vec<UnitId> = units.collect();
    for unit in &rest {
        if common.is_empty() {
            return Vec::new();
        }
        let theirs = programmed(*unit);
        common.retain(|channel| theirs.contains(channel));
    }
    let meets = |channel: ChannelId, a: UnitId, b: UnitId| {
        let scenario = picture.scenario();
        let Some(channel) = scenario.channels.get(channel) else {
            return false;
        };
        let reaches = |from: UnitId, to: UnitId| {
            in_hand(picture, from).any(|from| {
                in_hand(picture, to)
                    .any(|to| resilience::would_hear(scenario, channel, from, to, is_secret))
            })
        };
        reaches(a, b) && reaches(b, a)
    };
    let meet = |channel: ChannelId| {
        let mut before = first;
        rest.iter().all(|unit| {
            let is_met = meets(channel, first, *unit) && meets(channel, before, *unit);
            before = *unit;
            is_met
        })
    };
    common
        .into_iter()
        .filter(|channel| meet(*channel))
        .collect()
}

/// Tells whether all units are on a channel now.
fn all_on(picture: &Picture, units: &BTreeSet<UnitId>, channel: ChannelId) -> bool {
    let is_on = |radio: &Radio| {
        picture
            .tuned(radio)
            .is_some_and(|t| t.channel.id == channel)
    };
    units.iter().all(|unit| in_hand(picture, *unit).any(is_on))
}

/// Tells whether a channel covers as much as the least of those in use, by no lesser means.
fn is_as_good(picture: &Picture, channel: ChannelId, in_use: &BTreeSet<ChannelId>) -> bool {
    let scenario = picture.scenario();
    let system_of = |channel: ChannelId| -> Option<&System> {
        let channel = scenario.channels.get(channel)?;
        scenario.systems.get(channel.system)
    };
    let systems: Vec<&System> = in_use.iter().filter_map(|c| system_of(*c)).collect();
    let least = systems.iter().map(|s| s.coverage).min_by(f64::total_cmp);
    let (Some(shared), Some(least)) = (system_of(channel), least) else {
        return false;
    };
    let is_plain = |system: &System| system.kind == SystemKind::Simplex;
    shared.coverage >= least && (!is_plain(shared) || systems.iter().all(|s| is_plain(s)))
}

fn finding(
    picture: &Picture,
    severity: Severity,
    channel: ChannelId,
    units: &BTreeSet<UnitId>,
    groups: &[TalkGroupRef],
) -> Option<Finding> {
    let scenario = picture.scenario();
    let (first, others) = groups.split_first()?;
    let names: Vec<String> = units.iter().map(|u| scenario.name((*u).into())).collect();
    let have = if units.len() == 2 {
        "both have"
    } else {
        "all have"
    };
    let headline = format!(
        "{} joins {}, who {have} {} in hand",
        scenario.name((*first).into()),
        say::list(&names),
        scenario.name(channel.into())
    );
    let mut finding = CHECK.finding(severity, *first, headline);
    finding.related = others.iter().map(|g| ThingId::from(*g)).collect();
    finding.related.push(channel.into());
    finding.evidence = vec![
        Evidence::thing("in common", channel),
        Evidence::number("units", units.len() as f64, "units"),
        Evidence::number("talk groups", groups.len() as f64, "talk groups"),
    ];
    finding.hints = vec![
        format!(
            "If {} is free and reaches everybody, turn to it and keep the gateway for others",
            scenario.name(channel.into())
        ),
        "Simplest first: same channel, shared channel, patch inside a system, gateway".to_owned(),
    ];
    Some(finding)
}

//! A talk group sends in clear what comes in encrypted.
//!
//! ## What it flags
//! A talk group that has a port on an encrypted channel, and another port by which the same audio leaves
//! without encryption: a donor that sends in clear, a telephone, or a tie that is not encrypted.
//!
//! ## Why it matters
//! Speakers on the encrypted channel see their sets say "secure" and speak freely, while every scanner
//! on the clear channel listens.
//!
//! ## How it decides
//! A port counts as encrypted when its donor sends with a key, or takes in traffic that somebody in the
//! scenario sends with a key. Talk groups joined by a tie count as one. A headset is inside the box and
//! does not leak. Those who listen are all who hear it in clear, also by whatever is joined with the clear
//! channels further on.
//!
//! ## Severity
//! Stops. Where all concerned have agreed to go to clear, the finding can be accepted with that reason.
//!
//! ## Example
//! Group 1 joins the encrypted narcotics channel with the fire net.
//!
//! ## Source
//! A published communications guide of 2015: encrypted users go to clear when a gateway is in circuit,
//! by agreement beforehand; SAFECOM and FPIC, "Considerations for Encryption in Public Safety Radio
//! Systems", 2016.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::{Check, say};
use crate::model::{
    Attachment, Edit, Evidence, Finding, Fix, Grade, Party, PortRef, Protection, RadioId, Severity,
    TalkGroupRef, ThingId, TieId,
};
use crate::picture::{Donor, Picture};

/// The check.
pub const CHECK: Check = Check {
    code: "E01",
    name: "clear-leak",
    severity: Severity::Stops,
    text: include_str!("clear_leak.rs"),
    run,
};

/// How many of those who then listen are named.
const NAMED: usize = 4;

/// A port by which audio leaves in clear, and what leaves by it.
struct Exit {
    port: PortRef,
    by: ThingId,
    radio: Option<RadioId>,
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let hearing = picture.hearing();
    let mut protected = hearing.decrypting_ports();
    let mut keyed_or_clear: BTreeMap<PortRef, bool> = BTreeMap::new();
    for group in picture.talk_groups() {
        for sending in hearing.sendings(group) {
            keyed_or_clear.insert(sending.port, sending.key.is_some());
            if sending.key.is_some() {
                protected.insert(sending.port);
            }
        }
    }
    if protected.is_empty() {
        return;
    }
    let donors: BTreeMap<PortRef, Donor<'_>> = picture.donors().map(|d| (d.port, d)).collect();
    for groups in buses(picture) {
        let ports: Vec<PortRef> = groups.iter().flat_map(|g| hearing.live_ports(*g)).collect();
        let inside: Vec<PortRef> = ports
            .iter()
            .copied()
            .filter(|p| protected.contains(p))
            .collect();
        let exits: Vec<Exit> = ports
            .iter()
            .filter_map(|port| exit(picture, *port, keyed_or_clear.get(port), donors.get(port)))
            .filter(|exit| inside.iter().any(|p| *p != exit.port))
            .collect();
        let (Some(first), Some(phase)) = (exits.first(), picture.phase()) else {
            continue;
        };
        if let Some(group) = phase.group_of(first.port) {
            out.push(leak(picture, group, &inside, &exits, &donors));
        }
    }
}

/// Gathers talk groups that ties make one.
fn buses(picture: &Picture) -> Vec<BTreeSet<TalkGroupRef>> {
    let Some(phase) = picture.phase() else {
        return Vec::new();
    };
    let mut ends: BTreeMap<TieId, Vec<TalkGroupRef>> = BTreeMap::new();
    for (port, attachment) in &phase.attachments {
        if let (Attachment::Tie(tie), Some(group)) = (attachment, phase.group_of(*port)) {
            ends.entry(*tie).or_default().push(group);
        }
    }
    let mut joined: BTreeMap<TalkGroupRef, Vec<TalkGroupRef>> = BTreeMap::new();
    for pair in ends.values() {
        if let [a, b] = pair.as_slice() {
            joined.entry(*a).or_default().push(*b);
            joined.entry(*b).or_default().push(*a);
        }
    }
    let mut seen = BTreeSet::new();
    let mut buses = Vec::new();
    for group in picture.talk_groups() {
        let mut bus = BTreeSet::new();
        let mut waiting = vec![group];
        while let Some(next) = waiting.pop() {
            if seen.insert(next) {
                bus.insert(next);
                waiting.extend(joined.get(&next).into_iter().flatten());
            }
        }
        if !bus.is_empty() {
            buses.push(bus);
        }
    }
    buses
}

fn exit(
    picture: &Picture,
    port: PortRef,
    sends_keyed: Option<&bool>,
    donor: Option<&Donor<'_>>,
) -> Option<Exit> {
    let exit = |by, radio| Some(Exit { port, by, radio });
    match picture.phase()?.attachments.get(&port)? {
        Attachment::Radio { radio, .. } => {
            let channel = donor?.tuned?.channel.id;
            (sends_keyed == Some(&false))
                .then(|| exit(channel.into(), Some(*radio)))
                .flatten()
        }
        Attachment::Telephone(id) => exit((*id).into(), None),
        Attachment::Tie(id) => {
            let is_open = !picture.scenario().ties.get(*id)?.encrypted;
            is_open.then(|| exit((*id).into(), None)).flatten()
        }
        Attachment::Headset(_) => None,
    }
}

fn leak(
    picture: &Picture,
    group: TalkGroupRef,
    inside: &[PortRef],
    exits: &[Exit],
    donors: &BTreeMap<PortRef, Donor<'_>>,
) -> Finding {
    let scenario = picture.scenario();
    let names = |things: BTreeSet<ThingId>| -> String {
        let names: Vec<String> = things.into_iter().map(|t| scenario.name(t)).collect();
        say::list(&names)
    };
    let channels = inside
        .iter()
        .filter_map(|port| Some(donors.get(port)?.tuned?.channel.id.into()))
        .collect();
    let headline = format!(
        "{}: what comes in encrypted on {} leaves in clear by {}",
        scenario.name(group.into()),
        names(channels),
        names(exits.iter().map(|e| e.by).collect())
    );
    // Whoever hears it by what is joined further on listens as well.
    let listeners: BTreeSet<Party> = inside
        .iter()
        .flat_map(|port| picture.hearing().opening(*port).listeners)
        .collect();
    let mut finding = CHECK.finding(Severity::Stops, group, headline);
    finding.related = inside
        .iter()
        .copied()
        .chain(exits.iter().map(|e| e.port))
        .map(ThingId::from)
        .chain(listeners.iter().take(NAMED).map(|p| (*p).into()))
        .collect();
    finding.evidence = vec![
        Evidence::number("ports on encrypted channels", inside.len() as f64, "ports"),
        Evidence::number("ways out in clear", exits.len() as f64, "ports"),
        Evidence::number(
            "parties who listen in clear",
            listeners.len() as f64,
            "parties",
        ),
    ];
    finding.hints = vec![
        "Tell the encrypted side before it is joined, or keep it out; accept this when all have agreed"
            .to_owned(),
    ];
    finding.fixes = exits
        .iter()
        .filter_map(|exit| secure(picture, exit, donors))
        .chain(exits.iter().map(|exit| Fix {
            title: format!("Switch {} to none", scenario.name(exit.port.into())),
            grade: Grade::Ask,
            edits: vec![Edit::Switch {
                phase: picture.phase_id(),
                port: exit.port,
                group: None,
            }],
        }))
        .collect();
    finding
}

/// Turns the secure switch on where the donor has one and the key.
fn secure(picture: &Picture, exit: &Exit, donors: &BTreeMap<PortRef, Donor<'_>>) -> Option<Fix> {
    let radio = picture.scenario().radios.get(exit.radio?)?;
    let tuned = donors.get(&exit.port)?.tuned?;
    let Protection::Optional(key) = tuned.entry.effective(tuned.channel).protection else {
        return None;
    };
    let mut entry = tuned.entry.clone();
    entry.secure = true;
    radio.keys.contains(&key).then(|| Fix {
        title: format!(
            "Turn the secure switch of {} on for {}",
            radio.name, tuned.channel.name
        ),
        grade: Grade::Ask,
        edits: vec![Edit::Program {
            radio: radio.id,
            entry,
        }],
    })
}

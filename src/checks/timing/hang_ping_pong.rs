//! Repeaters' hang times can key a talk group back and forth with no voice on it.
//!
//! ## What it flags
//! A talk group with donors on two or more repeated channels, each of which opens on carrier alone and
//! whose repeater stays up longer than the port's lockout.
//!
//! ## Why it matters
//! A port takes the carrier that a repeater holds up after the last word for a new message and keys the
//! other legs; their repeaters hang in turn and key it back. The group stays busy and nobody gets a word
//! in until somebody switches a port off.
//!
//! ## How it decides
//! A donor counts when its channel is carried by a repeater or voter whose hang time is longer than the
//! lockout of practice, and when the set is programmed for analogue modulation and asks for no code. Two
//! such donors on different channels are needed; with one there is a false keying and no more.
//!
//! ## Severity
//! Warns: it does not happen at every message, and when it does the whole group is blocked.
//!
//! ## Example
//! Two repeaters that hang 1500 and 1000 ms are joined by donors without a receive tone; the lockout is
//! 300 ms.
//!
//! ## Source
//! The order of events, by reasoning. That coded squelch, squelch-tail elimination and a longer lockout
//! cure it, and the usual lockout: common practice, no source.

use std::collections::BTreeSet;

use super::keyed::{self, Keyed};
use crate::checks::{Check, say};
use crate::engineering::timing::turnaround;
use crate::hearing::rules;
use crate::model::{AccessCode, ChannelId, Evidence, Finding, Mode, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "T05",
    name: "hang-ping-pong",
    severity: Severity::Warns,
    text: include_str!("hang_ping_pong.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let lockout_ms = scenario.practice.lockout_ms.round() as u32;
    let donors: Vec<Keyed<'_>> = keyed::all(picture)
        .filter(|donor| is_keyed_by_hang(donor, lockout_ms))
        .collect();
    for members in donors.chunk_by(|a, b| a.group == b.group) {
        let channels: BTreeSet<ChannelId> = members.iter().map(|d| d.channel.id).collect();
        let Some(first) = members.first().filter(|_| channels.len() > 1) else {
            continue;
        };
        let hangs: Vec<String> = members
            .iter()
            .map(|d| format!("{} {} ms", d.system.name, d.system.hang_ms))
            .collect();
        let headline = format!(
            "{} may be keyed back and forth by hang times alone, {}, with a lockout of \
             {lockout_ms} ms",
            scenario.name(first.group.into()),
            say::list(&hangs)
        );
        let mut finding = CHECK.finding(Severity::Warns, first.group, headline);
        finding.related = members.iter().map(|d| d.port.into()).collect();
        let mut sorted: Vec<u32> = members.iter().map(|d| d.system.hang_ms).collect();
        sorted.sort_unstable();
        let longest_ms = sorted.last().copied().unwrap_or(0);
        let shortest_ms = sorted.first().copied().unwrap_or(0);
        finding.evidence = vec![
            Evidence::number(
                "donors that open on carrier alone",
                members.len() as f64,
                "radios",
            ),
            Evidence::number("longest hang time", longest_ms.into(), "ms"),
            Evidence::number("shortest hang time", shortest_ms.into(), "ms"),
            Evidence::number("lockout", lockout_ms.into(), "ms"),
        ];
        let names: Vec<String> = members.iter().map(|d| d.radio.name.clone()).collect();
        finding.hints = vec![
            format!(
                "Have {} ask for a tone or code that the repeater does not send while it hangs; \
                 one leg without false keying breaks the chain if there are two",
                say::list(&names)
            ),
            format!(
                "Where the box has a lockout, set it to {longest_ms} ms or longer and note that in \
                 the figures of practice; answers that come sooner are then cut off"
            ),
        ];
        out.push(finding);
    }
}

/// Tells whether a port takes the hang of its donor's repeater for a message.
fn is_keyed_by_hang(donor: &Keyed<'_>, lockout_ms: u32) -> bool {
    let Some(entry) = donor.radio.entry(donor.channel.id) else {
        return false;
    };
    let Ok(tuner) = rules::tuner_of(donor.radio, entry, donor.channel) else {
        return false;
    };
    let is_analogue = matches!(tuner.mode, Mode::Fm | Mode::Am);
    is_analogue
        && tuner.code == AccessCode::None
        && donor.system.kind.repeats()
        && turnaround::can_ping_pong(donor.system.hang_ms, lockout_ms)
}

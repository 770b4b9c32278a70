//! A trunked or satellite system has too few talk paths for everything that is brought to it.
//!
//! ## What it flags
//! A system that shares talk paths among groups and makes callers wait longer, on average, than the
//! figure of practice, or whose queue grows without end.
//!
//! ## Why it matters
//! The caller presses and gets a busy tone. A donor of a gateway cannot hear it: the gateway plays the
//! message into a set that has no talk path, and the far side never knows that somebody called.
//!
//! ## How it decides
//! The load of every group of the system, joined speech included, with the system's hang time counted as
//! talk, is put on its talk paths by Erlang C. The same without anything joined is the comparison.
//!
//! ## Severity
//! Warns when the mean wait is above the figure; stops when at least as much is offered as the talk paths
//! carry, since then the wait has no end.
//!
//! ## Example
//! Two talk paths carry 1.9 erlang since the fire channel was joined to group 3: callers wait 74 s.
//!
//! ## Source
//! Erlang C: textbook. That hang time occupies a talk path on systems that keep it for the answer:
//! arithmetic. The wait that is put up with: common practice, no source.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::{Check, say};
use crate::engineering::traffic::erlang_c::{self, Waiting};
use crate::model::{ChannelId, Evidence, Finding, Severity, SystemId};
use crate::picture::Picture;
use crate::picture::traffic::SystemLoad;

/// The check.
pub const CHECK: Check = Check {
    code: "S08",
    name: "busy-system",
    severity: Severity::Stops,
    text: include_str!("busy_system.rs"),
    run,
};

/// Talk paths beyond the load that are tried before giving up; each adds to what is spare.
const MOST_SPARE: u32 = 1_000;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let most_s = scenario.practice.wait_most_s;
    let mut patched: BTreeMap<SystemId, BTreeSet<ChannelId>> = BTreeMap::new();
    for group in picture.talk_groups() {
        for sending in picture.hearing().sendings(group) {
            if let Some(channel) = scenario.channels.get(sending.channel) {
                patched
                    .entry(channel.system)
                    .or_default()
                    .insert(channel.id);
            }
        }
    }
    for (id, load) in &picture.traffic().systems {
        // A system without a talk path carries nothing, so nobody waits for it.
        let Some(system) = scenario.systems.get(*id).filter(|_| load.talk_paths > 0) else {
            continue;
        };
        let severity = match load.now {
            Waiting::GrowsWithoutEnd => Severity::Stops,
            Waiting::Settles { mean_wait_s, .. } if mean_wait_s > most_s => Severity::Warns,
            Waiting::Settles { .. } => continue,
        };
        let paths = say::count(load.talk_paths as usize, "talk path");
        let carried = say::hundredths(load.all_erl);
        let headline = match load.now {
            Waiting::GrowsWithoutEnd => format!(
                "{} gets {carried} erlang on {paths}, and the wait grows without end",
                system.name
            ),
            Waiting::Settles { mean_wait_s, .. } => format!(
                "{} gets {carried} erlang on {paths}, and callers wait {} s on average",
                system.name,
                say::tenths(mean_wait_s)
            ),
        };
        let channels = patched.remove(id).unwrap_or_default();
        let mut finding = CHECK.finding(severity, *id, headline);
        finding.related = channels.iter().map(|channel| (*channel).into()).collect();
        finding.evidence = evidence(load, channels.len());
        if let Some(enough) = paths_needed(load, most_s) {
            finding.hints.push(format!(
                "With {} callers would wait {most_s} s at most on average",
                say::count(enough as usize, "talk path")
            ));
        }
        if let (Waiting::Settles { mean_wait_s, .. }, false) = (load.before, channels.is_empty()) {
            finding.hints.push(format!(
                "With nothing joined the wait would be {} s: patch inside the system, which takes \
                 one talk path, or take groups off the gateways",
                say::tenths(mean_wait_s)
            ));
        }
        out.push(finding);
    }
}

fn evidence(load: &SystemLoad, patched: usize) -> Vec<Evidence> {
    let mut all = vec![
        Evidence::number("talk paths", load.talk_paths.into(), "talk paths"),
        Evidence::number("groups at gateways", patched as f64, "groups"),
        Evidence::number(
            "load with nothing joined",
            say::hundredths(load.own_erl),
            "erlang",
        ),
        Evidence::number("load now", say::hundredths(load.all_erl), "erlang"),
        Evidence::number(
            "talk paths that patches use on average",
            say::hundredths(load.all_erl - load.own_erl),
            "talk paths",
        ),
        Evidence::number("message with hang time", say::tenths(load.hold_s), "s"),
    ];
    let rows = [
        (
            load.before,
            "chance to wait with nothing joined",
            "mean wait with nothing joined",
        ),
        (load.now, "chance to wait now", "mean wait now"),
    ];
    for (waiting, chance, mean) in rows {
        match waiting {
            Waiting::Settles {
                probability,
                mean_wait_s,
            } => all.extend([
                Evidence::number(chance, say::percent(probability), "%"),
                Evidence::number(mean, say::tenths(mean_wait_s), "s"),
            ]),
            Waiting::GrowsWithoutEnd => all.push(Evidence::text(mean, "grows without end")),
        }
    }
    all
}

/// Returns the fewest talk paths with which the wait is put up with.
fn paths_needed(load: &SystemLoad, most_s: f64) -> Option<u32> {
    let least = (load.all_erl.floor() as u32).checked_add(1)?;
    let from = least.max(load.talk_paths);
    (from..from.saturating_add(MOST_SPARE)).find(|paths| {
        matches!(
            erlang_c::wait(load.all_erl, *paths, load.hold_s),
            Ok(Waiting::Settles { mean_wait_s, .. }) if mean_wait_s <= most_s
        )
    })
}

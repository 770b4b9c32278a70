//! A talk group has no port.
//!
//! ## What it flags
//! A talk group of a gateway in use to which no port with anything plugged in is switched.
//!
//! ## Why it matters
//! Nothing is wrong on the air; but a plan that counts on the group finds it silent.
//!
//! ## How it decides
//! Of the gateway's ports some are switched to another talk group, or something is plugged in; none of
//! them is both plugged and switched to this one. A gateway without anything plugged in lies in store
//! and is not judged.
//!
//! ## Severity
//! Notes.
//!
//! ## Example
//! Command was moved to the shared channel and group 2 was left empty.
//!
//! ## Source
//! Follows from the switches.

use std::collections::BTreeSet;

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, GatewayId, Severity, TalkGroupRef};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G01",
    name: "empty-group",
    severity: Severity::Notes,
    text: include_str!("empty_group.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let Some(phase) = picture.phase() else { return };
    let plugged = phase.attachments.keys();
    let in_use: BTreeSet<GatewayId> = plugged.clone().map(|p| p.gateway).collect();
    let full: BTreeSet<TalkGroupRef> = plugged.filter_map(|p| phase.group_of(*p)).collect();
    for group in picture.talk_groups() {
        if full.contains(&group) || !in_use.contains(&group.gateway) {
            continue;
        }
        let name = picture.scenario().name(group.into());
        let bare = phase
            .switches
            .keys()
            .filter(|p| p.gateway == group.gateway)
            .filter(|p| phase.group_of(**p) == Some(group))
            .count();
        let headline = match bare {
            0 => format!("No port is switched to {name}"),
            n => format!(
                "{} switched to {name}, with nothing plugged in",
                match n {
                    1 => "1 port is".to_owned(),
                    n => format!("{} are", say::count(n, "port")),
                }
            ),
        };
        let mut finding = CHECK.finding(Severity::Notes, group, headline);
        finding.evidence = vec![Evidence::number(
            "ports switched to it",
            bare as f64,
            "ports",
        )];
        out.push(finding);
    }
}

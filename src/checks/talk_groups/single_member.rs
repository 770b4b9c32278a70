//! A talk group has a single port, so it joins nothing.
//!
//! ## What it flags
//! A talk group to which exactly one plugged port is switched.
//!
//! ## Why it matters
//! What comes in by the port has nowhere to go. The donor stands ready, costs a radio and its battery,
//! and gives the look of a link that is not there.
//!
//! ## How it decides
//! Ports with something plugged in are counted by the talk group they are switched to.
//!
//! ## Severity
//! Warns: the plan may have been meant for the next step, but as it is the port is of no use.
//!
//! ## Example
//! In phase 2 the law donor moved to group 2 and left the fire donor alone on group 1.
//!
//! ## Source
//! Follows from the derivation: audio leaves by every other port of the group, and there is none.

use std::collections::BTreeMap;

use crate::checks::Check;
use crate::model::{Edit, Evidence, Finding, Fix, Grade, PortRef, Severity, TalkGroupRef};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G02",
    name: "single-member",
    severity: Severity::Warns,
    text: include_str!("single_member.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (Some(phase), scenario) = (picture.phase(), picture.scenario()) else {
        return;
    };
    let mut members: BTreeMap<TalkGroupRef, Vec<PortRef>> = BTreeMap::new();
    for port in phase.attachments.keys() {
        if let Some(group) = phase.group_of(*port) {
            members.entry(group).or_default().push(*port);
        }
    }
    for (group, ports) in members {
        let [port] = ports.as_slice() else { continue };
        let headline = format!(
            "Port {} is alone on {}, which joins it to nothing",
            port.port,
            scenario.name(group.into())
        );
        let mut finding = CHECK.finding(Severity::Warns, group, headline);
        finding.related = vec![(*port).into()];
        finding.evidence = vec![Evidence::number("ports on it", 1.0, "ports")];
        finding.hints =
            vec!["Switch a second port to the group, or take this one out of it".to_owned()];
        finding.fixes = vec![Fix {
            title: format!("Switch {} to none", scenario.name((*port).into())),
            grade: Grade::Ask,
            edits: vec![Edit::Switch {
                phase: picture.phase_id(),
                port: *port,
                group: None,
            }],
        }];
        out.push(finding);
    }
}

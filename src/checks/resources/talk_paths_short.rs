//! One message takes more talk paths of a system than it has.
//!
//! ## What it flags
//! A talk group with two or more donors on groups of one trunked or satellite system, through which a
//! single message takes up more of the system's groups at once than it has talk paths.
//!
//! ## Why it matters
//! The system grants some of the groups and refuses the others, by luck. Part of the joined net misses
//! the message, and everybody else on the system waits.
//!
//! ## How it decides
//! A message is followed from a donor of the talk group to everywhere it gets; the distinct groups of
//! the system on its way are counted and set against the talk paths.
//!
//! ## Severity
//! Stops: somebody is left out even when the system is otherwise idle; who it is depends on order.
//!
//! ## Example
//! Three groups of a satellite system with two talk paths are on one talk group.
//!
//! ## Source
//! Follows from the derivation; one group call takes one talk path on trunked systems (TIA-102 and
//! ETSI EN 300 392, from memory).

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, PortRef, Severity, SystemId, TalkGroupRef, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "S07",
    name: "talk-paths-short",
    severity: Severity::Stops,
    text: include_str!("talk_paths_short.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let mut suspects: BTreeMap<(TalkGroupRef, SystemId), BTreeSet<PortRef>> = BTreeMap::new();
    // Donors keyed on each system by anybody: no message can take more groups than that and one.
    let mut donors: BTreeMap<SystemId, usize> = BTreeMap::new();
    for group in picture.talk_groups() {
        for sending in hearing.sendings(group) {
            let Some(channel) = scenario.channels.get(sending.channel) else {
                continue;
            };
            let Some(system) = scenario.systems.get(channel.system) else {
                continue;
            };
            if system.kind.is_grouped() {
                let ports = suspects.entry((group, system.id)).or_default();
                ports.insert(sending.port);
                *donors.entry(system.id).or_default() += 1;
            }
        }
    }
    // Talk groups that one message passes are told once.
    let mut told: BTreeSet<(TalkGroupRef, SystemId)> = BTreeSet::new();
    for ((group, system), ports) in suspects {
        let Some(system) = scenario.systems.get(system) else {
            continue;
        };
        let paths = system.talk_paths as usize;
        let most = donors.get(&system.id).copied().unwrap_or(0);
        if ports.len() < 2 || most <= paths || told.contains(&(group, system.id)) {
            continue;
        }
        let spread = hearing.spread(group);
        let taken = spread.taken.get(&system.id).copied().unwrap_or(0);
        if taken <= paths {
            continue;
        }
        told.extend(spread.groups.into_iter().map(|g| (g, system.id)));
        let headline = format!(
            "A message through {} takes {taken} groups of {}, which has {}",
            scenario.name(group.into()),
            system.name,
            say::count(paths, "talk path")
        );
        let mut finding = CHECK.finding(Severity::Stops, group, headline);
        finding.related = vec![system.id.into()];
        finding.related.extend(ports.into_iter().map(ThingId::from));
        finding.evidence = vec![
            Evidence::number("groups taken at once", taken as f64, "groups"),
            Evidence::number("talk paths", paths as f64, "talk paths"),
        ];
        finding.hints =
            vec!["Ask the system's owner to patch the groups inside the system instead".to_owned()];
        out.push(finding);
    }
}

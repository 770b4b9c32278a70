//! Two donors of one talk group are on the same channel.
//!
//! ## What it flags
//! A frequency or trunked group that is sent by two or more donors of one talk group.
//!
//! ## Why it matters
//! When the group is keyed both donors transmit on top of each other, and when somebody speaks on
//! that channel both feed the group and key each other: howling, and nobody is understood.
//!
//! ## How it decides
//! Two ports of the talk group have donors whose transmissions, as programmed, land on the same
//! frequency or the same group of the same system. Names do not matter.
//!
//! ## Severity
//! Stops: the channel is unusable while the talk group is.
//!
//! ## Example
//! Ports 2 and 4 are both on VFIRE21 because the spare donor was never switched out.
//!
//! ## Source
//! Two donors on one net inside one group are a loop by shared channel: reasoning; listed among
//! common faults of patches, common practice, no source.

use std::collections::BTreeMap;

use crate::checks::Check;
use crate::hearing::rules::{self, Spot};
use crate::model::{Edit, Evidence, Finding, Fix, Grade, PortRef, Severity, TalkGroupRef};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G05",
    name: "same-channel-twice",
    severity: Severity::Stops,
    text: include_str!("same_channel_twice.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut senders: BTreeMap<(TalkGroupRef, Spot), Vec<PortRef>> = BTreeMap::new();
    for donor in picture.donors() {
        let (Some(group), Some(tuned)) = (donor.group, donor.tuned) else {
            continue;
        };
        let Some(system) = scenario.systems.get(tuned.channel.system) else {
            continue;
        };
        if let Ok(signal) = rules::signal_of(donor.radio, tuned.entry, tuned.channel, system) {
            senders
                .entry((group, signal.spot))
                .or_default()
                .push(donor.port);
        }
    }
    for ((group, spot), ports) in senders {
        let [_, others @ ..] = ports.as_slice() else {
            continue;
        };
        if others.is_empty() {
            continue;
        }
        let place = match spot {
            Spot::Frequency(frequency) => frequency.to_string(),
            Spot::Group { system, group } => {
                format!("group {group} of {}", scenario.name(system.into()))
            }
        };
        let numbers: Vec<String> = ports.iter().map(|p| p.port.to_string()).collect();
        let headline = format!(
            "{}: ports {} {} send on {place}",
            scenario.name(group.into()),
            numbers.join(" and "),
            if numbers.len() == 2 { "both" } else { "all" }
        );
        let mut finding = CHECK.finding(Severity::Stops, group, headline);
        finding.related = ports.iter().map(|p| (*p).into()).collect();
        finding.evidence = vec![
            Evidence::text("sent on", place),
            Evidence::number("donors on it", ports.len() as f64, "radios"),
        ];
        finding.hints =
            vec!["Leave one donor in the talk group and switch the others out".to_owned()];
        finding.fixes = others
            .iter()
            .map(|port| Fix {
                title: format!("Switch {} to none", scenario.name((*port).into())),
                grade: Grade::Safe,
                edits: vec![Edit::Switch {
                    phase: picture.phase_id(),
                    port: *port,
                    group: None,
                }],
            })
            .collect();
        out.push(finding);
    }
}

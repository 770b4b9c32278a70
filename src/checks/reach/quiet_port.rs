//! A port is switched and plugged and carries nothing.
//!
//! ## What it flags
//! A switched port whose donor has no channel selected, can neither send nor receive, or is on a
//! channel where nobody hears it and it hears nobody; and a port with a tie whose far end is not in use.
//!
//! ## Why it matters
//! The switch says that a net is joined, and it is not. The missing agency notices last.
//!
//! ## How it decides
//! By the derivation nothing that anybody in the scenario sends comes in by the port, and nobody hears
//! what goes out of it. A donor that no cable fits is left to the check on cables; donors of the same
//! talk group do not count as somebody.
//!
//! ## Severity
//! Warns: people on that channel may not be part of the scenario; the needs tell what must work.
//!
//! ## Example
//! The spare donor was plugged into port 3 and still shows the channel of the last exercise.
//!
//! ## Source
//! Follows from the derivation.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::Check;
use crate::hearing::rules;
use crate::model::{Attachment, Edit, Evidence, Finding, Fix, Grade, PortRef, Severity, ThingId};
use crate::picture::{Donor, Picture, Tuned};

/// The check.
pub const CHECK: Check = Check {
    code: "R04",
    name: "quiet-port",
    severity: Severity::Warns,
    text: include_str!("quiet_port.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (Some(phase), scenario) = (picture.phase(), picture.scenario()) else {
        return;
    };
    let quiet: BTreeSet<PortRef> = picture.hearing().quiet_ports().into_iter().collect();
    let donors: BTreeMap<PortRef, Donor<'_>> = picture.donors().map(|d| (d.port, d)).collect();
    for port in quiet {
        let name = scenario.name(port.into());
        let (headline, related, evidence) = if let Some(donor) = donors.get(&port) {
            of_donor(picture, donor, &name)
        } else if let Some(Attachment::Tie(tie)) = phase.attachments.get(&port) {
            let headline = format!(
                "{name}: the far end of {} is not plugged in and switched",
                scenario.name((*tie).into())
            );
            (headline, vec![(*tie).into()], Vec::new())
        } else {
            continue;
        };
        let mut finding = CHECK.finding(Severity::Warns, port, headline);
        finding.related = related;
        finding.evidence = evidence;
        finding.hints =
            vec!["Take the port out of the talk group until it carries something".to_owned()];
        finding.fixes = vec![Fix {
            title: format!("Switch {name} to none"),
            grade: Grade::Ask,
            edits: vec![Edit::Switch {
                phase: picture.phase_id(),
                port,
                group: None,
            }],
        }];
        out.push(finding);
    }
}

fn of_donor(
    picture: &Picture,
    donor: &Donor<'_>,
    port: &str,
) -> (String, Vec<ThingId>, Vec<Evidence>) {
    let radio = donor.radio;
    let mut related = vec![radio.id.into()];
    let Some(tuned) = donor.tuned else {
        let headline = format!("{port}: {} has no channel selected", radio.name);
        return (headline, related, vec![Evidence::text("channel", "none")]);
    };
    let Tuned { channel, entry } = tuned;
    related.push(channel.id.into());
    let system = picture.scenario().systems.get(channel.system);
    let can_send = system.is_some_and(|s| rules::signal_of(radio, entry, channel, s).is_ok());
    let can_hear = rules::tuner_of(radio, entry, channel).is_ok();
    let headline = if can_send || can_hear {
        format!(
            "{port}: {} hears nobody on {} and nobody hears it",
            radio.name, channel.name
        )
    } else {
        format!(
            "{port}: {} can neither send nor receive on {}",
            radio.name, channel.name
        )
    };
    let evidence = vec![
        Evidence::thing("channel", channel.id),
        Evidence::text("can send", can_send),
        Evidence::text("can receive", can_hear),
    ];
    (headline, related, evidence)
}

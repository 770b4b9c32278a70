//! A donor scans.
//!
//! ## What it flags
//! A donor on a talk group that scans another channel than the one selected.
//!
//! ## Why it matters
//! While it listens elsewhere it misses the start of what should enter the patch; what it finds
//! elsewhere enters the patch unasked, and the answer goes out on the selected channel, where the
//! caller is not.
//!
//! ## How it decides
//! The channels each donor scans are read; the selected one does not count.
//!
//! ## Severity
//! Warns: the patch works whenever the donor happens to be on the right channel. Those who are cut off
//! cannot tell.
//!
//! ## Example
//! A portable from the cache went into the gateway with its scan list on.
//!
//! ## Source
//! Scan, priority and power save off on every donor: pre-check, common practice, no source.

use std::collections::BTreeSet;

use crate::checks::{Check, say};
use crate::model::{ChannelId, Edit, Evidence, Finding, Fix, Grade, Radio, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "F04",
    name: "donor-scans",
    severity: Severity::Warns,
    text: include_str!("donor_scans.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for donor in picture.donors().filter(|d| d.group.is_some()) {
        let selected = donor.tuned.map(|t| t.channel.id);
        let scans: Vec<ChannelId> = donor
            .radio
            .scans
            .iter()
            .copied()
            .filter(|channel| Some(*channel) != selected)
            .collect();
        if scans.is_empty() {
            continue;
        }
        let names: Vec<String> = scans.iter().map(|c| scenario.name((*c).into())).collect();
        let headline = format!(
            "{} at {} scans {}",
            donor.radio.name,
            scenario.name(donor.port.into()),
            say::list(&names)
        );
        let mut finding = CHECK.finding(Severity::Warns, donor.radio.id, headline);
        finding.related = vec![donor.port.into()];
        finding
            .related
            .extend(scans.iter().map(|c| ThingId::from(*c)));
        finding.evidence = vec![Evidence::number(
            "channels scanned",
            scans.len() as f64,
            "channels",
        )];
        finding.hints =
            vec!["Turn scan off on the set itself, and priority and power save with it".to_owned()];
        finding.fixes = vec![Fix {
            title: format!("Turn scan off on {}", donor.radio.name),
            grade: Grade::Safe,
            edits: vec![Edit::Replace(
                Radio {
                    scans: BTreeSet::new(),
                    ..donor.radio.clone()
                }
                .into(),
            )],
        }];
        out.push(finding);
    }
}

//! A radio that somebody carries has no channel selected.
//!
//! ## What it flags
//! A radio that a unit carries and that is on no channel in this phase.
//!
//! ## Why it matters
//! It is a radio switched off: its crew hears nothing on it and cannot be told so.
//!
//! ## How it decides
//! The phase selects no channel on the radio and neither does the radio's own setting. Donors are left
//! to the check on quiet ports.
//!
//! ## Severity
//! Warns: the crew may have a second radio, or the plan is not finished.
//!
//! ## Example
//! The relief team got four sets from the cache, and nobody wrote down on which channel.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::Check;
use crate::model::{Edit, Evidence, Finding, Fix, Grade, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P08",
    name: "no-channel-selected",
    severity: Severity::Warns,
    text: include_str!("no_channel_selected.rs"),
    run,
};

/// Up to how many programmed channels are offered one by one.
const OFFERED: usize = 4;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for radio in picture.idle_radios() {
        let Some(unit) = radio.held_by else { continue };
        if picture.port_of(radio.id).is_some() {
            continue;
        }
        let whose = scenario.name(unit.into());
        let programmed = radio.programmed.len();
        let headline = if programmed == 0 {
            format!("{} of {whose} has no channel programmed", radio.name)
        } else {
            format!("{} of {whose} has no channel selected", radio.name)
        };
        let mut finding = CHECK.finding(Severity::Warns, radio.id, headline);
        finding.related = vec![unit.into()];
        finding.evidence = vec![Evidence::number(
            "channels programmed",
            programmed as f64,
            "channels",
        )];
        if programmed <= OFFERED {
            finding.fixes = radio
                .programmed
                .iter()
                .map(|entry| Fix {
                    title: format!(
                        "Select {} on {}",
                        scenario.name(entry.channel.into()),
                        radio.name
                    ),
                    grade: Grade::Ask,
                    edits: vec![Edit::Select {
                        phase: picture.phase_id(),
                        radio: radio.id,
                        channel: Some(entry.channel),
                    }],
                })
                .collect();
        }
        finding.hints = vec!["Put it on the channel its crew works on".to_owned()];
        out.push(finding);
    }
}

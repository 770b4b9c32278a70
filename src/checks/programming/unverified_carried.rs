//! Radios that people carry have not been verified.
//!
//! ## What it flags
//! For each agency, how many facts of the selected channels of its units' radios are assumed.
//!
//! ## Why it matters
//! The picture of who hears whom is only as good as what is known of the sets.
//!
//! ## How it decides
//! Facts of the selected channel of each carried radio are counted: frequency, access code on
//! conventional channels other than AM, mode, and encryption on protected ones. Units without an agency
//! are reported one by one.
//!
//! ## Severity
//! Notes.
//!
//! ## Example
//! Corran Valley Fire: 18 facts in 6 radios are assumed.
//!
//! ## Source
//! Common practice, no source.

use std::collections::BTreeMap;

use crate::checks::programming::assumed::assumed;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, ThingId};
use crate::picture::{Picture, Tuned};

/// The check.
pub const CHECK: Check = Check {
    code: "P13",
    name: "unverified-carried",
    severity: Severity::Notes,
    text: include_str!("unverified_carried.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut sums: BTreeMap<ThingId, (usize, usize)> = BTreeMap::new();
    for (channel, _) in picture.users() {
        for (radio, entry) in picture.users_of(channel.id) {
            if picture.port_of(radio.id).is_some() {
                continue;
            }
            let Some(unit) = radio.held_by.and_then(|u| scenario.units.get(u)) else {
                continue;
            };
            let facts = assumed(Tuned { channel, entry }).count();
            if facts > 0 {
                let whose = unit.agency.map_or(unit.id.into(), ThingId::from);
                let (all, radios) = sums.entry(whose).or_default();
                *all += facts;
                *radios += 1;
            }
        }
    }
    for (whose, (facts, radios)) in sums {
        let headline = format!(
            "{}: {} in {} {} assumed",
            scenario.name(whose),
            say::count(facts, "fact"),
            say::count(radios, "radio"),
            if facts == 1 { "is" } else { "are" }
        );
        let mut finding = CHECK.finding(Severity::Notes, whose, headline);
        finding.evidence = vec![
            Evidence::number("facts assumed", facts as f64, "facts"),
            Evidence::number("radios concerned", radios as f64, "radios"),
        ];
        finding.hints =
            vec!["Verify one set of each kind, and ask how the others were programmed".to_owned()];
        out.push(finding);
    }
}

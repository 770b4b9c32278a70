//! A talk group joins more agencies than people can keep apart.
//!
//! ## What it flags
//! A talk group that carries the speech of units of more agencies than the figure of practice.
//!
//! ## Why it matters
//! Each agency has its own words, its own codes and its own "Engine 1". With many on one net a call is
//! answered by the wrong one, or by none.
//!
//! ## How it decides
//! Agencies of the units whose speech is carried on the group are counted. Talk groups that carry the
//! very same speech are told once. Units without an agency are not counted.
//!
//! ## Severity
//! Notes: a large joined net may be what the first hour needs, and plain language with the agency's name
//! first makes it bearable.
//!
//! ## Example
//! Six agencies are on group 1 of the command post; two of them need only the medical officer.
//!
//! ## Source
//! That the agency is spoken before the unit, in plain language: a regional communications guide (2015).
//! The figure: common practice, no source.

use super::nets;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G07",
    name: "too-many-agencies",
    severity: Severity::Notes,
    text: include_str!("too_many_agencies.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let most = scenario.practice.agencies_per_group;
    for joined in nets::groups(picture) {
        let agencies = &joined.net.agencies;
        if agencies.len() as f64 <= most {
            continue;
        }
        let names: Vec<String> = agencies
            .iter()
            .map(|a| scenario.name((*a).into()))
            .collect();
        let headline = format!(
            "{} joins {}: {}",
            scenario.name(joined.thing),
            match agencies.len() {
                1 => "1 agency".to_owned(),
                n => format!("{n} agencies"),
            },
            say::list(&names)
        );
        let mut finding = CHECK.finding(Severity::Notes, joined.thing, headline);
        finding.related = joined.same.iter().map(|group| (*group).into()).collect();
        finding
            .related
            .extend(agencies.iter().map(|a| ThingId::from(*a)));
        finding.evidence = vec![
            Evidence::number("agencies joined", agencies.len() as f64, "agencies"),
            Evidence::number("agencies on one group", most, "agencies"),
            Evidence::number("people", joined.net.people.into(), "people"),
        ];
        finding.hints = vec![
            "Brief all to speak plainly and to say the agency before the unit".to_owned(),
            "Give those who do not need each other a talk group of their own".to_owned(),
        ];
        out.push(finding);
    }
}

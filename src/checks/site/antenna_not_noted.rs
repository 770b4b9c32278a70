//! Nobody noted where the antennas of donors stand.
//!
//! ## What it flags
//! A gateway at a site with donors on a talk group for which the site lists no antenna.
//!
//! ## Why it matters
//! How strongly transmitters reach the receivers beside them, and how far people must stay away, follow
//! from where antennas stand. Without that the plan computes with an assumption.
//!
//! ## How it decides
//! Each donor whose frequencies are known and whose port is on a talk group is looked for among the
//! radios that the antennas of the site serve.
//!
//! ## Severity
//! Notes: something to measure and write down on the spot.
//!
//! ## Example
//! Six donors stand in the back of a truck, and the site lists one mast.
//!
//! ## Source
//! Follows from the derivation; the assumed spacing is the scenario's practice.

use std::collections::BTreeMap;

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, GatewayId, Severity};
use crate::picture::Picture;
use crate::picture::site::Set;

/// The check.
pub const CHECK: Check = Check {
    code: "I07",
    name: "antenna-not-noted",
    severity: Severity::Notes,
    text: include_str!("antenna_not_noted.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let apart_m = scenario.practice.antenna_apart_m;
    for view in picture.sites_in_question() {
        let mut by_gateway: BTreeMap<GatewayId, Vec<&Set>> = BTreeMap::new();
        for set in &view.sets {
            if set.antenna.is_none() && set.group.is_some() {
                by_gateway.entry(set.port.gateway).or_default().push(set);
            }
        }
        for (gateway, sets) in by_gateway {
            let names: Vec<String> = sets.iter().map(|s| scenario.name(s.radio.into())).collect();
            let (antennas, verb) = if sets.len() == 1 {
                ("The antenna of", "is not noted")
            } else {
                ("The antennas of", "are not noted")
            };
            let headline = format!(
                "{antennas} {} at {} {verb}; {apart_m} m to any other is taken, and a usual gain",
                say::list(&names),
                scenario.name(gateway.into())
            );
            let mut finding = CHECK.finding(Severity::Notes, gateway, headline);
            finding.related = sets.iter().map(|s| s.port.into()).collect();
            finding.related.push(view.site.into());
            finding.evidence = vec![
                Evidence::number("antennas not noted", sets.len() as f64, "antennas"),
                Evidence::number("distance taken", apart_m, "m"),
            ];
            finding.hints = vec![format!(
                "Note height, place and gain of each in {}",
                scenario.name(view.site.into())
            )];
            out.push(finding);
        }
    }
}

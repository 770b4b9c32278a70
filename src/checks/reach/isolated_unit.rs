//! A unit that neither hears nor is heard.
//!
//! ## What it flags
//! A unit with people in it whom nobody hears and who hear nobody in this phase.
//!
//! ## Why it matters
//! A crew that is out of all nets cannot call for help and is not warned to leave.
//!
//! ## How it decides
//! The derivation gives no path from the unit to anybody and none from anybody to the unit. A
//! scenario with a single party is not judged.
//!
//! ## Severity
//! Stops: a crew without any radio contact is never a plan. A unit that is not at work in this phase
//! can be accepted with that reason.
//!
//! ## Example
//! The ambulance crew of the next county holds UHF radios; every other radio and donor is VHF.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::Check;
use crate::model::{Evidence, Finding, Party, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "R02",
    name: "isolated-unit",
    severity: Severity::Stops,
    text: include_str!("isolated_unit.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    if hearing.parties().len() < 2 {
        return;
    }
    for unit in scenario.units.iter() {
        let party = Party::Unit(unit.id);
        if hearing.hears_anybody(party) || hearing.is_heard(party) {
            continue;
        }
        let radios = hearing.carried(unit.id).len();
        let headline = if radios == 0 {
            format!(
                "{} carries no radio and has no telephone or headset in circuit",
                unit.name
            )
        } else {
            format!("{} hears nobody and nobody hears it", unit.name)
        };
        let mut finding = CHECK.finding(Severity::Stops, unit.id, headline);
        finding.related = hearing
            .carried(unit.id)
            .iter()
            .map(|r| (*r).into())
            .collect();
        finding.evidence = vec![Evidence::number(
            "radios it speaks at",
            radios as f64,
            "radios",
        )];
        finding.hints =
            vec!["Put it on a channel others are on before thinking of a gateway".to_owned()];
        out.push(finding);
    }
}

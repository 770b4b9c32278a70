//! Somebody who must be heard is not.
//!
//! ## What it flags
//! A need of the plan of which at least one pair is not heard in this phase.
//!
//! ## Why it matters
//! The people who wrote the need down will count on it. On the air there is no error message: the
//! caller hears nothing and cannot tell whether the message got through.
//!
//! ## How it decides
//! For each party on the speaking side and each on the listening side of the need, and the other way
//! round when the need is two-way, the derivation must give a path. A pair heard only by a scanning
//! radio counts as heard; another check speaks about that.
//!
//! ## Severity
//! Stops for a need of life-safety or high priority, warns for a routine one: the plan does not do
//! what it says.
//!
//! ## Example
//! Need "Rescue to command": Rescue 2 is on a channel that no donor of the command post receives.
//!
//! ## Source
//! Follows from the derivation; that needs are checked pair by pair before a patch is relied on is
//! common practice, no source.

use crate::checks::Check;
use crate::model::{Evidence, Finding, Party, Priority, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "R01",
    name: "unheard-need",
    severity: Severity::Stops,
    text: include_str!("unheard_need.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    for need in resilience::to_be_heard(scenario) {
        let mut pairs = need.pairs_to_hear();
        let all = pairs.len();
        pairs.retain(|(from, to)| hearing.arrival(*from, *to).is_none());
        let Some(first) = pairs.first().copied() else {
            continue;
        };
        let name = |party: Party| scenario.name(party.into());
        let severity = match need.priority {
            Priority::LifeSafety | Priority::High => Severity::Stops,
            Priority::Routine => Severity::Warns,
        };
        let headline = if pairs.len() == 1 {
            format!(
                "{}: {} is not heard by {}",
                need.name,
                name(first.0),
                name(first.1)
            )
        } else {
            format!(
                "{}: {} of {all} pairs are not heard, {} by {} among them",
                need.name,
                pairs.len(),
                name(first.0),
                name(first.1)
            )
        };
        let mut finding = CHECK.finding(severity, need.id, headline);
        finding.related = pairs
            .iter()
            .flat_map(|(a, b)| [(*a).into(), (*b).into()])
            .collect();
        finding.related.sort_unstable();
        finding.related.dedup();
        finding.evidence = vec![
            Evidence::number("pairs not heard", pairs.len() as f64, "pairs"),
            Evidence::number("pairs of the need", all as f64, "pairs"),
        ];
        finding.hints =
            vec!["Ask why not, and for the fewest changes that would join them".to_owned()];
        finding.unheard = Some(first);
        out.push(finding);
    }
}

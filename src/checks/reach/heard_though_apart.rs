//! Somebody is heard by those who must be kept apart.
//!
//! ## What it flags
//! A need that keeps two sides apart, of which at least one pair hears each other in this phase.
//!
//! ## Why it matters
//! Tactical nets are kept apart so that each keeps its air time and nobody acts on a word that was not
//! meant for them; covert work is kept apart so that nobody is in danger. On the air nothing tells a
//! speaker who else listens.
//!
//! ## How it decides
//! For each party on one side and each on the other, both ways, the derivation must give no path. A pair
//! heard only by a scanning radio counts as heard. The path of the first such pair is named.
//!
//! ## Severity
//! Stops for a need of life-safety or high priority, warns for a routine one: the plan does not do
//! what it says.
//!
//! ## Example
//! Need "Tactical apart": Patrol 1 hears Engine 1, since both donors are on group 2.
//!
//! ## Source
//! Follows from the derivation; that tactical nets of different trades are kept apart is common practice,
//! no source.

use crate::checks::{Check, say};
use crate::hearing::{Path, StepKind};
use crate::model::{Evidence, Finding, Party, Priority, Scenario, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "R06",
    name: "heard-though-apart",
    severity: Severity::Stops,
    text: include_str!("heard_though_apart.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    for need in scenario.needs.iter() {
        let mut pairs = need.pairs_apart();
        let all = pairs.len();
        pairs.retain(|(from, to)| hearing.arrival(*from, *to).is_some());
        let Some((from, to)) = pairs.first().copied() else {
            continue;
        };
        let severity = match need.priority {
            Priority::LifeSafety | Priority::High => Severity::Stops,
            Priority::Routine => Severity::Warns,
        };
        let name = |party: Party| scenario.name(party.into());
        let passed = hearing
            .path(scenario, from, to)
            .map_or_else(Vec::new, |path| passed(&path));
        let way = by_way_of(scenario, &passed);
        let headline = match pairs.len() {
            1 => format!(
                "{}: {} hears {}{way}, and both must be kept apart",
                need.name,
                name(to),
                name(from)
            ),
            n => format!(
                "{}: {} hears {}{way}, and {n} of {all} pairs to be kept apart hear each other",
                need.name,
                name(to),
                name(from)
            ),
        };
        let mut finding = CHECK.finding(severity, need.id, headline);
        finding.related = pairs
            .iter()
            .flat_map(|(a, b)| [(*a).into(), (*b).into()])
            .chain(passed.iter().copied())
            .collect();
        finding.related.sort_unstable();
        finding.related.dedup();
        finding.evidence = vec![
            Evidence::number("pairs that hear", pairs.len() as f64, "pairs"),
            Evidence::number("pairs to be kept apart", all as f64, "pairs"),
        ];
        let steps = passed
            .iter()
            .map(|at| Evidence::thing("heard by way of", *at));
        finding.evidence.extend(steps);
        finding.hints = vec![hint(&passed)];
        out.push(finding);
    }
}

/// Lists the channels and talk groups that carry a message, in order.
fn passed(path: &Path) -> Vec<ThingId> {
    let mut passed: Vec<ThingId> = path
        .steps
        .iter()
        .filter(|step| {
            matches!(
                step.what,
                StepKind::Carries | StepKind::OnTalkGroup | StepKind::Tied | StepKind::Called
            )
        })
        .map(|step| step.at)
        .collect();
    passed.dedup();
    passed
}

fn by_way_of(scenario: &Scenario, passed: &[ThingId]) -> String {
    if passed.is_empty() {
        return String::new();
    }
    let names: Vec<String> = passed.iter().map(|at| scenario.name(*at)).collect();
    format!(" by way of {}", say::list(&names))
}

fn hint(passed: &[ThingId]) -> String {
    let is_joined = passed.iter().any(|at| matches!(at, ThingId::TalkGroup(_)));
    if is_joined {
        "Switch one of their ports to another talk group or to none, or take the need out if joining is \
         meant"
    } else {
        "Turn one side to another channel, or take the need out if sharing it is meant"
    }
    .to_owned()
}

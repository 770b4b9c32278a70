//! A need is met only because a receiver scans.
//!
//! ## What it flags
//! A need of which at least one pair is heard only by a scanning radio somewhere on the way.
//!
//! ## Why it matters
//! A scanning set hears a call only when nothing else holds it, misses the first words, and answers on
//! its selected channel, where the caller may not be.
//!
//! ## How it decides
//! The derivation prefers ways without scanning; a pair is reported when every way to its hearer has a
//! scanning radio in it.
//!
//! ## Severity
//! Notes for a need to listen only, for which scanning may do. Warns for a two-way need: a pair heard
//! by scan is one-way until proved otherwise.
//!
//! ## Example
//! The safety officer works on command and scans the tactical channel.
//!
//! ## Source
//! Follows from the derivation; "scan off" on sets that matter is common practice, no source.

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Party, Severity, Way};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "R05",
    name: "heard-only-by-scan",
    severity: Severity::Warns,
    text: include_str!("heard_only_by_scan.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    if scenario.radios.iter().all(|r| r.scans.is_empty()) {
        return;
    }
    for need in resilience::to_be_heard(scenario) {
        let mut pairs = need.pairs_to_hear();
        pairs.retain(|(from, to)| hearing.arrival(*from, *to).is_some_and(|a| a.by_scan));
        let Some((from, to)) = pairs.first().copied() else {
            continue;
        };
        let severity = match need.way {
            Way::TwoWay => Severity::Warns,
            Way::ListenOnly | Way::Apart => Severity::Notes,
        };
        let name = |party: Party| scenario.name(party.into());
        let headline = match pairs.len() {
            1 => format!(
                "{}: {} hears {} only by scanning",
                need.name,
                name(to),
                name(from)
            ),
            n => format!(
                "{}: {} hear only by scanning, {} hearing {} among them",
                need.name,
                say::count(n, "pair"),
                name(to),
                name(from)
            ),
        };
        let mut finding = CHECK.finding(severity, need.id, headline);
        finding.related = pairs
            .iter()
            .flat_map(|(a, b)| [(*a).into(), (*b).into()])
            .collect();
        finding.related.sort_unstable();
        finding.related.dedup();
        finding.evidence = vec![Evidence::number(
            "pairs heard only by scan",
            pairs.len() as f64,
            "pairs",
        )];
        finding.hints =
            vec!["Put a second radio on the channel, or move the one that scans".to_owned()];
        out.push(finding);
    }
}

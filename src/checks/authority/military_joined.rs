//! A military agency is joined with others by a gateway.
//!
//! ## What it flags
//! A talk group that carries the speech of a military agency and of another one which share no channel.
//!
//! ## Why it matters
//! Military frequencies and licensed civilian ones stand under different authorities, and each side's
//! rules may forbid what the gateway does. What is said on the one goes out on the other to listeners
//! neither side reckons with.
//!
//! ## How it decides
//! Whose speech is on a talk group follows from the derivation; military is the trade noted with the
//! agency. Talk groups that join the same agencies are told together.
//!
//! ## Severity
//! Warns: published plans forbid it unless it is cleared. Notes when an agreement lists each pair: see
//! that it covers these frequencies.
//!
//! ## Example
//! The guard's company net was put on the fire talk group for the sandbag line.
//!
//! ## Source
//! "Do not join licensed channels to military frequencies through a gateway": rule of use of a Midwest
//! regional communications guide, December 2015; that clearance lifts it is from memory.

use crate::checks::authority::agencies::{self, Pair};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, TalkGroupRef, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "A03",
    name: "military-joined",
    severity: Severity::Warns,
    text: include_str!("military_joined.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let agreed = agencies::agreed(scenario);
    let groups = agencies::joined(picture).into_iter();
    let alike = agencies::by_pairs(groups.map(|(group, mut pairs)| {
        pairs.retain(|pair| agencies::has_military(scenario, *pair));
        (group, pairs)
    }));
    for (pairs, groups) in alike {
        let open = pairs.iter().filter(|pair| !agreed.contains(pair)).count();
        out.extend(finding(picture, &pairs, open, &groups));
    }
}

fn finding(
    picture: &Picture,
    pairs: &[Pair],
    open: usize,
    groups: &[TalkGroupRef],
) -> Option<Finding> {
    let scenario = picture.scenario();
    let (first, others) = groups.split_first()?;
    let (severity, paper) = if open == 0 {
        (Severity::Notes, "by agreement")
    } else {
        (Severity::Warns, "without an agreement for each pair")
    };
    let verb = if others.is_empty() { "joins" } else { "join" };
    let names: Vec<String> = pairs
        .iter()
        .map(|pair| agencies::pair_name(scenario, *pair))
        .collect();
    let headline = format!(
        "{} {verb} military and other channels {paper}: {}",
        agencies::group_names(scenario, groups),
        say::list(&names)
    );
    let mut finding = CHECK.finding(severity, *first, headline);
    finding.related = others.iter().map(|g| ThingId::from(*g)).collect();
    let named = agencies::of_pairs(pairs).into_iter();
    finding.related.extend(named.map(ThingId::from));
    finding.evidence = vec![
        Evidence::number("pairs joined", pairs.len() as f64, "pairs"),
        Evidence::number("pairs without an agreement", open as f64, "pairs"),
    ];
    finding.hints = vec![
        "Have both frequency authorities clear it in writing, for these frequencies, or take the port off \
         the group"
            .to_owned(),
        "A liaison with a radio of the other side needs no gateway".to_owned(),
    ];
    Some(finding)
}

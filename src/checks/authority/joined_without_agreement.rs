//! A talk group joins agencies that no agreement lists together.
//!
//! ## What it flags
//! Two agencies whose speech is carried on one talk group, who share no channel, and whom no agreement
//! lists both.
//!
//! ## Why it matters
//! Each agency answers for what goes out on its channels. Without leave an owner may take the channel
//! off the patch in the middle of the incident, and is right to.
//!
//! ## How it decides
//! Whose speech is on a talk group follows from the derivation. Agencies whose people speak on one
//! channel anyway are not joined by the gateway. Talk groups that join the same agencies are told
//! together. Pairs with a military agency are left to another check. Units without an agency are not
//! judged.
//!
//! ## Severity
//! Warns: it works on the air until somebody objects. When the scenario lists no agreement at all, one
//! note for the phase says so: the papers may lie elsewhere.
//!
//! ## Example
//! The railway's crew was put on the fire talk group, and the mutual-aid paper lists fire and police
//! only.
//!
//! ## Source
//! Leave of every owner, written down, before a patch goes up: common practice, no source. In the
//! United States each transmitter needs a licence or an agreement with the licensee (47 CFR 90, from
//! memory).

use crate::checks::authority::agencies::{self, Pair};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, TalkGroupRef, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "A01",
    name: "joined-without-agreement",
    severity: Severity::Warns,
    text: include_str!("joined_without_agreement.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let agreed = agencies::agreed(scenario);
    let is_open = |pair: &Pair| !agreed.contains(pair) && !agencies::has_military(scenario, *pair);
    let groups = agencies::joined(picture).into_iter();
    let alike = agencies::by_pairs(groups.map(|(group, mut pairs)| {
        pairs.retain(is_open);
        (group, pairs)
    }));
    if scenario.agreements.is_empty() {
        let mut pairs: Vec<Pair> = alike.into_keys().flatten().collect();
        pairs.sort_unstable();
        pairs.dedup();
        out.extend(nothing_on_record(picture, &pairs));
        return;
    }
    for (pairs, groups) in alike {
        out.extend(finding(picture, &pairs, &groups));
    }
}

fn finding(picture: &Picture, pairs: &[Pair], groups: &[TalkGroupRef]) -> Option<Finding> {
    let scenario = picture.scenario();
    let (first, others) = groups.split_first()?;
    let verb = if others.is_empty() { "joins" } else { "join" };
    let group = agencies::group_names(scenario, groups);
    let headline = match pairs {
        [pair] => format!(
            "{group} {verb} {}, and no agreement lists both",
            agencies::pair_name(scenario, *pair)
        ),
        pairs => {
            let names: Vec<String> = pairs
                .iter()
                .map(|pair| agencies::pair_name(scenario, *pair))
                .collect();
            format!(
                "{group} {verb} {}, and no agreement lists such a pair",
                say::list(&names)
            )
        }
    };
    let mut finding = CHECK.finding(Severity::Warns, *first, headline);
    finding.related = others.iter().map(|g| ThingId::from(*g)).collect();
    let named = agencies::of_pairs(pairs).into_iter();
    finding.related.extend(named.map(ThingId::from));
    finding.evidence = vec![
        Evidence::number("pairs without an agreement", pairs.len() as f64, "pairs"),
        Evidence::number("talk groups", groups.len() as f64, "talk groups"),
    ];
    finding.hints = vec![
        "Ask both owners, write down who gave leave, when and until when, and note the agreement in the \
         plan"
            .to_owned(),
    ];
    Some(finding)
}

fn nothing_on_record(picture: &Picture, pairs: &[Pair]) -> Option<Finding> {
    if pairs.is_empty() {
        return None;
    }
    let scenario = picture.scenario();
    let named = agencies::of_pairs(pairs);
    let names: Vec<String> = named.iter().map(|a| scenario.name((*a).into())).collect();
    let headline = format!(
        "No agreement is on record, and talk groups join {} agencies: {}",
        named.len(),
        say::list(&names)
    );
    let mut finding = CHECK.finding(Severity::Notes, picture.phase_id(), headline);
    finding.related = named.into_iter().map(ThingId::from).collect();
    finding.evidence = vec![
        Evidence::number("agreements", 0.0, "agreements"),
        Evidence::number("pairs joined", pairs.len() as f64, "pairs"),
    ];
    finding.hints = vec![
        "Note the agreements there are; ask every owner before the patch goes up, and write down who gave \
         leave"
            .to_owned(),
    ];
    Some(finding)
}

//! A need that matters has one way and no other to turn to.
//!
//! ## What it flags
//! A need of life-safety or high priority that is met by one way, with no second way beside it and no
//! channel that everybody of the need has in hand and could turn to.
//!
//! ## Why it matters
//! When the way breaks, the people of the need have nothing that works without new programming. A plan
//! names primary, alternate, contingency and emergency; this need has the first only.
//!
//! ## How it decides
//! Ways are laid one after the other, each without anything the earlier ones use but what the speakers
//! and hearers hold themselves. Spare channels are those programmed in a radio in hand of each and
//! heard both ways. Of a need of very many pairs the first 64 are looked at. People with one radio each
//! who stand on the same channel have one way as well: the channel itself can be taken or jammed.
//!
//! ## Severity
//! Warns for life-safety: there is nobody left to tell that the way is gone. Notes for high priority.
//! Routine needs are not told.
//!
//! ## Example
//! Rescue and command are joined by a gateway, and no channel is in the radios of both.
//!
//! ## Source
//! The four ranks are common practice of emergency communications planning, from memory; the rest
//! follows from the derivation.

use crate::checks::{Check, say};
use crate::hearing::Item;
use crate::model::{Evidence, Finding, Need, Priority, Severity, ThingId};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "B04",
    name: "nothing-to-fall-back-on",
    severity: Severity::Warns,
    text: include_str!("nothing_to_fall_back_on.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    for need in resilience::to_be_heard(scenario) {
        let severity = match need.priority {
            Priority::LifeSafety => Severity::Warns,
            Priority::High => Severity::Notes,
            Priority::Routine => continue,
        };
        if !resilience::is_met(hearing, need) {
            continue;
        }
        let ways = picture.need_ways().apart(scenario, need);
        if let [way] = ways.as_slice()
            && resilience::spare_channels(picture, need).is_empty()
        {
            out.push(finding(picture, need, severity, way));
        }
    }
}

fn finding(picture: &Picture, need: &Need, severity: Severity, way: &[Item]) -> Finding {
    let scenario = picture.scenario();
    let mut things: Vec<ThingId> = way
        .iter()
        .filter_map(|item| match item {
            Item::Thing(
                thing @ (ThingId::Channel(_)
                | ThingId::Gateway(_)
                | ThingId::Tie(_)
                | ThingId::Telephone(_)),
            ) => Some(*thing),
            _ => None,
        })
        .collect();
    things.sort_unstable();
    let names: Vec<String> = things.iter().map(|t| scenario.name(*t)).collect();
    let headline = format!(
        "{} has one way, by {}, and nothing to fall back on",
        need.name,
        say::list(&names)
    );
    let mut finding = CHECK.finding(severity, need.id, headline);
    finding.evidence = vec![
        Evidence::number("ways", 1.0, "ways"),
        Evidence::number("spare channels", 0.0, "channels"),
    ];
    finding
        .evidence
        .extend(things.iter().map(|t| Evidence::thing("goes by", *t)));
    finding.related = things;
    finding.hints = vec![
        "Program a channel into the radios of both sides that they can turn to without any gateway, and \
         write it into the plan"
            .to_owned(),
        "Failing that, name a telephone, a liaison with the other side's radio, or a runner".to_owned(),
    ];
    finding
}

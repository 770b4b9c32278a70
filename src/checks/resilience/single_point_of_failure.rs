//! A need that matters hangs on one thing.
//!
//! ## What it flags
//! A need of life-safety or high priority that is met, and the things each of which would cut it alone.
//!
//! ## Why it matters
//! One flat battery, one cable pulled or one channel jammed, and the people of the need no longer hear
//! each other, without any sign of it on the air.
//!
//! ## How it decides
//! A thing is listed when no way is left without it for some pair of the need. Things are parties'
//! sets, channels, systems, gateways, their ports, cables, power and site, ties and telephones. People
//! do not fail, nor do sets that several people of a unit carry. Of a need of very many pairs the first
//! 64 are looked at. The thing least likely to work, by the figures of practice, comes first.
//!
//! ## Severity
//! Notes: whoever depends on a need should know what it hangs on, and have that tested, spare and guarded.
//! Nearly every need that crosses one gateway hangs on it; whether there is something to fall back on
//! when it breaks is what makes the difference, and is told apart. Routine needs are not told.
//!
//! ## Example
//! Rescue and command are joined by one gateway with one donor on each channel.
//!
//! ## Source
//! Follows from the derivation; that no single failure may cut life-safety traffic is common practice, no
//! source.

use crate::checks::{Check, say};
use crate::hearing::Item;
use crate::model::{Evidence, Finding, Need, Priority, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "B01",
    name: "single-point-of-failure",
    severity: Severity::Notes,
    text: include_str!("single_point_of_failure.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let singles = picture.need_ways().all_singles(scenario);
    for need in resilience::to_be_heard(scenario) {
        if need.priority == Priority::Routine {
            continue;
        }
        let Some(items) = singles.get(&need.id).filter(|items| !items.is_empty()) else {
            continue;
        };
        if resilience::is_met(picture.hearing(), need) {
            out.push(finding(picture, need, items));
        }
    }
}

fn finding(picture: &Picture, need: &Need, items: &[Item]) -> Finding {
    let scenario = picture.scenario();
    let works = |item: &Item| resilience::availability(scenario, *item);
    let mut items = items.to_vec();
    items.sort_by(|a, b| works(a).total_cmp(&works(b)).then_with(|| a.cmp(b)));
    let names: Vec<String> = items.iter().map(|item| item.name(scenario)).collect();
    let headline = match names.as_slice() {
        [one] => format!("{} hangs on {one} alone", need.name),
        many => format!(
            "{} hangs on each of {} things alone: {}",
            need.name,
            many.len(),
            say::list(many)
        ),
    };
    let mut finding = CHECK.finding(Severity::Notes, need.id, headline);
    finding.related = items.iter().map(|item| item.thing()).collect();
    finding.related.sort_unstable();
    finding.related.dedup();
    finding.evidence = vec![Evidence::number(
        "things that cut it alone",
        items.len() as f64,
        "things",
    )];
    finding.evidence.extend(items.iter().map(|item| {
        let quantity = match item {
            Item::Thing(_) => "cuts it",
            Item::CableAt(_) => "the cable cuts it at",
            Item::PowerOf(_) => "the power cuts it of",
        };
        Evidence::thing(quantity, item.thing())
    }));
    let spare: Vec<String> = resilience::spare_channels(picture, need)
        .into_iter()
        .map(|channel| scenario.name(channel.into()))
        .collect();
    finding.hints = if spare.is_empty() {
        let without = if items.len() == 1 {
            "it"
        } else {
            "any of them"
        };
        vec![format!(
            "Lay a second way that does without {without}: by another channel, gateway, power or site"
        )]
    } else {
        vec![format!(
            "Agree on {} to fall back on: everybody of the need has it in hand",
            say::list(&spare)
        )]
    };
    let pairs = need.pairs_to_hear().len();
    if pairs > resilience::MOST_PAIRS {
        finding.hints.push(format!(
            "Of its {pairs} pairs the first {} were looked at",
            resilience::MOST_PAIRS
        ));
    }
    finding
}

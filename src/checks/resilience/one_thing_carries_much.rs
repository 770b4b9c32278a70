//! One thing cuts half of what the plan is for.
//!
//! ## What it flags
//! A thing that alone cuts at least half of the needs that are met, and at least three of them.
//!
//! ## Why it matters
//! When it fails, the incident loses not one link but its net, at once, and the same person is asked by
//! everybody to mend it.
//!
//! ## How it decides
//! The things that each cut a need alone are counted over all needs that are met, whatever their
//! priority. Things that cut the same needs, such as a gateway, its power and its site, are told
//! together, the one least likely to work first.
//!
//! ## Severity
//! Warns: everything works until that one thing fails.
//!
//! ## Example
//! One gateway at the command post carries five of the six needs.
//!
//! ## Source
//! Follows from the derivation; the share of one half and the number of three are common practice, no
//! source.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::{Check, say};
use crate::hearing::Item;
use crate::model::{Evidence, Finding, NeedId, Severity, ThingId};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "B02",
    name: "one-thing-carries-much",
    severity: Severity::Warns,
    text: include_str!("one_thing_carries_much.rs"),
    run,
};

/// Fewest needs that are much.
const FEWEST: usize = 3;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let met: BTreeSet<NeedId> = resilience::to_be_heard(scenario)
        .filter(|n| !n.pairs_to_hear().is_empty() && resilience::is_met(hearing, n))
        .map(|n| n.id)
        .collect();
    if met.len() < FEWEST {
        return;
    }
    let singles = picture.need_ways().all_singles(scenario);
    let of_met = singles
        .iter()
        .filter(|(need, _)| met.contains(need))
        .map(|(need, items)| (*need, items.as_slice()));
    let mut alike: BTreeMap<Vec<NeedId>, Vec<Item>> = BTreeMap::new();
    for (item, needs) in resilience::worst(of_met) {
        if needs.len() < FEWEST || 2 * needs.len() < met.len() {
            break;
        }
        alike.entry(needs).or_default().push(item);
    }
    for (needs, mut items) in alike {
        let works = |item: &Item| resilience::availability(scenario, *item);
        items.sort_by(|a, b| works(a).total_cmp(&works(b)).then_with(|| a.cmp(b)));
        let Some(first) = items.first() else { continue };
        let names: Vec<String> = items.iter().map(|item| item.name(scenario)).collect();
        let each = if items.len() == 1 { "" } else { "each of " };
        let headline = format!(
            "{} of the {} needs that are met hang on {each}{} alone",
            needs.len(),
            met.len(),
            say::list(&names)
        );
        let mut finding = CHECK.finding(Severity::Warns, first.thing(), headline);
        let things: BTreeSet<ThingId> = items.iter().map(|item| item.thing()).collect();
        finding.related = things.into_iter().filter(|t| *t != first.thing()).collect();
        finding
            .related
            .extend(needs.iter().map(|n| ThingId::from(*n)));
        finding.evidence = vec![
            Evidence::number("needs cut", needs.len() as f64, "needs"),
            Evidence::number("needs met", met.len() as f64, "needs"),
            Evidence::number("things that cut them", items.len() as f64, "things"),
        ];
        finding.hints = vec![
            "Carry some of the needs by another gateway, channel or site, or keep a spare beside it and \
             write down who puts it in"
                .to_owned(),
        ];
        out.push(finding);
    }
}

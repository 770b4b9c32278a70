//! A life-safety need is met today and has too small a chance of staying so.
//!
//! ## What it flags
//! A need of life-safety priority that is met, whose probability of being met is below the figure of
//! practice.
//!
//! ## Why it matters
//! Each link of a long chain is good; the chain of fifteen is not. Those who count on it find out when
//! they call.
//!
//! ## How it decides
//! Every item on the ways of the need works with the chance noted for it or the figure of practice for
//! its kind, each by itself; the probability that all pairs have a way is exact where that can be
//! worked out, and estimated with its standard error otherwise. Chances are compared to a tenth of a
//! percent. A need whose one best way is probable enough is passed over. Of a need of very many pairs
//! the first 64 are looked at. No more than 100 needs are worked out; in a larger plan a note says how
//! many were not.
//!
//! ## Severity
//! Warns: it works, by luck. Notes for what was not worked out.
//!
//! ## Example
//! Rescue reaches the hospital through two gateways, a tie and a cellular telephone, all of which must
//! work.
//!
//! ## Source
//! Textbook reliability, from memory; the chances are planning figures without a source, and things
//! that fail together are counted as if they did not.

use crate::checks::{Check, say};
use crate::hearing::Item;
use crate::model::{Evidence, Finding, Need, Priority, Severity, ThingId};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "B03",
    name: "unlikely-to-be-met",
    severity: Severity::Warns,
    text: include_str!("unlikely_to_be_met.rs"),
    run,
};

/// Most needs whose chance is worked out.
const MOST: usize = 100;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let least = scenario.practice.need_met_least;
    let mut worked_out = 0;
    let mut left: Vec<&Need> = Vec::new();
    for need in resilience::to_be_heard(scenario) {
        if need.priority != Priority::LifeSafety || !resilience::is_met(hearing, need) {
            continue;
        }
        let ways = picture.need_ways().apart(scenario, need);
        let works = |item: &Item| resilience::availability(scenario, *item);
        let best: f64 = match ways.first() {
            Some(way) => way.iter().map(works).product(),
            None => continue,
        };
        if best >= least {
            continue;
        }
        if worked_out == MOST {
            left.push(need);
            continue;
        }
        worked_out += 1;
        out.extend(finding(picture, need, least));
    }
    out.extend(not_worked_out(&left));
}

fn finding(picture: &Picture, need: &Need, least: f64) -> Option<Finding> {
    let scenario = picture.scenario();
    let chance = picture.need_ways().chance(scenario, need)?;
    let percent = |share: f64| say::tenths(share * 100.0);
    if percent(chance.value) >= percent(least) {
        return None;
    }
    let error = chance.error.map_or_else(String::new, |error| {
        format!(" (standard error {:.1} %)", error * 100.0)
    });
    let headline = format!(
        "{} is met with a chance of {:.1} %{error}, and life-safety asks for {:.1} %",
        need.name,
        chance.value * 100.0,
        least * 100.0
    );
    let mut finding = CHECK.finding(Severity::Warns, need.id, headline);
    finding.evidence = vec![
        Evidence::number("chance of being met", percent(chance.value), "%"),
        Evidence::number("least chance", percent(least), "%"),
    ];
    if let Some(error) = chance.error {
        let error = Evidence::number("standard error", say::hundredths(error * 100.0), "%");
        finding.evidence.push(error);
    }
    let singles = picture.need_ways().all_singles(scenario);
    let works = |item: &Item| resilience::availability(scenario, *item);
    let weakest = singles.get(&need.id).and_then(|items| {
        let weakest = items.iter().min_by(|a, b| works(a).total_cmp(&works(b)));
        weakest.copied()
    });
    if let Some(weakest) = weakest {
        finding.hints.push(format!(
            "The weakest on every way is {}, which works with {:.1} %: another beside it would help most",
            weakest.name(scenario),
            works(&weakest) * 100.0
        ));
    }
    finding.hints.push(
        "Note the chance of things somebody knows better than the figures of practice".to_owned(),
    );
    Some(finding)
}

fn not_worked_out(left: &[&Need]) -> Option<Finding> {
    let first = left.first()?;
    let headline = format!(
        "The chance of {} is not worked out, {} among them",
        say::count(left.len(), "life-safety need"),
        first.name
    );
    let mut finding = CHECK.finding(Severity::Notes, first.id, headline);
    finding.related = left.iter().skip(1).map(|n| ThingId::from(n.id)).collect();
    finding.evidence = vec![Evidence::number(
        "needs not worked out",
        left.len() as f64,
        "needs",
    )];
    finding.hints = vec!["Ask for what breaks each of them, one at a time".to_owned()];
    Some(finding)
}

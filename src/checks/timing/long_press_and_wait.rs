//! A pair of a need takes more than a second between pressing and speaking.
//!
//! ## What it flags
//! A need of which a heard pair opens more than a second after the key is pressed, all hops together.
//!
//! ## Why it matters
//! People press and speak. What they say while the hops open one after the other is lost, and it is
//! always the start: who is called.
//!
//! ## How it decides
//! Each hop adds the time its transmitter or system comes up and its receiver opens, a tone or code
//! included, less what the port before it holds back. The longest sum along the path is the wait. A need
//! with very many different pairs is judged by its first ones.
//!
//! ## Severity
//! Notes: told to the users, it costs nothing but the habit. A port that clips by itself is told of as
//! that.
//!
//! ## Example
//! A tone-coded repeater, a trunked system and another tone-coded channel one after the other: 1200 ms.
//!
//! ## Source
//! Arithmetic of hops that open one after the other, with the figures of practice. That users are
//! trained to press, pause and speak, and that a second is more than they do by themselves: common
//! practice, no source.

use std::collections::BTreeMap;

use super::need_pairs::{self, Alike};
use crate::checks::Check;
use crate::engineering::timing::press_and_wait;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "T09",
    name: "long-press-and-wait",
    severity: Severity::Notes,
    text: include_str!("long_press_and_wait.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let alike = Alike::of(picture);
    let mut known: BTreeMap<(usize, usize), u32> = BTreeMap::new();
    for need in resilience::to_be_heard(scenario) {
        let mut pairs = need_pairs::heard(picture, need);
        alike.distinct(&mut pairs);
        let waits = pairs.into_iter().filter_map(|(from, to, _)| {
            let wait_ms = *known.entry(alike.key(from, to)?).or_insert_with(|| {
                need_pairs::walk(picture, from, to).map_or(0, |t| t.press_and_wait_ms)
            });
            (f64::from(wait_ms) > scenario.practice.pause_ms).then_some((wait_ms, from, to))
        });
        let long: Vec<_> = waits.collect();
        let Some((wait_ms, from, to)) = long.iter().rev().max_by_key(|(ms, _, _)| *ms) else {
            continue;
        };
        let (speaker, hearer) = (scenario.name((*from).into()), scenario.name((*to).into()));
        let headline = format!(
            "{}: speech of {speaker} within {wait_ms} ms of pressing may not reach {hearer}",
            need.name
        );
        let mut finding = CHECK.finding(Severity::Notes, need.id, headline);
        finding.related = vec![(*from).into(), (*to).into()];
        let tenths = press_and_wait::tenths(*wait_ms);
        finding.evidence = vec![
            Evidence::number("wait after pressing", (*wait_ms).into(), "ms"),
            Evidence::number("wait to be told", tenths.into(), "tenths of a second"),
        ];
        finding.hints = vec![format!(
            "Tell {speaker}: press, wait {tenths} tenths of a second, then speak"
        )];
        out.push(finding);
    }
}

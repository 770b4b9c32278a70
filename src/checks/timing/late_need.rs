//! Somebody hears later than a need of the plan accepts.
//!
//! ## What it flags
//! A need with a longest delay of its own of which at least one pair is heard later than that.
//!
//! ## Why it matters
//! The limit was written down because something hangs on it: a countdown, a stop call, a hand on a
//! rope. A late "stop" arrives when the load has moved; two who answer each other late begin to talk
//! at once.
//!
//! ## How it decides
//! The delays of everything a message passes, from mouth to ear once access is granted, are added up for
//! each pair of the need and set against the need's own limit.
//!
//! ## Severity
//! Stops for a need of life-safety or high priority, warns for a routine one: the plan does not do what
//! it says, and whoever acts on the late word is the one hurt.
//!
//! ## Example
//! "Crane to rigger" accepts 300 ms; by way of a satellite group it takes 640 ms.
//!
//! ## Source
//! The need's own limit; that delays along a path add is arithmetic.

use super::need_pairs;
use crate::checks::Check;
use crate::model::{Evidence, Finding, Priority, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "T02",
    name: "late-need",
    severity: Severity::Stops,
    text: include_str!("late_need.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for need in resilience::to_be_heard(picture.scenario()) {
        let Some(limit_ms) = need.max_delay_ms else {
            continue;
        };
        let Some(late) = need_pairs::later_than(picture, need, limit_ms) else {
            continue;
        };
        let severity = match need.priority {
            Priority::LifeSafety | Priority::High => Severity::Stops,
            Priority::Routine => Severity::Warns,
        };
        let words = late.words(picture, need);
        let headline = format!("{words}, and the need accepts {limit_ms} ms");
        let mut finding = CHECK.finding(severity, need.id, headline);
        finding.evidence = vec![
            Evidence::number("delay", late.delay_ms.into(), "ms"),
            Evidence::number("longest delay accepted", limit_ms.into(), "ms"),
        ];
        late.tell(&mut finding, picture);
        out.push(finding);
    }
}

//! Somebody hears later than network planning should allow, and the need sets no limit of its own.
//!
//! ## What it flags
//! A need without a longest delay of which at least one pair is heard more than 400 ms late.
//!
//! ## Why it matters
//! Beyond that, people cannot tell a slow answer from none. They repeat themselves into the answer, or
//! step on each other, and on half-duplex radio both messages are lost.
//!
//! ## How it decides
//! The delays of everything a message passes are added up, mouth to ear, and classed by the bounds of
//! ITU-T G.114.
//!
//! ## Severity
//! Warns: it works with discipline. Half-duplex talk forgives more than a telephone call, and two
//! satellite hops are the usual accepted exception.
//!
//! ## Example
//! A satellite group joined to a satellite telephone: 620 ms from Engine 9 to the hospital.
//!
//! ## Source
//! ITU-T G.114 (05/2003), upper bound for network planning; from memory.

use super::need_pairs;
use crate::checks::Check;
use crate::engineering::timing::delay_class::NOTICEABLE_UP_TO_MS;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "T03",
    name: "late-path",
    severity: Severity::Warns,
    text: include_str!("late_path.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let limit_ms = NOTICEABLE_UP_TO_MS as u32;
    for need in resilience::to_be_heard(picture.scenario()) {
        if need.max_delay_ms.is_some() {
            continue;
        }
        let Some(late) = need_pairs::later_than(picture, need, limit_ms) else {
            continue;
        };
        let words = late.words(picture, need);
        let headline = format!("{words}, and planning should stay within {limit_ms} ms");
        let mut finding = CHECK.finding(Severity::Warns, need.id, headline);
        finding.evidence = vec![
            Evidence::number("delay", late.delay_ms.into(), "ms"),
            Evidence::number("bound of ITU-T G.114", limit_ms.into(), "ms"),
        ];
        late.tell(&mut finding, picture);
        finding.hints.push(
            "If it must be so, note the longest delay this need accepts, and brief both sides to \
             wait for the answer"
                .to_owned(),
        );
        out.push(finding);
    }
}

//! Donors transmit for more of the time than such a set is made for.
//!
//! ## What it flags
//! A gateway with donors whose share of transmitting is above what practice says a portable stands, or,
//! for sets on their own battery that last the phase all the same or whose hours are not known, above
//! the share that a battery's stated life assumes.
//!
//! ## Why it matters
//! A portable that transmits most of the time gets hot and folds back its power. The far units hear it
//! fade in the middle of the busiest hour, and the set may shut down.
//!
//! ## How it decides
//! The load of everything a donor sends, which is all speech of the other legs, is the share of time it
//! transmits.
//!
//! ## Severity
//! Warns above what a portable stands, whether the set has power from outside or not: that does not cool
//! it. Notes above the label's share only, since then the stated hours are not to be counted on. A set
//! built for continuous use stands more: accept the finding with its name.
//!
//! ## Example
//! On a talk group with 0.5 erlang each of the three portables transmits a third of the time.
//!
//! ## Source
//! One minute in five: TIA-603 intermittent duty, from memory. That portables fold back at high duty:
//! common practice, no source. The label's share, 5-5-90: a portable's safety text.

use super::in_use;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;
use crate::picture::power::DonorPower;

/// The check.
pub const CHECK: Check = Check {
    code: "W05",
    name: "donor-over-duty",
    severity: Severity::Warns,
    text: include_str!("donor_over_duty.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let practice = &scenario.practice;
    let phase_h = picture.power().phase_h;
    for (gateway, donors) in in_use::donors(picture) {
        let above = |share: f64| donors.iter().filter(move |d| d.shares.transmit > share);
        let hot: Vec<&DonorPower> = above(practice.duty_most).collect();
        // One that runs dry is told of as that.
        let beyond_label: Vec<&DonorPower> = above(practice.label_transmit_share)
            .filter(|donor| !donor.is_supplied && donor.own_h.is_none_or(|h| h >= phase_h))
            .collect();
        let (severity, told, share, limit) = if hot.is_empty() {
            let words = "a stated battery life assumes";
            (
                Severity::Notes,
                beyond_label,
                practice.label_transmit_share,
                words,
            )
        } else {
            (
                Severity::Warns,
                hot,
                practice.duty_most,
                "a portable stands",
            )
        };
        let most = told
            .iter()
            .rev()
            .max_by(|a, b| a.shares.transmit.total_cmp(&b.shares.transmit));
        let Some(most) = most else { continue };
        let radio = scenario.name(most.radio.into());
        let (found, allowed) = (say::percent(most.shares.transmit), say::percent(share));
        let headline = if told.len() == 1 {
            format!(
                "{radio} at {} transmits {found} % of the time, and {limit} {allowed} %",
                scenario.name(most.port.into())
            )
        } else {
            format!(
                "{} donors of {} transmit more of the time than the {allowed} % that {limit}, \
                 {radio} most with {found} %",
                told.len(),
                scenario.name(gateway.into())
            )
        };
        let mut finding = CHECK.finding(severity, gateway, headline);
        finding.related = told.iter().map(|donor| donor.port.into()).collect();
        finding.evidence = vec![
            Evidence::number("donors above the share", told.len() as f64, "radios"),
            Evidence::number("largest share of transmitting", found, "%"),
            Evidence::number("share allowed", allowed, "%"),
        ];
        if severity == Severity::Warns {
            finding.hints = vec![
                "Use sets made for continuous transmitting, or the lowest power that reaches, and \
                 leave air around them"
                    .to_owned(),
                "Or split the talk group, so that each donor sends for fewer legs".to_owned(),
            ];
        } else {
            finding.hints =
                vec!["Do not count on the hours of the label: a donor sends for others".to_owned()];
        }
        out.push(finding);
    }
}

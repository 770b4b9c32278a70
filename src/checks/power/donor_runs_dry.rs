//! Donors stop before the phase is over, since they run on their own batteries.
//!
//! ## What it flags
//! A gateway with a donor that has no power from outside and whose own battery lasts for less than the
//! phase at the duty the join gives it.
//!
//! ## Why it matters
//! A donor transmits for everybody else, so it lasts for a fraction of a shift and not for the shift its
//! label speaks of. When it stops its leg goes silent, and nobody is told.
//!
//! ## How it decides
//! The share of time the donor transmits and receives follows from the loads; with the currents of the
//! set, or those of practice where none are noted, it gives hours. They are set against the phase, and
//! beside them stand the hours at the duty of the label. Donors of one gateway are told together, since
//! whoever stands there carries the batteries.
//!
//! ## Severity
//! Warns: spare batteries and a watch cure it.
//!
//! ## Example
//! A portable with 2000 mAh transmits 40 % of the time: 3 h instead of the 14 h of its label.
//!
//! ## Source
//! Arithmetic over the loads. The label's duty, 5-5-90: a portable's safety text. The usual currents: a
//! worked example; note the set's own.

use super::in_use;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;
use crate::picture::power::DonorPower;

/// The check.
pub const CHECK: Check = Check {
    code: "W02",
    name: "donor-runs-dry",
    severity: Severity::Warns,
    text: include_str!("donor_runs_dry.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (scenario, phase_h) = (picture.scenario(), picture.power().phase_h);
    for (gateway, donors) in in_use::donors(picture) {
        let mut dry: Vec<(f64, &DonorPower)> = donors
            .iter()
            .filter(|donor| !donor.is_supplied)
            .filter_map(|donor| Some((donor.own_h.filter(|h| *h < phase_h)?, donor)))
            .collect();
        dry.sort_by(|a, b| a.0.total_cmp(&b.0));
        let Some((own_h, first)) = dry.first().copied() else {
            continue;
        };
        let radio = scenario.name(first.radio.into());
        let (hours, phase) = (say::tenths(own_h), say::tenths(phase_h));
        let headline = if dry.len() == 1 {
            format!(
                "{radio} at {} runs {hours} h on its own battery, and the phase lasts {phase} h",
                scenario.name(first.port.into())
            )
        } else {
            format!(
                "{} donors of {} run dry within the {phase} h of the phase, {radio} first, after \
                 {hours} h",
                dry.len(),
                scenario.name(gateway.into())
            )
        };
        let mut finding = CHECK.finding(Severity::Warns, gateway, headline);
        finding.related = dry.iter().map(|(_, donor)| donor.port.into()).collect();
        let share = say::percent(first.shares.transmit);
        finding.evidence = vec![
            Evidence::number("donors that run dry", dry.len() as f64, "radios"),
            Evidence::number("hours of the first", hours, "h"),
            Evidence::number("hours of the phase", phase, "h"),
            Evidence::number("share of time it transmits", share, "%"),
            Evidence::number("mean current", first.average_ma.round(), "mA"),
        ];
        if let Some(label_h) = first.label_h {
            finding.evidence.push(Evidence::number(
                "hours at the duty of its label",
                say::tenths(label_h),
                "h",
            ));
        }
        // Where one of them is past counting, no sum would be true.
        let sum: Option<u32> = dry.iter().map(|(_, donor)| donor.batteries).sum();
        if let Some(batteries) = sum {
            finding.evidence.push(Evidence::number(
                "batteries to carry",
                batteries.into(),
                "batteries",
            ));
            finding.hints.push(format!(
                "Carry {batteries} charged batteries, those in the sets counted; change that of \
                 {radio} after {}",
                in_use::times(&first.changes_h)
            ));
        }
        finding
            .hints
            .push("Or give the donors power from outside, as their maker allows".to_owned());
        if dry.iter().any(|(_, donor)| donor.assumed) {
            finding
                .hints
                .push("Note what the sets draw: usual currents were taken".to_owned());
        }
        out.push(finding);
    }
}

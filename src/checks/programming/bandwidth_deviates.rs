//! A radio has a channel at another bandwidth than the channel has.
//!
//! ## What it flags
//! An entry whose bandwidth differs from the channel's definition.
//!
//! ## Why it matters
//! A wide signal in a narrow receiver is loud and distorted, and spills into the neighbours; a narrow
//! one in a wide receiver is 6 dB quieter than the rest. Through a gateway the difference is passed on
//! to everybody.
//!
//! ## How it decides
//! The entry is compared with the definition.
//!
//! ## Severity
//! Warns: speech gets through, badly. Notes when the two are within a quarter of each other, such as
//! 11.25 and 12.5 kHz: they stand for the same deviation.
//!
//! ## Example
//! An old set has the fire net at 25 kHz; the channel is 12.5 kHz wide.
//!
//! ## Source
//! The level follows from the ratio of peak deviations, 20 log (5 kHz / 2.5 kHz) = 6 dB; deviations
//! of wide and narrow channels from 47 CFR 90.209 (from memory).

use crate::checks::Check;
use crate::checks::programming::deviation::{self, Aspect};
use crate::model::{Carrier, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P04",
    name: "bandwidth-deviates",
    severity: Severity::Warns,
    text: include_str!("bandwidth_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for deviant in deviation::deviants(picture, Aspect::Bandwidth) {
        let (Carrier::Conventional(defined), Carrier::Conventional(found)) =
            (&deviant.defined.carrier, &deviant.found.carrier)
        else {
            continue;
        };
        let khz = |hertz: u32| f64::from(hertz) / 1000.0;
        let (found, defined) = (khz(found.bandwidth_hz), khz(defined.bandwidth_hz));
        let is_alike = (0.75..=1.25).contains(&(found / defined));
        let what = format!("is {found} kHz wide instead of {defined} kHz");
        let mut finding = deviant.finding(&CHECK, deviant.severity(is_alike), &what);
        finding.evidence = vec![
            Evidence::number("bandwidth", found, "kHz"),
            Evidence::number("bandwidth as defined", defined, "kHz"),
        ];
        out.push(finding);
    }
}

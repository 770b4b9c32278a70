//! A radio has a trunked or satellite channel under another group number.
//!
//! ## What it flags
//! An entry whose group number differs from the channel's definition.
//!
//! ## Why it matters
//! The system grants a talk path and everything sounds right to the speaker, but another group, or
//! nobody, is listening.
//!
//! ## How it decides
//! The entry is compared with the definition.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use and others on the channel have another number.
//! Warns otherwise.
//!
//! ## Example
//! The relief team's set has RESCUE 4 as group 1041; the channel is group 1014.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::Check;
use crate::checks::programming::deviation::{self, Aspect};
use crate::model::{Carrier, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P05",
    name: "group-deviates",
    severity: Severity::Stops,
    text: include_str!("group_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for deviant in deviation::deviants(picture, Aspect::Group) {
        let (Carrier::Grouped { group: defined, .. }, Carrier::Grouped { group: found, .. }) =
            (&deviant.defined.carrier, &deviant.found.carrier)
        else {
            continue;
        };
        let what = format!("is group {found} instead of {defined}");
        let mut finding = deviant.finding(&CHECK, deviant.severity(false), &what);
        finding.evidence = vec![
            Evidence::number("group", f64::from(*found), ""),
            Evidence::number("group as defined", f64::from(*defined), ""),
        ];
        out.push(finding);
    }
}

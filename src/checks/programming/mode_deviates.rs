//! A radio has a channel in another mode than the channel is in.
//!
//! ## What it flags
//! An entry whose modulation differs from the channel's definition.
//!
//! ## Why it matters
//! A digital signal on an analogue receiver is a buzz, or silence behind a tone; an analogue signal on
//! a digital receiver is nothing at all.
//!
//! ## How it decides
//! The entry is compared with the definition. A radio with this difference and no other is then set
//! against one programmed as defined, by the rules of the air; a mixed-mode receiver takes analogue FM
//! beside its digital mode.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use, the difference makes it mute or deaf, and
//! others on the channel, or its repeater, are programmed otherwise. Warns otherwise.
//!
//! ## Example
//! A spare set has the P25 command channel as analogue FM.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::Check;
use crate::checks::programming::deviation::{self, Aspect};
use crate::model::{Carrier, Evidence, Finding, Mode, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P03",
    name: "mode-deviates",
    severity: Severity::Stops,
    text: include_str!("mode_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for deviant in deviation::deviants(picture, Aspect::Mode) {
        let (found, defined) = (mode(&deviant.found.carrier), mode(&deviant.defined.carrier));
        let what = format!("is in {found} instead of {defined}");
        let mut finding = deviant.finding(&CHECK, deviant.severity(false), &what);
        finding.evidence = vec![
            Evidence::text("mode", found),
            Evidence::text("mode as defined", defined),
        ];
        out.push(finding);
    }
}

fn mode(carrier: &Carrier) -> Mode {
    match carrier {
        Carrier::Conventional(c) => c.mode,
        Carrier::Grouped { mode, .. } => *mode,
    }
}

//! A donor's channel has not been verified on the set.
//!
//! ## What it flags
//! A radio at a port whose selected channel has facts that are assumed: frequency, access code, mode or
//! encryption.
//!
//! ## Why it matters
//! A donor works for everybody on its net at once, and cannot be talked at once its cable is in.
//! Whatever is wrong in it is wrong for a whole agency.
//!
//! ## How it decides
//! The entry lists who verified which fact and when; what is not listed is assumed. An access code is
//! asked for on conventional channels other than AM, encryption on protected ones.
//!
//! ## Severity
//! Notes: these are the lines of the pre-check at the box.
//!
//! ## Example
//! Donor 3 came from another county; nobody has looked at its NAC.
//!
//! ## Source
//! Pre-checks before a patch goes up: common practice, no source.

use crate::checks::Check;
use crate::checks::programming::assumed::assumed;
use crate::model::{Evidence, Fact, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P12",
    name: "unverified-donor",
    severity: Severity::Notes,
    text: include_str!("unverified_donor.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for donor in picture.donors_in_question() {
        let Some(tuned) = donor.tuned else { continue };
        let facts: Vec<Fact> = assumed(tuned).collect();
        if facts.is_empty() {
            continue;
        }
        let words: Vec<&str> = facts.iter().map(|f| f.word()).collect();
        let headline = format!(
            "{} at {}: {} of {} not verified",
            donor.radio.name,
            picture.scenario().name(donor.port.into()),
            words.join(", "),
            tuned.channel.name
        );
        let mut finding = CHECK.finding(Severity::Notes, donor.radio.id, headline);
        finding.related = vec![donor.port.into(), tuned.channel.id.into()];
        finding.evidence = facts
            .iter()
            .map(|fact| Evidence::text("assumed", fact.word()))
            .collect();
        finding.hints = vec![
            "Verify with the owner before the cable goes in, and write down who and when"
                .to_owned(),
        ];
        out.push(finding);
    }
}

//! A telephone that answers by itself is on a talk group with radios.
//!
//! ## What it flags
//! A telephone that answers without anybody touching it, on a talk group that also has donors.
//!
//! ## Why it matters
//! Whatever calls it is on the air at once: a voice mail greeting, music on hold, a wrong number. It
//! holds the port open, keys every donor of the group and nobody on the radios can hang up.
//!
//! ## How it decides
//! The note that the telephone answers by itself and the donors on the same talk group are read.
//!
//! ## Severity
//! Notes: it may be meant, and it works as long as only the right people call.
//!
//! ## Example
//! A telephone in the van answers every call into the command group.
//!
//! ## Source
//! A hung port by music on hold or voice mail is common practice, no source.

use crate::checks::field::telephones;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "F06",
    name: "answers-itself",
    severity: Severity::Notes,
    text: include_str!("answers_itself.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for (port, group, telephone) in telephones::switched(picture) {
        if !telephone.answers_itself {
            continue;
        }
        let donors = picture.hearing().sendings(group).len();
        if donors == 0 {
            continue;
        }
        let headline = format!(
            "{} answers by itself on {}, and any call then keys {}",
            telephone.name,
            scenario.name(group.into()),
            say::count(donors, "donor")
        );
        let mut finding = CHECK.finding(Severity::Notes, telephone.id, headline);
        finding.related = vec![port.into(), group.into()];
        finding.evidence = vec![Evidence::number("donors keyed", donors as f64, "radios")];
        finding.hints = vec![
            "Let a person answer and switch the port to the group, or see that the number is given out to \
             nobody else; never leave a held call in a patch"
                .to_owned(),
            "Know where the port's time-out is and who can take it off the group".to_owned(),
        ];
        out.push(finding);
    }
}

//! A telephone is on a talk group and nobody is at its far end.
//!
//! ## What it flags
//! A telephone whose port is on a talk group, that no unit holds, for which nobody is named at the far
//! end, and that does not answer by itself.
//!
//! ## Why it matters
//! The line rings into the group, or is dead. Whoever believes the hospital or the command centre is
//! listening speaks to nobody.
//!
//! ## How it decides
//! The port, the holder, the words for the far end and the note that it answers by itself are read.
//!
//! ## Severity
//! Warns: the port is there and reaches nobody.
//!
//! ## Example
//! A cellular telephone was put on the medical group before anybody had asked the hospital for a
//! number.
//!
//! ## Source
//! Common practice, no source.

use crate::checks::Check;
use crate::checks::field::telephones;
use crate::model::{Edit, Evidence, Finding, Fix, Grade, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "F02",
    name: "telephone-unanswered",
    severity: Severity::Warns,
    text: include_str!("telephone_unanswered.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for (port, group, telephone) in telephones::switched(picture) {
        let is_answered = telephone.held_by.is_some()
            || telephone.answers_itself
            || !telephone.far_end.trim().is_empty();
        if is_answered {
            continue;
        }
        let headline = format!(
            "{} is on {}, and nobody is at its far end",
            telephone.name,
            scenario.name(group.into())
        );
        let mut finding = CHECK.finding(Severity::Warns, telephone.id, headline);
        finding.related = vec![port.into(), group.into()];
        finding.evidence = vec![
            Evidence::thing("on", group),
            Evidence::text("answers by itself", "no"),
        ];
        finding.hints = vec![
            "Call, name who answers and the number in the plan, and only then switch it to the group"
                .to_owned(),
        ];
        finding.fixes = vec![Fix {
            title: format!("Switch {} to none", scenario.name(port.into())),
            grade: Grade::Ask,
            edits: vec![Edit::Switch {
                phase: picture.phase_id(),
                port,
                group: None,
            }],
        }];
        out.push(finding);
    }
}

//! A radio is carried by a unit and cabled to a port at once.
//!
//! ## What it flags
//! A donor that a unit holds.
//!
//! ## Why it matters
//! A donor's own loudspeaker and microphone are dead while its cable is in. The unit counts on a radio
//! that is not in its hands.
//!
//! ## How it decides
//! The phase has the radio at a port, and the radio is held by a unit.
//!
//! ## Severity
//! Stops when the unit has no other radio, telephone or headset in this phase. Warns otherwise.
//!
//! ## Example
//! The chief's own portable was lent to the gateway, and the chief is still planned on it.
//!
//! ## Source
//! That a cabled radio is dead to its holder is common practice, no source.

use crate::checks::Check;
use crate::model::{Attachment, Edit, Evidence, Finding, Fix, Grade, Party, Severity, UnitId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "S04",
    name: "radio-booked-twice",
    severity: Severity::Stops,
    text: include_str!("radio_booked_twice.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for donor in picture.donors() {
        let Some(unit) = donor.radio.held_by else {
            continue;
        };
        let others = picture.hearing().carried(unit).len();
        let is_cut_off = others == 0 && !has_line(picture, unit);
        let severity = if is_cut_off {
            Severity::Stops
        } else {
            Severity::Warns
        };
        let headline = format!(
            "{} is at {} and is also carried by {}{}",
            donor.radio.name,
            scenario.name(donor.port.into()),
            scenario.name(unit.into()),
            if is_cut_off {
                ", which has no other"
            } else {
                ""
            }
        );
        let mut finding = CHECK.finding(severity, donor.radio.id, headline);
        finding.related = vec![unit.into(), donor.port.into()];
        finding.evidence = vec![Evidence::number(
            "other radios of the unit",
            others as f64,
            "radios",
        )];
        finding.hints = vec!["Take a radio of the pool as donor".to_owned()];
        finding.fixes = vec![
            Fix {
                title: format!("Put {} into the pool", donor.radio.name),
                grade: Grade::Ask,
                edits: vec![Edit::Hold {
                    radio: donor.radio.id,
                    unit: None,
                }],
            },
            Fix {
                title: format!("Unplug {}", scenario.name(donor.port.into())),
                grade: Grade::Ask,
                edits: vec![Edit::Attach {
                    phase: picture.phase_id(),
                    port: donor.port,
                    attachment: None,
                }],
            },
        ];
        out.push(finding);
    }
}

/// Tells whether a unit has a telephone or headset in circuit.
fn has_line(picture: &Picture, unit: UnitId) -> bool {
    let scenario = picture.scenario();
    let Some(phase) = picture.phase() else {
        return false;
    };
    picture.hearing().is_heard(Party::Unit(unit))
        || phase
            .attachments
            .values()
            .any(|attachment| match attachment {
                Attachment::Telephone(id) => scenario
                    .telephones
                    .get(*id)
                    .is_some_and(|t| t.held_by == Some(unit)),
                Attachment::Headset(id) => scenario
                    .headsets
                    .get(*id)
                    .is_some_and(|h| h.held_by == Some(unit)),
                Attachment::Radio { .. } | Attachment::Tie(_) => false,
            })
}

//! A donor has no cable.
//!
//! ## What it flags
//! A radio at a port for which no cable is chosen.
//!
//! ## Why it matters
//! The audio and keying lines of the port and the radio meet only through the right cable, and there is
//! one kind for every family of radios.
//!
//! ## How it decides
//! The cables at hand are looked through for one with the radio's connector at one end and the port's at
//! the other. Where a connector has no name, or no cable is listed at all, nothing is known.
//!
//! ## Severity
//! Notes when a cable fits or nothing is known: choose one. Stops when the connectors are named and no
//! cable at hand fits.
//!
//! ## Example
//! The federal team's radio has a connector that none of the county's cables has.
//!
//! ## Source
//! Follows from the list of cables.

use crate::checks::Check;
use crate::checks::resources::cabling::Cabling;
use crate::model::{Evidence, Finding, Grade, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "S02",
    name: "no-cable-chosen",
    severity: Severity::Stops,
    text: include_str!("no_cable_chosen.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let cabling = Cabling::of(picture);
    for donor in picture.donors().filter(|d| d.cable.is_none()) {
        let Some(socket) = scenario.port(donor.port) else {
            continue;
        };
        let radio = donor.radio;
        let fitting = cabling.fitting(radio, socket);
        let is_known = !radio.connector.is_empty()
            && !socket.connector.is_empty()
            && !scenario.cables.is_empty();
        let name = scenario.name(donor.port.into());
        let (severity, headline) = if fitting.is_empty() && is_known {
            let headline = format!(
                "No cable at hand joins '{}' of {} to '{}' of {name}",
                radio.connector, radio.name, socket.connector
            );
            (Severity::Stops, headline)
        } else {
            let headline = format!("{} is at {name} and no cable is chosen", radio.name);
            (Severity::Notes, headline)
        };
        let mut finding = CHECK.finding(severity, donor.port, headline);
        finding.related = vec![radio.id.into()];
        finding.evidence = vec![
            Evidence::text("radio's connector", &radio.connector),
            Evidence::text("port's connector", &socket.connector),
            Evidence::number("kinds of cable that fit", fitting.len() as f64, "kinds"),
        ];
        if severity == Severity::Stops {
            finding.hints = vec!["Borrow a cable or take a radio of another family".to_owned()];
        }
        if let Some(cable) = fitting.first() {
            let grade = if cabling.spare(cable) > 0 {
                Grade::Safe
            } else {
                Grade::Ask
            };
            let fix = cabling.take(picture, donor.port, radio, cable, grade);
            finding.fixes.push(fix);
        }
        out.push(finding);
    }
}

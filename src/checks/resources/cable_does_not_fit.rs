//! A cable does not fit its radio or its port.
//!
//! ## What it flags
//! A donor whose cable has another connector at the radio's or at the port's end.
//!
//! ## Why it matters
//! It cannot be plugged in, or was forced in, and the port is dead.
//!
//! ## How it decides
//! The connector names of radio, cable and port are compared letter by letter.
//!
//! ## Severity
//! Stops.
//!
//! ## Example
//! The donor was exchanged for one with a round connector; the cable is flat.
//!
//! ## Source
//! Follows from the derivation: a port with a misfit cable carries nothing.

use crate::checks::Check;
use crate::checks::resources::cabling::Cabling;
use crate::model::{Cable, Edit, Evidence, Finding, Fix, Grade, Radio, Severity};
use crate::picture::{Donor, Picture};

/// The check.
pub const CHECK: Check = Check {
    code: "S01",
    name: "cable-does-not-fit",
    severity: Severity::Stops,
    text: include_str!("cable_does_not_fit.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let cabling = Cabling::of(picture);
    for donor in picture.donors() {
        let Some(cable) = donor.cable.and_then(|c| picture.scenario().cables.get(c)) else {
            continue;
        };
        out.extend(misfit(picture, &cabling, &donor, cable));
    }
}

fn misfit(
    picture: &Picture,
    cabling: &Cabling<'_>,
    donor: &Donor<'_>,
    cable: &Cable,
) -> Option<Finding> {
    let radio = donor.radio;
    let socket = picture.scenario().port(donor.port)?;
    let at_radio = cable.radio_connector == radio.connector;
    let at_port = cable.port_connector == socket.connector;
    if at_radio && at_port {
        return None;
    }
    let name = picture.scenario().name(donor.port.into());
    let mut misfits = Vec::new();
    if !at_radio {
        misfits.push(ends(&cable.radio_connector, &radio.connector, &radio.name));
    }
    if !at_port {
        misfits.push(ends(&cable.port_connector, &socket.connector, &name));
    }
    let headline = format!("Cable {} {}", cable.name, misfits.join(" and "));
    let mut finding = CHECK.finding(Severity::Stops, donor.port, headline);
    finding.related = vec![radio.id.into(), cable.id.into()];
    finding.evidence = vec![
        Evidence::text("cable's end at the radio", &cable.radio_connector),
        Evidence::text("radio's connector", &radio.connector),
        Evidence::text("cable's end at the port", &cable.port_connector),
        Evidence::text("port's connector", &socket.connector),
    ];
    finding.hints = vec!["Take a cable that fits both ends, or another radio".to_owned()];
    if let Some(other) = cabling.fitting(radio, socket).first() {
        let grade = if cabling.spare(other) > 0 {
            Grade::Safe
        } else {
            Grade::Ask
        };
        finding
            .fixes
            .push(cabling.take(picture, donor.port, radio, other, grade));
    }
    if radio.connector.is_empty() && at_port {
        finding.fixes.push(note_connector(radio, cable));
    }
    Some(finding)
}

fn ends(cable: &str, there: &str, name: &str) -> String {
    let word = |connector: &str| match connector {
        "" => "a connector not named".to_owned(),
        known => format!("'{known}'"),
    };
    format!("ends in {} where {name} has {}", word(cable), word(there))
}

/// Writes down the connector of a radio of which none is noted.
fn note_connector(radio: &Radio, cable: &Cable) -> Fix {
    Fix {
        title: format!(
            "Note '{}' as the connector of {}",
            cable.radio_connector, radio.name
        ),
        grade: Grade::Ask,
        edits: vec![Edit::Replace(
            Radio {
                connector: cable.radio_connector.clone(),
                ..radio.clone()
            }
            .into(),
        )],
    }
}

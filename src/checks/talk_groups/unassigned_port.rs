//! Something is plugged into a port that is on no talk group.
//!
//! ## What it flags
//! A port with a radio, telephone, headset or tie in it that is switched to none.
//!
//! ## Why it matters
//! The port is silent both ways. That is how a link is kept ready; it is also how one is forgotten.
//!
//! ## How it decides
//! The phase plugs something into the port and switches it to no talk group.
//!
//! ## Severity
//! Notes: often meant.
//!
//! ## Example
//! The telephone to the hospital is plugged in and was never switched to the command group.
//!
//! ## Source
//! Follows from the switches.

use crate::checks::Check;
use crate::model::{Attachment, Edit, Finding, Fix, Grade, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "G03",
    name: "unassigned-port",
    severity: Severity::Notes,
    text: include_str!("unassigned_port.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (Some(phase), scenario) = (picture.phase(), picture.scenario()) else {
        return;
    };
    for (port, attachment) in &phase.attachments {
        if phase.switches.contains_key(port) {
            continue;
        }
        let thing: ThingId = match attachment {
            Attachment::Radio { radio, .. } => (*radio).into(),
            Attachment::Telephone(id) => (*id).into(),
            Attachment::Headset(id) => (*id).into(),
            Attachment::Tie(id) => (*id).into(),
        };
        let name = scenario.name((*port).into());
        let headline = format!(
            "{name} holds {} and is on no talk group",
            scenario.name(thing)
        );
        let mut finding = CHECK.finding(Severity::Notes, *port, headline);
        finding.related = vec![thing];
        let groups = scenario.gateways.get(port.gateway).into_iter();
        finding.fixes = groups
            .flat_map(|gateway| &gateway.talk_groups)
            .map(|group| Fix {
                title: format!("Switch {name} to talk group {}", group.number),
                grade: Grade::Ask,
                edits: vec![Edit::Switch {
                    phase: picture.phase_id(),
                    port: *port,
                    group: Some(group.number),
                }],
            })
            .collect();
        out.push(finding);
    }
}

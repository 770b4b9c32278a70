//! Donors on trunked group numbers transmit at a site on frequencies the plan does not know.
//!
//! ## What it flags
//! A site with donors on group numbers whose ports are on a talk group.
//!
//! ## Why it matters
//! They are transmitters like any other: they deafen receivers, mix with other signals and ask for a
//! distance to people. None of that is computed for them.
//!
//! ## How it decides
//! The donors of the site's gateways that have a group number selected are counted.
//!
//! ## Severity
//! Notes: to be listened for on the site.
//!
//! ## Example
//! A 700 MHz trunked donor stands beside an 800 MHz conventional one.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, PortRef, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I09",
    name: "donors-without-frequency",
    severity: Severity::Notes,
    text: include_str!("donors_without_frequency.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let Some(phase) = picture.phase() else { return };
    for view in picture.sites_in_question() {
        let switched = |port: &&PortRef| phase.group_of(**port).is_some();
        let ports: Vec<PortRef> = view
            .without_frequency
            .iter()
            .filter(switched)
            .copied()
            .collect();
        if ports.is_empty() {
            continue;
        }
        let names: Vec<String> = ports.iter().map(|p| scenario.name((*p).into())).collect();
        let (are, their) = match ports.len() {
            1 => ("is on a group number", "its"),
            _ => ("are on group numbers", "their"),
        };
        let headline = format!(
            "{} at {} {are}, at {}; mixing, deafening and distances to people leave {their} signals out",
            say::count(ports.len(), "donor"),
            scenario.name(view.site.into()),
            say::list(&names)
        );
        let mut finding = CHECK.finding(Severity::Notes, view.site, headline);
        finding.evidence = vec![Evidence::number(
            "donors on group numbers",
            ports.len() as f64,
            "radios",
        )];
        finding.related = ports.into_iter().map(Into::into).collect();
        finding.hints = vec![
            "Ask the system's owner which frequencies its sites use".to_owned(),
            "Treat each as a transmitter of its band: keep its antenna apart and people away, and listen \
             on the other donors while it is keyed"
                .to_owned(),
        ];
        out.push(finding);
    }
}

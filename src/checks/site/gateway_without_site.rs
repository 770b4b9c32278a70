//! A gateway has transmitting donors, and nobody noted where it stands.
//!
//! ## What it flags
//! A gateway without a site that has donors on a talk group.
//!
//! ## Why it matters
//! Nothing is said about mixing, deafened receivers, distances people must keep or the supply there. Silence
//! about a danger that was never looked at reads like safety.
//!
//! ## How it decides
//! The donors on a talk group of each gateway without a site are counted.
//!
//! ## Severity
//! Notes: unknown is never fine, and one line cures it.
//!
//! ## Example
//! The box came out of the truck and went under a table, and the plan does not say which.
//!
//! ## Source
//! Follows from the derivation; antennas are spaced and tried where they stand: common practice, no
//! source.

use std::collections::BTreeMap;

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, GatewayId, PortRef, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I10",
    name: "gateway-without-site",
    severity: Severity::Notes,
    text: include_str!("gateway_without_site.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut donors: BTreeMap<GatewayId, Vec<PortRef>> = BTreeMap::new();
    for donor in picture.donors().filter(|d| d.group.is_some()) {
        let gateway = scenario.gateways.get(donor.port.gateway);
        if gateway.is_some_and(|g| g.site.is_none()) {
            let ports = donors.entry(donor.port.gateway).or_default();
            ports.push(donor.port);
        }
    }
    for (gateway, ports) in donors {
        let headline = format!(
            "{} has {} and no site, so that nothing is computed for its antennas",
            scenario.name(gateway.into()),
            say::count(ports.len(), "donor")
        );
        let mut finding = CHECK.finding(Severity::Notes, gateway, headline);
        finding.related = ports.iter().map(|p| (*p).into()).collect();
        let count = ports.len() as f64;
        finding.evidence = vec![Evidence::number("donors on a talk group", count, "radios")];
        finding.hints =
            vec!["Add a site with an antenna for each donor, its height and its place".to_owned()];
        out.push(finding);
    }
}

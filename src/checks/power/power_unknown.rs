//! Nobody can say how long a gateway or its donors run, because figures are missing.
//!
//! ## What it flags
//! A gateway in use without a supply that fits of which the hours on what is inside are not known; and
//! donors without power from outside whose battery is not known. Each gateway is told once, with its
//! donors.
//!
//! ## Why it matters
//! What is not known is found out when it stops.
//!
//! ## How it decides
//! A gateway needs its draw and its battery or cells noted, inside what the formulas cover; a donor needs
//! the capacity of its battery.
//!
//! ## Severity
//! Notes: a line of the pre-check. The set may well last.
//!
//! ## Example
//! The borrowed gateway came without a data sheet, and two donors have batteries nobody looked at.
//!
//! ## Source
//! Follows from what is noted; that unknown is not fine is a rule of this program.

use std::collections::BTreeMap;

use super::in_use::{self, Used};
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, GatewayId, PortRef, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W04",
    name: "power-unknown",
    severity: Severity::Notes,
    text: include_str!("power_unknown.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let donors: BTreeMap<GatewayId, Vec<PortRef>> = in_use::donors(picture)
        .map(|(gateway, donors)| {
            let unknown = donors
                .iter()
                .filter(|donor| !donor.is_supplied && donor.own_h.is_none());
            (gateway, unknown.map(|donor| donor.port).collect())
        })
        .collect();
    for used in in_use::gateways(picture) {
        let gateway = used.gateway;
        let ports = donors.get(&gateway.id).map_or(&[][..], Vec::as_slice);
        let missing = missing(&used);
        let donors = say::count(ports.len(), "donor");
        let who = match (missing, ports.len()) {
            (None, 0) => continue,
            (None, _) => format!("{donors} of {} on their own batteries", gateway.name),
            (Some(_), 0) => gateway.name.clone(),
            (Some(_), _) => format!("{} and {donors} of it", gateway.name),
        };
        let verb = if missing.is_some() && ports.is_empty() {
            "runs"
        } else {
            "run"
        };
        let headline = match ports {
            [port] if missing.is_none() => format!(
                "How long the donor at {} runs on its own battery is not known",
                picture.scenario().name((*port).into())
            ),
            _ => format!("How long {who} {verb} is not known"),
        };
        let mut finding = CHECK.finding(Severity::Notes, gateway.id, headline);
        finding.related = ports.iter().map(|port| (*port).into()).collect();
        if let Some(missing) = missing {
            finding
                .evidence
                .push(Evidence::text("not known of the gateway", missing));
            finding.hints.push(format!(
                "Look at {} and note its {missing}, or note a supply at its site that fits",
                gateway.name
            ));
        }
        if !ports.is_empty() {
            finding.evidence.push(Evidence::number(
                "donors whose battery is not known",
                ports.len() as f64,
                "radios",
            ));
            finding.hints.push(
                "Read the capacity off each donor's battery and note it, or note that the set has \
                 power from outside"
                    .to_owned(),
            );
        }
        out.push(finding);
    }
}

/// Returns what is missing to know how long a gateway runs, if it is not known.
fn missing(used: &Used<'_>) -> Option<&'static str> {
    if used.power.is_supplied() || used.power.inside_h.is_some() {
        return None;
    }
    let has_battery = used.gateway.battery_mah.is_some() || used.gateway.cells.is_some();
    Some(match (used.gateway.draw_ma.is_some(), has_battery) {
        (false, false) => "draw and battery",
        (false, true) => "draw",
        (true, false) => "battery",
        (true, true) => "draw, battery and temperature, of which one is beyond what is computed",
    })
}

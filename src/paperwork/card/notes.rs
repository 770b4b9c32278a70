//! The notes at the foot of a gateway card: power, lid and care.

use crate::model::{Control, Gateway};
use crate::paperwork::forms::ics205::capital;
use crate::paperwork::on::On;
use crate::sheets::Choice as _;

/// A line for the box, and one for the donors that run out.
pub(super) fn power(on: &On<'_>, gateway: &Gateway) -> Vec<String> {
    let mut parts = Vec::new();
    let power = on.picture.power();
    let own = power.gateways.iter().find(|p| p.gateway == gateway.id);
    let cells = gateway
        .cells
        .map(|cells| format!("{} {} cells", cells.count, cells.chemistry.words()));
    if let Some(own) = own {
        let inside = cells.unwrap_or_else(|| "battery inside".to_owned());
        match (own.is_supplied(), own.inside_h) {
            (true, Some(hours)) => parts.push(format!(
                "supply of the site; {inside} to fall back on, about {hours:.0} h"
            )),
            (true, None) => parts.push(format!("supply of the site; {inside} to fall back on")),
            (false, Some(hours)) => {
                let mut text = format!("{inside}, about {hours:.0} h");
                if let Some(sets) = own.sets.filter(|s| *s > 1) {
                    text.push_str(&format!(", {sets} sets for the period"));
                }
                if let Some(when) = times(on, &own.changes_h) {
                    text.push_str(&format!("; change them by {when}"));
                }
                parts.push(text);
            }
            (false, None) => parts.push(format!("{inside}, hours unknown: test before")),
        }
    }
    let mut batteries = Vec::new();
    let donors = power.donors.iter();
    for donor in donors.filter(|d| d.port.gateway == gateway.id && !d.is_supplied) {
        if let Some(when) = times(on, &donor.changes_h) {
            batteries.push(format!("port {} {when}", donor.port.port));
        }
    }
    if !batteries.is_empty() {
        parts.push(format!(
            "fresh radio batteries by: {}",
            batteries.join("; ")
        ));
    }
    if let Some(last) = parts.last_mut() {
        last.push_str(". Estimates: change early.");
    }
    parts.iter().map(|part| capital(part)).collect()
}

fn times(on: &On<'_>, hours: &[f64]) -> Option<String> {
    if hours.is_empty() {
        return None;
    }
    let times: Vec<String> = hours
        .iter()
        .map(|at| {
            let period = on.period.as_ref();
            period.map_or_else(|| format!("{at:.1} h"), |p| p.after(*at))
        })
        .collect();
    Some(times.join(", "))
}

pub(super) fn lid(gateway: &Gateway) -> String {
    let all = Control::ALL;
    let words = |reach: bool| -> Vec<&str> {
        let controls = all.iter().filter(|c| gateway.lid_shut.contains(c) == reach);
        controls.map(|c| c.words()).collect()
    };
    let (within, open) = (words(true), words(false));
    let mut text = String::new();
    if within.is_empty() {
        text.push_str("Shut, nothing is within reach.");
    } else {
        text.push_str(&format!("Shut, within reach: {}.", within.join(", ")));
    }
    if !open.is_empty() {
        text.push_str(&format!(" Open it for: {}.", open.join(", ")));
    }
    if !gateway.ingress.is_empty() {
        text.push_str(&format!(" {} only with the lid shut.", gateway.ingress));
    }
    text
}

pub(super) fn care() -> &'static str {
    "Decontaminate lid shut, as maker and hazardous-materials officer say. Never change batteries in a \
     hazardous atmosphere. Wiring and supplies by the maker's manual and local safety rules."
}

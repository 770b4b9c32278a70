//! The supply at a site can leave the range that a gateway takes.
//!
//! ## What it flags
//! A gateway in use at a site whose supply can rise above what the gateway stands, or fall below what it
//! needs.
//!
//! ## Why it matters
//! Too much voltage can destroy the box, and with it everything joined. Too little resets it: each time
//! the engine starts, the join is gone for as long as the box takes to come up.
//!
//! ## How it decides
//! The lowest and highest volts noted for the site are compared with those the gateway takes.
//!
//! ## Severity
//! Stops when the supply can be too high, since the box may not survive being plugged in; warns when it
//! can only be too low.
//!
//! ## Example
//! A box that takes 11 to 16 V is to hang on a 24 V truck that gives 22 to 32 V.
//!
//! ## Source
//! Comparison of the two ranges. What vehicles give: ISO 16750-2 (2023), clause 4.2, its numbers from
//! memory; that a 24 V truck needs a converter and that sets reset at engine start: common practice, no
//! source.

use super::in_use;
use crate::checks::{Check, say};
use crate::engineering::power::supply::Fit;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W03",
    name: "supply-does-not-fit",
    severity: Severity::Stops,
    text: include_str!("supply_does_not_fit.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for used in in_use::gateways(picture) {
        let (below, above) = match used.power.fit {
            Some(Fit::Below(below)) => (Some(below), None),
            Some(Fit::Above(above)) => (None, Some(above)),
            Some(Fit::Both { below, above }) => (Some(below), Some(above)),
            Some(Fit::Inside) | None => continue,
        };
        let (gateway, Some(site)) = (used.gateway, used.site) else {
            continue;
        };
        let (Some(needed), Some(given)) = (gateway.supply_v, site.supply_v) else {
            continue;
        };
        let severity = if above.is_some() {
            Severity::Stops
        } else {
            Severity::Warns
        };
        let high = above.map(|_| {
            format!(
                "can rise to {} V and {} stands {} V",
                given.1, gateway.name, needed.1
            )
        });
        let low = below.map(|_| {
            format!(
                "can fall to {} V and {} needs {} V",
                given.0, gateway.name, needed.0
            )
        });
        let words: Vec<String> = high.into_iter().chain(low).collect();
        let headline = format!("The supply of {} {}", site.name, words.join(", and it "));
        let mut finding = CHECK.finding(severity, gateway.id, headline);
        finding.related = vec![site.id.into()];
        finding.evidence = vec![
            Evidence::number("lowest volts given", given.0, "V"),
            Evidence::number("highest volts given", given.1, "V"),
            Evidence::number("lowest volts taken", needed.0, "V"),
            Evidence::number("highest volts taken", needed.1, "V"),
        ];
        if let Some(above) = above {
            let over = Evidence::number("volts too high", say::hundredths(above), "V");
            finding.evidence.push(over);
            finding.hints.push(format!(
                "Do not plug it in: put a converter between that gives {} to {} V, or run it on \
                 what is inside",
                needed.0, needed.1
            ));
        }
        if let Some(below) = below {
            let under = Evidence::number("volts too low", say::hundredths(below), "V");
            finding.evidence.push(under);
            finding.hints.push(
                "Keep cells or a battery inside that carry it through an engine start, and try one \
                 start with the join up"
                    .to_owned(),
            );
        }
        finding.hints.push(
            "Electrical work by the makers' instructions and by whoever answers for the vehicle"
                .to_owned(),
        );
        out.push(finding);
    }
}

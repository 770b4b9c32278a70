//! Cold takes much of what the cells of a gateway hold, or forbids charging them.
//!
//! ## What it flags
//! A gateway in use with cells at a site where cold takes a fifth of their capacity or more, or is beyond
//! what such cells are rated for; and one on a supply from outside with lithium cells below freezing.
//!
//! ## Why it matters
//! Cells that were tried indoors give up outdoors. Lithium that is charged below freezing is damaged for
//! good, and may fail later without warning.
//!
//! ## How it decides
//! The share of capacity at the temperature of the site, or of practice where none is noted, follows from
//! the chemistry. Whether a supply charges the cells is not known, so lithium on a supply below 0 °C is
//! told.
//!
//! ## Severity
//! Notes: hours already count with the cold; this is what to do about it, and what to verify.
//!
//! ## Example
//! Alkaline cells at -10 °C: about half is left.
//!
//! ## Source
//! What cold takes of alkaline and lead-acid, and that lithium must not be charged below 0 °C: from
//! memory. Other chemistries, and that a fifth is worth telling: common practice, no source.

use super::in_use;
use crate::checks::{Check, say};
use crate::model::{Chemistry, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W08",
    name: "cold-cells",
    severity: Severity::Notes,
    text: include_str!("cold_cells.rs"),
    run,
};

/// Temperature from which on cells count as warm, in degrees Celsius.
const WARM_C: f64 = 20.0;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let practice = &picture.scenario().practice;
    for used in in_use::gateways(picture) {
        let (gateway, celsius) = (used.gateway, used.power.celsius);
        let Some(cells) = gateway.cells else { continue };
        let chemistry = cells.chemistry;
        // Heat beyond what cells are rated for is no matter of cold.
        if celsius >= WARM_C {
            continue;
        }
        let left = chemistry.share_at(celsius).ok();
        let is_lithium = matches!(
            chemistry,
            Chemistry::LithiumIon | Chemistry::LithiumIronPhosphate
        );
        let is_charge_bad =
            is_lithium && used.power.is_supplied() && !chemistry.may_charge_at(celsius);
        let is_weak = left.is_none_or(|left| left <= practice.cold_keeps);
        if !is_weak && !is_charge_bad {
            continue;
        }
        let at = say::tenths(celsius);
        let charge = "must not be charged";
        let words = match (left, is_charge_bad) {
            (None, _) => "are colder than they are rated for".to_owned(),
            (Some(left), false) => format!("have {} % of their capacity left", say::percent(left)),
            (Some(left), true) if is_weak => {
                let left = say::percent(left);
                format!("have {left} % of their capacity left and {charge}")
            }
            (Some(_), true) => charge.to_owned(),
        };
        let headline = format!(
            "At {at} °C the {chemistry} cells of {} {words}",
            gateway.name
        );
        let mut finding = CHECK.finding(Severity::Notes, gateway.id, headline);
        finding.related = used.site.iter().map(|site| site.id.into()).collect();
        let is_noted = used.site.is_some_and(|site| site.temperature_c.is_some());
        finding.evidence = vec![
            Evidence::number("temperature", at, "°C"),
            Evidence::text(
                "temperature from",
                if is_noted { "the site" } else { "practice" },
            ),
            Evidence::text("chemistry", chemistry),
        ];
        if let Some(left) = left {
            finding
                .evidence
                .push(Evidence::number("capacity left", say::percent(left), "%"));
        }
        if is_weak {
            finding.hints.push(
                "Keep the box off the ground and out of the wind, keep spare sets warm, and change \
                 early"
                    .to_owned(),
            );
        }
        if is_charge_bad {
            finding.hints.push(
                "Make sure that the supply does not charge them, or warm them first, by the maker's \
                 instructions"
                    .to_owned(),
            );
        }
        out.push(finding);
    }
}

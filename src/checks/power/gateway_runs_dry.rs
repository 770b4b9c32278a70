//! A gateway stops before the phase is over, since nothing from outside carries it.
//!
//! ## What it flags
//! A gateway in use without a supply that fits, of which what is inside lasts for less than the phase.
//!
//! ## Why it matters
//! Everything joined on it falls apart at once, in the small hours and with nobody at the box. Each side
//! keeps talking and believes the other hears it.
//!
//! ## How it decides
//! Hours on the cells or battery inside follow from the draw, the chemistry, the temperature of the site
//! and the voltage at which the box gives up, and are set against the length of the phase. Sets are
//! changed at the share of their hours that practice gives.
//!
//! ## Severity
//! Warns: whoever carries the cells and changes them in time has no outage but the change itself.
//!
//! ## Example
//! Eight alkaline cells run a gateway that draws 85 mA for 30 h at 20 °C; the phase lasts 48 h.
//!
//! ## Source
//! IEC 60086-2 for alkaline cells, from memory, and the figures of each chemistry beside their formulas.
//! To change at 80 % of the hours: common practice, no source.

use super::in_use;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W01",
    name: "gateway-runs-dry",
    severity: Severity::Warns,
    text: include_str!("gateway_runs_dry.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let phase_h = picture.power().phase_h;
    for used in in_use::gateways(picture) {
        let (gateway, power) = (used.gateway, used.power);
        let Some(inside_h) = power.inside_h.filter(|h| *h < phase_h) else {
            continue;
        };
        if power.is_supplied() {
            continue;
        }
        let headline = format!(
            "{} runs {} h on what is inside, and the phase lasts {} h",
            gateway.name,
            say::tenths(inside_h),
            say::tenths(phase_h)
        );
        let mut finding = CHECK.finding(Severity::Warns, gateway.id, headline);
        finding.related = used.site.iter().map(|site| site.id.into()).collect();
        finding.evidence = vec![
            Evidence::number("hours on what is inside", say::tenths(inside_h), "h"),
            Evidence::number("hours of the phase", say::tenths(phase_h), "h"),
            Evidence::number("temperature", say::tenths(power.celsius), "°C"),
        ];
        if let Some(draw_ma) = power.draw_ma {
            let draw = Evidence::number("draw", say::tenths(draw_ma), "mA");
            finding.evidence.push(draw);
        }
        if let Some(sets) = power.sets {
            let set = Evidence::number("sets the phase takes", sets.into(), "sets");
            finding.evidence.push(set);
            let carry = match power.cells {
                Some(cells) => {
                    let all = cells.saturating_mul(sets);
                    let carried = Evidence::number("cells to carry", all.into(), "cells");
                    finding.evidence.push(carried);
                    format!("Have {all} cells, {sets} sets of {cells}, those inside counted")
                }
                None => format!("Have {sets} charged batteries, the one inside counted"),
            };
            let times = in_use::times(&power.changes_h);
            let carry = format!("{carry}; change after {times}");
            finding.hints.push(carry);
        }
        if let Some((low, high)) = gateway.supply_v {
            finding
                .hints
                .push(format!("Or give it {low} to {high} V from outside"));
        }
        finding.hints.push(in_use::BY_THE_MAKER.to_owned());
        out.push(finding);
    }
}

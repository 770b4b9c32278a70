//! The plan uses more gateways or donor radios than the stock has.
//!
//! ## What it flags
//! A kind of stock, gateways or donor radios, of which this phase uses more than all its lines count.
//!
//! ## Why it matters
//! Somebody will stand at a port without a radio to plug in.
//!
//! ## How it decides
//! Gateways count when something is plugged into them, donors when they are at a port and no unit holds
//! them. A kind of which no line is listed is not judged: nothing is known.
//!
//! ## Severity
//! Warns: the stock list may be out of date.
//!
//! ## Example
//! Seven donors are planned; the cache has six.
//!
//! ## Source
//! Follows from the counts.

use std::collections::BTreeSet;

use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, GatewayId, Severity, Stock, StockKind};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "S05",
    name: "stock-short",
    severity: Severity::Warns,
    text: include_str!("stock_short.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let Some(phase) = picture.phase() else { return };
    let gateways: BTreeSet<GatewayId> = phase.attachments.keys().map(|p| p.gateway).collect();
    let donors = picture
        .donors()
        .filter(|d| d.radio.held_by.is_none())
        .count();
    for (kind, used, word) in [
        (StockKind::Gateway, gateways.len(), "gateway"),
        (StockKind::DonorRadio, donors, "donor radio"),
    ] {
        let lines: Vec<&Stock> = picture
            .scenario()
            .stock
            .iter()
            .filter(|s| s.kind == kind)
            .collect();
        let there: usize = lines.iter().map(|s| s.count as usize).sum();
        let [first, others @ ..] = lines.as_slice() else {
            continue;
        };
        if used <= there {
            continue;
        }
        let headline = format!(
            "{} in use, and the stock has {there}",
            match used {
                1 => format!("1 {word} is"),
                n => format!("{} are", say::count(n, word)),
            }
        );
        let mut finding = CHECK.finding(Severity::Warns, first.id, headline);
        finding.related = others.iter().map(|s| s.id.into()).collect();
        finding.evidence = vec![
            Evidence::number("in use", used as f64, "pieces"),
            Evidence::number("in stock", there as f64, "pieces"),
        ];
        finding.hints = vec![format!(
            "Borrow {} more, or correct the stock",
            used - there
        )];
        out.push(finding);
    }
}

//! The phase takes more sets of batteries than the stock has.
//!
//! ## What it flags
//! A phase whose gateways and donors without power from outside take more sets, those already inside
//! counted, than all lines of batteries in stock together.
//!
//! ## Why it matters
//! The last change of the night is the one that cannot be made.
//!
//! ## How it decides
//! Sets are counted by the hours each gateway and donor runs, changed at the share practice gives. A line
//! of stock counts sets: a box of loose cells is as many sets as it fills. Nothing is judged while no
//! battery is in stock at all, since then nobody listed them; gateways and donors without figures are
//! counted as none.
//!
//! ## Severity
//! Warns: the stock list may be out of date, and batteries can be borrowed.
//!
//! ## Example
//! Two gateways take two sets each and four donors three each: 16, and the cache has 12.
//!
//! ## Source
//! Follows from the counts.

use super::in_use;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, Severity, Stock, StockKind};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "W06",
    name: "batteries-short",
    severity: Severity::Warns,
    text: include_str!("batteries_short.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let lines: Vec<&Stock> = picture
        .scenario()
        .stock
        .iter()
        .filter(|line| line.kind == StockKind::Battery)
        .collect();
    let [first, others @ ..] = lines.as_slice() else {
        return;
    };
    let there: u64 = lines.iter().map(|line| u64::from(line.count)).sum();
    let boxes: Vec<Option<u32>> = in_use::gateways(picture)
        .filter(|used| !used.power.is_supplied())
        .map(|used| used.power.sets)
        .collect();
    let radios: Vec<Option<u32>> = picture
        .power()
        .donors
        .iter()
        .filter(|donor| !donor.is_supplied)
        .map(|donor| donor.batteries)
        .collect();
    let sum = |all: &[Option<u32>]| -> u64 { all.iter().flatten().map(|n| u64::from(*n)).sum() };
    let (for_boxes, for_radios) = (sum(&boxes), sum(&radios));
    let taken = for_boxes + for_radios;
    if taken <= there {
        return;
    }
    let unknown = boxes.iter().chain(&radios).filter(|n| n.is_none()).count();
    let headline = format!(
        "The phase takes {} of batteries, and the stock has {there}",
        say::count(taken as usize, "set")
    );
    let mut finding = CHECK.finding(Severity::Warns, first.id, headline);
    finding.related = others.iter().map(|line| line.id.into()).collect();
    finding.evidence = vec![
        Evidence::number("sets for gateways", for_boxes as f64, "sets"),
        Evidence::number("sets for donors", for_radios as f64, "sets"),
        Evidence::number("sets in stock", there as f64, "sets"),
        Evidence::number(
            "without figures, not counted",
            unknown as f64,
            "gateways and donors",
        ),
    ];
    finding.hints = vec![
        format!(
            "Borrow {} more, charge sets during the phase, or correct the stock",
            say::count((taken - there) as usize, "set")
        ),
        "Power from outside, where it fits, takes none".to_owned(),
    ];
    out.push(finding);
}

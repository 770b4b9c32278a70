//! Mixing products told by receiver; shared by checks, not a check itself.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use crate::checks::site::sets;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, PortRef, Severity, TalkGroupRef, ThingId};
use crate::picture::Picture;
use crate::picture::site::{Disturbed, Product, SiteView};

/// Adds a finding for each receiver that a wanted product falls into, and one for all listeners of a
/// site.
pub(super) fn find(
    out: &mut Vec<Finding>,
    picture: &Picture,
    check: &Check,
    wanted: impl Fn(&Product) -> bool,
) {
    for view in picture.sites_in_question() {
        let mut donors: BTreeMap<PortRef, Vec<&Product>> = BTreeMap::new();
        let mut listeners: Vec<&Product> = Vec::new();
        for product in view.products.iter().filter(|p| wanted(p)) {
            match product.disturbed {
                Disturbed::Donor(port) => donors.entry(port).or_default().push(product),
                Disturbed::Listeners(_) => listeners.push(product),
            }
        }
        for products in donors.values().chain([&listeners]) {
            let worst = products.iter().min_by_key(|p| badness(picture, view, p));
            if let Some(worst) = worst {
                out.push(finding(picture, view, check, worst, products));
            }
        }
    }
}

/// Orders products, the worst first.
fn badness<'a>(
    picture: &Picture,
    view: &SiteView,
    product: &'a Product,
) -> (Severity, Reverse<i64>, u64, &'a [(i8, PortRef)]) {
    // Where no level is known it may be anything.
    let level = product
        .level
        .map_or(i64::MAX, |l| (l.0 * 10.0).round() as i64);
    (
        severity(picture, view, product),
        Reverse(level),
        product.offset_hz.unsigned_abs(),
        &product.terms,
    )
}

/// Warns of what one talk group makes in a donor's receiver strongly enough to be heard.
fn severity(picture: &Picture, view: &SiteView, product: &Product) -> Severity {
    let Disturbed::Donor(port) = product.disturbed else {
        return Severity::Notes;
    };
    let is_loud = if let Some(level) = product.level {
        level.0 >= picture.scenario().practice.sensitivity_dbm
    } else {
        // Of the third order: so strong that the law of levels does not hold. Of the fifth the level is
        // not known, and only what falls inside the channel counts.
        let half_hz = sets::at(view, port).map_or(0, |s| u64::from(s.bandwidth_hz) / 2);
        product.order == 3 || product.offset_hz.unsigned_abs() <= half_hz
    };
    if product.together.is_some() && is_loud {
        Severity::Warns
    } else {
        Severity::Notes
    }
}

fn finding(
    picture: &Picture,
    view: &SiteView,
    check: &Check,
    worst: &Product,
    all: &[&Product],
) -> Finding {
    let scenario = picture.scenario();
    let site = scenario.name(view.site.into());
    let mut headline = format!(
        "{} falls on {} {} {site}, {}",
        formula(picture, view, worst),
        sets::disturbed(scenario, view, worst.disturbed),
        sets::place(worst.disturbed),
        sets::offset(worst.offset_hz)
    );
    match (worst.level, worst.disturbed) {
        (Some(level), _) => headline.push_str(&format!(", with {level}")),
        (None, Disturbed::Donor(_)) if worst.order == 3 => {
            headline.push_str(", so strong that no level can be given");
        }
        _ => {}
    }
    match worst.together {
        Some(group) => {
            let group = scenario.name(group.into());
            headline.push_str(&format!(", whenever {group} keys them"));
        }
        None => headline.push_str(", when two talk groups speak at once"),
    }
    let others = all.len() - 1;
    if others > 0 {
        let verb = if others == 1 { "does" } else { "do" };
        let more = say::count(others, "more product");
        headline.push_str(&match worst.disturbed {
            Disturbed::Donor(_) => format!("; {more} {verb} too"),
            Disturbed::Listeners(_) => format!("; {more} {verb} so on listeners"),
        });
    }
    let subject: ThingId = match worst.disturbed {
        Disturbed::Donor(port) => port.into(),
        Disturbed::Listeners(_) => view.site.into(),
    };
    let mut finding = check.finding(severity(picture, view, worst), subject, headline);
    finding.related = worst.terms.iter().map(|(_, port)| (*port).into()).collect();
    finding.related.push(match worst.disturbed {
        Disturbed::Donor(_) => view.site.into(),
        Disturbed::Listeners(channel) => channel.into(),
    });
    finding.evidence = vec![
        Evidence::text("falls on", worst.at),
        Evidence::number(
            "off the receive frequency",
            sets::offset_khz(worst.offset_hz),
            "kHz",
        ),
        Evidence::number("products", all.len() as f64, "products"),
    ];
    if let Some(level) = worst.level {
        let sensitivity = scenario.practice.sensitivity_dbm;
        finding.evidence.extend([
            Evidence::number("level", say::tenths(level.0), "dBm"),
            Evidence::number("sensitivity", say::tenths(sensitivity), "dBm"),
        ]);
    }
    finding.hints = hints(picture, view, worst);
    finding
}

/// Spells a product: "2 x A less B".
fn formula(picture: &Picture, view: &SiteView, product: &Product) -> String {
    let mut text = String::new();
    for (coefficient, port) in &product.terms {
        if !text.is_empty() {
            text.push_str(if *coefficient < 0 { " less " } else { " plus " });
        }
        let times = coefficient.unsigned_abs();
        if times > 1 {
            text.push_str(&format!("{times} x "));
        }
        text.push_str(&sets::transmitter(picture.scenario(), view, *port));
    }
    text
}

fn hints(picture: &Picture, view: &SiteView, product: &Product) -> Vec<String> {
    let scenario = picture.scenario();
    let mut hints = Vec::new();
    let last = product.terms.last().map(|(_, port)| *port);
    if let (Some(group), Some(port)) = (product.together, last) {
        let of_receiver = match product.disturbed {
            Disturbed::Donor(port) => sets::at(view, port).and_then(|s| s.group),
            Disturbed::Listeners(_) => None,
        };
        if of_receiver == Some(group) {
            hints.push(format!(
                "The receiver is on {} itself: once open it can hold the transmitters keyed",
                scenario.name(group.into())
            ));
        }
        hints.push(match sets::other_group(scenario, group) {
                Some(other) => format!(
                    "Switched to {}, {} is no longer keyed with the rest: the product is then left only \
                     while both groups speak; what is joined now is then parted",
                    scenario.name(other.into()),
                    sets::transmitter(scenario, view, port)
                ),
                None => "The gateway has no other talk group that could part them".to_owned(),
            });
    } else {
        let groups: BTreeSet<TalkGroupRef> = product
            .terms
            .iter()
            .filter_map(|(_, port)| sets::at(view, *port)?.group)
            .collect();
        let names: Vec<String> = groups.iter().map(|g| scenario.name((*g).into())).collect();
        hints.push(format!(
            "It is there only while {} are keyed at the same time",
            say::list(&names)
        ));
    }
    hints.push(
        "Another channel for one of the transmitters or for the receiver cures it".to_owned(),
    );
    let is_noted = |port: PortRef| sets::at(view, port).is_some_and(|s| s.antenna.is_some());
    if product.level.is_some() && !product.terms.iter().all(|(_, port)| is_noted(*port)) {
        hints.push(format!(
            "The level takes antennas nobody noted to stand {} m apart",
            scenario.practice.antenna_apart_m
        ));
    }
    hints.push(
        "Key the transmitters together and listen at the receiver: the air decides".to_owned(),
    );
    hints
}

//! More cables of one kind are in use than there are.
//!
//! ## What it flags
//! A kind of cable chosen for more ports in this phase than its count.
//!
//! ## Why it matters
//! The last port to be set up will have none.
//!
//! ## How it decides
//! The donors that use the kind in this phase are counted.
//!
//! ## Severity
//! Stops.
//!
//! ## Example
//! Four donors of one family, and three cables in the box.
//!
//! ## Source
//! Follows from the counts.

use std::collections::BTreeMap;

use crate::checks::resources::cabling::Cabling;
use crate::checks::{Check, say};
use crate::model::{Cable, CableId, Evidence, Finding, Fix, Grade, PortRef, Severity};
use crate::picture::{Donor, Picture};

/// The check.
pub const CHECK: Check = Check {
    code: "S03",
    name: "cables-short",
    severity: Severity::Stops,
    text: include_str!("cables_short.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let cabling = Cabling::of(picture);
    let donors: BTreeMap<PortRef, Donor<'_>> = picture.donors().map(|d| (d.port, d)).collect();
    for (cable, ports) in &cabling.in_use {
        let Some(cable) = scenario.cables.get(*cable) else {
            continue;
        };
        let there = cable.count as usize;
        if ports.len() <= there {
            continue;
        }
        let headline = format!(
            "{} cable {}, and there {}",
            match ports.len() {
                1 => "1 port takes".to_owned(),
                n => format!("{} take", say::count(n, "port")),
            },
            cable.name,
            match there {
                0 => "is none".to_owned(),
                1 => "is 1".to_owned(),
                n => format!("are {n}"),
            }
        );
        let mut finding = CHECK.finding(Severity::Stops, cable.id, headline);
        finding.related = ports.iter().map(|p| (*p).into()).collect();
        finding.evidence = vec![
            Evidence::number("in use", ports.len() as f64, "cables"),
            Evidence::number("at hand", there as f64, "cables"),
        ];
        finding.hints = vec![format!(
            "Borrow {} more, or use other radios",
            ports.len() - there
        )];
        finding.fixes = swap(picture, &cabling, cable, ports, &donors)
            .into_iter()
            .collect();
        out.push(finding);
    }
}

/// Gives the ports beyond the count another kind that fits, where there is enough of it.
fn swap(
    picture: &Picture,
    cabling: &Cabling<'_>,
    cable: &Cable,
    ports: &[PortRef],
    donors: &BTreeMap<PortRef, Donor<'_>>,
) -> Option<Fix> {
    let mut taken: BTreeMap<CableId, usize> = BTreeMap::new();
    let mut edits = Vec::new();
    let mut names = Vec::new();
    for port in ports.iter().skip(cable.count as usize) {
        let donor = donors.get(port)?;
        let socket = picture.scenario().port(*port)?;
        let fitting = cabling.fitting(donor.radio, socket);
        let other = fitting.into_iter().find(|other| {
            let left = cabling.spare(other);
            other.id != cable.id && left > taken.get(&other.id).copied().unwrap_or(0)
        })?;
        *taken.entry(other.id).or_default() += 1;
        names.push(other.name.clone());
        let fix = cabling.take(picture, *port, donor.radio, other, Grade::Ask);
        edits.extend(fix.edits);
    }
    names.sort_unstable();
    names.dedup();
    Some(Fix {
        title: format!("Take cable {} for the rest", say::list(&names)),
        grade: Grade::Ask,
        edits,
    })
}

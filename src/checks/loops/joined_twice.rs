//! Audio goes round in a loop of talk groups.
//!
//! ## What it flags
//! Talk groups of two or more gateways that are joined by more than one way, so that what leaves one
//! comes back to it.
//!
//! ## Why it matters
//! A loop never drops: each donor keeps the next one keyed, the channels are blocked, and every word
//! returns as an echo until somebody unplugs a cable.
//!
//! ## How it decides
//! Entries of ports are nodes; an edge leads from a port's entry to every entry that hears what the
//! other ports of its talk group send. Each strongly connected part of this graph is one finding,
//! told by a shortest cycle through it.
//!
//! ## Severity
//! Stops: both channels are lost for as long as it lasts.
//!
//! ## Example
//! Box North and Box South both join the fire net and the ambulance net.
//!
//! ## Source
//! Warned of in published interoperability plans (from memory); the test is reasoning on the graph of
//! nets and patches.

use std::collections::BTreeSet;

use crate::checks::Check;
use crate::model::{Edit, Evidence, Finding, Fix, Grade, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "L01",
    name: "joined-twice",
    severity: Severity::Stops,
    text: include_str!("joined_twice.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut seen = BTreeSet::new();
    for found in picture.hearing().loops() {
        let Some(first) = found.groups.first() else {
            continue;
        };
        // The same loop can be walked in two directions; it is one finding.
        if !seen.insert(found.groups.clone()) {
            continue;
        }
        let names: Vec<String> = found
            .groups
            .iter()
            .map(|g| scenario.name((*g).into()))
            .collect();
        let headline = format!("Audio goes round between {}", names.join(" and "));
        let mut finding = CHECK.finding(Severity::Stops, *first, headline);
        finding.related = found
            .groups
            .iter()
            .map(|g| (*g).into())
            .chain(found.donors.iter().map(|d| (*d).into()))
            .collect();
        finding.evidence = vec![
            Evidence::number(
                "talk groups in the loop",
                found.groups.len() as f64,
                "talk groups",
            ),
            Evidence::number(
                "donors that keep it up",
                found.donors.len() as f64,
                "radios",
            ),
        ];
        finding.hints = vec!["Let one gateway only join any two nets".to_owned()];
        finding.fixes = found
            .ports
            .iter()
            .rev()
            .map(|port| Fix {
                title: format!("Switch {} to none", scenario.name((*port).into())),
                grade: Grade::Ask,
                edits: vec![Edit::Switch {
                    phase: picture.phase_id(),
                    port: *port,
                    group: None,
                }],
            })
            .collect();
        out.push(finding);
    }
}

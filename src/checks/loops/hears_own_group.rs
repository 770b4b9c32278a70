//! A donor hears another donor of its own talk group off the air.
//!
//! ## What it flags
//! Two ports of one talk group of which one receives what the other sends, on another frequency or by
//! way of a repeater.
//!
//! ## Why it matters
//! A message that comes in by the first keys the second, which the first hears again: it feeds back
//! round the box, and the group stays keyed.
//!
//! ## How it decides
//! What each donor sends, and what repeaters make of it, is set against what the other donors of its
//! talk group listen for, scanned channels among them. Two donors that send on the same frequency are
//! left to the check on one channel present twice.
//!
//! ## Severity
//! Stops: neither channel can be used.
//!
//! ## Example
//! Port 1 is on the repeater, port 2 on its talk-around channel.
//!
//! ## Source
//! Loops by a shared channel and by a repeater are listed among common faults of patches; the test is
//! reasoning on what each donor hears.

use std::collections::BTreeMap;

use crate::checks::Check;
use crate::hearing::rules::{self, Spot};
use crate::model::{Edit, Evidence, Finding, Fix, Grade, PortRef, Severity, TalkGroupRef};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "L02",
    name: "hears-own-group",
    severity: Severity::Stops,
    text: include_str!("hears_own_group.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let echoes = picture.hearing().own_echoes();
    if echoes.is_empty() {
        return;
    }
    let scenario = picture.scenario();
    let spots: BTreeMap<PortRef, Spot> = picture
        .donors()
        .filter_map(|donor| {
            let tuned = donor.tuned?;
            let system = scenario.systems.get(tuned.channel.system)?;
            let signal = rules::signal_of(donor.radio, tuned.entry, tuned.channel, system).ok()?;
            Some((donor.port, signal.spot))
        })
        .collect();
    // For each two ports, those that hear the other.
    let mut pairs: BTreeMap<(TalkGroupRef, PortRef, PortRef), Vec<PortRef>> = BTreeMap::new();
    for echo in echoes {
        let (a, b) = (echo.sender.min(echo.hearer), echo.sender.max(echo.hearer));
        let is_same = spots
            .get(&a)
            .is_some_and(|spot| spots.get(&b) == Some(spot));
        if !is_same {
            pairs
                .entry((echo.group, a, b))
                .or_default()
                .push(echo.hearer);
        }
    }
    for ((group, a, b), hearers) in pairs {
        let name = scenario.name(group.into());
        let headline = match hearers.as_slice() {
            [hearer] => {
                let sender = if *hearer == a { b } else { a };
                format!(
                    "{name}: port {} hears port {} off the air",
                    hearer.port, sender.port
                )
            }
            _ => format!(
                "{name}: ports {} and {} hear each other off the air",
                a.port, b.port
            ),
        };
        let mut finding = CHECK.finding(Severity::Stops, group, headline);
        finding.related = vec![a.into(), b.into()];
        finding.evidence = hearers
            .iter()
            .map(|port| Evidence::thing("hears the other", *port))
            .collect();
        finding.hints = vec!["Leave one of the two in the talk group: it carries both".to_owned()];
        finding.fixes = [b, a]
            .into_iter()
            .map(|port| Fix {
                title: format!("Switch {} to none", scenario.name(port.into())),
                grade: Grade::Ask,
                edits: vec![Edit::Switch {
                    phase: picture.phase_id(),
                    port,
                    group: None,
                }],
            })
            .collect();
        out.push(finding);
    }
}

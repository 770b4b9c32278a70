//! A channel is used by an agency that its agreements do not list.
//!
//! ## What it flags
//! A channel that some agreement lists, selected on a radio that could send and is used by an agency
//! which none of those agreements lists.
//!
//! ## Why it matters
//! The agreement says whose channel it is to use. Strangers on it disturb those who count on it, and
//! their radios may be told off the air by the owner.
//!
//! ## How it decides
//! The agency is that of the unit that holds the radio, or the radio's owner for a donor. Channels that
//! no agreement lists are not judged, nor are radios of nobody's, nor entries for listening only.
//!
//! ## Severity
//! Warns: it works until the owner objects.
//!
//! ## Example
//! The county's tactical channel is lent to fire and police; the works crew has selected it as well.
//!
//! ## Source
//! Follows from the agreements noted in the plan.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::authority::agencies;
use crate::checks::{Check, say};
use crate::model::{AgencyId, ChannelId, Evidence, Finding, Severity, ThingId};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "A02",
    name: "channel-without-agreement",
    severity: Severity::Warns,
    text: include_str!("channel_without_agreement.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let mut allowed: BTreeMap<ChannelId, BTreeSet<AgencyId>> = BTreeMap::new();
    for paper in scenario.agreements.iter() {
        for channel in &paper.channels {
            let agencies = allowed.entry(*channel).or_default();
            agencies.extend(&paper.agencies);
        }
    }
    for (channel, allowed) in allowed {
        let mut strangers: BTreeMap<AgencyId, usize> = BTreeMap::new();
        for (radio, entry) in picture.users_of(channel) {
            if let Some(agency) = agencies::user(picture, radio)
                && !entry.receive_only
                && !allowed.contains(&agency)
            {
                *strangers.entry(agency).or_default() += 1;
            }
        }
        if strangers.is_empty() {
            continue;
        }
        let names: Vec<String> = strangers
            .keys()
            .map(|a| scenario.name((*a).into()))
            .collect();
        let radios: usize = strangers.values().sum();
        let headline = format!(
            "{} of {} {} on {}, and no agreement for it lists {}",
            say::count(radios, "radio"),
            say::list(&names),
            if radios == 1 { "is" } else { "are" },
            scenario.name(channel.into()),
            if names.len() == 1 {
                "that agency"
            } else {
                "those agencies"
            }
        );
        let mut finding = CHECK.finding(Severity::Warns, channel, headline);
        finding.related = strangers.keys().map(|a| ThingId::from(*a)).collect();
        finding.evidence = vec![
            Evidence::number("radios", radios as f64, "radios"),
            Evidence::number("agencies not listed", strangers.len() as f64, "agencies"),
        ];
        finding.hints = vec![
            "Ask the channel's owner for leave and add the agency to the agreement, or select another channel"
                .to_owned(),
        ];
        out.push(finding);
    }
}

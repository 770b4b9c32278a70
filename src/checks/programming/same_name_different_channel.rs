//! Two channels read the same on the radios and are in different places on the air.
//!
//! ## What it flags
//! Channels programmed in radios under the same name, but on different frequencies or groups.
//!
//! ## Why it matters
//! "Go to TAC 1" sends two crews to two nets, and both believe they are on the right one.
//!
//! ## How it decides
//! Names are compared as they read on the radios, labels included, without regard to case, spaces and
//! dashes. Channels that no radio has are left out. A radio that has one channel on a wrong frequency
//! is left to the check on deviations.
//!
//! ## Severity
//! Warns: it goes wrong the first time somebody is sent there by name.
//!
//! ## Example
//! The county's TAC 1 is 154.1300 MHz and the city's TAC-1 is 460.1500 MHz.
//!
//! ## Source
//! Named among common faults of plans; that channels go by one standard name, eight characters at most,
//! is ANSI/APCO 1.104 (from memory).

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::{Check, say};
use crate::engineering::rf::national::plain;
use crate::hearing::rules::Spot;
use crate::model::{Carrier, Channel, ChannelId, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P06",
    name: "same-name-different-channel",
    severity: Severity::Warns,
    text: include_str!("same_name_different_channel.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let clashes: BTreeMap<Vec<ChannelId>, String> = names(picture)
        .into_iter()
        .filter(|(_, channels)| channels.len() > 1)
        .map(|(name, channels)| (channels.into_iter().collect(), name))
        .collect();
    for (ids, name) in clashes {
        let channels: Vec<&Channel> = ids
            .iter()
            .filter_map(|id| picture.scenario().channels.get(*id))
            .collect();
        let spots: BTreeSet<(Spot, Spot)> = channels.iter().map(|c| spots(c)).collect();
        let [first, others @ ..] = channels.as_slice() else {
            continue;
        };
        if spots.len() < 2 {
            continue;
        }
        let shown = if plain(&first.name) == name {
            &first.name
        } else {
            &name
        };
        let places: Vec<String> = spots
            .iter()
            .map(|(rx, tx)| {
                if rx == tx {
                    say::spot(*rx)
                } else {
                    format!("{} sending on {}", say::spot(*rx), say::spot(*tx))
                }
            })
            .collect();
        let headline = format!(
            "{} read {shown} on the radios: {}",
            say::count(channels.len(), "channel"),
            say::list(&places)
        );
        let mut finding = CHECK.finding(Severity::Warns, first.id, headline);
        finding.related = others.iter().map(|c| c.id.into()).collect();
        for (rx, tx) in spots {
            finding
                .evidence
                .push(Evidence::text("receives on", say::spot(rx)));
            finding
                .evidence
                .push(Evidence::text("sends on", say::spot(tx)));
        }
        finding.hints = vec![
            "Give each its own name, and tell the crews before they are sent there".to_owned(),
        ];
        out.push(finding);
    }
}

/// Lists the channels that read alike on radios, by their plain name.
fn names(picture: &Picture) -> BTreeMap<String, BTreeSet<ChannelId>> {
    let scenario = picture.scenario();
    let ids: Vec<ChannelId> = scenario.channels.ids().collect();
    let mut is_shown = vec![false; ids.len()];
    let mut names: BTreeMap<String, BTreeSet<ChannelId>> = BTreeMap::new();
    for entry in scenario.radios.iter().flat_map(|r| &r.programmed) {
        if let Some(label) = &entry.label {
            names.entry(plain(label)).or_default().insert(entry.channel);
        } else if let Ok(index) = ids.binary_search(&entry.channel)
            && let Some(is_shown) = is_shown.get_mut(index)
        {
            *is_shown = true;
        }
    }
    for (channel, _) in scenario.channels.iter().zip(is_shown).filter(|(_, s)| *s) {
        names
            .entry(plain(&channel.name))
            .or_default()
            .insert(channel.id);
    }
    names
}

fn spots(channel: &Channel) -> (Spot, Spot) {
    match channel.carrier {
        Carrier::Conventional(c) => (Spot::Frequency(c.rx), Spot::Frequency(c.tx)),
        Carrier::Grouped { group, .. } => {
            let spot = Spot::Group {
                system: channel.system,
                group,
            };
            (spot, spot)
        }
    }
}

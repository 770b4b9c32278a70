//! A radio lacks the key of a channel it has.
//!
//! ## What it flags
//! A radio with a protected channel whose key is not loaded.
//!
//! ## Why it matters
//! Without the key the set neither sends on an always-encrypted channel nor understands it. Most sets
//! only beep.
//!
//! ## How it decides
//! The key asked for is that of the entry as programmed; algorithm and number must both be loaded.
//! Radios that hold the number under another algorithm are left to the check on algorithms when the
//! channel is selected.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use and it must send with the key. Warns when its
//! secure switch is off and others on the channel send with the key. Notes when all there are in clear,
//! and when the channel is only programmed: all such channels of one radio make one finding.
//!
//! ## Example
//! Patrol 7's set was in the workshop on the day the keys were changed.
//!
//! ## Source
//! Follows from the derivation; key number and algorithm as in TIA-102.BAAC.

use std::collections::BTreeSet;

use crate::checks::encryption::sending::sent_key;
use crate::checks::{Check, say};
use crate::model::{
    Channel, ChannelId, Edit, Evidence, Finding, Fix, Grade, KeyRef, Protection, Radio, RadioId,
    Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "E02",
    name: "key-missing",
    severity: Severity::Stops,
    text: include_str!("key_missing.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let deviating = picture
        .differing()
        .filter(|(_, tuned)| tuned.entry.protection.is_some_and(|p| p.key().is_some()))
        .map(|(_, tuned)| tuned.channel.id);
    let deviating: BTreeSet<ChannelId> = deviating.collect();
    let is_protected = |c: &Channel| c.protection.key().is_some() || deviating.contains(&c.id);
    // By their place in the table, since every entry of every radio is asked about.
    let protected: Vec<bool> = scenario.channels.iter().map(is_protected).collect();
    let is_protected = |id| {
        let place = scenario.channels.place_of(id);
        place.and_then(|place| protected.get(place)) == Some(&true)
    };
    if !protected.contains(&true) {
        return;
    }
    let mut is_selected: BTreeSet<(RadioId, ChannelId)> = BTreeSet::new();
    for channel in scenario.channels.iter().filter(|c| is_protected(c.id)) {
        selected(out, picture, channel, &mut is_selected);
    }
    for radio in scenario.radios.iter() {
        let lacking: Vec<(&Channel, KeyRef)> = radio
            .programmed
            .iter()
            .filter_map(|entry| {
                let id = Some(entry.channel).filter(|id| is_protected(*id))?;
                let channel = scenario.channels.get(id)?;
                let key = entry.effective(channel).protection.key()?;
                let is_lacking =
                    !radio.keys.contains(&key) && !is_selected.contains(&(radio.id, channel.id));
                is_lacking.then_some((channel, key))
            })
            .collect();
        if !lacking.is_empty() {
            out.push(notes(radio, &lacking));
        }
    }
}

/// Judges the radios in use on a channel, and marks those it has judged.
fn selected(
    out: &mut Vec<Finding>,
    picture: &Picture,
    channel: &Channel,
    judged: &mut BTreeSet<(RadioId, ChannelId)>,
) {
    let in_use: BTreeSet<KeyRef> = picture
        .users_of(channel.id)
        .filter_map(|(_, entry)| sent_key(entry, &entry.effective(channel)))
        .collect();
    for (radio, entry) in picture.users_of(channel.id) {
        let Some(key) = entry.effective(channel).protection.key() else {
            continue;
        };
        if radio.keys.contains(&key) {
            continue;
        }
        judged.insert((radio.id, channel.id));
        if radio.keys.iter().any(|k| k.number == key.number) {
            continue;
        }
        let is_always = matches!(entry.effective(channel).protection, Protection::Always(_));
        let severity = if is_always || entry.secure {
            Severity::Stops
        } else if in_use.contains(&key) {
            Severity::Warns
        } else {
            Severity::Notes
        };
        let headline = format!("{} is on {} and lacks {key}", radio.name, channel.name);
        let mut finding = CHECK.finding(severity, radio.id, headline);
        finding.related = vec![channel.id.into()];
        finding.evidence = vec![Evidence::text("key it lacks", key)];
        finding.hints = vec!["Load the key, or put the radio on a channel in clear".to_owned()];
        finding.fixes = vec![load(radio, &[key])];
        out.push(finding);
    }
}

fn notes(radio: &Radio, lacking: &[(&Channel, KeyRef)]) -> Finding {
    let names: Vec<String> = lacking.iter().map(|(c, _)| c.name.clone()).collect();
    let keys: BTreeSet<KeyRef> = lacking.iter().map(|(_, key)| *key).collect();
    let keys: Vec<KeyRef> = keys.into_iter().collect();
    let words: Vec<String> = keys.iter().map(ToString::to_string).collect();
    let headline = format!(
        "{} has {} programmed and lacks {}",
        radio.name,
        say::list(&names),
        say::list(&words)
    );
    let mut finding = CHECK.finding(Severity::Notes, radio.id, headline);
    finding.related = lacking.iter().map(|(c, _)| c.id.into()).collect();
    finding.evidence = words
        .iter()
        .map(|k| Evidence::text("key it lacks", k))
        .collect();
    finding.fixes = vec![load(radio, &keys)];
    finding
}

fn load(radio: &Radio, keys: &[KeyRef]) -> Fix {
    let words: Vec<String> = keys.iter().map(ToString::to_string).collect();
    Fix {
        title: format!("Load {} into {}", say::list(&words), radio.name),
        grade: Grade::Ask,
        edits: keys
            .iter()
            .map(|key| Edit::LoadKey {
                radio: radio.id,
                key: *key,
            })
            .collect(),
    }
}

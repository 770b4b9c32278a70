//! A radio stays mute to others on its channel because they send in clear.
//!
//! ## What it flags
//! A radio set to receive encrypted traffic only, on a channel where others in use send in clear.
//!
//! ## Why it matters
//! It transmits and is heard, and the answer does not come: the caller believes the others are out of
//! reach.
//!
//! ## How it decides
//! Among the radios in use on a channel, those that mute clear traffic, as programmed, are set against
//! those that send in clear.
//!
//! ## Severity
//! Warns.
//!
//! ## Example
//! The task force's sets are strapped to secure, and the county's donor has its switch off.
//!
//! ## Source
//! A receiver strapped to secure mutes clear replies: field practice (from memory); follows from the
//! derivation.

use crate::checks::encryption::sending::sent_key;
use crate::checks::{Check, say};
use crate::model::{
    Channel, Edit, Evidence, Finding, Fix, Grade, Programmed, Radio, RadioId, Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "E06",
    name: "mutes-clear-partners",
    severity: Severity::Warns,
    text: include_str!("mutes_clear_partners.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for (channel, _) in picture.users_in_question() {
        let mute: Vec<(&Radio, &Programmed)> = picture
            .users_of(channel.id)
            .filter(|(_, entry)| entry.effective(channel).encrypted_only)
            .collect();
        if mute.is_empty() {
            continue;
        }
        let clear: Vec<RadioId> = picture
            .users_of(channel.id)
            .filter(|(_, entry)| !entry.receive_only)
            .filter(|(_, entry)| sent_key(entry, &entry.effective(channel)).is_none())
            .map(|(radio, _)| radio.id)
            .collect();
        // A radio alone in sending clear is not mute to itself.
        let mute: Vec<(&Radio, &Programmed)> = mute
            .into_iter()
            .filter(|(radio, _)| clear.iter().any(|sender| *sender != radio.id))
            .collect();
        if !mute.is_empty() {
            out.push(finding(channel, &mute, clear.len()));
        }
    }
}

fn finding(channel: &Channel, mute: &[(&Radio, &Programmed)], clear: usize) -> Finding {
    let who = match mute {
        [(one, _)] => format!("{} stays", one.name),
        many => format!("{} stay", say::count(many.len(), "radio")),
    };
    let headline = format!(
        "{}: {who} mute to clear traffic, which {} there {}",
        channel.name,
        say::count(clear, "radio"),
        if clear == 1 { "sends" } else { "send" }
    );
    let mut finding = CHECK.finding(Severity::Warns, channel.id, headline);
    finding.related = mute.iter().map(|(r, _)| r.id.into()).collect();
    finding.evidence = vec![
        Evidence::number(
            "radios that mute clear traffic",
            mute.len() as f64,
            "radios",
        ),
        Evidence::number("radios that send in clear", clear as f64, "radios"),
    ];
    finding.hints = vec!["Switch all on the channel to secure, or let these hear clear".to_owned()];
    finding.fixes = vec![Fix {
        title: format!(
            "Let {} hear clear traffic on {}",
            match mute {
                [(one, _)] => one.name.clone(),
                many => say::count(many.len(), "radio"),
            },
            channel.name
        ),
        grade: Grade::Ask,
        edits: mute
            .iter()
            .map(|(radio, entry)| Edit::Program {
                radio: radio.id,
                entry: Programmed {
                    encrypted_only: channel.encrypted_only.then_some(false),
                    ..(*entry).clone()
                },
            })
            .collect(),
    }];
    finding
}

//! On a channel with optional encryption some send encrypted and others in clear.
//!
//! ## What it flags
//! A channel whose encryption is by switch, on which radios in use have the switch on and others off.
//!
//! ## Why it matters
//! Who holds the key hears both and does not notice that half of the talk is open; who does not hears
//! one half of every conversation.
//!
//! ## How it decides
//! The switches of the radios in use on the channel are compared; sets that only listen do not count.
//!
//! ## Severity
//! Warns.
//!
//! ## Example
//! On LAW 2 three sets are switched to secure, and the donor is in clear.
//!
//! ## Source
//! Follows from the derivation; that clear replies go unnoticed is field practice, no source.

use crate::checks::encryption::sending::sent_key;
use crate::checks::{Check, say};
use crate::model::{
    Channel, Edit, Evidence, Finding, Fix, Grade, Programmed, Protection, Radio, Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "E05",
    name: "secure-switch-split",
    severity: Severity::Warns,
    text: include_str!("secure_switch_split.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for (channel, _) in picture.users_in_question() {
        let Protection::Optional(key) = channel.protection else {
            continue;
        };
        let (secure, clear): (Vec<_>, Vec<_>) = picture
            .users_of(channel.id)
            .filter(|(_, entry)| !entry.receive_only)
            .partition(|(_, entry)| sent_key(entry, &entry.effective(channel)).is_some());
        if secure.is_empty() || clear.is_empty() {
            continue;
        }
        let fewer = if secure.len() < clear.len() {
            &secure
        } else {
            &clear
        };
        let send = |n: usize| {
            let verb = if n == 1 { "sends" } else { "send" };
            format!("{} {verb}", say::count(n, "radio"))
        };
        let headline = format!(
            "{}: {} with {key}, {} in clear",
            channel.name,
            send(secure.len()),
            send(clear.len())
        );
        let mut finding = CHECK.finding(Severity::Warns, channel.id, headline);
        finding.related = fewer.iter().map(|(r, _)| r.id.into()).collect();
        finding.evidence = vec![
            Evidence::number("radios that send encrypted", secure.len() as f64, "radios"),
            Evidence::number("radios that send in clear", clear.len() as f64, "radios"),
        ];
        finding.hints = vec!["Tell all on the channel which way it is worked".to_owned()];
        finding.fixes = [switch_on(channel, &clear), switch_off(channel, &secure)]
            .into_iter()
            .flatten()
            .collect();
        out.push(finding);
    }
}

fn switch_on(channel: &Channel, clear: &[(&Radio, &Programmed)]) -> Option<Fix> {
    let able = clear.iter().all(|(radio, entry)| {
        matches!(entry.effective(channel).protection, Protection::Optional(key) if radio.keys.contains(&key))
    });
    able.then(|| switch(channel, clear, true))
}

fn switch_off(channel: &Channel, secure: &[(&Radio, &Programmed)]) -> Option<Fix> {
    secure
        .iter()
        .all(|(_, entry)| entry.secure)
        .then(|| switch(channel, secure, false))
}

fn switch(channel: &Channel, radios: &[(&Radio, &Programmed)], secure: bool) -> Fix {
    let whose = match radios {
        [(radio, _)] => radio.name.clone(),
        many => say::count(many.len(), "radio"),
    };
    Fix {
        title: format!(
            "Turn the secure switch of {whose} {} for {}",
            if secure { "on" } else { "off" },
            channel.name
        ),
        grade: Grade::Ask,
        edits: radios
            .iter()
            .map(|(radio, entry)| Edit::Program {
                radio: radio.id,
                entry: Programmed {
                    secure,
                    ..(*entry).clone()
                },
            })
            .collect(),
    }
}

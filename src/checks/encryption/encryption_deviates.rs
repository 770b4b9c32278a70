//! A radio has other encryption on a channel than the channel has.
//!
//! ## What it flags
//! An entry whose encryption, or whose muting of clear traffic, differs from the channel's definition.
//!
//! ## Why it matters
//! On an encrypted channel one set in clear gives everything away; one with another key is heard by
//! nobody.
//!
//! ## How it decides
//! The entry is compared with the definition: which key would be sent with, the secure switch taken into
//! account, and which of the others on the channel hold that key.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use and it sends in clear where the channel is
//! always encrypted, or with a key that others there lack; warns for the same when it is only
//! programmed. Notes when only the muting differs or the same key is sent all the same. Warns otherwise.
//!
//! ## Example
//! LAW 2 is always encrypted; the spare set has it in clear.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::Check;
use crate::checks::encryption::sending::sent_key;
use crate::checks::programming::deviation::{self, Aspect, Deviant};
use crate::model::{Evidence, Finding, Protection, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "E07",
    name: "encryption-deviates",
    severity: Severity::Stops,
    text: include_str!("encryption_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for deviant in deviation::deviants(picture, Aspect::Encryption) {
        let (found, defined) = (&deviant.found, &deviant.defined);
        let what = if found.protection == defined.protection {
            if found.encrypted_only {
                "stays mute to clear traffic, which the channel lets in".to_owned()
            } else {
                "lets in clear traffic, to which the channel stays mute".to_owned()
            }
        } else {
            format!("is {} instead of {}", found.protection, defined.protection)
        };
        let mut finding = deviant.finding(&CHECK, severity(picture, &deviant), &what);
        finding.evidence = vec![
            Evidence::text("encryption", found.protection),
            Evidence::text("encryption as defined", defined.protection),
            Evidence::text("mutes clear traffic", found.encrypted_only),
        ];
        out.push(finding);
    }
}

fn severity(picture: &Picture, deviant: &Deviant<'_>) -> Severity {
    let (found, defined) = (&deviant.found, &deviant.defined);
    if found.protection == defined.protection {
        return Severity::Notes;
    }
    let sent = sent_key(deviant.entry, found);
    let meant = sent_key(deviant.entry, defined);
    let leaks = matches!(defined.protection, Protection::Always(_)) && sent.is_none();
    let is_strange = sent.filter(|key| Some(*key) != meant).is_some_and(|key| {
        picture
            .users_of(deviant.channel.id)
            .any(|(radio, _)| radio.id != deviant.radio.id && !radio.keys.contains(&key))
    });
    if (leaks || is_strange) && deviant.is_selected {
        Severity::Stops
    } else if sent == meant && found.protection.key() == defined.protection.key() {
        Severity::Notes
    } else {
        Severity::Warns
    }
}

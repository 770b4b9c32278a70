//! Radios on one channel hold the same key number under different algorithms.
//!
//! ## What it flags
//! A radio that lacks the key of its channel but holds a key of the same number under another algorithm.
//!
//! ## Why it matters
//! The number on the display is right, so nobody suspects the key. A key works only under its own
//! algorithm: the set hears noise or nothing.
//!
//! ## How it decides
//! For the radios in use on a protected channel the key asked for, as programmed, is compared with the
//! keys loaded.
//!
//! ## Severity
//! Stops when one of them must send with the key. Warns when all of them have the secure switch off.
//!
//! ## Example
//! The channel asks for AES-256 key 12; the task force brought key 12 as DES-OFB.
//!
//! ## Source
//! TIA-102.BAAC: algorithm and key number go together on the air; field practice that both must match.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::encryption::sending::sent_key;
use crate::checks::{Check, say};
use crate::model::{Algorithm, Edit, Evidence, Finding, Fix, Grade, KeyRef, Radio, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "E03",
    name: "same-number-other-algorithm",
    severity: Severity::Stops,
    text: include_str!("same_number_other_algorithm.rs"),
    run,
};

#[derive(Default)]
struct Wrong<'a> {
    radios: Vec<&'a Radio>,
    algorithms: BTreeSet<Algorithm>,
    must_send: bool,
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for (channel, _) in picture.users_in_question() {
        let mut wrong: BTreeMap<KeyRef, Wrong<'_>> = BTreeMap::new();
        for (radio, entry) in picture.users_of(channel.id) {
            let effective = entry.effective(channel);
            let Some(key) = effective.protection.key() else {
                continue;
            };
            if radio.keys.contains(&key) {
                continue;
            }
            let others: Vec<Algorithm> = radio
                .keys
                .iter()
                .filter(|k| k.number == key.number)
                .map(|k| k.algorithm)
                .collect();
            if !others.is_empty() {
                let wrong = wrong.entry(key).or_default();
                wrong.radios.push(radio);
                wrong.algorithms.extend(others);
                wrong.must_send |= sent_key(entry, &effective).is_some();
            }
        }
        for (key, wrong) in wrong {
            let algorithms: Vec<String> =
                wrong.algorithms.iter().map(ToString::to_string).collect();
            let who = match wrong.radios.as_slice() {
                [one] => format!("{} holds", one.name),
                many => format!("{} hold", say::count(many.len(), "radio")),
            };
            let headline = format!(
                "{}: {who} key {} under {}, the channel asks for {}",
                channel.name,
                key.number,
                say::list(&algorithms),
                key.algorithm
            );
            let severity = if wrong.must_send {
                Severity::Stops
            } else {
                Severity::Warns
            };
            let mut finding = CHECK.finding(severity, channel.id, headline);
            finding.related = wrong.radios.iter().map(|r| r.id.into()).collect();
            finding.evidence = algorithms
                .iter()
                .map(|a| Evidence::text("algorithm held", a))
                .chain([Evidence::text("key asked for", key)])
                .collect();
            finding.hints = vec![
                "Ask the key's owner under which algorithm it was meant to be loaded".to_owned(),
            ];
            let into = match wrong.radios.as_slice() {
                [one] => one.name.clone(),
                many => say::count(many.len(), "radio"),
            };
            finding.fixes = vec![Fix {
                title: format!("Load {key} into {into}"),
                grade: Grade::Ask,
                edits: wrong
                    .radios
                    .iter()
                    .map(|radio| Edit::LoadKey {
                        radio: radio.id,
                        key,
                    })
                    .collect(),
            }];
            out.push(finding);
        }
    }
}

//! A radio of the plan would send where land mobile radio may not.
//!
//! ## What it flags
//! A channel in use on which some radio would send, and which is a frequency for distress, a weather
//! broadcast, the air band in another mode than AM, a marine channel, or an amateur band joined by a
//! gateway.
//!
//! ## Why it matters
//! Whoever is in distress is covered by the joined traffic of a whole incident. On a marine or air
//! channel crews and towers far outside the incident hear it, and none of them can be asked to stop.
//!
//! ## How it decides
//! The transmit frequency and the mode of each radio in use are read as programmed on its selected
//! channel; entries for listening only do not count. A list of frequencies is looked through: 118 to
//! 136.975 MHz with another mode than AM; 121.5 and 243.0 MHz; 156.525 MHz, where only digital
//! selective calling is sent; 156.8 MHz; the other marine channels of the list; seven weather channels;
//! 406.0 to 406.1 MHz, for satellite distress beacons; 144 to 148 and 222 to 225 MHz where a donor on a
//! talk group sends. It stands for the United States.
//!
//! ## Severity
//! Warns where voice of that kind has no place at all, and where a donor on a talk group sends on a
//! distress frequency: everything joined then goes out there. Notes for a radio that somebody holds on
//! a distress frequency, for marine channels, which need a licence or a special temporary authority on
//! land, and for amateur bands, which need a control operator and a legal basis.
//!
//! ## Example
//! A donor for the rescue helicopter was set to 123.1 MHz in FM.
//!
//! ## Source
//! Weather and marine channels, licence for land use of marine ones: National Interoperability Field
//! Operations Guide. From memory: limits of the air band, 121.5 and 243.0 MHz, marine channel 70, the
//! uses of marine channels 6, 9 and 13, 406 MHz beacons, 47 CFR 97.113. The rules in force decide.

use std::collections::BTreeMap;

use crate::checks::{Check, say};
use crate::model::{Carrier, Evidence, Finding, Frequency, Mode, Programmed, Radio, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I08",
    name: "transmits-on-a-protected-frequency",
    severity: Severity::Warns,
    text: include_str!("transmits_on_a_protected_frequency.rs"),
    run,
};

/// Marine channels of the list but 16 and 70: their number and kilohertz.
const MARINE: [(&str, u64); 10] = [
    ("6", 156_300),
    ("9", 156_450),
    ("13", 156_650),
    ("17", 156_850),
    ("21A", 157_050),
    ("22A", 157_100),
    ("23A", 157_150),
    ("81A", 157_075),
    ("82A", 157_125),
    ("83A", 157_175),
];

/// What protects a frequency.
struct Rule {
    severity: Severity,
    /// Follows a comma.
    what: String,
    hint: &'static str,
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let Some(phase) = picture.phase() else { return };
    for (channel, _) in picture.users_in_question() {
        let mut senders: BTreeMap<(Frequency, Mode), Vec<(&Radio, &Programmed)>> = BTreeMap::new();
        for (radio, entry) in picture.users_of(channel.id) {
            if let Carrier::Conventional(c) = entry.effective(channel).carrier
                && !entry.receive_only
            {
                let alike = senders.entry((c.tx, c.mode)).or_default();
                alike.push((radio, entry));
            }
        }
        for ((tx, mode), radios) in senders {
            let is_patched = radios.iter().any(|(radio, _)| {
                let port = picture.port_of(radio.id);
                port.is_some_and(|port| phase.group_of(port).is_some())
            });
            let Some(rule) = rule(tx, mode, is_patched) else {
                continue;
            };
            let headline = format!(
                "{} would send on {} ({tx}, {mode}), {}",
                match radios.as_slice() {
                    [(one, _)] => one.name.clone(),
                    many => say::count(many.len(), "radio"),
                },
                channel.name,
                rule.what
            );
            let mut finding = CHECK.finding(rule.severity, channel.id, headline);
            // Radios that only follow the channel's definition are cured by it.
            let deviates = |entry: &Programmed| entry.tx.is_some() || entry.mode.is_some();
            finding.related = radios
                .iter()
                .filter(|(_, entry)| deviates(entry))
                .map(|(radio, _)| radio.id.into())
                .collect();
            finding.evidence = vec![
                Evidence::text("sends on", tx),
                Evidence::text("mode", mode),
                Evidence::number("radios", radios.len() as f64, "radios"),
                Evidence::text("joined by a gateway", if is_patched { "yes" } else { "no" }),
            ];
            finding.hints = vec![rule.hint.to_owned()];
            out.push(finding);
        }
    }
}

/// Returns what protects a frequency against voice of a mode.
fn rule(tx: Frequency, mode: Mode, is_patched: bool) -> Option<Rule> {
    let hertz = tx.hertz();
    let on = |khz: u64| hertz == khz * 1000;
    let within = |low_khz: u64, high_khz: u64| (low_khz * 1000..=high_khz * 1000).contains(&hertz);
    let if_patched = if is_patched {
        Severity::Warns
    } else {
        Severity::Notes
    };
    let rule = |severity, what: &str, hint| {
        Some(Rule {
            severity,
            what: what.to_owned(),
            hint,
        })
    };
    if on(121_500) || on(243_000) {
        return rule(
            if_patched,
            "the emergency frequency of aircraft",
            "Program it for listening only, and take another air frequency for the incident",
        );
    }
    if within(118_000, 136_975) && mode != Mode::Am {
        return rule(
            Severity::Warns,
            "in the air band, where voice is AM and nothing else",
            "Set the channel to AM on a set that has it, on a frequency assigned for the incident",
        );
    }
    if on(156_525) {
        return rule(
            Severity::Warns,
            "marine channel 70, for digital selective calling and never for voice",
            "Take another channel",
        );
    }
    if on(156_800) {
        return rule(
            if_patched,
            "marine channel 16, for distress, safety and calling",
            "Listen there, and agree on a working channel with the coast guard",
        );
    }
    if let Some((number, _)) = MARINE.iter().find(|(_, khz)| on(*khz)) {
        let what = format!("marine channel {number}");
        return rule(
            Severity::Notes,
            &what,
            "Use on land needs a licence or a special temporary authority: see that there is one",
        );
    }
    if (0..7).any(|step| on(162_400 + 25 * step)) {
        return rule(
            Severity::Warns,
            "a weather broadcast channel, for listening only",
            "Program it for listening only",
        );
    }
    if within(406_000, 406_100) {
        return rule(
            Severity::Warns,
            "in the band of satellite distress beacons",
            "Take another channel: a signal there starts a search",
        );
    }
    if is_patched && (within(144_000, 148_000) || within(222_000, 225_000)) {
        return rule(
            Severity::Notes,
            "in an amateur band, joined by a gateway",
            "Joining it with public safety needs an amateur control operator and a legal basis",
        );
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frequencies_are_told_apart() {
        let what = |mhz: f64, mode, is_patched| {
            let found = rule(Frequency::from_mhz(mhz).unwrap(), mode, is_patched);
            found.map(|r| (r.severity, r.what))
        };
        let severity = |mhz, mode, is_patched| what(mhz, mode, is_patched).map(|(s, _)| s);
        assert_eq!(severity(123.1, Mode::Fm, false), Some(Severity::Warns));
        assert_eq!(severity(123.1, Mode::Am, true), None);
        assert_eq!(severity(137.0, Mode::Fm, true), None);
        assert_eq!(severity(121.5, Mode::Am, true), Some(Severity::Warns));
        assert_eq!(severity(156.8, Mode::Fm, false), Some(Severity::Notes));
        assert_eq!(severity(162.55, Mode::Fm, false), Some(Severity::Warns));
        assert_eq!(severity(162.575, Mode::Fm, false), None);
        assert_eq!(severity(406.05, Mode::P25, false), Some(Severity::Warns));
        assert_eq!(severity(146.52, Mode::Fm, false), None);
        assert_eq!(severity(146.52, Mode::Fm, true), Some(Severity::Notes));
        let (_, channel) = what(157.1, Mode::Fm, false).unwrap();
        assert_eq!(channel, "marine channel 22A");
    }
}

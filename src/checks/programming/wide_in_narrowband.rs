//! A channel is wider than 12.5 kHz in a band where that is no longer allowed.
//!
//! ## What it flags
//! A bandwidth above 12.5 kHz on a transmit frequency in 150 to 174 or 421 to 470 MHz.
//!
//! ## Why it matters
//! Such transmissions spill into the neighbouring channels, which are other people's, and are loud and
//! distorted in their narrow receivers.
//!
//! ## How it decides
//! Bandwidth and transmit frequency are read from the channel, or from the entry of a radio that
//! deviates. A channel counts when some radio has it and would send on it. Left out are TETRA, which
//! carries four voices in 25 kHz; marine channels; MURS and GMRS channels, which other rules allow
//! to be wider; and 430 to 450 MHz, which is the amateurs'.
//!
//! ## Severity
//! Warns.
//!
//! ## Example
//! An old plan has the public works net at 155.0400 MHz and 25 kHz.
//!
//! ## Source
//! United States: FCC narrowbanding rules of 1 January 2013, DA 12-1914; 47 CFR 90.209(b)(5). MURS and
//! GMRS: 47 CFR 95. Marine channels: 156.025 MHz and up in steps of 25 kHz, coast side 4.6 MHz higher.
//! Amateur band from memory.

use crate::checks::Check;
use crate::checks::programming::senders;
use crate::model::{
    Carrier, Channel, Conventional, Edit, Evidence, Finding, Fix, Frequency, Grade, Mode,
    Programmed, Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P10",
    name: "wide-in-narrowband",
    severity: Severity::Warns,
    text: include_str!("wide_in_narrowband.rs"),
    run,
};

/// Widest channel allowed, in hertz.
const NARROW_HZ: u32 = 12_500;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let bad = |channel: &Channel| channel.conventional().is_some_and(is_too_wide);
    let is_plain = |entry: &Programmed| entry.bandwidth_hz.is_none() && entry.tx.is_none();
    for (channel, _) in senders::of(picture, bad, is_plain) {
        let Carrier::Conventional(c) = channel.carrier else {
            continue;
        };
        let mut finding =
            CHECK.finding(Severity::Warns, channel.id, headline(&channel.name, "", &c));
        finding.evidence = evidence(&c);
        let carrier = Carrier::Conventional(Conventional {
            bandwidth_hz: NARROW_HZ,
            ..c
        });
        finding.fixes = vec![Fix {
            title: format!("Set {} to 12.5 kHz", channel.name),
            grade: Grade::Ask,
            edits: vec![Edit::Replace(
                Channel {
                    carrier,
                    ..channel.clone()
                }
                .into(),
            )],
        }];
        finding.hints = hints();
        out.push(finding);
    }
    for (radio, tuned) in picture.differing_in_question() {
        let Carrier::Conventional(c) = tuned.entry.effective(tuned.channel).carrier else {
            continue;
        };
        if is_plain(tuned.entry) || tuned.entry.receive_only || !is_too_wide(&c) {
            continue;
        }
        let on = format!(" on {}", radio.name);
        let mut finding = CHECK.finding(
            Severity::Warns,
            radio.id,
            headline(&tuned.channel.name, &on, &c),
        );
        finding.related = vec![tuned.channel.id.into()];
        finding.evidence = evidence(&c);
        let mut entry = tuned.entry.clone();
        entry.bandwidth_hz = Some(NARROW_HZ);
        if tuned
            .channel
            .conventional()
            .is_some_and(|c| c.bandwidth_hz <= NARROW_HZ)
        {
            entry.bandwidth_hz = None;
        }
        finding.fixes = vec![Fix {
            title: format!("Set {} on {} to 12.5 kHz", tuned.channel.name, radio.name),
            grade: Grade::Ask,
            edits: vec![Edit::Program {
                radio: radio.id,
                entry,
            }],
        }];
        finding.hints = hints();
        out.push(finding);
    }
}

fn headline(channel: &str, on: &str, c: &Conventional) -> String {
    format!(
        "{channel}{on} is {} kHz wide at {}, where 12.5 kHz is the most allowed",
        f64::from(c.bandwidth_hz) / 1000.0,
        c.tx
    )
}

fn evidence(c: &Conventional) -> Vec<Evidence> {
    vec![
        Evidence::number("bandwidth", f64::from(c.bandwidth_hz) / 1000.0, "kHz"),
        Evidence::number("sends on", c.tx.mhz(), "MHz"),
    ]
}

fn hints() -> Vec<String> {
    vec!["Read the emission on the licence; the limit is that of the United States".to_owned()]
}

fn is_too_wide(c: &Conventional) -> bool {
    let in_band =
        |low: u64, high: u64| (low * 1_000_000..=high * 1_000_000).contains(&c.tx.hertz());
    c.bandwidth_hz > NARROW_HZ
        && c.mode != Mode::Tetra
        && (in_band(150, 174) || in_band(421, 430) || in_band(450, 470))
        && !is_marine(c.tx)
        && !is_personal(c.tx)
}

/// Marine channels: ships from 156.025 to 157.425 MHz, coast stations 4.6 MHz higher.
fn is_marine(frequency: Frequency) -> bool {
    let is_on = |low: u64| {
        frequency
            .hertz()
            .checked_sub(low)
            .is_some_and(|above| above <= 1_400_000 && above % 25_000 == 0)
    };
    is_on(156_025_000) || is_on(160_625_000)
}

/// MURS channels of 20 kHz, and GMRS main channels with their repeater inputs.
fn is_personal(frequency: Frequency) -> bool {
    let is_gmrs = |low: u64| {
        frequency
            .hertz()
            .checked_sub(low)
            .is_some_and(|above| above <= 175_000 && above % 12_500 == 0)
    };
    matches!(frequency.hertz(), 154_570_000 | 154_600_000)
        || is_gmrs(462_550_000)
        || is_gmrs(467_550_000)
}

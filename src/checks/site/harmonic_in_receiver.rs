//! A multiple of a transmitter's frequency falls on a receiver.
//!
//! ## What it flags
//! A donor whose second to fifth harmonic falls on the receiver of another donor of the site, or on a
//! channel that people listen to.
//!
//! ## Why it matters
//! The receiver hears the transmitter's message as if somebody spoke on its own channel, and carries it
//! on: two nets are joined that nobody joined.
//!
//! ## How it decides
//! Frequencies are multiplied in whole hertz; a harmonic is as many times wider than the signal. How
//! strong it is is not known: it depends on the transmitter's low-pass filter. One finding for a
//! receiver, with the lowest harmonic; one for all listeners of a site.
//!
//! ## Severity
//! Warns at a donor's receiver: antennas stand so near that what the filter leaves is far above the
//! sensitivity. Notes for listeners, who are mostly farther off.
//!
//! ## Example
//! Three times 151.1375 MHz is 453.4125 MHz, where the UHF donor beside it listens.
//!
//! ## Source
//! Textbook, from memory; that harmonics above the fifth are left out is common practice, no source.

use std::collections::BTreeMap;

use crate::checks::site::sets;
use crate::checks::{Check, say};
use crate::model::{Evidence, Finding, PortRef, Severity, ThingId};
use crate::picture::Picture;
use crate::picture::site::{Disturbed, Harmonic, SiteView};

/// The check.
pub const CHECK: Check = Check {
    code: "I05",
    name: "harmonic-in-receiver",
    severity: Severity::Warns,
    text: include_str!("harmonic_in_receiver.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for view in picture.sites_in_question() {
        let mut donors: BTreeMap<PortRef, Vec<&Harmonic>> = BTreeMap::new();
        let mut listeners: Vec<&Harmonic> = Vec::new();
        for harmonic in &view.harmonics {
            match harmonic.disturbed {
                Disturbed::Donor(port) => donors.entry(port).or_default().push(harmonic),
                Disturbed::Listeners(_) => listeners.push(harmonic),
            }
        }
        for all in donors.values().chain([&listeners]) {
            let worst = all
                .iter()
                .min_by_key(|h| (h.multiple, h.offset_hz.unsigned_abs(), h.from, h.disturbed));
            if let Some(worst) = worst {
                out.push(finding(picture, view, worst, all.len() - 1));
            }
        }
    }
}

fn finding(picture: &Picture, view: &SiteView, worst: &Harmonic, others: usize) -> Finding {
    let scenario = picture.scenario();
    let mut headline = format!(
        "{} x {} falls on {} {} {}, {}",
        worst.multiple,
        sets::transmitter(scenario, view, worst.from),
        sets::disturbed(scenario, view, worst.disturbed),
        sets::place(worst.disturbed),
        scenario.name(view.site.into()),
        sets::offset(worst.offset_hz)
    );
    if others > 0 {
        let verb = if others == 1 { "does" } else { "do" };
        headline.push_str(&format!(
            "; {} {verb} so too",
            say::count(others, "more harmonic")
        ));
    }
    let (severity, subject, other): (_, ThingId, ThingId) = match worst.disturbed {
        Disturbed::Donor(port) => (Severity::Warns, port.into(), view.site.into()),
        Disturbed::Listeners(channel) => (Severity::Notes, view.site.into(), channel.into()),
    };
    let mut finding = CHECK.finding(severity, subject, headline);
    finding.related = vec![other, worst.from.into()];
    finding.evidence = vec![
        Evidence::number("harmonic", f64::from(worst.multiple), ""),
        Evidence::number(
            "off the receive frequency",
            sets::offset_khz(worst.offset_hz),
            "kHz",
        ),
        Evidence::number("harmonics", others as f64 + 1.0, "harmonics"),
    ];
    finding.hints = vec![
        "A low-pass filter at the transmitter takes it away, if it is not made in the receiver"
            .to_owned(),
        "Another channel for one of the two cures it; less power and more spacing help".to_owned(),
        "Key the transmitter and listen at the receiver before relying on either".to_owned(),
    ];
    finding
}

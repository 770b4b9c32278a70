//! A donor's receiver is deafened by a transmitter of its own site.
//!
//! ## What it flags
//! A donor on a talk group whose receiver gets more from another donor of the site than it stands.
//!
//! ## Why it matters
//! While the transmitter is on, the receiver is deaf to all but the nearest portables, and nobody
//! notices: the patch is up, and half of what is said never enters it. In one talk group it happens at
//! every message that comes in by that receiver, since the message itself keys the transmitter.
//!
//! ## How it decides
//! What arrives is the transmitter's power less feeder loss, the isolation between the antennas and the
//! filter. What the receiver stands is its sensitivity and its rejection: of the next channel when the
//! frequencies are near each other, of a far signal otherwise. All these figures are the scenario's
//! practice. One finding for a receiver, with the worst transmitter; a pair of noted antennas comes
//! before one whose spacing is assumed. Spacings above 15 m of mast or 100 m of feeder are not
//! proposed. Transmitters on the receiver's own frequency are left out: it hears them because it
//! should.
//!
//! ## Severity
//! Warns: strong signals still come through, weak ones from the far end of the ground do not, and those
//! are the ones in trouble. Notes when an antenna of the pair is nowhere noted, since the spacing is
//! then an assumption.
//!
//! ## Example
//! Two VHF donors of 5 W have their antennas 3 m apart on one table.
//!
//! ## Source
//! Rejections as TIA-603-D (2009) defines them; the sum is textbook, from memory. Isolation: site pages
//! of a published repeater manual and Report ITU-R M.2244, from memory. The limits of mast and feeder
//! are common practice, no source.

use std::collections::BTreeMap;

use crate::checks::site::sets;
use crate::checks::{Check, say};
use crate::engineering::rf::path_loss::wavelength_m;
use crate::model::{Edit, Evidence, Finding, Fix, Grade, PortRef, Radio, Severity};
use crate::picture::Picture;
use crate::picture::site::{Desense, Set, SiteView};

/// The check.
pub const CHECK: Check = Check {
    code: "I01",
    name: "receiver-desensitised",
    severity: Severity::Warns,
    text: include_str!("receiver_desensitised.rs"),
    run,
};

/// Most vertical spacing a portable mast gives, in metres.
const MAST_M: f64 = 15.0;
/// Most horizontal spacing a feeder at hand gives, in metres.
const FEEDER_M: f64 = 100.0;
/// Least power that a donor can be expected to be set to, in watts.
const LEAST_W: f64 = 0.1;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    for view in picture.sites_in_question() {
        let mut by_receiver: BTreeMap<PortRef, Vec<&Desense>> = BTreeMap::new();
        for hit in &view.desense {
            by_receiver.entry(hit.to).or_default().push(hit);
        }
        for hits in by_receiver.values() {
            // They come worst first.
            let worst = hits.iter().find(|h| !h.assumed).or(hits.first());
            if let Some(worst) = worst {
                out.extend(finding(picture, view, worst, hits.len() - 1));
            }
        }
    }
}

fn finding(picture: &Picture, view: &SiteView, hit: &Desense, others: usize) -> Option<Finding> {
    let scenario = picture.scenario();
    let (from, to) = (sets::at(view, hit.from)?, sets::at(view, hit.to)?);
    let severity = if hit.assumed {
        Severity::Notes
    } else {
        Severity::Warns
    };
    let apart_m = scenario.practice.antenna_apart_m;
    let mut headline = format!(
        "{} reaches {} at {} with {}, {} more than it stands",
        sets::transmitter(scenario, view, hit.from),
        sets::receiver(scenario, view, hit.to),
        scenario.name(view.site.into()),
        hit.arrives,
        hit.missing
    );
    if hit.assumed {
        headline.push_str(&format!(", if their antennas stand {apart_m} m apart"));
    }
    if others > 0 {
        let more = if others == 1 { "does" } else { "do" };
        headline.push_str(&format!(
            ", and {} {more} too",
            say::count(others, "other transmitter")
        ));
    }
    let mut finding = CHECK.finding(severity, hit.to, headline);
    finding.related = vec![
        view.site.into(),
        hit.from.into(),
        from.radio.into(),
        to.radio.into(),
    ];
    finding.evidence = vec![
        Evidence::number("power", from.power_w, "W"),
        Evidence::text("sends on", from.tx),
        Evidence::text("receives on", to.rx),
        Evidence::number("isolation", say::tenths(hit.isolation.loss.0), "dB"),
        Evidence::number("arrives", say::tenths(hit.arrives.0), "dBm"),
        Evidence::number("limit", say::tenths(hit.limit.0), "dBm"),
        Evidence::number("isolation missing", say::tenths(hit.missing.0), "dB"),
        Evidence::number("transmitters too strong", others as f64 + 1.0, "radios"),
    ];
    finding.hints = hints(picture, hit, from, to);
    if others == 0 && !hit.assumed {
        finding.fixes.extend(less_power(picture, from, hit.power_w));
    }
    Some(finding)
}

fn hints(picture: &Picture, hit: &Desense, from: &Set, to: &Set) -> Vec<String> {
    let scenario = picture.scenario();
    let mut hints = Vec::new();
    if hit.assumed {
        hints.push("Note where both antennas stand, so that the spacing is known".to_owned());
    }
    // Nearer than a wavelength the formulas do not hold.
    let wave_m = wavelength_m(from.tx.mhz()).unwrap_or(0.0);
    let up_to = |metres: Option<f64>, most: f64| {
        let metres = metres.map(|m| (m.max(wave_m) * 10.0).ceil() / 10.0);
        metres.filter(|m| *m <= most)
    };
    let spacings: Vec<String> = [
        (up_to(hit.vertical_m, MAST_M), "straight above one another"),
        (up_to(hit.horizontal_m, FEEDER_M), "side by side"),
    ]
    .into_iter()
    .filter_map(|(metres, way)| Some(format!("{:.1} m of spacing {way}", metres?)))
    .collect();
    hints.push(if spacings.is_empty() {
        format!(
            "No mast of {MAST_M} m and no feeder of {FEEDER_M} m parts them far enough; take what spacing \
             there is, vertical before horizontal"
        )
    } else {
        format!("{} would do", spacings.join(" or "))
    });
    if let Some(power_w) = sensible_w(hit.power_w) {
        let name = scenario.name(from.radio.into());
        hints.push(format!(
            "Sending with {power_w} W at most from {name} would do"
        ));
    }
    let apart_khz = from.tx.hertz().abs_diff(to.rx.hertz()) as f64 / 1e3;
    if apart_khz > scenario.practice.near_channel_khz {
        hints.push(format!(
            "A filter before the receiver that takes {} off {} would do; the channels are {:.3} MHz \
             apart, and the nearer they are the harder it is to build",
            hit.missing,
            from.tx,
            apart_khz / 1e3
        ));
    }
    hints.extend(grouping(picture, from, to));
    hints.push(
        "Noise of the transmitter on the receive frequency comes on top, and only a filter at the \
         transmitter takes it away: listen on the site while it is keyed"
            .to_owned(),
    );
    hints
}

/// Says when it happens, and what another talk group would change.
fn grouping(picture: &Picture, from: &Set, to: &Set) -> Option<String> {
    let scenario = picture.scenario();
    let (sends, hears) = (from.group?, to.group?);
    if sends != hears {
        return Some(format!(
            "It happens only while {} speaks",
            scenario.name(sends.into())
        ));
    }
    let other = sets::other_group(scenario, sends)?;
    Some(format!(
        "If the two need not be joined, switch one of them to {}: the message that comes in by the \
         receiver then no longer keys the transmitter",
        scenario.name(other.into())
    ))
}

fn sensible_w(power_w: f64) -> Option<f64> {
    // Rounded down, so that it is enough.
    let power_w = (power_w * 100.0).floor() / 100.0;
    (power_w >= LEAST_W).then_some(power_w)
}

fn less_power(picture: &Picture, from: &Set, power_w: f64) -> Option<Fix> {
    let radio = picture.scenario().radios.get(from.radio)?;
    let power_w = sensible_w(power_w)?;
    Some(Fix {
        title: format!("Set {} to {power_w} W", radio.name),
        grade: Grade::Ask,
        edits: vec![Edit::Replace(
            Radio {
                power_w,
                ..radio.clone()
            }
            .into(),
        )],
    })
}

//! Antennas of a site stand nearer than the formulas of isolation hold.
//!
//! ## What it flags
//! Two noted antennas of which one transmits, less than a wavelength apart.
//!
//! ## Why it matters
//! So near they act as one antenna: patterns bend, matches drift, and how much of the one transmitter
//! reaches the other set is anybody's guess. Levels worked out for them mean little.
//!
//! ## How it decides
//! The distance between the noted places is set against the wavelength of the lower transmit frequency.
//! One finding for a site, with the nearest pair.
//!
//! ## Severity
//! Notes: nothing is known to fail, and nothing computed for the pair can be relied on.
//!
//! ## Example
//! Two VHF antennas stand half a metre apart on one vehicle roof.
//!
//! ## Source
//! Range of the isolation formulas: site pages of a published repeater manual; Report ITU-R M.2244,
//! from memory.

use std::collections::BTreeSet;

use crate::checks::site::sets;
use crate::checks::{Check, say};
use crate::engineering::rf::path_loss::wavelength_m;
use crate::model::{Evidence, Finding, PortRef, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "I06",
    name: "antennas-too-near",
    severity: Severity::Notes,
    text: include_str!("antennas_too_near.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for view in picture.sites_in_question() {
        let nearest = view.too_near.iter().min_by(|x, y| {
            let (a, b, metres) = x;
            let (c, d, other) = y;
            metres.total_cmp(other).then_with(|| (a, b).cmp(&(c, d)))
        });
        let Some((a, b, metres)) = nearest else {
            continue;
        };
        let mhz = [a, b]
            .into_iter()
            .filter_map(|port| Some(sets::at(view, *port)?.tx.mhz()))
            .fold(f64::INFINITY, f64::min);
        let Ok(wave_m) = wavelength_m(mhz) else {
            continue;
        };
        let name = |port: &PortRef| sets::transmitter(scenario, view, *port);
        let mut headline = format!(
            "The antennas of {} and {} stand {metres:.1} m apart at {}, less than the {wave_m:.1} m of a \
             wavelength",
            name(a),
            name(b),
            scenario.name(view.site.into())
        );
        let others = view.too_near.len() - 1;
        if others > 0 {
            headline.push_str(&format!(", and {} too", say::count(others, "other pair")));
        }
        let ports: BTreeSet<PortRef> = view
            .too_near
            .iter()
            .flat_map(|(a, b, _)| [*a, *b])
            .collect();
        let mut finding = CHECK.finding(Severity::Notes, view.site, headline);
        finding.related = ports.into_iter().map(Into::into).collect();
        finding.evidence = vec![
            Evidence::number("distance", say::tenths(*metres), "m"),
            Evidence::number("wavelength", say::tenths(wave_m), "m"),
            Evidence::number("pairs too near", view.too_near.len() as f64, "pairs"),
        ];
        finding.hints = vec![format!(
            "Part them by {wave_m:.1} m at least, one above the other if a mast allows; measure the \
             coupling where they cannot be parted"
        )];
        out.push(finding);
    }
}

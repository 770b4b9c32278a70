//! The people beside a gateway sit nearer to its antennas than the occupational limit allows.
//!
//! ## What it flags
//! A site whose transmitting antennas, taken together, ask for more distance than the trained people beside
//! the gateway are expected to keep.
//!
//! ## Why it matters
//! They stay for hours where bystanders pass. The limit for trained people counts only where they know of
//! it and can step away.
//!
//! ## How it decides
//! As for the public, with the occupational limit and the figure of practice for trained people.
//!
//! ## Severity
//! Warns: the higher limit leaves little above it, and those beside the antennas are the ones who may be
//! hurt.
//!
//! ## Example
//! A 50 W donor with a dipole at half duty asks for 0.9 m; the operator's chair stands 0.5 m from the mast.
//!
//! ## Source
//! Limits: 47 CFR 1.1310, partly from memory; method: OET Bulletin 65, edition 97-01, from memory. How near
//! people come is common practice, no source.

use crate::checks::Check;
use crate::checks::exposure::rings;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::Picture;
use crate::picture::exposure::{self, Ring};

/// The check.
pub const CHECK: Check = Check {
    code: "X02",
    name: "operator-too-near",
    severity: Severity::Warns,
    text: include_str!("operator_too_near.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let near_m = scenario.practice.operator_m;
    for view in picture.sites_in_question() {
        let occupational_m = view.exposure.occupational_m;
        if occupational_m <= near_m {
            continue;
        }
        let keep_m = exposure::keep_m(occupational_m);
        let headline = format!(
            "Trained people must keep {keep_m:.2} m from {} of {}, and sit as near as {near_m} m",
            rings::antennas(&view.exposure),
            scenario.name(view.site.into())
        );
        let mut finding = CHECK.finding(Severity::Warns, view.site, headline);
        finding.evidence = vec![
            Evidence::number(
                "occupational distance, all together",
                exposure::keep_m(occupational_m),
                "m",
            ),
            Evidence::number("trained people come as near as", near_m, "m"),
        ];
        finding.hints = vec![
            format!(
                "Move the antennas {:.1} m away from where people work, on a longer feeder or a mast",
                (occupational_m * 10.0).ceil() / 10.0
            ),
            rings::less_power(occupational_m, near_m),
        ];
        let of = |ring: &Ring| ring.occupational_m;
        rings::explain(&mut finding, &view.exposure, "occupational distance", of);
        out.push(finding);
    }
}

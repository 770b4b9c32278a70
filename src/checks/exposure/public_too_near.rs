//! People may come nearer to the antennas of a site than the public limit allows.
//!
//! ## What it flags
//! A site whose transmitting antennas, taken together, ask for more distance than the public is expected to
//! keep.
//!
//! ## Why it matters
//! Bystanders neither know nor can leave what they cannot feel. Donors in a patch transmit far more of the
//! time than a radio in a hand does.
//!
//! ## How it decides
//! For each antenna the distance at which the power density meets the public limit is worked out from power,
//! gain, feeder loss, the factor for reflection and the share of time the talk group's load keeps it on,
//! but never less than the practice's least share. Distances add as squares, as if all antennas stood at
//! one point. The sum is set against how near the public may come, a figure of practice.
//!
//! ## Severity
//! Notes up to twice the distance the public keeps, warns beyond. The estimate is on the cautious side: it
//! takes everybody to stand in the main beam. Nobody on the air notices; the people beside the antennas
//! are those who may be hurt.
//!
//! ## Example
//! A 50 W donor with a dipole at half duty asks for 2 m; people walk past it at 1 m.
//!
//! ## Source
//! Limits: 47 CFR 1.1310, partly from memory; method: OET Bulletin 65, edition 97-01, from memory. How near
//! people come is common practice, no source.

use crate::checks::Check;
use crate::checks::exposure::rings;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::{Picture, exposure};

/// The check.
pub const CHECK: Check = Check {
    code: "X01",
    name: "public-too-near",
    severity: Severity::Warns,
    text: include_str!("public_too_near.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let near_m = scenario.practice.bystander_m;
    for view in picture.sites_in_question() {
        let public_m = view.exposure.public_m;
        if public_m <= near_m {
            continue;
        }
        let severity = if public_m <= 2.0 * near_m {
            Severity::Notes
        } else {
            Severity::Warns
        };
        let keep_m = exposure::keep_m(public_m);
        let headline = format!(
            "The public must keep {keep_m:.2} m from {} of {}, and may come as near as {near_m} m",
            rings::antennas(&view.exposure),
            scenario.name(view.site.into())
        );
        let mut finding = CHECK.finding(severity, view.site, headline);
        finding.evidence = vec![
            Evidence::number(
                "public distance, all together",
                exposure::keep_m(public_m),
                "m",
            ),
            Evidence::number("the public comes as near as", near_m, "m"),
        ];
        finding.hints = vec![
            format!(
                "Fence off {:.1} m around each antenna, or raise them so far above people's heads",
                (public_m * 10.0).ceil() / 10.0
            ),
            rings::less_power(public_m, near_m),
        ];
        rings::explain(&mut finding, &view.exposure, "public distance", |r| {
            r.public_m
        });
        out.push(finding);
    }
}

//! A pair of a need goes through two or more speech codecs one after the other.
//!
//! ## What it flags
//! A need of which a heard pair passes two or more speech codecs: vocoders of digital radios, cellular or
//! satellite telephones, packet ties.
//!
//! ## Why it matters
//! Each codec was made for clean speech and gets the leavings of the one before. Noise at the first
//! microphone, a pump or a siren, comes out of the second as no speech at all.
//!
//! ## How it decides
//! Codec passes are counted along the path of each pair: one for each digital transmission, each
//! cellular or satellite telephone and each packet tie.
//!
//! ## Severity
//! Notes: nobody can say how bad without listening. It belongs on the list of what is tried with real
//! voices and real noise before it is relied on.
//!
//! ## Example
//! From a P25 portable through the gateway onto a satellite group: two vocoders.
//!
//! ## Source
//! That impairments of codecs in a chain add: ITU-T G.113, from memory.

use super::need_pairs;
use crate::checks::Check;
use crate::model::{Evidence, Finding, Severity};
use crate::picture::{Picture, resilience};

/// The check.
pub const CHECK: Check = Check {
    code: "T08",
    name: "vocoders-in-tandem",
    severity: Severity::Notes,
    text: include_str!("vocoders_in_tandem.rs"),
    run,
};

/// Codecs from which on they are in tandem.
const TANDEM: u16 = 2;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for need in resilience::to_be_heard(scenario) {
        let heard = need_pairs::heard(picture, need);
        let tandem = heard.iter().filter(|(_, _, a)| a.codec_passes >= TANDEM);
        let worst = tandem.clone().rev().max_by_key(|(_, _, a)| a.codec_passes);
        let Some((from, to, arrival)) = worst else {
            continue;
        };
        let headline = format!(
            "{}: {} heard by {} goes through {} speech codecs one after the other",
            need.name,
            scenario.name((*from).into()),
            scenario.name((*to).into()),
            arrival.codec_passes
        );
        let mut finding = CHECK.finding(Severity::Notes, need.id, headline);
        finding.related = vec![(*from).into(), (*to).into()];
        finding.evidence = vec![
            Evidence::number("codecs passed", arrival.codec_passes.into(), "codecs"),
            Evidence::number("pairs with two or more", tandem.count() as f64, "pairs"),
            Evidence::number("pairs that are heard", heard.len() as f64, "pairs"),
        ];
        finding.hints = vec![
            "Try it with real voices beside a running pump; a patch inside the system or an \
             analogue leg saves a codec"
                .to_owned(),
        ];
        out.push(finding);
    }
}

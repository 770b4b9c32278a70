//! A port that is keyed by the sound holds its donor on the air too long after each word.
//!
//! ## What it flags
//! A switched port with voice-operated keying whose hang time is longer than the lockout of practice,
//! the time within which an answer usually begins.
//!
//! ## Why it matters
//! While the donor hangs it transmits and hears nothing. Whoever answers at once on its channel is cut
//! off at the front, and cannot know it.
//!
//! ## How it decides
//! The hang time of the port is compared with the lockout of practice, for ports whose donor can be
//! keyed.
//!
//! ## Severity
//! Warns: it works for people who answer slowly, and by luck for the others.
//!
//! ## Example
//! A port keyed by voice with a hang time of 1500 ms: "Copy" from Patrol 3 is gone before the set
//! listens.
//!
//! ## Source
//! That a hang time longer than the other side's answer gap cuts off replies is common practice, no
//! source; so is the figure.

use super::keyed;
use crate::checks::Check;
use crate::model::{Evidence, Finding, Grade, Keying, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "T07",
    name: "voice-keying-cuts-replies",
    severity: Severity::Warns,
    text: include_str!("voice_keying_cuts_replies.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    let most_ms = scenario.practice.answer_gap_ms.floor() as u32;
    for donor in keyed::all(picture) {
        let Keying::VoiceOperated { attack_ms, hang_ms } = donor.socket.keying else {
            continue;
        };
        if hang_ms <= most_ms {
            continue;
        }
        let port = scenario.name(donor.port.into());
        let headline = format!(
            "{port} keeps {} keyed for {hang_ms} ms after each word, and answers on {} within that \
             time are cut off",
            donor.radio.name, donor.channel.name
        );
        let mut finding = CHECK.finding(Severity::Warns, donor.port, headline);
        finding.related = vec![donor.radio.id.into()];
        finding.evidence = vec![
            Evidence::number("hang time of the keying", hang_ms.into(), "ms"),
            Evidence::number("longest that answers wait", most_ms.into(), "ms"),
        ];
        finding.hints = vec![
            "A cable with a push-to-talk line needs no hang time at all".to_owned(),
            format!(
                "Until then tell users of {} to count to two before they answer",
                donor.channel.name
            ),
        ];
        let title = format!("Set the hang time of {port} to {most_ms} ms");
        let fix = keyed::change_port(scenario, donor.port, title, Grade::Ask, |socket| {
            socket.keying = Keying::VoiceOperated {
                attack_ms,
                hang_ms: most_ms,
            };
        });
        finding.fixes.extend(fix);
        out.push(finding);
    }
}

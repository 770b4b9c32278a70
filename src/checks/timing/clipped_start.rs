//! A port cuts off the start of every message, because its buffer is shorter than the access time.
//!
//! ## What it flags
//! A switched port whose donor takes longer to get access, keying included, than the port holds audio
//! back, by more than the speech that people put up with losing.
//!
//! ## Why it matters
//! The first word is often who is called, or "not". Whoever listens on the far side gets the rest of
//! the sentence and takes it for the whole, or hears no call for himself and does not answer.
//!
//! ## How it decides
//! Speech lost is the access time of the donor's system, plus the attack time of voice-operated keying,
//! less the buffer of the port. It is set against the figure of practice for speech lost at the front.
//!
//! ## Severity
//! Warns: the rest of each message gets through, and people who are told can wait before they speak.
//!
//! ## Example
//! A donor on a trunked system that takes 350 ms to grant is at a port that holds nothing back: "Do not
//! enter" becomes "enter".
//!
//! ## Source
//! Arithmetic of a buffer. That hops clip first words and that users are told to pause is common
//! practice, no source; so is the figure for what people put up with.

use super::keyed;
use crate::checks::Check;
use crate::engineering::timing::clipping;
use crate::model::validate::LONGEST_MS;
use crate::model::{Evidence, Finding, Grade, Keying, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "T01",
    name: "clipped-start",
    severity: Severity::Warns,
    text: include_str!("clipped_start.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for donor in keyed::all(picture) {
        let attack_ms = keyed::attack_ms(donor.socket);
        let access_ms = donor.system.access_ms;
        let held_ms = donor.socket.buffer_ms;
        let lost_ms = clipping::lost_ms(access_ms, attack_ms, held_ms);
        if f64::from(lost_ms) <= scenario.practice.clipped_most_ms {
            continue;
        }
        let needed_ms = access_ms.saturating_add(attack_ms);
        let port = scenario.name(donor.port.into());
        let headline = format!(
            "{port} holds back {held_ms} ms where {} takes {access_ms} ms to open{}, so the first \
             {lost_ms} ms of every message are lost",
            donor.system.name,
            if attack_ms > 0 {
                format!(" and keying by voice {attack_ms} ms")
            } else {
                String::new()
            }
        );
        let mut finding = CHECK.finding(Severity::Warns, donor.port, headline);
        finding.related = vec![donor.system.id.into()];
        finding.evidence = vec![
            Evidence::number("speech lost at the front", lost_ms.into(), "ms"),
            Evidence::number("access time of the system", access_ms.into(), "ms"),
            Evidence::number("attack time of the keying", attack_ms.into(), "ms"),
            Evidence::number("audio held back", held_ms.into(), "ms"),
            Evidence::number("buffer needed", needed_ms.into(), "ms"),
        ];
        finding.hints = vec![match donor.socket.keying {
            // The carrier of the other leg keys the donor, so a pause gives it time.
            Keying::PttLine => format!(
                "Until the buffer is {needed_ms} ms, tell users to press, pause, and then speak; how \
                 long the pause must be on each net stands in the figures"
            ),
            Keying::VoiceOperated { .. } => format!(
                "Waiting does not help where the sound itself keys: set the buffer to {needed_ms} \
                 ms, or key by a push-to-talk line"
            ),
        }];
        if needed_ms <= LONGEST_MS {
            let title = format!("Set the buffer of {port} to {needed_ms} ms");
            let fix = keyed::change_port(scenario, donor.port, title, Grade::Safe, |socket| {
                socket.buffer_ms = needed_ms;
            });
            finding.fixes.extend(fix);
        }
        out.push(finding);
    }
}

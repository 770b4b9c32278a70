//! A port holds audio back longer than anything behind it needs.
//!
//! ## What it flags
//! A switched port whose buffer is longer than what is plugged into it takes to open, by more than the
//! slack that practice allows.
//!
//! ## Why it matters
//! All that is held back is delay, for every message through the port. Delay adds up along a path, and
//! people begin to talk over each other.
//!
//! ## How it decides
//! For a donor, what is needed is the time its channel takes to come up and a receiver on it to open, a
//! tone or code included, plus the attack time of voice-operated keying. A telephone, headset or tie
//! needs the attack time alone. The buffer is set against it.
//!
//! ## Severity
//! Notes: nothing is lost, it is only later than it could be; a longer buffer may be meant for a donor
//! that will be changed.
//!
//! ## Example
//! A donor was moved from a trunked system to a simplex channel and its port still holds back 600 ms.
//!
//! ## Source
//! Arithmetic of a buffer. The times to open are the figures of practice; the slack is common practice,
//! no source.

use std::collections::BTreeMap;

use super::keyed;
use crate::checks::Check;
use crate::model::{Attachment, ChannelId, Evidence, Finding, Grade, PortRef, Severity, ThingId};
use crate::picture::{Picture, timing};

/// The check.
pub const CHECK: Check = Check {
    code: "T04",
    name: "needless-buffer",
    severity: Severity::Notes,
    text: include_str!("needless_buffer.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let (Some(phase), scenario) = (picture.phase(), picture.scenario()) else {
        return;
    };
    let sent: BTreeMap<PortRef, ChannelId> = keyed::all(picture)
        .map(|donor| (donor.port, donor.channel.id))
        .collect();
    for (port, attachment) in &phase.attachments {
        let (Some(socket), Some(_)) = (scenario.port(*port), phase.group_of(*port)) else {
            continue;
        };
        let (thing, opens_ms): (ThingId, u32) = match attachment {
            Attachment::Radio { radio, .. } => match sent.get(port) {
                Some(channel) => ((*radio).into(), timing::opening_ms(scenario, *channel)),
                // A donor that sends nothing makes nobody wait.
                None => continue,
            },
            Attachment::Telephone(id) => ((*id).into(), 0),
            Attachment::Headset(id) => ((*id).into(), 0),
            Attachment::Tie(id) => ((*id).into(), 0),
        };
        let needed_ms = opens_ms.saturating_add(keyed::attack_ms(socket));
        let spare_ms = socket.buffer_ms.saturating_sub(needed_ms);
        if f64::from(spare_ms) <= scenario.practice.buffer_slack_ms {
            continue;
        }
        let name = scenario.name((*port).into());
        let headline = format!(
            "{name} holds audio back for {} ms where {} needs {needed_ms} ms",
            socket.buffer_ms,
            scenario.name(thing)
        );
        let mut finding = CHECK.finding(Severity::Notes, *port, headline);
        finding.related = vec![thing];
        finding.evidence = vec![
            Evidence::number("audio held back", socket.buffer_ms.into(), "ms"),
            Evidence::number("buffer needed", needed_ms.into(), "ms"),
            Evidence::number("delay for nothing", spare_ms.into(), "ms"),
        ];
        finding.hints = vec![format!(
            "With a buffer of {needed_ms} ms every message through the port is heard {spare_ms} ms \
             sooner"
        )];
        let title = format!("Set the buffer of {name} to {needed_ms} ms");
        let fix = keyed::change_port(scenario, *port, title, Grade::Ask, |socket| {
            socket.buffer_ms = needed_ms;
        });
        finding.fixes.extend(fix);
        out.push(finding);
    }
}

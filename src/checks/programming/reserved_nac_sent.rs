//! A radio sends a P25 access code that is reserved for receivers.
//!
//! ## What it flags
//! A transmit code of $F7E or $F7F on a radio's P25 channel.
//!
//! ## Why it matters
//! $F7E is a receiver's setting for "any code" and $F7F a repeater's for "take any and send it on".
//! Sent on the air they match no receiver that asks for a real code; sets differ in what they do with
//! them.
//!
//! ## How it decides
//! The transmit code is read as programmed. A repeated channel whose definition has $F7F as the
//! repeater's own setting counts only when a radio would send it, that is when one has the channel
//! without a transmit code of its own and not for listening only.
//!
//! ## Severity
//! Stops when such a channel is selected on a radio in use. Warns when it is only programmed.
//!
//! ## Example
//! A radio was given $F7E for both directions because the plan has it as the receive code.
//!
//! ## Source
//! TIA-102.BAAC, reserved network access codes, as restated in public text; a portable radio's user
//! manual bans both from transmission.

use crate::checks::programming::senders::{self, Senders};
use crate::checks::{Check, say};
use crate::model::{
    AccessCode, Carrier, Channel, Conventional, Edit, Evidence, Finding, Fix, Grade, Mode,
    Programmed, Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P09",
    name: "reserved-nac-sent",
    severity: Severity::Stops,
    text: include_str!("reserved_nac_sent.rs"),
    run,
};

/// Code that P25 radios come with (TIA-102.BAAC).
const DEFAULT_NAC: u16 = 0x293;

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let bad = |channel: &Channel| {
        channel
            .conventional()
            .is_some_and(|c| reserved(c).is_some())
    };
    let is_plain = |entry: &Programmed| entry.tx_code.is_none() && entry.mode.is_none();
    for (channel, senders) in senders::of(picture, bad, is_plain) {
        if let Carrier::Conventional(c) = channel.carrier
            && let Some(nac) = reserved(&c)
        {
            out.push(in_definition(channel, c, nac, senders));
        }
    }
    for (radio, tuned) in picture.differing_in_question() {
        let Carrier::Conventional(c) = tuned.entry.effective(tuned.channel).carrier else {
            continue;
        };
        let Some(nac) = reserved(&c) else { continue };
        if is_plain(tuned.entry) || tuned.entry.receive_only {
            continue;
        }
        let is_selected = picture.is_in_use(radio)
            && picture
                .tuned(radio)
                .is_some_and(|t| t.channel.id == tuned.channel.id);
        let headline = format!(
            "{} sends NAC ${nac:03X} on {}",
            radio.name, tuned.channel.name
        );
        let mut finding = CHECK.finding(severity(is_selected), radio.id, headline);
        finding.related = vec![tuned.channel.id.into()];
        finding.evidence = vec![Evidence::text("sends", AccessCode::Nac(nac))];
        let mut entry = tuned.entry.clone();
        entry.tx_code = None;
        let by_definition = tuned
            .channel
            .conventional()
            .filter(|c| reserved(c).is_none());
        let code = match by_definition {
            Some(c) => c.tx_code,
            None => AccessCode::Nac(DEFAULT_NAC),
        };
        if by_definition.is_none() {
            entry.tx_code = Some(code);
        }
        finding.fixes = vec![Fix {
            title: format!("Let {} send {code}", radio.name),
            grade: if by_definition.is_some() {
                Grade::Safe
            } else {
                Grade::Ask
            },
            edits: vec![Edit::Program {
                radio: radio.id,
                entry,
            }],
        }];
        out.push(finding);
    }
}

fn reserved(c: &Conventional) -> Option<u16> {
    match c.tx_code {
        AccessCode::Nac(nac @ (AccessCode::NAC_RECEIVE_ANY | AccessCode::NAC_REPEAT_ANY))
            if c.mode == Mode::P25 =>
        {
            Some(nac)
        }
        _ => None,
    }
}

fn severity(is_selected: bool) -> Severity {
    if is_selected {
        Severity::Stops
    } else {
        Severity::Warns
    }
}

fn in_definition(channel: &Channel, c: Conventional, nac: u16, senders: Senders) -> Finding {
    let headline = format!(
        "{} has NAC ${nac:03X} to send, and {} would send it",
        channel.name,
        say::count(senders.programmed, "radio")
    );
    let mut finding = CHECK.finding(severity(senders.selected > 0), channel.id, headline);
    finding.evidence = vec![
        Evidence::text("sends", AccessCode::Nac(nac)),
        Evidence::number(
            "radios that would send it",
            senders.programmed as f64,
            "radios",
        ),
    ];
    finding.hints = vec!["Ask the channel's owner for the code that radios send".to_owned()];
    let code = match c.rx_code {
        code @ AccessCode::Nac(asked) if asked != AccessCode::NAC_RECEIVE_ANY => code,
        _ => AccessCode::Nac(DEFAULT_NAC),
    };
    if code == c.tx_code {
        return finding;
    }
    let carrier = Carrier::Conventional(Conventional { tx_code: code, ..c });
    finding.fixes = vec![Fix {
        title: format!("Let {} send {code}", channel.name),
        grade: Grade::Ask,
        edits: vec![Edit::Replace(
            Channel {
                carrier,
                ..channel.clone()
            }
            .into(),
        )],
    }];
    finding
}

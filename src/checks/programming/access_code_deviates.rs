//! A radio sends or asks for another access code than its channel has.
//!
//! ## What it flags
//! An entry whose receive or transmit code (CTCSS tone, DCS code or P25 NAC) differs from the channel's
//! definition.
//!
//! ## Why it matters
//! A wrong transmit code leaves the repeater down or the others' receivers shut; a wrong receive code
//! leaves this one shut. Both look right on the display, and one way of the link may even work.
//!
//! ## How it decides
//! The entry is compared with the definition. A radio with this difference and no other is then set
//! against one programmed as defined, directly and through the channel's repeater, by the rules of the
//! air: that tells whether it is mute, deaf or neither. DCS codes that are the same word on the air
//! open each other.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use, the difference makes it mute or deaf, and
//! others on the channel, or its repeater, are programmed otherwise. Notes when only the receive code
//! differs and is open, or talk-around sends the code of the repeater's output, or the repeater takes
//! any code: all done on purpose. Warns otherwise.
//!
//! ## Example
//! Engine 9 sends 146.2 Hz on a repeater that asks for 156.7 Hz.
//!
//! ## Source
//! Follows from the derivation; TIA-102.BAAC for the P25 codes that open on any.

use crate::checks::Check;
use crate::checks::programming::deviation::{self, Aspect, Deviant};
use crate::model::{AccessCode, Carrier, Conventional, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P02",
    name: "access-code-deviates",
    severity: Severity::Stops,
    text: include_str!("access_code_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    out.extend(
        deviation::deviants(picture, Aspect::AccessCode)
            .iter()
            .filter_map(judge),
    );
}

fn judge(deviant: &Deviant<'_>) -> Option<Finding> {
    let (Carrier::Conventional(defined), Carrier::Conventional(found)) =
        (&deviant.defined.carrier, &deviant.found.carrier)
    else {
        return None;
    };
    let opens_on_any = matches!(
        found.rx_code,
        AccessCode::None | AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY)
    );
    // A repeater's own setting, "any code", leaves the choice to the radio.
    let is_free = matches!(
        (defined.tx_code, found.tx_code),
        (
            AccessCode::Nac(AccessCode::NAC_REPEAT_ANY),
            AccessCode::Nac(_)
        )
    );
    let takes_output_code = found.tx_code == defined.rx_code && is_talk_around(deviant, defined);
    let is_deliberate = (found.rx_code == defined.rx_code || opens_on_any)
        && (found.tx_code == defined.tx_code || takes_output_code || is_free);
    let mut what = Vec::new();
    if found.rx_code != defined.rx_code {
        what.push(format!(
            "asks for {} instead of {}",
            found.rx_code, defined.rx_code
        ));
    }
    if found.tx_code != defined.tx_code {
        what.push(format!(
            "sends {} instead of {}",
            found.tx_code, defined.tx_code
        ));
    }
    let mut finding = deviant.finding(&CHECK, deviant.severity(is_deliberate), &what.join(" and "));
    finding.evidence = vec![
        Evidence::text("asks for", found.rx_code),
        Evidence::text("receive code as defined", defined.rx_code),
        Evidence::text("sends", found.tx_code),
        Evidence::text("transmit code as defined", defined.tx_code),
    ];
    Some(finding)
}

/// Tells whether the radio sends on the output of the channel's repeater.
fn is_talk_around(deviant: &Deviant<'_>, defined: &Conventional) -> bool {
    let full = deviant.entry.effective(deviant.channel).carrier;
    deviant.system.kind.repeats()
        && matches!(full, Carrier::Conventional(c) if c.tx == defined.rx && c.rx == defined.rx)
}

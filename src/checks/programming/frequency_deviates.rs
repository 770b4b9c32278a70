//! A radio has a channel on other frequencies than the channel is on.
//!
//! ## What it flags
//! An entry whose receive or transmit frequency differs from the channel's definition.
//!
//! ## Why it matters
//! The display shows the right name while the set listens or sends somewhere else. Nobody notices
//! until somebody calls and gets no answer.
//!
//! ## How it decides
//! The entry is compared with the definition. A radio with this difference and no other is then set
//! against one programmed as defined, directly and through the channel's repeater, by the rules of the
//! air: that tells whether it is mute, deaf or neither.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use, the difference makes it mute or deaf, and
//! others on the channel, or its repeater, are programmed otherwise. Notes for talk-around, that is
//! sending on a repeater's output, which people do on purpose. Warns otherwise.
//!
//! ## Example
//! Engine 9 has the fire net at 154.2950 MHz; the channel is on 154.2800 MHz.
//!
//! ## Source
//! Follows from the derivation; comparing what is programmed with the plan before a patch goes up is
//! common practice, no source.

use crate::checks::Check;
use crate::checks::programming::deviation::{self, Aspect, Deviant};
use crate::model::{Carrier, Conventional, Evidence, Finding, Severity};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P01",
    name: "frequency-deviates",
    severity: Severity::Stops,
    text: include_str!("frequency_deviates.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    out.extend(
        deviation::deviants(picture, Aspect::Frequency)
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
    let is_talk_around = is_talk_around(deviant, defined, found);
    let severity = deviant.severity(is_talk_around);
    let mut what = Vec::new();
    let mut evidence = Vec::new();
    let both = found.rx == found.tx && defined.rx == defined.tx;
    if both {
        what.push(format!("works on {} instead of {}", found.rx, defined.rx));
    } else if found.rx != defined.rx {
        what.push(format!(
            "receives on {} instead of {}",
            found.rx, defined.rx
        ));
    }
    if !both && found.tx != defined.tx {
        what.push(format!("sends on {} instead of {}", found.tx, defined.tx));
    }
    for (quantity, frequency) in [
        ("receives on", found.rx),
        ("receive as defined", defined.rx),
        ("sends on", found.tx),
        ("transmit as defined", defined.tx),
    ] {
        evidence.push(Evidence::number(quantity, frequency.mhz(), "MHz"));
    }
    let what = if is_talk_around {
        format!("sends on the repeater's output, {}", found.tx)
    } else {
        what.join(" and ")
    };
    let mut finding = deviant.finding(&CHECK, severity, &what);
    finding.evidence = evidence;
    if is_talk_around {
        let hint = "Talk-around reaches only radios near by: the repeater does not hear it";
        finding.hints.push(hint.to_owned());
    }
    Some(finding)
}

fn is_talk_around(deviant: &Deviant<'_>, defined: &Conventional, found: &Conventional) -> bool {
    deviant.system.kind.repeats() && found.rx == defined.rx && found.tx == defined.rx
}

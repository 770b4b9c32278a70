//! A channel carries the name of a national interoperability channel and is something else.
//!
//! ## What it flags
//! A channel, or a label on a radio, named as a national channel is, with other frequencies, codes,
//! mode or bandwidth than published.
//!
//! ## Why it matters
//! These names are the one thing that strangers from other agencies share. Whoever comes to help has
//! the published channel under that name and will not be heard.
//!
//! ## How it decides
//! Names are compared without regard to case, spaces and dashes with the table of published channels.
//! Names that many agencies also use for channels of their own (MED, NC, IR, LE) count only when the
//! receive or transmit frequency is the published one. A receiver that is to be open by default may
//! ask for 156.7 Hz. A bandwidth within a quarter of the published one is taken as the same.
//!
//! ## Severity
//! Stops when a frequency differs. Notes when only the receive code differs and still lets in what
//! others send. Warns otherwise.
//!
//! ## Example
//! VCALL10 was taken from an old list and stands at 155.7500 MHz.
//!
//! ## Source
//! National Interoperability Field Operations Guide, edition 2.02, and 47 CFR 90; United States. The
//! current guide decides.

use crate::checks::Check;
use crate::engineering::rf::national::{self, National};
use crate::model::{
    AccessCode, Carrier, Channel, Conventional, Edit, Evidence, Finding, Fix, Grade, Severity,
    ThingId,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P11",
    name: "national-channel-altered",
    severity: Severity::Stops,
    text: include_str!("national_channel_altered.rs"),
    run,
};

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for channel in scenario.channels.iter() {
        let Some(published) = national::find(&channel.name) else {
            continue;
        };
        let subject = channel.id.into();
        if let Some(mut finding) = judge(published, channel.carrier, subject, &channel.name) {
            finding.fixes.extend(as_published(channel, published));
            out.push(finding);
        }
    }
    for radio in picture.radios_in_question() {
        for entry in &radio.programmed {
            let Some(published) = entry.label.as_deref().and_then(national::find) else {
                continue;
            };
            let Some(channel) = scenario.channels.get(entry.channel) else {
                continue;
            };
            if national::find(&channel.name) == Some(published) {
                continue;
            }
            let name = format!("{} on {}", published.name, radio.name);
            let carrier = entry.effective(channel).carrier;
            if let Some(mut finding) = judge(published, carrier, radio.id.into(), &name) {
                finding.related = vec![channel.id.into()];
                out.push(finding);
            }
        }
    }
}

/// Sets something against what is published under its name.
fn judge(published: &National, carrier: Carrier, subject: ThingId, name: &str) -> Option<Finding> {
    let mut worst = Severity::Notes;
    let mut what = Vec::new();
    let mut evidence = vec![Evidence::text("published as", published.name)];
    match carrier {
        Carrier::Grouped { group, .. } => {
            if published.has_common_name() {
                return None;
            }
            worst = Severity::Stops;
            what.push(format!("is group {group} instead of {}", published.rx));
            evidence.push(Evidence::number("group", f64::from(group), ""));
        }
        Carrier::Conventional(c) => {
            let is_near = c.rx == published.rx || c.tx == published.tx;
            if published.has_common_name() && !is_near {
                return None;
            }
            for difference in differences(published, &c) {
                worst = worst.min(difference.severity);
                what.push(difference.what);
                evidence.push(Evidence::text(difference.quantity, difference.found));
            }
        }
    }
    if what.is_empty() {
        return None;
    }
    let headline = format!("{name} {}", what.join(", "));
    let mut finding = CHECK.finding(worst, subject, headline);
    finding.evidence = evidence;
    finding.hints = vec![format!(
        "Verify against the current guide; compared with {}",
        published.edition
    )];
    Some(finding)
}

struct Difference {
    severity: Severity,
    quantity: &'static str,
    found: String,
    what: String,
}

fn differences(published: &National, c: &Conventional) -> Vec<Difference> {
    let mut all = Vec::new();
    let mut add = |severity, quantity, found: String, verb: &str, wanted: String| {
        all.push(Difference {
            severity,
            quantity,
            what: format!("{verb} {found} instead of {wanted}"),
            found,
        });
    };
    for (quantity, verb, found, wanted) in [
        ("receives on", "receives on", c.rx, published.rx),
        ("sends on", "sends on", c.tx, published.tx),
    ] {
        if found != wanted {
            let (found, wanted) = (found.to_string(), wanted.to_string());
            add(Severity::Stops, quantity, found, verb, wanted);
        }
    }
    if !published.modes.is_empty() && !published.modes.contains(&c.mode) {
        let wanted = words(&published.modes);
        add(Severity::Warns, "mode", c.mode.to_string(), "is in", wanted);
    }
    if !allowed(&published.tx_codes, c.tx_code) {
        let wanted = words(&published.tx_codes);
        add(
            Severity::Warns,
            "sends",
            c.tx_code.to_string(),
            "sends",
            wanted,
        );
    }
    if !allowed(&published.rx_codes, c.rx_code) {
        let still_opens = matches!(
            c.rx_code,
            AccessCode::None | AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY)
        ) || matches!(c.rx_code, AccessCode::Nac(_))
            && published.tx_codes.contains(&c.rx_code);
        let severity = if still_opens {
            Severity::Notes
        } else {
            Severity::Warns
        };
        let wanted = words(&published.rx_codes);
        add(
            severity,
            "asks for",
            c.rx_code.to_string(),
            "asks for",
            wanted,
        );
    }
    let (found, wanted) = (f64::from(c.bandwidth_hz), f64::from(published.bandwidth_hz));
    if !(0.75..=1.25).contains(&(found / wanted)) {
        let khz = |hertz: f64| format!("{} kHz", hertz / 1000.0);
        add(Severity::Warns, "bandwidth", khz(found), "is", khz(wanted));
    }
    all
}

fn allowed(codes: &[AccessCode], code: AccessCode) -> bool {
    codes.is_empty() || codes.contains(&code)
}

fn words<T: ToString>(alternatives: &[T]) -> String {
    let words: Vec<String> = alternatives.iter().map(ToString::to_string).collect();
    words.join(" or ")
}

/// Makes the channel what is published, where the table leaves no choice.
fn as_published(channel: &Channel, published: &National) -> Option<Fix> {
    let Carrier::Conventional(mut c) = channel.carrier else {
        return None;
    };
    (c.rx, c.tx) = (published.rx, published.tx);
    if !published.modes.is_empty() && !published.modes.contains(&c.mode) {
        c.mode = *published.modes.first()?;
    }
    for (code, codes) in [
        (&mut c.tx_code, &published.tx_codes),
        (&mut c.rx_code, &published.rx_codes),
    ] {
        if !allowed(codes, *code) {
            *code = *codes.first()?;
        }
    }
    c.bandwidth_hz = published.bandwidth_hz;
    Some(Fix {
        title: format!("Set {} as published", channel.name),
        grade: Grade::Ask,
        edits: vec![Edit::Replace(
            Channel {
                carrier: Carrier::Conventional(c),
                ..channel.clone()
            }
            .into(),
        )],
    })
}

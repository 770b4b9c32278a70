//! A radio has a channel programmed that it cannot work.
//!
//! ## What it flags
//! An entry whose frequency lies outside the radio's bands, or whose mode the radio does not have.
//!
//! ## Why it matters
//! The name can be chosen on the display all the same, on some sets without any warning. The set then
//! neither sends nor hears there.
//!
//! ## How it decides
//! The entry's frequencies, as programmed, are compared with the bands covered and its mode with the
//! modes the set has. A set of which no band is listed is not judged by frequency; the transmit
//! frequency of an entry that only listens does not count.
//!
//! ## Severity
//! Stops when the channel is selected on a radio in use. Notes when it is only programmed: all such
//! channels of one radio make one finding.
//!
//! ## Example
//! A VHF portable was copied from the plug of a dual-band one and has UTAC42D selected.
//!
//! ## Source
//! Follows from the derivation.

use crate::checks::{Check, say};
use crate::model::{
    Carrier, Channel, Edit, Evidence, Finding, Fix, Frequency, Grade, Mode, Programmed, Radio,
    Severity,
};
use crate::picture::Picture;

/// The check.
pub const CHECK: Check = Check {
    code: "P07",
    name: "works-not-this-channel",
    severity: Severity::Stops,
    text: include_str!("works_not_this_channel.rs"),
    run,
};

/// What the radio lacks.
enum Lack {
    Mode(Mode),
    Band(Frequency),
}

fn run(out: &mut Vec<Finding>, picture: &Picture) {
    let scenario = picture.scenario();
    for radio in picture.radios_in_question() {
        let unable: Vec<(&Channel, Lack)> = radio
            .programmed
            .iter()
            .filter_map(|entry| {
                let channel = scenario.channels.get(entry.channel)?;
                Some((channel, lack(radio, entry, channel)?))
            })
            .collect();
        if unable.is_empty() {
            continue;
        }
        let selected = picture
            .is_in_use(radio)
            .then(|| picture.tuned(radio).map(|t| t.channel.id))
            .flatten();
        let (selected, programmed): (Vec<_>, Vec<_>) = unable
            .into_iter()
            .partition(|(channel, _)| Some(channel.id) == selected);
        if let Some((channel, lack)) = selected.first() {
            out.push(stops(radio, channel, lack));
        }
        if !programmed.is_empty() {
            out.push(notes(radio, &programmed));
        }
    }
}

fn lack(radio: &Radio, entry: &Programmed, channel: &Channel) -> Option<Lack> {
    match entry.effective(channel).carrier {
        Carrier::Conventional(c) => {
            if !radio.modes.contains(&c.mode) {
                return Some(Lack::Mode(c.mode));
            }
            let tx = (!entry.receive_only).then_some(c.tx);
            [Some(c.rx), tx]
                .into_iter()
                .flatten()
                .find(|f| !radio.covers(*f))
                .map(Lack::Band)
        }
        Carrier::Grouped { mode, .. } => (!radio.modes.contains(&mode)).then_some(Lack::Mode(mode)),
    }
}

fn evidence(lack: &Lack) -> Evidence {
    match lack {
        Lack::Mode(mode) => Evidence::text("mode it lacks", mode),
        Lack::Band(frequency) => {
            Evidence::number("frequency it does not cover", frequency.mhz(), "MHz")
        }
    }
}

fn stops(radio: &Radio, channel: &Channel, lack: &Lack) -> Finding {
    let what = match lack {
        Lack::Mode(mode) => format!("has no {mode}"),
        Lack::Band(frequency) => format!("does not cover {frequency}"),
    };
    let headline = format!("{} is on {} and {what}", radio.name, channel.name);
    let mut finding = CHECK.finding(Severity::Stops, radio.id, headline);
    finding.related = vec![channel.id.into()];
    finding.evidence = vec![evidence(lack)];
    finding.hints = vec!["Take another set, or another channel that this set has".to_owned()];
    finding
}

fn notes(radio: &Radio, programmed: &[(&Channel, Lack)]) -> Finding {
    let names: Vec<String> = programmed.iter().map(|(c, _)| c.name.clone()).collect();
    let headline = format!(
        "{} has {} programmed and cannot work {}",
        radio.name,
        say::list(&names),
        if names.len() == 1 { "it" } else { "them" }
    );
    let mut finding = CHECK.finding(Severity::Notes, radio.id, headline);
    finding.related = programmed.iter().map(|(c, _)| c.id.into()).collect();
    finding.evidence = programmed.iter().map(|(_, lack)| evidence(lack)).collect();
    finding.fixes = vec![Fix {
        title: format!("Take {} out of {}", say::list(&names), radio.name),
        grade: Grade::Ask,
        edits: programmed
            .iter()
            .map(|(channel, _)| Edit::Unprogram {
                radio: radio.id,
                channel: channel.id,
            })
            .collect(),
    }];
    finding
}

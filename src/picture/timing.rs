//! How late and how well a message arrives: the parts of the delay, the wait before speaking and the
//! E-model rating of one path.

use std::collections::BTreeMap;

use crate::engineering::timing::delay_class::{self, DelayClass};
use crate::engineering::timing::press_and_wait::{self, Hop};
use crate::engineering::timing::rating::{self, Quality, Sensitivity};
use crate::engineering::timing::{codec, decode};
use crate::hearing::{Path, Step, StepKind};
use crate::model::{
    AccessCode, Carrier, ChannelId, Keying, Mode, Party, Practice, RadioId, Scenario, System,
    TelephoneKind, ThingId, TieKind,
};

use super::Picture;

/// What one path does to speech.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    /// From mouth to ear, in milliseconds.
    pub delay_ms: u32,
    /// The parts of it, in the order of the path; together they are the delay.
    pub parts: Vec<Part>,
    /// How the delay is felt, by the bounds of ITU-T G.114.
    pub class: DelayClass,
    /// How long to wait after pressing so that nothing is cut off, in milliseconds.
    pub press_and_wait_ms: u32,
    /// Sum of the equipment impairments that are known.
    pub impairment: f64,
    /// Vocoders whose impairment nobody has published and the scenario does not give.
    pub unknown_vocoders: usize,
    /// E-model rating; a best case while a vocoder is unknown.
    pub rating: f64,
    /// Mean opinion score that goes with the rating.
    pub mos: f64,
    /// Band of the rating.
    pub quality: Quality,
}

/// One part of a delay.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Part {
    /// Where it arises.
    pub at: ThingId,
    /// Why, in a few words.
    pub why: &'static str,
    /// How much, in milliseconds.
    pub ms: u32,
}

/// What to tell the people of a net, and who is the reason.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PressAndWait {
    /// How long to wait after pressing, in milliseconds.
    pub wait_ms: u32,
    /// Who would miss the first word if nobody waited.
    pub last: Party,
}

/// Returns the wait after pressing for the people of each channel, so that everybody who hears them
/// hears the first word.
///
/// Complexity: one explained message for each group of parties who send and hear alike.
pub fn press_and_wait(picture: &Picture) -> BTreeMap<ChannelId, PressAndWait> {
    let (scenario, hearing) = (picture.scenario(), picture.hearing());
    let mut waits: BTreeMap<ChannelId, PressAndWait> = BTreeMap::new();
    for parties in hearing.alike() {
        let Some(speaker) = parties.first() else {
            continue;
        };
        for path in hearing.message(scenario, *speaker) {
            let Some(StepKind::Transmits { channel, .. }) = path.steps.get(1).map(|s| s.what)
            else {
                continue;
            };
            let told = PressAndWait {
                wait_ms: press_and_wait::wait_ms(&hops(scenario, &scenario.practice, &path)),
                last: path.to,
            };
            let longest = waits.entry(channel).or_insert(told);
            if told.wait_ms > longest.wait_ms {
                *longest = told;
            }
        }
    }
    waits
}

/// Works out the timing of a path.
pub fn of(scenario: &Scenario, path: &Path) -> Timing {
    let practice = &scenario.practice;
    let parts = path.steps.iter().flat_map(|s| parts(scenario, s)).collect();
    let delay_ms = path.arrival.delay_ms;
    let (impairment, unknown_vocoders) = impairment(scenario, path);
    // Both numbers are inside their ranges; were they not, the worst rating is the cautious answer.
    let delay = f64::from(delay_ms).min(rating::DELAY.high);
    let rating = rating::rating(delay, impairment, 0.0, 1.0, Sensitivity::Default).unwrap_or(0.0);
    Timing {
        delay_ms,
        parts,
        class: delay_class::class(delay_ms.into()),
        press_and_wait_ms: press_and_wait::wait_ms(&hops(scenario, practice, path)),
        impairment,
        unknown_vocoders,
        rating,
        mos: rating::mos(rating),
        quality: rating::quality(rating),
    }
}

/// Returns how long a channel takes from keying until speech gets through to a receiver that has it
/// as defined, in milliseconds: the most that holding audio back before it can save.
pub fn opening_ms(scenario: &Scenario, channel: ChannelId) -> u32 {
    let practice = &scenario.practice;
    let carrier = scenario.channels.get(channel).map(|c| c.carrier);
    let decode_ms = carrier.map_or(0.0, |carrier| opens_after_ms(practice, carrier));
    (comes_up_ms(scenario, practice, channel) + decode_ms).ceil() as u32
}

fn parts(scenario: &Scenario, step: &Step) -> Vec<Part> {
    let part = |why, ms| Part {
        at: step.at,
        why,
        ms,
    };
    let all = match (step.what, step.at) {
        (StepKind::LeavesPort, ThingId::Port(port)) => {
            let buffer_ms = scenario.port(port).map_or(0, |p| p.buffer_ms);
            let buffer_ms = buffer_ms.min(step.delay_ms);
            vec![
                part("the gateway itself", step.delay_ms - buffer_ms),
                part("audio held back by the port", buffer_ms),
            ]
        }
        (StepKind::Carries, _) => vec![part("the system's audio latency", step.delay_ms)],
        (StepKind::Tied, _) => vec![part("the tie with its jitter buffer", step.delay_ms)],
        (StepKind::Called, _) => vec![part("the telephone network", step.delay_ms)],
        _ => vec![part("on the way", step.delay_ms)],
    };
    all.into_iter().filter(|p| p.ms > 0).collect()
}

/// Adds up the impairments of the codecs on a path, and counts those without a published value.
fn impairment(scenario: &Scenario, path: &Path) -> (f64, usize) {
    let mut known = Vec::new();
    let mut unknown = 0;
    let mut vocoder = || {
        if scenario.practice.vocoder_ie > 0.0 {
            known.push(scenario.practice.vocoder_ie);
        } else {
            unknown += 1;
        }
    };
    let mut telephones = 0;
    let mut ties = 0;
    for step in &path.steps {
        match (step.what, step.at) {
            (StepKind::Transmits { channel, .. }, _) => {
                let channel = scenario.channels.get(channel);
                if channel.is_some_and(|c| c.mode().is_digital()) {
                    vocoder();
                }
            }
            (StepKind::Tied, ThingId::Tie(id))
                if scenario.ties.get(id).is_some_and(|t| t.kind == TieKind::Ip) =>
            {
                ties += 1;
            }
            (StepKind::Called, ThingId::Telephone(id)) => {
                match scenario.telephones.get(id).map(|t| t.kind) {
                    Some(TelephoneKind::Satellite) => vocoder(),
                    Some(TelephoneKind::Cellular) => telephones += 1,
                    Some(TelephoneKind::Landline) | None => {}
                }
            }
            _ => {}
        }
    }
    known.extend((0..ties).map(|_| scenario.practice.tie_ie));
    known.extend((0..telephones).map(|_| scenario.practice.telephone_ie));
    let sum = codec::chain_impairment(&known);
    (sum.min(rating::IMPAIRMENT.high), unknown)
}

/// Lists the hops of a path: each transmitter with the receiver that takes it.
fn hops(scenario: &Scenario, practice: &Practice, path: &Path) -> Vec<Hop> {
    let mut hops: Vec<Hop> = Vec::new();
    let mut held_ms = 0;
    let mut attack_ms = 0;
    let mut opens_ms: Option<f64> = None;
    for step in &path.steps {
        match (step.what, step.at) {
            (StepKind::LeavesPort, ThingId::Port(port)) => {
                let port = scenario.port(port);
                held_ms = port.map_or(0, |p| p.buffer_ms);
                attack_ms = match port.map(|p| p.keying) {
                    Some(Keying::VoiceOperated { attack_ms, .. }) => attack_ms,
                    Some(Keying::PttLine) | None => 0,
                };
            }
            (StepKind::Transmits { channel, .. }, _) => {
                let up = comes_up_ms(scenario, practice, channel) + f64::from(attack_ms);
                opens_ms = Some(up);
            }
            (StepKind::Receives { channel, by_scan }, ThingId::Radio(radio)) => {
                if let Some(up) = opens_ms.take() {
                    let mut opens = up + decode_ms(scenario, practice, radio, channel);
                    let channel = scenario.channels.get(channel);
                    if by_scan && channel.is_some_and(|c| c.mode() == Mode::P25) {
                        // It comes in the middle of the call and waits for the next link control.
                        opens += practice.late_entry_ms;
                    }
                    hops.push(Hop {
                        opens_ms: opens.ceil() as u32,
                        held_ms,
                    });
                }
                (held_ms, attack_ms) = (0, 0);
            }
            _ => {}
        }
    }
    hops
}

/// Returns the time until a channel carries speech once its transmitter is keyed.
fn comes_up_ms(scenario: &Scenario, practice: &Practice, channel: ChannelId) -> f64 {
    let system = scenario.channels.get(channel).map(|c| c.system);
    let Some(System {
        access_ms, kind, ..
    }) = system.and_then(|s| scenario.systems.get(s))
    else {
        return practice.key_up_ms;
    };
    if kind.is_conventional() {
        f64::from(*access_ms).max(practice.key_up_ms)
    } else {
        f64::from(*access_ms)
    }
}

/// Returns the time a receiver takes to open on a channel as it has it.
fn decode_ms(scenario: &Scenario, practice: &Practice, radio: RadioId, channel: ChannelId) -> f64 {
    let radio = scenario.radios.get(radio);
    let entry = radio.and_then(|r| r.entry(channel));
    let (Some(entry), Some(channel)) = (entry, scenario.channels.get(channel)) else {
        return 0.0;
    };
    opens_after_ms(practice, entry.effective(channel).carrier)
}

/// Returns the time a receiver takes to open on what a channel is made of.
fn opens_after_ms(practice: &Practice, carrier: Carrier) -> f64 {
    match carrier {
        // A grant tells the receivers too: the system's access time holds both.
        Carrier::Grouped { .. } => 0.0,
        Carrier::Conventional(c) if c.mode == Mode::P25 => decode::p25_ms(decode::HEADER_BITS),
        Carrier::Conventional(c) => match c.rx_code {
            AccessCode::Ctcss(_) => practice.squelch_ms + practice.tone_decode_ms,
            AccessCode::Dcs { .. } => practice.squelch_ms + practice.dcs_decode_ms,
            AccessCode::None | AccessCode::Nac(_) => practice.squelch_ms,
        },
    }
}

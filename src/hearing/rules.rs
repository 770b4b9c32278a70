//! The rules of the air: what a radio sends, what it listens for, and whether the two meet.
//!
//! Pure functions of one radio, one programmed entry and one channel. Each failure is a [`Fault`],
//! which the derivation drops and the "why not" explains and prices.

use std::collections::BTreeSet;

use crate::engineering::rf::dcs;
use crate::model::{
    AccessCode, Carrier, Channel, Effective, Frequency, KeyRef, Mode, Programmed, Protection,
    Radio, System, SystemId, SystemKind,
};

/// Where on the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// A frequency.
    Frequency(Frequency),
    /// A group of a trunked or satellite system.
    Group {
        /// The system.
        system: SystemId,
        /// The group number.
        group: u32,
    },
}

/// What is on the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Signal {
    /// Where.
    pub spot: Spot,
    /// Modulation.
    pub mode: Mode,
    /// Access code sent.
    pub code: AccessCode,
    /// Key it is encrypted with.
    pub key: Option<KeyRef>,
}

/// What a receiver listens for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tuner {
    /// Where.
    pub spot: Spot,
    /// Modulation.
    pub mode: Mode,
    /// Takes analogue FM beside it.
    pub mixed: bool,
    /// Access code asked for.
    pub code: AccessCode,
    /// Mute on clear traffic.
    pub encrypted_only: bool,
}

/// A rule that fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// The entry is programmed to listen only.
    ReceiveOnly,
    /// The radio does not have the modulation.
    NoMode(Mode),
    /// The radio does not cover the frequency.
    OutOfBand(Frequency),
    /// The radio lacks the key to send with.
    NoKeyToSend(KeyRef),
    /// The system has no talk path at all.
    NoTalkPath(SystemId),
    /// The system covers nothing of the working area.
    NoCoverage(SystemId),
    /// Sender and receiver are not at the same place on the air.
    Elsewhere {
        /// Where it is sent.
        sent: Spot,
        /// Where the receiver listens.
        heard: Spot,
    },
    /// The receiver is set to another modulation.
    OtherMode {
        /// What is sent.
        sent: Mode,
        /// What the receiver takes.
        heard: Mode,
    },
    /// The receiver asks for another code.
    OtherCode {
        /// What is sent.
        sent: AccessCode,
        /// What the receiver asks for.
        heard: AccessCode,
    },
    /// The receiver lacks the key.
    NoKey(KeyRef),
    /// The receiver stays mute on clear traffic.
    MutesClear,
}

/// Returns what a radio sends on an entry, or every rule that stops it (rule 1).
pub fn signal_of(
    radio: &Radio,
    entry: &Programmed,
    channel: &Channel,
    system: &System,
) -> Result<Signal, Vec<Fault>> {
    let Effective {
        carrier,
        protection,
        ..
    } = entry.effective(channel);
    let mut faults = Vec::new();
    if entry.receive_only {
        faults.push(Fault::ReceiveOnly);
    }
    let (spot, mode, code) = match carrier {
        Carrier::Conventional(c) => {
            if !radio.covers(c.tx) {
                faults.push(Fault::OutOfBand(c.tx));
            }
            (Spot::Frequency(c.tx), c.mode, c.tx_code)
        }
        Carrier::Grouped { group, mode } => {
            if system.talk_paths == 0 {
                faults.push(Fault::NoTalkPath(system.id));
            }
            (
                Spot::Group {
                    system: system.id,
                    group,
                },
                mode,
                AccessCode::None,
            )
        }
    };
    // A repeater out of reach still lets radios hear each other directly: see `repeats`.
    if system.coverage <= 0.0 && !system.kind.repeats() {
        faults.push(Fault::NoCoverage(system.id));
    }
    if !radio.modes.contains(&mode) {
        faults.push(Fault::NoMode(mode));
    }
    let key = match protection {
        Protection::Always(key) => Some(key),
        Protection::Optional(key) if entry.secure => Some(key),
        Protection::Optional(_) | Protection::Clear => None,
    };
    if let Some(key) = key
        && !radio.keys.contains(&key)
    {
        faults.push(Fault::NoKeyToSend(key));
    }
    if faults.is_empty() {
        Ok(Signal {
            spot,
            mode,
            code,
            key,
        })
    } else {
        Err(faults)
    }
}

/// Returns where a radio listens that has a channel with this carrier.
pub fn listens_at(channel: &Channel, carrier: Carrier) -> Spot {
    match carrier {
        Carrier::Conventional(c) => Spot::Frequency(c.rx),
        Carrier::Grouped { group, .. } => Spot::Group {
            system: channel.system,
            group,
        },
    }
}

/// Returns what a radio listens for on an entry, or every rule that stops it (rule 2).
pub fn tuner_of(radio: &Radio, entry: &Programmed, channel: &Channel) -> Result<Tuner, Vec<Fault>> {
    let Effective {
        carrier,
        encrypted_only,
        ..
    } = entry.effective(channel);
    let mut faults = Vec::new();
    let (spot, mode, mixed, code) = match carrier {
        Carrier::Conventional(c) => {
            if !radio.covers(c.rx) {
                faults.push(Fault::OutOfBand(c.rx));
            }
            let mixed = c.mixed && radio.modes.contains(&Mode::Fm);
            (Spot::Frequency(c.rx), c.mode, mixed, c.rx_code)
        }
        Carrier::Grouped { group, mode } => {
            let spot = Spot::Group {
                system: channel.system,
                group,
            };
            (spot, mode, false, AccessCode::None)
        }
    };
    if !radio.modes.contains(&mode) {
        faults.push(Fault::NoMode(mode));
    }
    if faults.is_empty() {
        Ok(Tuner {
            spot,
            mode,
            mixed,
            code,
            encrypted_only,
        })
    } else {
        Err(faults)
    }
}

/// Tells whether a receiver hears a signal: whether [`reception_faults`] has nothing to say.
pub fn hears(tuner: &Tuner, keys: &BTreeSet<KeyRef>, signal: &Signal) -> bool {
    tuner.spot == signal.spot
        && takes_mode(tuner.mode, tuner.mixed, signal.mode)
        && opens(tuner.code, signal)
        && match signal.key {
            Some(key) => keys.contains(&key),
            None => !tuner.encrypted_only,
        }
}

/// Lists every rule that keeps a receiver from hearing a signal; none when it hears (rules 2, 4).
pub fn reception_faults(tuner: &Tuner, keys: &BTreeSet<KeyRef>, signal: &Signal) -> Vec<Fault> {
    if hears(tuner, keys, signal) {
        return Vec::new();
    }
    let mut faults = Vec::new();
    if tuner.spot != signal.spot {
        faults.push(Fault::Elsewhere {
            sent: signal.spot,
            heard: tuner.spot,
        });
    }
    if !takes_mode(tuner.mode, tuner.mixed, signal.mode) {
        faults.push(Fault::OtherMode {
            sent: signal.mode,
            heard: tuner.mode,
        });
    } else if !opens(tuner.code, signal) {
        faults.push(Fault::OtherCode {
            sent: signal.code,
            heard: tuner.code,
        });
    }
    match signal.key {
        Some(key) if !keys.contains(&key) => faults.push(Fault::NoKey(key)),
        None if tuner.encrypted_only => faults.push(Fault::MutesClear),
        _ => {}
    }
    faults
}

fn takes_mode(mode: Mode, mixed: bool, sent: Mode) -> bool {
    mode == sent || (mixed && sent == Mode::Fm)
}

/// Tells whether a receive code opens on a signal.
///
/// A tone or DCS code is only looked for in an analogue signal and a NAC only in a P25 one, so a
/// mixed-mode receiver with a NAC opens on any analogue signal.
pub fn opens(asked: AccessCode, signal: &Signal) -> bool {
    match (asked, signal.code) {
        (
            AccessCode::None
            | AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY | AccessCode::NAC_REPEAT_ANY),
            _,
        ) => true,
        (AccessCode::Nac(_), _) if signal.mode != Mode::P25 => true,
        (
            AccessCode::Dcs { code, inverted },
            AccessCode::Dcs {
                code: sent,
                inverted: turned,
            },
        ) => dcs::same_on_air((code, inverted), (sent, turned)),
        (asked, sent) => asked == sent,
    }
}

/// What a channel's repeater sends on when a signal comes in, or why it stays down (rule 3).
///
/// `None` when the channel has no repeater or the signal is not on its input frequency.
pub fn repeats(
    channel: &Channel,
    system: &System,
    signal: &Signal,
) -> Option<Result<Signal, Fault>> {
    let input = channel.conventional()?;
    if !system.kind.repeats() || signal.spot != Spot::Frequency(input.tx) {
        return None;
    }
    if system.coverage <= 0.0 {
        return Some(Err(Fault::NoCoverage(system.id)));
    }
    if !takes_mode(input.mode, input.mixed, signal.mode) {
        return Some(Err(Fault::OtherMode {
            sent: signal.mode,
            heard: input.mode,
        }));
    }
    if !opens(input.tx_code, signal) {
        return Some(Err(Fault::OtherCode {
            sent: signal.code,
            heard: input.tx_code,
        }));
    }
    let any_nac = AccessCode::Nac(AccessCode::NAC_REPEAT_ANY);
    let code = if input.tx_code == any_nac {
        // TIA-102.BAAC: $F7F repeats with the code that came in.
        signal.code
    } else {
        match input.rx_code {
            // Mobiles open on any code; the repeater cannot send $F7E and sends its input code.
            AccessCode::Nac(AccessCode::NAC_RECEIVE_ANY) => input.tx_code,
            code => code,
        }
    };
    Some(Ok(Signal {
        spot: Spot::Frequency(input.rx),
        code,
        ..*signal
    }))
}

/// Returns the latency that goes with a radio's own transmission, in milliseconds.
///
/// A repeater's latency is added where it repeats, not on the way in.
pub fn direct_latency_ms(system: &System) -> u32 {
    match system.kind {
        SystemKind::Repeater | SystemKind::Voter => 0,
        SystemKind::Simplex
        | SystemKind::Trunked
        | SystemKind::Satellite
        | SystemKind::Telephone => system.latency_ms,
    }
}

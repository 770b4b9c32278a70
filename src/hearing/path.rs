//! The answer for one ordered pair: the path with each step, or its absence.
//!
//! Plain data that the board lights up, the command line prints and paper quotes.

use crate::model::{ChannelId, GatewayId, KeyRef, Party, PortRef, RadioId, ThingId};

/// What arrives at a hearer, without the path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Arrival {
    /// Only by a scanning receiver somewhere on the way: one-way until proved otherwise.
    pub by_scan: bool,
    /// From mouth to ear, in milliseconds, once the speaker has access.
    pub delay_ms: u32,
    /// Speech cut off the front, in milliseconds.
    pub clipped_ms: u32,
    /// How many times speech goes through a vocoder or speech codec and back.
    pub codec_passes: u16,
    /// Every hop that leaves a box is encrypted.
    pub encrypted: bool,
}

/// One path, from the speaker's mouth to the hearer's ear.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Path {
    /// Who speaks.
    pub from: Party,
    /// Who hears.
    pub to: Party,
    /// What arrives.
    pub arrival: Arrival,
    /// How long the speaker waits between pressing and speaking, in milliseconds.
    pub wait_ms: u32,
    /// The things the message passes, in order; neighbours in this list touch.
    pub steps: Vec<Step>,
    /// What becomes of encryption.
    pub secrecy: Secrecy,
}

/// One thing the message passes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// The thing.
    pub at: ThingId,
    /// What happens there.
    pub what: StepKind,
    /// Delay added here, in milliseconds.
    pub delay_ms: u32,
    /// Speech cut off here, in milliseconds.
    pub clipped_ms: u32,
}

/// What happens at a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepKind {
    /// A party speaks.
    Speaks,
    /// A radio transmits on a channel, encrypted or clear.
    Transmits {
        /// The channel it has selected.
        channel: ChannelId,
        /// The key in use, if any.
        key: Option<KeyRef>,
    },
    /// A channel carries it: the air between two radios, a repeater, or a granted talk path.
    Carries,
    /// A radio receives.
    Receives {
        /// The channel it receives on.
        channel: ChannelId,
        /// It receives by scanning.
        by_scan: bool,
    },
    /// Audio enters a port.
    EntersPort,
    /// Audio is on a talk group's bus.
    OnTalkGroup,
    /// Audio leaves a port, after its buffer.
    LeavesPort,
    /// A tie carries it to another gateway.
    Tied,
    /// A telephone carries it.
    Called,
    /// A headset carries it.
    Worn,
    /// A party hears.
    Hears,
}

/// What becomes of encryption along a path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Secrecy {
    /// It was clear from the start.
    Clear,
    /// Every hop that leaves a box is encrypted; the gateways named decrypt it inside.
    Kept {
        /// Gateways whose bus carries the audio in clear.
        opened_in: Vec<GatewayId>,
    },
    /// It starts encrypted and leaves in clear.
    Ends {
        /// Index of the first step that sends it in clear.
        step: usize,
        /// The port it leaves by.
        port: PortRef,
        /// The donor that sends it in clear, unless it leaves by a telephone or tie.
        radio: Option<RadioId>,
        /// Everybody in the scenario who then hears it without the key, or by a clear hop.
        listeners: Vec<Party>,
    },
}

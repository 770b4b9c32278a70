//! Systems, channels, access codes and encryption as a file spells them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::values::{Cipher, Hex, Hz, Khz, Mhz, Octal};
use super::words::{Mode, Role, SystemKind};
use super::{At, is_off, is_one, is_zero, one};

/// What carries a channel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct System {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// How it carries a channel.
    #[serde(default, skip_serializing_if = "SystemKind::is_usual")]
    pub kind: SystemKind,
    /// Time from pressing to speech being carried, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub access_ms: u32,
    /// One-way audio latency, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub latency_ms: u32,
    /// How long the output stays up after the speaker lets go, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub hang_ms: u32,
    /// How many conversations it can carry at once; 1 where none is given.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    #[schemars(extend("maximum" = 10_000))]
    pub talk_paths: u32,
    /// Share of the working area it covers, from 0 to 1; 1 where none is given.
    #[serde(default = "whole", skip_serializing_if = "is_whole")]
    #[schemars(extend("minimum" = 0, "maximum" = 1))]
    pub coverage: f64,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

fn whole() -> f64 {
    1.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_whole(value: &f64) -> bool {
    value.to_bits() == whole().to_bits()
}

/// A channel as it reads on the radio.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Channel {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name as it reads on the radio; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Key of the system that carries it.
    pub system: String,
    /// Frequencies or group.
    pub carrier: Carrier,
    /// Encryption.
    #[serde(default, skip_serializing_if = "Encryption::is_clear")]
    pub encryption: Encryption,
    /// Receivers stay mute on clear traffic.
    #[serde(default, skip_serializing_if = "is_off")]
    pub encrypted_only: bool,
    /// What it is used for at the incident.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Role>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// What a channel is made of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub enum Carrier {
    /// Frequencies of its own, from the mobile's side: receive is a repeater's output.
    Frequencies {
        /// Receive frequency in MHz.
        rx_mhz: Mhz,
        /// Transmit frequency in MHz; the receive frequency where none is given.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        tx_mhz: Option<Mhz>,
        /// Code the receiver asks for.
        #[serde(default, skip_serializing_if = "AccessCode::is_none")]
        rx_code: AccessCode,
        /// Code the transmitter sends.
        #[serde(default, skip_serializing_if = "AccessCode::is_none")]
        tx_code: AccessCode,
        /// Modulation sent.
        #[serde(default, skip_serializing_if = "Mode::is_usual")]
        mode: Mode,
        /// Receives analogue FM beside the digital mode.
        #[serde(default, skip_serializing_if = "is_off")]
        mixed: bool,
        /// Bandwidth in kHz; 12.5 where none is given.
        #[serde(default = "narrow", skip_serializing_if = "is_narrow")]
        bandwidth_khz: Khz,
    },
    /// A group number on a trunked or satellite system.
    Group {
        /// Group number.
        #[schemars(extend("minimum" = 1, "maximum" = 16_777_215))]
        number: u32,
        /// Modulation of the system's voice; P25 where none is given.
        #[serde(default = "p25", skip_serializing_if = "is_p25")]
        mode: Mode,
    },
}

fn narrow() -> Khz {
    Khz::NARROW
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_narrow(width: &Khz) -> bool {
    *width == Khz::NARROW
}

fn p25() -> Mode {
    Mode::P25
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_p25(mode: &Mode) -> bool {
    *mode == Mode::P25
}

/// What a transmitter sends, or a receiver asks for, beside the voice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub enum AccessCode {
    /// Nothing; a receiver opens on any carrier.
    #[default]
    NoCode,
    /// A CTCSS tone in Hz.
    Ctcss(Hz),
    /// A DCS code.
    Dcs(Octal),
    /// A DCS code of inverted polarity.
    DcsInverted(Octal),
    /// A P25 network access code.
    Nac(Hex),
}

impl AccessCode {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
    fn is_none(&self) -> bool {
        *self == Self::NoCode
    }
}

/// Which key under which algorithm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeyRef {
    /// Algorithm.
    pub algorithm: Cipher,
    /// Key number.
    pub number: u16,
}

/// Whether a channel is encrypted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub enum Encryption {
    /// Never.
    #[default]
    Clear,
    /// By the radio's secure switch.
    Optional {
        /// Algorithm.
        algorithm: Cipher,
        /// Key number.
        number: u16,
    },
    /// Always.
    Always {
        /// Algorithm.
        algorithm: Cipher,
        /// Key number.
        number: u16,
    },
}

impl Encryption {
    #[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
    fn is_clear(&self) -> bool {
        *self == Self::Clear
    }
}

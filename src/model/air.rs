//! What is on the air: radio systems, channels, access codes and encryption.

use std::fmt;

use super::id::{ChannelId, SystemId};
use super::people::Role;
use super::units::{Frequency, Tone};

/// How a system carries a channel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum SystemKind {
    /// Radio to radio, nothing between.
    #[default]
    Simplex,
    /// A repeater: hears the input, sends on the output.
    Repeater,
    /// Several repeater sites that vote or send together; behaves as one repeater.
    Voter,
    /// Trunked: a controller grants a talk path to a group number.
    Trunked,
    /// Push-to-talk groups by way of a satellite.
    Satellite,
    /// The public telephone network.
    Telephone,
}

impl SystemKind {
    /// Tells whether channels of this kind have frequencies of their own.
    pub fn is_conventional(self) -> bool {
        matches!(self, Self::Simplex | Self::Repeater | Self::Voter)
    }

    /// Tells whether channels of this kind are group numbers.
    pub fn is_grouped(self) -> bool {
        matches!(self, Self::Trunked | Self::Satellite)
    }

    /// Tells whether the system hears an input and sends on an output.
    pub fn repeats(self) -> bool {
        matches!(self, Self::Repeater | Self::Voter)
    }
}

/// What carries a channel.
#[derive(Debug, Clone, PartialEq)]
pub struct System {
    /// Identity.
    pub id: SystemId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// How it carries a channel.
    pub kind: SystemKind,
    /// Time from pressing to speech being carried, in milliseconds.
    pub access_ms: u32,
    /// One-way audio latency, in milliseconds.
    pub latency_ms: u32,
    /// How long the output stays up after the speaker lets go, in milliseconds.
    pub hang_ms: u32,
    /// How many conversations it can carry at once.
    pub talk_paths: u32,
    /// Share of the working area it covers, from 0 to 1.
    pub coverage: f64,
    /// Free text.
    pub notes: String,
}

/// Modulation of voice, named by open standards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Mode {
    /// Analogue frequency modulation.
    #[default]
    Fm,
    /// Analogue amplitude modulation, as in the air band.
    Am,
    /// P25 digital voice (TIA-102).
    P25,
    /// DMR digital voice (ETSI TS 102 361).
    Dmr,
    /// TETRA digital voice (ETSI EN 300 392).
    Tetra,
}

impl Mode {
    /// All modes.
    pub const ALL: [Self; 5] = [Self::Fm, Self::Am, Self::P25, Self::Dmr, Self::Tetra];

    /// Tells whether speech goes through a vocoder.
    pub fn is_digital(self) -> bool {
        matches!(self, Self::P25 | Self::Dmr | Self::Tetra)
    }
}

impl fmt::Display for Mode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Fm => "analogue FM",
            Self::Am => "AM",
            Self::P25 => "P25",
            Self::Dmr => "DMR",
            Self::Tetra => "TETRA",
        })
    }
}

/// What a transmitter sends, or a receiver asks for, beside the voice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum AccessCode {
    /// Nothing sent; a receiver without a code opens on any carrier.
    #[default]
    None,
    /// A CTCSS tone.
    Ctcss(Tone),
    /// A DCS code, its octal digits as a number below 0o1000, upright or inverted.
    Dcs {
        /// The code; print it in octal, three digits.
        code: u16,
        /// Inverted polarity.
        inverted: bool,
    },
    /// A P25 network access code, below 0x1000.
    Nac(u16),
}

impl AccessCode {
    /// P25 receiver setting that opens on any code (TIA-102.BAAC; never sent).
    pub const NAC_RECEIVE_ANY: u16 = 0xF7E;
    /// P25 repeater setting that accepts any code and sends it on (TIA-102.BAAC; never sent).
    pub const NAC_REPEAT_ANY: u16 = 0xF7F;
}

impl fmt::Display for AccessCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::None => f.write_str("no code"),
            Self::Ctcss(tone) => write!(f, "CTCSS {tone}"),
            Self::Dcs { code, inverted } => {
                write!(
                    f,
                    "DCS {code:03o}{}",
                    if *inverted { " inverted" } else { "" }
                )
            }
            Self::Nac(nac) => write!(f, "NAC ${nac:03X}"),
        }
    }
}

/// A cipher, by its P25 algorithm number (TIA-102.BAAC-D, ALGID).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Algorithm(pub u8);

impl Algorithm {
    /// AES with a 256-bit key.
    pub const AES_256: Self = Self(0x84);
    /// DES in output-feedback mode; withdrawn as a standard, still met.
    pub const DES_OFB: Self = Self(0x81);
}

impl fmt::Display for Algorithm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::AES_256 => f.write_str("AES-256"),
            Self::DES_OFB => f.write_str("DES-OFB"),
            Self(other) => write!(f, "algorithm ${other:02X}"),
        }
    }
}

/// Which key under which algorithm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeyRef {
    /// Algorithm.
    pub algorithm: Algorithm,
    /// Key number (P25 KID), 0 to 65535.
    pub number: u16,
}

impl fmt::Display for KeyRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} key {}", self.algorithm, self.number)
    }
}

/// Whether a channel is encrypted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Protection {
    /// Never.
    #[default]
    Clear,
    /// By the radio's secure switch.
    Optional(KeyRef),
    /// Always.
    Always(KeyRef),
}

impl Protection {
    /// Returns the key, if the channel has one.
    pub fn key(self) -> Option<KeyRef> {
        match self {
            Self::Clear => None,
            Self::Optional(key) | Self::Always(key) => Some(key),
        }
    }
}

impl fmt::Display for Protection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Clear => f.write_str("clear"),
            Self::Optional(key) => write!(f, "{key}, by switch"),
            Self::Always(key) => write!(f, "{key}, always"),
        }
    }
}

/// Frequencies and codes, written from the mobile's side: receive is a repeater's output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conventional {
    /// Receive frequency.
    pub rx: Frequency,
    /// Transmit frequency.
    pub tx: Frequency,
    /// Code the receiver asks for; on a repeated channel, what the repeater sends.
    pub rx_code: AccessCode,
    /// Code the transmitter sends; on a repeated channel, what the repeater asks for.
    pub tx_code: AccessCode,
    /// Modulation sent.
    pub mode: Mode,
    /// Receives analogue FM beside the digital mode ("M" on an ICS 205).
    pub mixed: bool,
    /// Channel bandwidth, in hertz.
    pub bandwidth_hz: u32,
}

/// What a channel is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carrier {
    /// Frequencies of its own.
    Conventional(Conventional),
    /// A group number on a trunked or satellite system.
    Grouped {
        /// Group number, from 1.
        group: u32,
        /// Modulation of the system's voice.
        mode: Mode,
    },
}

/// A channel as it reads on the radio.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Channel {
    /// Identity.
    pub id: ChannelId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name as it reads on the radio.
    pub name: String,
    /// The system that carries it.
    pub system: SystemId,
    /// Frequencies or group.
    pub carrier: Carrier,
    /// Encryption.
    pub protection: Protection,
    /// Receivers stay mute on clear traffic.
    pub encrypted_only: bool,
    /// What it is used for at the incident.
    pub purpose: Option<Role>,
    /// Free text.
    pub notes: String,
}

impl Channel {
    /// Returns the modulation that the channel sends.
    pub fn mode(&self) -> Mode {
        match &self.carrier {
            Carrier::Conventional(c) => c.mode,
            Carrier::Grouped { mode, .. } => *mode,
        }
    }

    /// Returns the frequencies and codes, or `None` for a group number.
    pub fn conventional(&self) -> Option<&Conventional> {
        match &self.carrier {
            Carrier::Conventional(c) => Some(c),
            Carrier::Grouped { .. } => None,
        }
    }
}

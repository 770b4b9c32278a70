//! Radios: what each can do, what is programmed into it, and how far that is known.

use std::collections::{BTreeMap, BTreeSet};

use super::air::{AccessCode, Carrier, Channel, KeyRef, Mode, Protection};
use super::id::{AgencyId, ChannelId, RadioId, UnitId};
use super::power::Draw;
use super::units::{Band, Frequency};

/// A radio somebody holds, or one that is cabled to a port (then a donor).
#[derive(Debug, Clone, PartialEq)]
pub struct Radio {
    /// Identity.
    pub id: RadioId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name or tag on the set.
    pub name: String,
    /// The agency that owns it.
    pub owner: Option<AgencyId>,
    /// The unit that carries it, one for each head.
    pub held_by: Option<UnitId>,
    /// Family of set, in plain words such as "VHF portable".
    pub family: String,
    /// Bands covered.
    pub bands: Vec<Band>,
    /// Modulations it has.
    pub modes: BTreeSet<Mode>,
    /// Accessory connector, by name.
    pub connector: String,
    /// Transmit power, in watts.
    pub power_w: f64,
    /// Own battery, in mAh; `None` when unknown.
    pub battery_mah: Option<u32>,
    /// Runs on power from outside, so that its own battery does not matter.
    pub outside_power: bool,
    /// What it draws from its own battery, where known.
    pub draw: Option<Draw>,
    /// Keys loaded.
    pub keys: BTreeSet<KeyRef>,
    /// Channels programmed; at most one entry for a channel.
    pub programmed: Vec<Programmed>,
    /// The channel selected unless a phase says otherwise.
    pub selected: Option<ChannelId>,
    /// The programmed channels it scans.
    pub scans: BTreeSet<ChannelId>,
    /// Free text.
    pub notes: String,
}

impl Radio {
    /// Makes a radio of which nothing is known but its name: no bands, nothing programmed, analogue FM
    /// at 5 W.
    pub fn bare(id: RadioId, name: String) -> Self {
        Self {
            id,
            key: String::new(),
            name,
            owner: None,
            held_by: None,
            family: String::new(),
            bands: Vec::new(),
            modes: BTreeSet::from([Mode::Fm]),
            connector: String::new(),
            power_w: 5.0,
            battery_mah: None,
            outside_power: false,
            draw: None,
            keys: BTreeSet::new(),
            programmed: Vec::new(),
            selected: None,
            scans: BTreeSet::new(),
            notes: String::new(),
        }
    }
}

/// One channel in one radio: the channel's definition and every deviation from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Programmed {
    /// The channel meant.
    pub channel: ChannelId,
    /// Name shown by this radio, where it differs from the channel's.
    pub label: Option<String>,
    /// Receive frequency, where it differs.
    pub rx: Option<Frequency>,
    /// Transmit frequency, where it differs.
    pub tx: Option<Frequency>,
    /// Receive code, where it differs.
    pub rx_code: Option<AccessCode>,
    /// Transmit code, where it differs.
    pub tx_code: Option<AccessCode>,
    /// Mode, where it differs.
    pub mode: Option<Mode>,
    /// Bandwidth in hertz, where it differs.
    pub bandwidth_hz: Option<u32>,
    /// Group number, where it differs.
    pub group: Option<u32>,
    /// Encryption, where it differs.
    pub protection: Option<Protection>,
    /// Mute on clear traffic, where it differs.
    pub encrypted_only: Option<bool>,
    /// The secure switch, which decides on a channel with optional encryption.
    pub secure: bool,
    /// Programmed to listen only.
    pub receive_only: bool,
    /// The facts somebody has verified; a fact not listed is assumed.
    pub verified: BTreeMap<Fact, Verified>,
}

impl Programmed {
    /// Programs a channel exactly as it is defined; every fact is assumed.
    pub fn as_defined(channel: ChannelId) -> Self {
        Self {
            channel,
            label: None,
            rx: None,
            tx: None,
            rx_code: None,
            tx_code: None,
            mode: None,
            bandwidth_hz: None,
            group: None,
            protection: None,
            encrypted_only: None,
            secure: false,
            receive_only: false,
            verified: BTreeMap::new(),
        }
    }

    /// Returns what the radio really uses: the channel's definition with this entry's deviations.
    pub fn effective(&self, channel: &Channel) -> Effective {
        let carrier = match channel.carrier {
            Carrier::Conventional(mut c) => {
                c.rx = self.rx.unwrap_or(c.rx);
                c.tx = self.tx.unwrap_or(c.tx);
                c.rx_code = self.rx_code.unwrap_or(c.rx_code);
                c.tx_code = self.tx_code.unwrap_or(c.tx_code);
                c.mode = self.mode.unwrap_or(c.mode);
                c.bandwidth_hz = self.bandwidth_hz.unwrap_or(c.bandwidth_hz);
                Carrier::Conventional(c)
            }
            Carrier::Grouped { group, mode } => Carrier::Grouped {
                group: self.group.unwrap_or(group),
                mode: self.mode.unwrap_or(mode),
            },
        };
        Effective {
            carrier,
            protection: self.protection.unwrap_or(channel.protection),
            encrypted_only: self.encrypted_only.unwrap_or(channel.encrypted_only),
        }
    }

    /// Returns the name the radio shows for the channel.
    pub fn label<'a>(&'a self, channel: &'a Channel) -> &'a str {
        self.label.as_deref().unwrap_or(&channel.name)
    }
}

/// A channel as one radio has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effective {
    /// Frequencies or group.
    pub carrier: Carrier,
    /// Encryption.
    pub protection: Protection,
    /// Mute on clear traffic.
    pub encrypted_only: bool,
}

/// A programmed fact that somebody can verify on the set itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fact {
    /// Receive and transmit frequency, or the group number.
    Frequency,
    /// Receive and transmit access code.
    AccessCode,
    /// Modulation and bandwidth.
    Mode,
    /// Key loaded and secure switch.
    Encryption,
}

impl Fact {
    /// All facts, in the order of a pre-check.
    pub const ALL: [Self; 4] = [
        Self::Frequency,
        Self::AccessCode,
        Self::Mode,
        Self::Encryption,
    ];

    /// Returns the word for the fact.
    pub fn word(self) -> &'static str {
        match self {
            Self::Frequency => "frequency",
            Self::AccessCode => "access code",
            Self::Mode => "mode",
            Self::Encryption => "encryption",
        }
    }
}

/// Who verified a fact, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verified {
    /// Name of the person.
    pub by: String,
    /// Date, as YYYY-MM-DD.
    pub on: String,
    /// Time of day, as HH:MM, with the zone where it is not the one of the place; empty where not noted.
    pub at: String,
}

impl Verified {
    /// Returns date and time, as far as they are noted.
    pub fn when(&self) -> String {
        format!("{} {}", self.on, self.at).trim().to_owned()
    }
}

impl Radio {
    /// Returns the entry for a channel.
    pub fn entry(&self, channel: ChannelId) -> Option<&Programmed> {
        self.programmed.iter().find(|p| p.channel == channel)
    }

    /// Tells whether the set covers a frequency; a set without bands listed is assumed to.
    pub fn covers(&self, frequency: Frequency) -> bool {
        self.bands.is_empty() || self.bands.iter().any(|band| band.covers(frequency))
    }
}

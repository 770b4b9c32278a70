//! Radios and what is programmed into them, as a file spells them.

use std::collections::BTreeMap;
use std::fmt;

use schemars::JsonSchema;
use serde::de::value::MapAccessDeserializer;
use serde::de::{Deserializer, Error, MapAccess, Visitor};
use serde::{Deserialize, Serialize};

use super::air::{AccessCode, Encryption, KeyRef};
use super::values::{Khz, Mhz};
use super::words::{Fact, Mode};
use super::{At, is_off};

/// A radio somebody holds, or one that is cabled to a port.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Radio {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name or tag on the set; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Key of the agency that owns it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// Key of the unit that carries it, one for each head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_by: Option<String>,
    /// Family of set, in plain words such as "VHF portable".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub family: String,
    /// Bands covered, lowest and highest MHz of each; any where none is given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub bands_mhz: Vec<(Mhz, Mhz)>,
    /// Modulations it has; FM where none is given.
    #[serde(default = "fm", skip_serializing_if = "is_fm")]
    pub modes: Vec<Mode>,
    /// Accessory connector, by name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub connector: String,
    /// Transmit power in watts; 5 where none is given.
    #[serde(default = "five_watts", skip_serializing_if = "is_five_watts")]
    #[schemars(extend("minimum" = 0, "maximum" = 10_000))]
    pub power_w: f64,
    /// Own battery in mAh, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery_mah: Option<u32>,
    /// Runs on power from outside.
    #[serde(default, skip_serializing_if = "is_off")]
    pub outside_power: bool,
    /// What it draws from its own battery, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub draw: Option<Draw>,
    /// Keys loaded.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub keys: Vec<KeyRef>,
    /// Channels programmed, in the order of the radio.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub programmed: Vec<Entry>,
    /// Key of the channel selected unless a phase says otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub selected: Option<String>,
    /// Keys of the programmed channels it scans.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub scans: Vec<String>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

fn fm() -> Vec<Mode> {
    vec![Mode::Fm]
}

fn is_fm(modes: &[Mode]) -> bool {
    modes == [Mode::Fm]
}

fn five_watts() -> f64 {
    5.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_five_watts(value: &f64) -> bool {
    value.to_bits() == five_watts().to_bits()
}

/// A programmed channel: its key alone, or an entry that differs from the channel's definition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Entry {
    /// The channel exactly as it is defined, every fact assumed.
    AsDefined(String),
    /// The channel with what differs or has been verified.
    Differing(Box<Programmed>),
}

impl Entry {
    /// Returns the entry with all its fields.
    pub fn full(self) -> Programmed {
        match self {
            Self::AsDefined(channel) => Programmed::as_defined(channel),
            Self::Differing(entry) => *entry,
        }
    }

    /// Makes the shortest spelling of an entry.
    pub fn shortest(entry: Programmed) -> Self {
        if entry == Programmed::as_defined(entry.channel.clone()) {
            Self::AsDefined(entry.channel)
        } else {
            Self::Differing(Box::new(entry))
        }
    }
}

impl<'de> Deserialize<'de> for Entry {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;

        impl<'de> Visitor<'de> for Either {
            type Value = Entry;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a channel's key, or (channel: \"key\", and what differs)")
            }

            fn visit_str<E: Error>(self, key: &str) -> Result<Entry, E> {
                Ok(Entry::AsDefined(key.to_owned()))
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Entry, A::Error> {
                Programmed::deserialize(MapAccessDeserializer::new(map))
                    .map(|entry| Entry::Differing(Box::new(entry)))
            }
        }

        deserializer.deserialize_any(Either)
    }
}

/// One channel in one radio and every deviation from the channel's definition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Programmed {
    /// Key of the channel meant.
    pub channel: String,
    /// Name shown by this radio, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub label: Option<String>,
    /// Receive frequency in MHz, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rx_mhz: Option<Mhz>,
    /// Transmit frequency in MHz, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tx_mhz: Option<Mhz>,
    /// Receive code, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rx_code: Option<AccessCode>,
    /// Transmit code, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tx_code: Option<AccessCode>,
    /// Mode, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mode: Option<Mode>,
    /// Bandwidth in kHz, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bandwidth_khz: Option<Khz>,
    /// Group number, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1, max = 16_777_215))]
    pub group: Option<u32>,
    /// Encryption, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub encryption: Option<Encryption>,
    /// Mute on clear traffic, where it differs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub encrypted_only: Option<bool>,
    /// The secure switch, which decides on a channel with optional encryption.
    #[serde(default, skip_serializing_if = "is_off")]
    pub secure: bool,
    /// Programmed to listen only.
    #[serde(default, skip_serializing_if = "is_off")]
    pub receive_only: bool,
    /// The facts somebody has verified; a fact not listed is assumed.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub verified: BTreeMap<Fact, Verified>,
}

impl Programmed {
    /// Makes an entry that differs in nothing and of which nothing is verified.
    pub fn as_defined(channel: String) -> Self {
        Self {
            channel,
            label: None,
            rx_mhz: None,
            tx_mhz: None,
            rx_code: None,
            tx_code: None,
            mode: None,
            bandwidth_khz: None,
            group: None,
            encryption: None,
            encrypted_only: None,
            secure: false,
            receive_only: false,
            verified: BTreeMap::new(),
        }
    }
}

/// Who verified a fact, and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Verified {
    /// Name of the person.
    pub by: String,
    /// Date, as YYYY-MM-DD.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub on: String,
    /// Time of day, as HH:MM, with the zone where it is not the one of the place.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub at: String,
}

/// Currents of a radio on its own battery.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Draw {
    /// While it transmits, in mA.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub transmit_ma: f64,
    /// While it receives, in mA.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub receive_ma: f64,
    /// While nothing is on the air, in mA.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub standby_ma: f64,
}

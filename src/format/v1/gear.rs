//! Gateways, ties, telephones, headsets, cables, sites and stock as a file spells them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{
    Chemistry, Control, LevelSetting, PortKind, Role, StockKind, TelephoneKind, TieKind,
};
use super::{At, is_nought, is_off, is_one, is_zero, one};

/// A box that joins radios, telephones and headsets.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Gateway {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Key of the agency that brings it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// Key of the site where it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub site: Option<String>,
    /// Ports.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ports: Vec<Port>,
    /// Talk groups; two named "Group 1" and "Group 2" where none is given.
    #[serde(default = "two_groups", skip_serializing_if = "is_two_groups")]
    pub talk_groups: Vec<TalkGroup>,
    /// Audio latency of the box itself, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub latency_ms: u32,
    /// Current drawn in mA, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0, max = 1_000_000))]
    pub draw_ma: Option<f64>,
    /// Battery inside in mAh, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub battery_mah: Option<u32>,
    /// The cells inside, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cells: Option<Cells>,
    /// Lowest and highest external supply in volts, where it takes one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supply_v: Option<(f64, f64)>,
    /// Ingress rating with the lid shut, such as "IP67".
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub ingress: String,
    /// Controls within reach with the lid shut.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lid_shut: Vec<Control>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// A set of cells in series.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cells {
    /// What they are made of.
    #[serde(default, skip_serializing_if = "Chemistry::is_usual")]
    pub chemistry: Chemistry,
    /// How many stand in series.
    #[schemars(extend("minimum" = 1, "maximum" = 1000))]
    pub count: u32,
    /// Voltage of the whole set at which the box gives up, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 0, max = 1000))]
    pub end_v: Option<f64>,
}

fn two_groups() -> Vec<TalkGroup> {
    [1, 2]
        .map(|number| TalkGroup {
            number,
            name: format!("Group {number}"),
            purpose: None,
            at: None,
        })
        .to_vec()
}

fn is_two_groups(groups: &[TalkGroup]) -> bool {
    groups.len() == 2 && groups == two_groups()
}

/// One socket of a gateway.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Port {
    /// The number beside the socket.
    #[schemars(extend("minimum" = 1))]
    pub number: u8,
    /// What it is built for.
    #[serde(default, skip_serializing_if = "PortKind::is_usual")]
    pub kind: PortKind,
    /// Connector, by name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub connector: String,
    /// Audio held back before it is sent, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub buffer_ms: u32,
    /// How it keys its donor.
    #[serde(default, skip_serializing_if = "Keying::is_ptt_line")]
    pub keying: Keying,
    /// Audio level.
    #[serde(default, skip_serializing_if = "LevelSetting::is_usual")]
    pub level: LevelSetting,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// How a port tells its donor to transmit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub enum Keying {
    /// By the push-to-talk line of the cable.
    #[default]
    PttLine,
    /// By the sound itself.
    VoiceOperated {
        /// Time until the sound has keyed the radio, in milliseconds.
        #[schemars(extend("maximum" = 60_000))]
        attack_ms: u32,
        /// Time the radio stays keyed after the sound, in milliseconds.
        #[schemars(extend("maximum" = 60_000))]
        hang_ms: u32,
    },
}

impl Keying {
    fn is_ptt_line(&self) -> bool {
        *self == Self::PttLine
    }
}

/// One audio bus inside a gateway.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TalkGroup {
    /// The number on the switch.
    #[schemars(extend("minimum" = 1))]
    pub number: u8,
    /// Name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// What it is for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub purpose: Option<Role>,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// A wire or IP trunk between two ports of two gateways.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tie {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Wire or IP.
    #[serde(default, skip_serializing_if = "TieKind::is_usual")]
    pub kind: TieKind,
    /// One-way delay with its jitter buffer, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub latency_ms: u32,
    /// The trunk itself is encrypted.
    #[serde(default, skip_serializing_if = "is_off")]
    pub encrypted: bool,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// A telephone at a port, and whoever is at its far end.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Telephone {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// How it reaches the network.
    #[serde(default, skip_serializing_if = "TelephoneKind::is_usual")]
    pub kind: TelephoneKind,
    /// Key of the unit at the far end, if it is one of the scenario's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_by: Option<String>,
    /// Who is at the far end, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub far_end: String,
    /// Number to call it by, as it is dialled.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub number: String,
    /// Answers without anybody touching it.
    #[serde(default, skip_serializing_if = "is_off")]
    pub answers_itself: bool,
    /// One-way delay, in milliseconds.
    #[serde(default, skip_serializing_if = "is_zero")]
    #[schemars(extend("maximum" = 60_000))]
    pub latency_ms: u32,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// A headset at a port, worn beside the gateway.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Headset {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Key of the unit that wears it, if it is one of the scenario's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held_by: Option<String>,
    /// Connector, by name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub connector: String,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// A kind of cable between a radio and a port, and how many there are.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cable {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name or mark on the cable; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Accessory connector it fits at the radio.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub radio_connector: String,
    /// Connector it fits at the gateway.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub port_connector: String,
    /// How many there are; 1 where none is given.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub count: u32,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// Where a gateway stands.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Inside an area where the lid must stay shut.
    #[serde(default, skip_serializing_if = "is_off")]
    pub contaminated: bool,
    /// Temperature expected in degrees Celsius, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = -60, max = 70))]
    pub temperature_c: Option<f64>,
    /// Lowest and highest voltage of the vehicle or supply there, where there is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supply_v: Option<(f64, f64)>,
    /// Antennas.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub antennas: Vec<Antenna>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// An antenna at a site.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Antenna {
    /// Name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Key of the radio it serves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub radio: Option<String>,
    /// Height above ground, in metres.
    #[schemars(extend("minimum" = 0, "maximum" = 1_000))]
    pub height_m: f64,
    /// Position east of the site's mark, in metres.
    #[serde(default, skip_serializing_if = "is_nought")]
    #[schemars(extend("minimum" = -100_000, "maximum" = 100_000))]
    pub east_m: f64,
    /// Position north of the site's mark, in metres.
    #[serde(default, skip_serializing_if = "is_nought")]
    #[schemars(extend("minimum" = -100_000, "maximum" = 100_000))]
    pub north_m: f64,
    /// Gain over an isotropic antenna, in dBi.
    #[serde(default, skip_serializing_if = "is_nought")]
    #[schemars(extend("minimum" = -30, "maximum" = 40))]
    pub gain_dbi: f64,
}

/// A line of stock at hand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// The word by which files and commands know it.
    pub key: String,
    /// What it is; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// What it counts.
    #[serde(default, skip_serializing_if = "StockKind::is_usual")]
    pub kind: StockKind,
    /// How many; 1 where none is given.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    pub count: u32,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

//! The gear that joins: gateways with their ports and talk groups, ties, telephones, headsets,
//! cables, sites and the stock of all of it.

use super::id::{
    AgencyId, CableId, GatewayId, HeadsetId, PortRef, RadioId, SiteId, StockId, TalkGroupRef,
    TelephoneId, TieId, UnitId,
};
use super::people::Role;
use super::power::Cells;

/// What a port is built for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the use it names")]
pub enum PortKind {
    #[default]
    Radio,
    Telephone,
    Headset,
    Wire,
    Ip,
}

impl PortKind {
    /// Returns the word for the kind.
    pub fn word(self) -> &'static str {
        match self {
            Self::Radio => "radio",
            Self::Telephone => "telephone",
            Self::Headset => "headset",
            Self::Wire => "wire line",
            Self::Ip => "IP",
        }
    }
}

/// How a port tells its donor to transmit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Keying {
    /// By the push-to-talk line of the cable.
    #[default]
    PttLine,
    /// By the sound itself.
    VoiceOperated {
        /// Time until the sound has keyed the radio, in milliseconds.
        attack_ms: u32,
        /// Time the radio stays keyed after the sound, in milliseconds.
        hang_ms: u32,
    },
}

/// The audio level a port is set to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the setting it names")]
pub enum LevelSetting {
    Low,
    #[default]
    Mid,
    High,
}

/// One socket of a gateway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Port {
    /// The number beside the socket, from 1.
    pub number: u8,
    /// What it is built for.
    pub kind: PortKind,
    /// Connector, by name.
    pub connector: String,
    /// Audio held back before it is sent, in milliseconds.
    pub buffer_ms: u32,
    /// How it keys its donor.
    pub keying: Keying,
    /// Audio level.
    pub level: LevelSetting,
}

/// One audio bus inside a gateway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TalkGroup {
    /// The number on the switch, from 1.
    pub number: u8,
    /// Name.
    pub name: String,
    /// What it is for.
    pub purpose: Option<Role>,
}

/// A control on a gateway that may be needed while it works.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each variant is the control it names")]
pub enum Control {
    Power,
    TalkGroupSwitches,
    Levels,
    Buffers,
    Batteries,
}

/// A box that joins radios, telephones and headsets.
#[derive(Debug, Clone, PartialEq)]
pub struct Gateway {
    /// Identity.
    pub id: GatewayId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// Who brings it.
    pub owner: Option<AgencyId>,
    /// Where it stands.
    pub site: Option<SiteId>,
    /// Ports, by number.
    pub ports: Vec<Port>,
    /// Talk groups, by number.
    pub talk_groups: Vec<TalkGroup>,
    /// Audio latency of the box itself, in milliseconds.
    pub latency_ms: u32,
    /// Current drawn, in milliamperes.
    pub draw_ma: Option<f64>,
    /// Capacity of the battery inside, in mAh.
    pub battery_mah: Option<u32>,
    /// The cells inside, where known.
    pub cells: Option<Cells>,
    /// Lowest and highest external supply, in volts.
    pub supply_v: Option<(f64, f64)>,
    /// Ingress rating (IEC 60529) with the lid shut, such as "IP67".
    pub ingress: String,
    /// Controls within reach with the lid shut.
    pub lid_shut: Vec<Control>,
    /// Free text.
    pub notes: String,
}

impl Gateway {
    /// Returns a port by its number.
    pub fn port(&self, number: u8) -> Option<&Port> {
        self.ports.iter().find(|p| p.number == number)
    }

    /// Returns a talk group by its number.
    pub fn talk_group(&self, number: u8) -> Option<&TalkGroup> {
        self.talk_groups.iter().find(|g| g.number == number)
    }

    /// Lists the identities of all ports.
    pub fn port_refs(&self) -> impl Iterator<Item = PortRef> + '_ {
        self.ports.iter().map(|p| PortRef {
            gateway: self.id,
            port: p.number,
        })
    }

    /// Lists the identities of all talk groups.
    pub fn talk_group_refs(&self) -> impl Iterator<Item = TalkGroupRef> + '_ {
        self.talk_groups.iter().map(|g| TalkGroupRef {
            gateway: self.id,
            group: g.number,
        })
    }
}

/// How a tie carries audio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum TieKind {
    /// A pair of wires.
    #[default]
    Wire,
    /// Packets.
    Ip,
}

impl TieKind {
    /// Returns the kind of port that takes the tie.
    pub fn port_kind(self) -> PortKind {
        match self {
            Self::Wire => PortKind::Wire,
            Self::Ip => PortKind::Ip,
        }
    }
}

/// A wire or IP trunk between two ports of two gateways, full duplex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tie {
    /// Identity.
    pub id: TieId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// Wire or IP.
    pub kind: TieKind,
    /// One-way delay with its jitter buffer, in milliseconds.
    pub latency_ms: u32,
    /// The trunk itself is encrypted.
    pub encrypted: bool,
    /// Free text.
    pub notes: String,
}

/// How a telephone reaches the network.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the network it names")]
pub enum TelephoneKind {
    #[default]
    Cellular,
    Satellite,
    Landline,
}

/// A telephone at a port, and whoever is at its far end; full duplex.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Telephone {
    /// Identity.
    pub id: TelephoneId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// How it reaches the network.
    pub kind: TelephoneKind,
    /// The unit at the far end, if it is one of the scenario's.
    pub held_by: Option<UnitId>,
    /// Who is at the far end, in words.
    pub far_end: String,
    /// Number to call it by, as it is dialled; empty where not noted.
    pub number: String,
    /// Answers without anybody touching it.
    pub answers_itself: bool,
    /// One-way delay, in milliseconds.
    pub latency_ms: u32,
    /// Free text.
    pub notes: String,
}

/// A headset at a port, worn beside the gateway.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Headset {
    /// Identity.
    pub id: HeadsetId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// The unit that wears it, if it is one of the scenario's.
    pub held_by: Option<UnitId>,
    /// Connector, by name.
    pub connector: String,
    /// Free text.
    pub notes: String,
}

/// A kind of cable between a radio and a port, and how many there are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cable {
    /// Identity.
    pub id: CableId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name or mark on the cable.
    pub name: String,
    /// Accessory connector it fits at the radio.
    pub radio_connector: String,
    /// Connector it fits at the gateway.
    pub port_connector: String,
    /// How many there are.
    pub count: u32,
    /// Free text.
    pub notes: String,
}

impl Cable {
    /// Tells whether the cable fits a radio at a port.
    pub fn fits(&self, radio_connector: &str, port_connector: &str) -> bool {
        self.radio_connector == radio_connector && self.port_connector == port_connector
    }
}

/// An antenna at a site.
#[derive(Debug, Clone, PartialEq)]
pub struct Antenna {
    /// Name.
    pub name: String,
    /// The radio it serves.
    pub radio: Option<RadioId>,
    /// Height above ground, in metres.
    pub height_m: f64,
    /// Position on the ground, east of the site's mark, in metres.
    pub east_m: f64,
    /// Position on the ground, north of the site's mark, in metres.
    pub north_m: f64,
    /// Gain over an isotropic antenna, in dBi.
    pub gain_dbi: f64,
}

/// Where a gateway stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Identity.
    pub id: SiteId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name.
    pub name: String,
    /// Inside an area where the lid must stay shut.
    pub contaminated: bool,
    /// Temperature expected, in degrees Celsius.
    pub temperature_c: Option<f64>,
    /// Lowest and highest voltage of the vehicle or supply there, in volts.
    pub supply_v: Option<(f64, f64)>,
    /// Antennas.
    pub antennas: Vec<Antenna>,
    /// Free text.
    pub notes: String,
}

/// What a line of stock counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the article it names")]
pub enum StockKind {
    #[default]
    Gateway,
    DonorRadio,
    Cable,
    Battery,
}

/// A line of stock at hand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stock {
    /// Identity.
    pub id: StockId,
    /// The word files and commands use for it.
    pub key: String,
    /// What it is.
    pub name: String,
    /// What it counts.
    pub kind: StockKind,
    /// How many.
    pub count: u32,
    /// Free text.
    pub notes: String,
}

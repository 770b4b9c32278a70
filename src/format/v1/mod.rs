//! Version 1 of the scenario file: its own types, apart from the model.
//!
//! A person writes these by hand, so nearly every field has a value that is taken when it is left
//! out, and is left out again when the file is written. Things are referred to by their keys. No
//! field changes its meaning within a version: a new layout is a new version and a step in `migrate`.

mod air;
mod gear;
mod people;
mod practice;
mod radio;
mod values;
mod words;

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use air::{AccessCode, Carrier, Channel, Encryption, KeyRef, System};
pub use gear::{
    Antenna, Cable, Cells, Gateway, Headset, Keying, Port, Site, Stock, TalkGroup, Telephone, Tie,
};
pub use people::{Agency, Agreement, Need, Party, Unit};
pub use practice::Practice;
pub use radio::{Draw, Entry, Programmed, Radio, Verified};
pub use values::{Cipher, Facts, GroupKey, Hex, Hz, Khz, Mhz, Octal, PortKey};
pub use words::{
    Chemistry, Control, Discipline, Fact, Level, LevelSetting, Mode, PortKind, Priority, Role,
    Step, StockKind, SystemKind, TelephoneKind, TieKind, Way,
};

/// The version that these types describe.
pub const VERSION: u32 = 1;

/// A scenario file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Root {
    /// Version of the layout; 1.
    #[schemars(extend("const" = 1))]
    pub format: u32,
    /// Comment lines; in RON they stand at the top of the file instead.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub comments: Vec<String>,
    /// Title of the file.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// Name of the incident or exercise.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub incident: String,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// A number that no thing of the scenario ever had, from which new ones are counted.
    #[serde(default = "first_id")]
    #[schemars(extend("minimum" = 1, "maximum" = HIGHEST_NEXT_ID))]
    pub next_id: u32,
    /// Figures of practice that differ from the usual ones.
    #[serde(default, skip_serializing_if = "Practice::is_usual")]
    pub practice: Practice,
    /// Operational periods or steps of a lesson, in their order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub phases: Vec<Phase>,
    /// Agencies.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub agencies: Vec<Agency>,
    /// Units.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub units: Vec<Unit>,
    /// Radio systems.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub systems: Vec<System>,
    /// Channels.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub channels: Vec<Channel>,
    /// Radios, those cabled to ports among them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub radios: Vec<Radio>,
    /// Gateways.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gateways: Vec<Gateway>,
    /// Ties between gateways.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ties: Vec<Tie>,
    /// Telephones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub telephones: Vec<Telephone>,
    /// Headsets.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub headsets: Vec<Headset>,
    /// Kinds of cable.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cables: Vec<Cable>,
    /// Sites.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sites: Vec<Site>,
    /// Who must reach whom.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needs: Vec<Need>,
    /// Stock at hand.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stock: Vec<Stock>,
    /// Agreements.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub agreements: Vec<Agreement>,
    /// Chance that a thing works, for things somebody knows better than the practice.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub availability: Vec<Rated>,
    /// Findings accepted by a planner.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub accepted: Vec<Acceptance>,
}

impl Root {
    /// Names of the fields, in their order.
    pub const FIELDS: [&'static str; 24] = [
        "format",
        "comments",
        "title",
        "incident",
        "notes",
        "next_id",
        "practice",
        "phases",
        "agencies",
        "units",
        "systems",
        "channels",
        "radios",
        "gateways",
        "ties",
        "telephones",
        "headsets",
        "cables",
        "sites",
        "needs",
        "stock",
        "agreements",
        "availability",
        "accepted",
    ];
}

/// Highest number accepted for `next_id`; beyond it, counting on could overflow.
pub const HIGHEST_NEXT_ID: u32 = 1_000_000_000;

/// Returns the number counted from where a file gives none.
pub(in crate::format) fn first_id() -> u32 {
    1
}

/// A place on the board: to the right and downward of the origin, in board points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct At(pub i32, pub i32);

/// An operational period, or one step of a lesson.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Phase {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// When it starts, in words or as YYYY-MM-DD HH:MM.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub start: String,
    /// Length in hours; 12 where none is given.
    #[serde(default = "twelve", skip_serializing_if = "is_twelve")]
    pub hours: f64,
    /// What is plugged into each port; a port not listed is empty.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub attachments: BTreeMap<PortKey, Attachment>,
    /// Number of the talk group each port is switched to; a port not listed is on none.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub switches: BTreeMap<PortKey, u8>,
    /// Channel selected in this phase, for each radio that differs from its own setting.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub selected: BTreeMap<String, Option<String>>,
    /// What has been tried out at each port; a port not listed has not been tried.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub tested: BTreeMap<PortKey, Tested>,
    /// Who was heard by whom on the air.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pairs: Vec<HeardPair>,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// What has been tried out at a port. It is forgotten when anything about the port changes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tested {
    /// Each step that was done, with who did it and when.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub steps: BTreeMap<Step, Verified>,
    /// What was heard, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub heard: String,
}

/// That one was heard by another on the air. It counts only while the message takes the same path.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeardPair {
    /// Who spoke.
    pub from: Party,
    /// Who heard it.
    pub to: Party,
    /// Who noted it, and when.
    pub noted: Verified,
    /// Delivered audio quality, 1 to 5.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1, max = 5))]
    pub daq: Option<u8>,
    /// Delay as it was heard, in milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub delay_ms: Option<u32>,
    /// The path it stands for; the program writes it and compares it.
    pub path: String,
}

fn twelve() -> f64 {
    12.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_twelve(hours: &f64) -> bool {
    hours.to_bits() == twelve().to_bits()
}

/// What is plugged into a port.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub enum Attachment {
    /// A donor radio and the cable between.
    Radio {
        /// Key of the radio.
        radio: String,
        /// Key of the kind of cable, once it has been chosen.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        cable: Option<String>,
    },
    /// A telephone, by its key.
    Telephone(String),
    /// A headset, by its key.
    Headset(String),
    /// One end of a tie, by its key.
    Tie(String),
}

/// A finding that a planner has looked at and accepts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Acceptance {
    /// Code of the check.
    pub code: String,
    /// The things concerned, subject first.
    pub things: Vec<Subject>,
    /// Facts behind the finding when it was accepted; other facts bring it back.
    pub facts: Facts,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepts it.
    pub by: String,
    /// When, as YYYY-MM-DD.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub on: String,
    /// Put aside only until this phase begins, by its key; left out when it is accepted for good.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
}

/// The chance that a thing works.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rated {
    /// The thing.
    pub thing: Subject,
    /// From 0 to 1.
    #[schemars(range(min = 0, max = 1))]
    pub works: f64,
}

/// Any thing, by its kind and key.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub enum Subject {
    /// A phase.
    Phase(String),
    /// An agency.
    Agency(String),
    /// A unit.
    Unit(String),
    /// A radio system.
    System(String),
    /// A channel.
    Channel(String),
    /// A radio.
    Radio(String),
    /// A gateway.
    Gateway(String),
    /// A port.
    Port(PortKey),
    /// A talk group.
    TalkGroup(GroupKey),
    /// A tie.
    Tie(String),
    /// A telephone.
    Telephone(String),
    /// A headset.
    Headset(String),
    /// A kind of cable.
    Cable(String),
    /// A site.
    Site(String),
    /// A need.
    Need(String),
    /// A line of stock.
    Stock(String),
    /// An agreement.
    Agreement(String),
}

/// Tells whether a switch is off, which is how a file without it is read.
#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_off(value: &bool) -> bool {
    !*value
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_zero(value: &u32) -> bool {
    *value == 0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_nought(value: &f64) -> bool {
    value.to_bits() == 0
}

fn one() -> u32 {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_one(value: &u32) -> bool {
    *value == 1
}

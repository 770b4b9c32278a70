//! Agencies, units, needs and agreements as a file spells them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{Discipline, Level, Priority, Role, Way};
use super::{At, is_off, is_one, one};

/// An organisation that sends units.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Agency {
    /// The word by which files and commands know it.
    pub key: String,
    /// Full name; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Short name for tight places.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub short: String,
    /// Trade.
    #[serde(default, skip_serializing_if = "Discipline::is_usual")]
    pub discipline: Discipline,
    /// Level of government.
    #[serde(default, skip_serializing_if = "Level::is_usual")]
    pub level: Level,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// People who share one radio habit.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Unit {
    /// The word by which files and commands know it.
    pub key: String,
    /// Name as spoken on the air; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Key of the agency it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub agency: Option<String>,
    /// How many people, each with the unit's radios.
    #[serde(default = "one", skip_serializing_if = "is_one")]
    #[schemars(extend("minimum" = 1, "maximum" = 100_000))]
    pub heads: u32,
    /// What it does at the incident.
    #[serde(default, skip_serializing_if = "Role::is_usual")]
    pub role: Role,
    /// Messages each person sends in an hour; 6 where none is given.
    #[serde(default = "six", skip_serializing_if = "is_six")]
    #[schemars(extend("minimum" = 0, "maximum" = 3600))]
    pub messages_per_hour: f64,
    /// Length of one message in seconds; 5 where none is given.
    #[serde(default = "five", skip_serializing_if = "is_five")]
    #[schemars(extend("minimum" = 0, "maximum" = 3600))]
    pub seconds_per_message: f64,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

// Source of the two figures: voice loading used in regional 700 MHz planning, 6 messages of 5 seconds
// an hour for each radio in use.
fn six() -> f64 {
    6.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_six(value: &f64) -> bool {
    value.to_bits() == six().to_bits()
}

fn five() -> f64 {
    5.0
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde passes references")]
fn is_five(value: &f64) -> bool {
    value.to_bits() == five().to_bits()
}

/// Somebody who can speak or listen.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub enum Party {
    /// A unit, by its key.
    Unit(String),
    /// A telephone, by its key.
    Telephone(String),
    /// A headset, by its key.
    Headset(String),
}

/// Who must reach whom, or who must not hear whom.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// The word by which files and commands know it.
    pub key: String,
    /// What it is for, in a few words; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Those who must be heard; one side of those kept apart.
    pub from: Vec<Party>,
    /// Those who must hear them; the other side of those kept apart.
    pub to: Vec<Party>,
    /// Both ways, only from the first to the second, or kept apart.
    #[serde(default, skip_serializing_if = "Way::is_usual")]
    pub way: Way,
    /// How urgent.
    #[serde(default, skip_serializing_if = "Priority::is_usual")]
    pub priority: Priority,
    /// Must every hop stay encrypted?
    #[serde(default, skip_serializing_if = "is_off")]
    pub encrypted: bool,
    /// Longest delay from mouth to ear accepted, in milliseconds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1, max = 60_000))]
    pub max_delay_ms: Option<u32>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

/// Leave in writing to join agencies or to use channels.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Agreement {
    /// The word by which files and commands know it.
    pub key: String,
    /// Title of the paper; the key where none is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub name: Option<String>,
    /// Keys of the agencies that may be joined with each other and use the channels.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub agencies: Vec<String>,
    /// Keys of the channels they may use.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub channels: Vec<String>,
    /// Free text.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
    /// Place on the board.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<At>,
}

//! Who is there: agencies and units, and what they need of each other.

use std::collections::BTreeSet;

use super::id::{AgencyId, AgreementId, ChannelId, NeedId, Party, UnitId};

/// The trade an agency works in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the trade it names")]
pub enum Discipline {
    Fire,
    Law,
    Medical,
    PublicWorks,
    Military,
    Relief,
    Transport,
    #[default]
    Other,
}

/// The level of government, if any, an agency belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the level it names")]
pub enum Level {
    #[default]
    Local,
    County,
    State,
    Federal,
    Volunteer,
}

/// What a unit, a channel or a talk group is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[expect(missing_docs, reason = "each variant is the role it names")]
pub enum Role {
    Command,
    #[default]
    Tactical,
    Support,
    Air,
    Medical,
    Liaison,
}

/// An organisation that sends units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Agency {
    /// Identity.
    pub id: AgencyId,
    /// The word files and commands use for it.
    pub key: String,
    /// Full name.
    pub name: String,
    /// Short name for tight places, such as a chip on the board.
    pub short: String,
    /// Trade.
    pub discipline: Discipline,
    /// Level.
    pub level: Level,
    /// Free text.
    pub notes: String,
}

/// People who share one radio habit.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// Identity.
    pub id: UnitId,
    /// The word files and commands use for it.
    pub key: String,
    /// Name as spoken on the air.
    pub name: String,
    /// The agency it belongs to.
    pub agency: Option<AgencyId>,
    /// How many people, each with the unit's radios.
    pub heads: u32,
    /// What it does at the incident.
    pub role: Role,
    /// Messages each person sends in an hour.
    pub messages_per_hour: f64,
    /// Length of one message, in seconds.
    pub seconds_per_message: f64,
    /// Free text.
    pub notes: String,
}

/// How urgent a need is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Priority {
    /// A life hangs on it.
    LifeSafety,
    /// The work stops without it.
    #[default]
    High,
    /// The work slows without it.
    Routine,
}

/// What a need asks of its two sides: to reach each other, or to be kept apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Way {
    /// Both sides speak and listen.
    #[default]
    TwoWay,
    /// The first side speaks, the second only listens.
    ListenOnly,
    /// Neither side may hear the other.
    Apart,
}

/// Who must reach whom, or who must not hear whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Identity.
    pub id: NeedId,
    /// The word files and commands use for it.
    pub key: String,
    /// What it is for, in a few words.
    pub name: String,
    /// Those who must be heard; one side of those kept apart.
    pub from: BTreeSet<Party>,
    /// Those who must hear them; the other side of those kept apart.
    pub to: BTreeSet<Party>,
    /// Both ways, only from the first to the second, or not at all.
    pub way: Way,
    /// How urgent.
    pub priority: Priority,
    /// Must every hop stay encrypted?
    pub encrypted: bool,
    /// Longest delay from mouth to ear accepted, in milliseconds.
    pub max_delay_ms: Option<u32>,
    /// Free text.
    pub notes: String,
}

impl Need {
    /// Tells whether it asks that two sides do not hear each other.
    pub fn keeps_apart(&self) -> bool {
        self.way == Way::Apart
    }

    /// Lists the ordered pairs of which it asks that the second hears the first; none where it keeps
    /// people apart.
    pub fn pairs_to_hear(&self) -> Vec<(Party, Party)> {
        match self.way {
            Way::TwoWay => self.pairs(true),
            Way::ListenOnly => self.pairs(false),
            Way::Apart => Vec::new(),
        }
    }

    /// Lists the ordered pairs of which it asks that the second does not hear the first; none where it
    /// asks somebody to be heard.
    pub fn pairs_apart(&self) -> Vec<(Party, Party)> {
        if self.keeps_apart() {
            self.pairs(true)
        } else {
            Vec::new()
        }
    }

    fn pairs(&self, and_back: bool) -> Vec<(Party, Party)> {
        let there = self
            .from
            .iter()
            .flat_map(|a| self.to.iter().map(|b| (*a, *b)));
        let back = there.clone().map(|(a, b)| (b, a)).filter(|_| and_back);
        let mut pairs: Vec<(Party, Party)> = there.chain(back).filter(|(a, b)| a != b).collect();
        pairs.sort_unstable();
        pairs.dedup();
        pairs
    }

    /// Returns the word for what it asks for, once that holds: "is met", "is no longer kept apart".
    pub fn aim(&self) -> &'static str {
        if self.keeps_apart() {
            "kept apart"
        } else {
            "met"
        }
    }
}

/// Leave in writing to join agencies or to use channels.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Agreement {
    /// Identity.
    pub id: AgreementId,
    /// The word files and commands use for it.
    pub key: String,
    /// Title of the paper.
    pub name: String,
    /// The agencies that may be joined with each other and use the channels.
    pub agencies: BTreeSet<AgencyId>,
    /// The channels they may use.
    pub channels: BTreeSet<ChannelId>,
    /// Free text.
    pub notes: String,
}

//! Every change to a scenario, as a value.
//!
//! Undo, fixes, the planner's proposals and drills all speak in these. The gate in `gate` applies
//! them and keeps the invariants; [`Edit::sentence`] says in words what one does.

use super::air::KeyRef;
use super::finding::{Acceptance, FindingId};
use super::id::{ChannelId, Kind, Party, PhaseId, PortRef, RadioId, ThingId, UnitId};
use super::phase::Attachment;
use super::practice::Practice;
use super::radio::Programmed;
use super::scenario::{Header, Place, Scenario};
use super::tested::{HeardPair, Tested};
use super::thing::Thing;

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// Replaces the title page.
    SetHeader(Header),
    /// Replaces the figures of practice.
    SetPractice(Box<Practice>),
    /// Adds a thing under a freshly minted id; an empty key is filled in.
    Add(Thing),
    /// Replaces a thing by another version of itself.
    Replace(Thing),
    /// Removes a thing with what cannot exist without it, and detaches what can.
    Remove(ThingId),
    /// Puts a thing somewhere on the board, or back where the layout puts it.
    Place {
        /// The thing.
        thing: ThingId,
        /// Where, or `None` for the layout's choice.
        place: Option<Place>,
    },
    /// Notes the chance that a thing works, or goes back to the figure of practice for its kind.
    Rate {
        /// The thing.
        thing: ThingId,
        /// From 0 to 1, or `None` for the figure of practice.
        availability: Option<f64>,
    },
    /// Switches a port into a talk group, or into none.
    Switch {
        /// The phase.
        phase: PhaseId,
        /// The port.
        port: PortRef,
        /// Number of the talk group, or `None`.
        group: Option<u8>,
    },
    /// Plugs something into a port, or empties it.
    Attach {
        /// The phase.
        phase: PhaseId,
        /// The port.
        port: PortRef,
        /// What is plugged in, or `None` to empty the port.
        attachment: Option<Attachment>,
    },
    /// Selects a programmed channel on a radio for one phase.
    Select {
        /// The phase.
        phase: PhaseId,
        /// The radio.
        radio: RadioId,
        /// The channel, or `None` for none.
        channel: Option<ChannelId>,
    },
    /// Programs a channel into a radio, in place of the entry it has for that channel.
    Program {
        /// The radio.
        radio: RadioId,
        /// The entry.
        entry: Programmed,
    },
    /// Takes a channel out of a radio.
    Unprogram {
        /// The radio.
        radio: RadioId,
        /// The channel.
        channel: ChannelId,
    },
    /// Loads a key into a radio.
    LoadKey {
        /// The radio.
        radio: RadioId,
        /// The key.
        key: KeyRef,
    },
    /// Hands a radio to a unit, or puts it into the pool.
    Hold {
        /// The radio.
        radio: RadioId,
        /// The unit, or `None` for the pool.
        unit: Option<UnitId>,
    },
    /// Notes what has been tried out at a port, in place of the record it has; an empty record is none.
    Test {
        /// The phase.
        phase: PhaseId,
        /// The port.
        port: PortRef,
        /// What was done and heard.
        tested: Tested,
    },
    /// Notes that one was heard by another on the air, or takes the note back.
    Hear {
        /// The phase.
        phase: PhaseId,
        /// Who spoke.
        from: Party,
        /// Who heard it.
        to: Party,
        /// What was noted, or `None` to take it back.
        heard: Option<HeardPair>,
    },
    /// Puts a phase elsewhere in the order of phases.
    MovePhase {
        /// The phase.
        phase: PhaseId,
        /// Its new place, counted from 0.
        place: usize,
    },
    /// Accepts a finding.
    Accept(Acceptance),
    /// Takes an acceptance back.
    Withdraw(FindingId),
}

/// Why an edit was refused; the scenario is as it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// The thing does not exist.
    #[error("there is no such {kind}")]
    Missing {
        /// Kind of the thing asked for.
        kind: Kind,
    },
    /// The id or key is taken or was used before.
    #[error("the {kind} '{key}' exists already or its number was used before")]
    Taken {
        /// Kind of the thing.
        kind: Kind,
        /// Its key.
        key: String,
    },
    /// A value is outside its range.
    #[error("{thing}: {field} is {found}; it must be {expected}")]
    Value {
        /// Name of the thing.
        thing: String,
        /// Field, as files spell it.
        field: &'static str,
        /// What was found.
        found: String,
        /// What is allowed.
        expected: String,
    },
    /// The edit would break a rule of the scenario.
    #[error("{reason}")]
    Refused {
        /// The rule, in a sentence.
        reason: String,
    },
}

impl Edit {
    /// Returns the thing an edit is about, if it is about one.
    pub fn subject(&self) -> Option<ThingId> {
        Some(match self {
            Self::SetHeader(_) | Self::SetPractice(_) | Self::Accept(_) | Self::Withdraw(_) => {
                return None;
            }
            Self::Add(thing) | Self::Replace(thing) => thing.id(),
            Self::Remove(thing) | Self::Place { thing, .. } | Self::Rate { thing, .. } => *thing,
            Self::MovePhase { phase, .. } => (*phase).into(),
            Self::Hear { from, .. } => (*from).into(),
            Self::Switch { port, .. } | Self::Attach { port, .. } | Self::Test { port, .. } => {
                (*port).into()
            }
            Self::Select { radio, .. }
            | Self::Program { radio, .. }
            | Self::Unprogram { radio, .. }
            | Self::LoadKey { radio, .. }
            | Self::Hold { radio, .. } => (*radio).into(),
        })
    }

    /// Says what the edit does, as an order, with the names of the scenario it will be applied to.
    pub fn sentence(&self, scenario: &Scenario) -> String {
        let name = |id: ThingId| scenario.name(id);
        match self {
            Self::SetHeader(_) => "Change the title page".to_owned(),
            Self::SetPractice(_) => "Change the figures of practice".to_owned(),
            Self::Rate { thing, .. } => format!("Rate how often {} works", name(*thing)),
            Self::Add(thing) => format!("Add {} {}", thing.id().kind(), thing.name()),
            Self::Replace(thing) => format!("Change {}", name(thing.id())),
            Self::Remove(thing) => format!("Remove {}", name(*thing)),
            Self::Place { thing, .. } => format!("Move {}", name(*thing)),
            Self::Switch {
                port,
                group: Some(group),
                ..
            } => {
                format!("Switch {} to talk group {group}", name((*port).into()))
            }
            Self::Switch {
                port, group: None, ..
            } => {
                format!("Switch {} to none", name((*port).into()))
            }
            Self::Attach {
                port,
                attachment: None,
                ..
            } => {
                format!("Unplug {}", name((*port).into()))
            }
            Self::Attach {
                port,
                attachment: Some(what),
                ..
            } => {
                let what = match what {
                    Attachment::Radio { radio, cable } => {
                        let radio = name((*radio).into());
                        match cable {
                            Some(cable) => format!("{radio} by cable {}", name((*cable).into())),
                            None => radio,
                        }
                    }
                    Attachment::Telephone(id) => name((*id).into()),
                    Attachment::Headset(id) => name((*id).into()),
                    Attachment::Tie(id) => name((*id).into()),
                };
                format!("Plug {what} into {}", name((*port).into()))
            }
            Self::Select {
                radio,
                channel: Some(channel),
                ..
            } => format!(
                "Select {} on {}",
                name((*channel).into()),
                name((*radio).into())
            ),
            Self::Select {
                radio,
                channel: None,
                ..
            } => {
                format!("Select no channel on {}", name((*radio).into()))
            }
            Self::Program { radio, entry } => format!(
                "Program {} in {}",
                name(entry.channel.into()),
                name((*radio).into())
            ),
            Self::Unprogram { radio, channel } => {
                format!(
                    "Take {} out of {}",
                    name((*channel).into()),
                    name((*radio).into())
                )
            }
            Self::LoadKey { radio, key } => format!("Load {key} into {}", name((*radio).into())),
            Self::Hold {
                radio,
                unit: Some(unit),
            } => {
                format!("Hand {} to {}", name((*radio).into()), name((*unit).into()))
            }
            Self::Hold { radio, unit: None } => {
                format!("Put {} into the pool", name((*radio).into()))
            }
            Self::Test { port, .. } => {
                format!("Note what was tried out at {}", name((*port).into()))
            }
            Self::Hear { from, to, .. } => format!(
                "Note whether {} was heard by {}",
                name((*from).into()),
                name((*to).into())
            ),
            Self::MovePhase { phase, place } => {
                format!("Make {} phase {}", name((*phase).into()), place + 1)
            }
            Self::Accept(_) => "Accept a finding".to_owned(),
            Self::Withdraw(_) => "Take an acceptance back".to_owned(),
        }
    }
}

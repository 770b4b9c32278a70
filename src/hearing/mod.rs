//! Who hears whom, derived from how every radio is programmed and every gateway switched.
//!
//! [`Hearing::derive`] evaluates one scenario in one phase. [`Hearing::arrival`] answers for a pair,
//! [`Hearing::path`] explains it, [`why_not::why_not`] says why a pair is not heard and which fewest
//! changes would join it, [`Hearing::loops`] lists the loops.
//!
//! Terms. A *signal* is what is on the air: frequency or group, modulation, code, key. A *tuner* is
//! what a radio listens for. An *emission* is a signal together with the talk group, if any, whose
//! donors send it. An *entry* is a port by which audio gets onto its talk group. A *habit* is the
//! set of emissions and tuners of a party: parties with the same habit are evaluated once.
//!
//! Contention is not silence: whether a trunked system has enough free talk paths for everything a
//! message keys at once depends on order and luck, so it is a finding and not a missing pair. Only a
//! system with no talk path at all carries nothing.

pub mod path;

pub use path::{Arrival, Path, Secrecy, Step, StepKind};

/// CONTRACT (stub while the derivation is being written).
#[derive(Debug, Clone, Default)]
pub struct Hearing {}

use crate::model::{Edit, Party, PhaseId, RadioId, Scenario, TalkGroupRef, ThingId};

impl Hearing {
    /// Derives who hears whom in a phase.
    pub fn derive(_scenario: &Scenario, _phase: PhaseId) -> Self {
        Self {}
    }
    /// Everybody who can speak or listen, in order.
    pub fn parties(&self) -> &[Party] {
        &[]
    }
    /// What arrives at `to` when `from` speaks; `None` when nothing does.
    pub fn arrival(&self, _from: Party, _to: Party) -> Option<Arrival> {
        None
    }
    /// Everybody who hears `from`, with what arrives.
    pub fn hearers(&self, _from: Party) -> Vec<(Party, Arrival)> {
        Vec::new()
    }
    /// The path from one to the other.
    pub fn path(&self, _scenario: &Scenario, _from: Party, _to: Party) -> Option<Path> {
        None
    }
    /// All paths of one message: what the board lights while a unit is held.
    pub fn message(&self, _scenario: &Scenario, _from: Party) -> Vec<Path> {
        Vec::new()
    }
    /// The loops.
    pub fn loops(&self) -> &[Loop] {
        &[]
    }
}

/// A loop: audio that comes back to where it was.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Loop {
    /// The things it passes, in order, first not repeated.
    pub things: Vec<ThingId>,
    /// The talk groups it passes.
    pub groups: Vec<TalkGroupRef>,
    /// The donors that keep it up.
    pub donors: Vec<RadioId>,
}

pub mod why_not {
    //! Why a pair is not heard, and the fewest changes that would join it. (stub)
    use super::{Edit, Party, PhaseId, Scenario, ThingId};

    /// One broken rule and the change that mends it.
    #[derive(Debug, Clone, PartialEq)]
    pub struct Change {
        /// What is wrong, in a sentence without a full stop.
        pub reason: String,
        /// What mends it, as an order.
        pub title: String,
        /// The things concerned, the first of all first.
        pub things: Vec<ThingId>,
        /// The edits that do it; empty when only hands can.
        pub edits: Vec<Edit>,
    }

    /// The answer for a pair that is not heard.
    #[derive(Debug, Clone, PartialEq, Default)]
    pub struct WhyNot {
        /// The broken rules on the cheapest path, in the order of the path, each with its change.
        pub changes: Vec<Change>,
        /// Pairs that are heard today and would not be after the changes.
        pub cuts: Vec<(Party, Party)>,
    }

    /// Finds the fewest changes that let `to` hear `from`.
    pub fn why_not(_s: &Scenario, _phase: PhaseId, _from: Party, _to: Party) -> WhyNot {
        WhyNot::default()
    }
}

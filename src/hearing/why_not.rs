//! Why a pair is not heard, and the fewest changes that would join it. (stub)
use crate::model::{Edit, Party, PhaseId, Scenario, ThingId};

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

//! Reliability: what breaks a need, and how probable it is that none of it does.
//!
//! Items are plain numbers below a count. Whether a need is met is asked of an oracle, [`Works`],
//! since an item may stand at several places of a network.

pub mod availability;
pub mod cuts;
pub mod depth;
pub mod failed;
pub mod flow;
pub mod graph;
pub mod probability;
pub mod seeded;
pub mod works;

mod known;

#[cfg(test)]
mod brute;

pub use failed::Failed;
pub use works::Works;

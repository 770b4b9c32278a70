//! Power: how long batteries last, and what a supply must stay within.

pub mod alkaline;
pub mod chemistry;
mod curve;
pub mod peukert;
pub mod runtime;
pub mod supply;

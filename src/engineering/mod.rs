//! Formulas: pure functions of numbers, one file a formula, each with its source.
//!
//! Nothing here knows of scenarios; arguments are plain numbers or the types of `model::units`.
//! A number outside a formula's [`range`] is refused in words that say what is allowed.

#[cfg(test)]
mod published;
pub mod range;

pub mod calculators;
pub mod power;
pub mod reliability;
pub mod rf;
pub mod timing;
pub mod traffic;

pub use range::{OutOfRange, Range};

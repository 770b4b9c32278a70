//! Formulas: pure functions of numbers, one file a formula, each with its source.
//!
//! Nothing here knows of scenarios; arguments are plain numbers or the types of `model::units`.

pub mod rf;
pub mod timing;

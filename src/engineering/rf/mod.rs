//! Radio: what a receiver takes a signal for.

pub mod dcs;

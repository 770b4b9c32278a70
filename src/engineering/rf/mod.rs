//! Radio: what a receiver takes a signal for, and channels as published.

pub mod dcs;
pub mod national;

//! Radio: what a receiver takes a signal for, channels as published, and the formulas of a radio site.

pub mod dcs;
pub mod desense;
mod ears;
pub mod exposure;
pub mod field_strength;
pub mod harmonics;
pub mod intermod;
pub mod isolation;
pub mod level;
pub mod national;
pub mod noise;
pub mod path_loss;
pub mod two_ray;

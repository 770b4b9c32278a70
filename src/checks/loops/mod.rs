//! Loops: audio that comes back.

pub mod hears_own_group;
pub mod joined_twice;

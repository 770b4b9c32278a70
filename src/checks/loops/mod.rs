//! Loops: audio that comes back.

pub mod joined_twice;

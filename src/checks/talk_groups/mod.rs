//! Talk groups: what is switched together, and whether it should be.

pub mod same_channel_twice;

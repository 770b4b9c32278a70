//! Talk groups: what is switched together, and whether it should be.

pub mod command_mixed_with_tactical;
pub mod empty_group;
pub mod same_channel_twice;
pub mod single_member;
pub mod unassigned_port;

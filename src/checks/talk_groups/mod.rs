//! Talk groups: what is switched together, and whether it should be.

pub mod command_mixed_with_tactical;
pub mod empty_group;
pub mod merge_multiplies_waiting;
mod nets;
pub mod overloaded;
pub mod same_channel_twice;
pub mod single_member;
pub mod tactical_nets_joined;
pub mod too_many_agencies;
pub mod too_many_reporting_units;
pub mod unassigned_port;

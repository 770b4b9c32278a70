//! Authority: who may be joined with whom, and who may send on what.

mod agencies;
pub mod channel_without_agreement;
pub mod federal_channel;
pub mod joined_without_agreement;
pub mod military_joined;

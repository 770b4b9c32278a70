//! Programming: what is set in each radio, and whether the plan and the air agree with it.

pub mod access_code_deviates;
mod assumed;
pub mod bandwidth_deviates;
pub(super) mod deviation;
pub mod frequency_deviates;
pub mod group_deviates;
pub mod mode_deviates;
pub mod national_channel_altered;
pub mod no_channel_selected;
pub mod non_standard_dcs;
pub mod non_standard_tone;
mod odd_codes;
pub mod reserved_nac_sent;
pub mod same_name_different_channel;
mod senders;
pub mod unverified_carried;
pub mod unverified_donor;
pub mod wide_in_narrowband;
pub mod works_not_this_channel;

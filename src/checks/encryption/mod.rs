//! Encryption: what stays secret, what does not, and who is shut out.

pub mod clear_leak;
pub mod encryption_deviates;
pub mod key_missing;
pub mod mutes_clear_partners;
pub mod need_not_kept_encrypted;
pub mod same_number_other_algorithm;
pub mod secure_switch_split;
mod sending;

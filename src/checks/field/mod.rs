//! The field: what people at the box will meet.

pub mod answers_itself;
pub mod donor_scans;
pub mod level_not_mid;
pub mod lid_must_open;
pub mod shared_channel_would_do;
pub mod telephone_unanswered;
mod telephones;

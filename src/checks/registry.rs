//! The one list of all checks, by family and code. A new check is one file and one line here.

use super::{Check, loops, reach, talk_groups};

/// Every check, in the order of the handbook.
pub const ALL: &[Check] = &[
    reach::unheard_need::CHECK,
    reach::isolated_unit::CHECK,
    reach::one_way_path::CHECK,
    loops::joined_twice::CHECK,
    talk_groups::same_channel_twice::CHECK,
];

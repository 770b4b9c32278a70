//! The one list of all checks, by family and code. A new check is one file and one line here.

use super::{Check, loops, programming, reach, talk_groups};

/// Every check, in the order of the handbook.
pub const ALL: &[Check] = &[
    reach::unheard_need::CHECK,
    reach::isolated_unit::CHECK,
    reach::one_way_path::CHECK,
    programming::frequency_deviates::CHECK,
    programming::access_code_deviates::CHECK,
    programming::mode_deviates::CHECK,
    programming::bandwidth_deviates::CHECK,
    programming::group_deviates::CHECK,
    programming::works_not_this_channel::CHECK,
    programming::no_channel_selected::CHECK,
    talk_groups::empty_group::CHECK,
    talk_groups::single_member::CHECK,
    talk_groups::unassigned_port::CHECK,
    talk_groups::same_channel_twice::CHECK,
    loops::joined_twice::CHECK,
];

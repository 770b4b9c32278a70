//! Reach: who is not heard, or only one way.

pub mod isolated_unit;
pub mod one_way_path;
pub mod unheard_need;

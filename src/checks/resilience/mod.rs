//! Resilience: what breaks the needs of the plan, and what is left then.

pub mod nothing_to_fall_back_on;
pub mod one_thing_carries_much;
pub mod single_point_of_failure;
pub mod unlikely_to_be_met;

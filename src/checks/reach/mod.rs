//! Reach: who is not heard, or only one way, or only by luck.

pub mod heard_only_by_scan;
pub mod heard_though_apart;
pub mod isolated_unit;
pub mod one_way_path;
pub mod quiet_port;
pub mod unheard_need;

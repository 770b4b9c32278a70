//! Resources: cables, radios, talk paths and stock, short or booked twice.

pub mod busy_system;
pub mod cable_does_not_fit;
pub mod cables_short;
mod cabling;
pub mod no_cable_chosen;
pub mod radio_booked_twice;
pub mod stock_short;
pub mod talk_paths_short;
pub mod unplugged_gear;

//! Power: gateways and donors that run dry, supplies that do not fit, figures nobody noted.

pub mod batteries_short;
pub mod cold_cells;
pub mod donor_over_duty;
pub mod donor_runs_dry;
pub mod gateway_runs_dry;
mod in_use;
pub mod no_cells_to_fall_back_on;
pub mod power_unknown;
pub mod supply_does_not_fit;

//! The one test binary.

#[cfg(feature = "gui")]
mod app;
#[cfg(feature = "gui")]
mod app_board;
#[cfg(feature = "gui")]
mod app_calculators;
#[cfg(feature = "gui")]
mod app_figures;
#[cfg(feature = "gui")]
mod app_files;
#[cfg(feature = "gui")]
mod app_matrix;
#[cfg(feature = "gui")]
mod app_needs;
#[cfg(feature = "gui")]
mod app_talk;
mod architecture;
mod checks;
mod cli;
mod format;
mod hearing;
mod history;
mod lab;
mod model;
mod picture;
mod samples;
mod shipped;
#[cfg(feature = "gui")]
mod walk;

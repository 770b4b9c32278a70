//! The one test binary.

#[cfg(feature = "gui")]
mod app;
#[cfg(feature = "gui")]
mod app_board;
#[cfg(feature = "gui")]
mod app_calculators;
#[cfg(feature = "gui")]
mod app_comfort;
#[cfg(feature = "gui")]
mod app_figures;
mod app_files;
mod app_groups;
#[cfg(feature = "gui")]
mod app_large;
#[cfg(feature = "gui")]
mod app_site;
mod app_tables;
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
mod sheets;
mod shipped;
#[cfg(feature = "gui")]
mod walk;

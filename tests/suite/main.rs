//! The one test binary.

#[cfg(feature = "gui")]
mod app;
#[cfg(feature = "gui")]
mod app_arrange;
#[cfg(feature = "gui")]
mod app_board;
#[cfg(feature = "gui")]
mod app_calculators;
#[cfg(feature = "gui")]
mod app_clipboard;
#[cfg(feature = "gui")]
mod app_comfort;
#[cfg(feature = "gui")]
mod app_exchange;
#[cfg(feature = "gui")]
mod app_figures;
#[cfg(feature = "gui")]
mod app_files;
#[cfg(feature = "gui")]
mod app_find;
#[cfg(feature = "gui")]
mod app_findings;
#[cfg(feature = "gui")]
mod app_groups;
#[cfg(feature = "gui")]
mod app_large;
#[cfg(feature = "gui")]
mod app_layout;
#[cfg(feature = "gui")]
mod app_library;
#[cfg(feature = "gui")]
mod app_matrix;
#[cfg(feature = "gui")]
mod app_menus;
mod app_needs;
#[cfg(feature = "gui")]
mod app_palette;
#[cfg(feature = "gui")]
mod app_paper;
#[cfg(feature = "gui")]
mod app_phases;
#[cfg(feature = "gui")]
mod app_precheck;
#[cfg(feature = "gui")]
mod app_reading;
#[cfg(feature = "gui")]
mod app_site;
#[cfg(feature = "gui")]
mod app_tables;
#[cfg(feature = "gui")]
mod app_talk;
#[cfg(feature = "gui")]
mod app_type_to_add;
mod architecture;
mod checks;
mod cli;
mod draws;
mod exchange;
mod format;
mod graft;
mod hearing;
mod history;
mod lab;
mod library;
mod model;
mod paperwork;
mod paperwork_diagram;
mod picture;
mod samples;
mod sheets;
mod shipped;
#[cfg(feature = "gui")]
mod walk;

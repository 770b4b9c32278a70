//! The window: a board on which an incident's radios are laid out, and panels around it.
//!
//! Three kinds of state, never mixed: the [`Document`] (saved, undone), `UiState` (the window's own)
//! and `Derived` (all that follows). Views read a `ViewCtx` and push `Action`s; `run` drains them in
//! one place; `effects` is the only way to dialogs, disk and clock. Nothing here computes a fact of
//! radio: it is read off the derived picture.

mod action;
mod answers;
mod application;
mod board;
mod command;
mod derived;
mod effects;
mod files;
mod find;
mod hindrance;
mod input;
mod later;
mod measure;
mod memory;
mod pace;
mod pairs;
mod panels;
mod plan;
mod port_keys;
mod run;
mod shelf;
mod start;
mod state;
mod theme;
mod view;
mod views;
mod words;
mod work;

pub use application::Application;
pub use effects::{Answer, Ask, Chooser, Effects, Kept, Stamp};
pub use start::run;
pub use theme::install as install_theme;

#[cfg(doc)]
use crate::history::Document;

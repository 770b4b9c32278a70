//! Plans, checks and rehearses how radios of different agencies are joined at one incident.
//!
//! The crate is a stack of layers; each imports only from those above it in this list:
//!
//! 1. [`model`]: what a scenario holds and the one gate through which it changes
//! 2. [`mod@format`], [`history`], [`engineering`], [`sheets`], [`layout`]: files, undo, formulas,
//!    tables as text, where things stand on the board
//! 3. [`hearing`]: who hears whom
//! 4. [`picture`]: all that is derived of one scenario in one phase
//! 5. [`checks`]: what will go wrong
//! 6. [`samples`] and [`library`]: scenarios and ready-made things that come with the program
//! 7. [`exchange`]: tables for spreadsheets, out of a scenario and into it
//! 8. [`paperwork`]: forms, cards and drawings on paper
//! 9. [`disk`]: files written whole or not at all
//! 10. `app` (the board, behind the feature `gui`) and [`cli`] (the headless verbs)
//!
//! `DEVELOPERS.md` has the code map; `tests/suite/architecture.rs` holds the layers.

#[cfg(feature = "gui")]
pub mod app;
pub mod checks;
pub mod cli;
pub mod disk;
pub mod engineering;
pub mod exchange;
pub mod format;
pub mod hearing;
pub mod history;
pub mod layout;
pub mod library;
pub mod model;
pub mod paperwork;
pub mod picture;
pub mod samples;
pub mod sheets;

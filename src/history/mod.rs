//! Undo: the document and its snapshots, without a screen and without a clock.
//!
//! A [`Document`] holds the scenario as it is now, the snapshots before and after it with the label
//! of the change between, and the snapshot that was last saved. It changes only by edits.
//!
//! It must not know how edits are asked for: that is the business of the board and the panels.

mod autosave;
mod document;

pub use autosave::{Autosave, LONGEST, QUIET};
pub use document::{CAP, Document};

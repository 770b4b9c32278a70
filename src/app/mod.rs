//! The board. (placeholder)

use std::path::PathBuf;

/// Opens the board, on a scenario if one is given.
///
/// # Errors
///
/// Why the board cannot open, in a sentence without a full stop.
pub fn run(_file: Option<PathBuf>) -> Result<(), String> {
    Err("it is not built yet".to_owned())
}

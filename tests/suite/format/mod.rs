//! The scenario file: round trips, independent readers, problems, older versions.

mod migrate;
mod problems;
mod random;
mod round_trip;

use crosspatch::format::{self, Problems, Syntax};
use crosspatch::model::Scenario;

/// Reads a RON text that must be right.
fn ron(text: &str) -> Scenario {
    format::read(text, Syntax::Ron).unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

/// Reads a text that must be wrong.
fn wrong(text: &str, syntax: Syntax) -> Problems {
    match format::read(text, syntax) {
        Ok(scenario) => panic!("it was read: {scenario:?}"),
        Err(problems) => {
            assert!(!problems.list.is_empty(), "never empty");
            problems
        }
    }
}

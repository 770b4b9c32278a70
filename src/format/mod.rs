//! The scenario file: text in, text out, no disk.
//!
//! [`read`] turns a file into a [`Scenario`], or into everything that is wrong with it, each with its
//! line and column; [`write()`] turns a scenario into its one canonical text; [`schema`] publishes the
//! layout. RON and JSON carry the same structure, described by the types of [`v1`]; older layouts are
//! brought up to date by `migrate` before they are decoded.

mod convert;
mod decode;
mod encode;
pub mod excerpt;
mod lower;
mod migrate;
mod nearest;
mod parse;
mod print;
mod problem;
mod read;
mod tree;
pub mod v1;
mod write;

use crate::model::Scenario;

pub use nearest::{did_you_mean, nearest};
pub use problem::{Problem, Problems};
pub use read::read;

/// How a file is spelt.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Syntax {
    /// Rusty Object Notation: for people, with comments.
    Ron,
    /// JSON: for other programs.
    Json,
}

impl Syntax {
    /// Tells the spelling from the ending of a file's name: JSON for `.json`, RON for all else.
    pub fn of_name(name: &str) -> Self {
        let is_json = name
            .rsplit_once('.')
            .is_some_and(|(_, ending)| ending.eq_ignore_ascii_case("json"));
        if is_json { Self::Json } else { Self::Ron }
    }
}

/// Writes a scenario: the same scenario always gives the same text.
pub fn write(scenario: &Scenario, syntax: Syntax) -> String {
    let mut file = write::file_of(scenario);
    let mut out = String::new();
    if syntax == Syntax::Ron {
        for line in std::mem::take(&mut file.comments) {
            out.push_str("//");
            if !line.is_empty() {
                out.push(' ');
                out.push_str(&line);
            }
            out.push('\n');
        }
        out.push_str("#![enable(implicit_some)]\n");
    }
    match encode::encode(&file) {
        Ok(tree) => out.push_str(&print::print(&tree, syntax)),
        // No type of the file is unwritable; a test walks every field of every type.
        Err(unwritable) => out.push_str(&unwritable.to_string()),
    }
    out
}

/// Returns the JSON Schema of a scenario file in its JSON spelling.
pub fn schema() -> String {
    let mut schema = schemars::schema_for!(v1::Root);
    schema.insert("title".to_owned(), "Crosspatch scenario".into());
    let mut text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text.push('\n');
    text
}

//! The way to the file format and the shipped scenarios, in the words of the window.

use crate::format::excerpt::Excerpt;
use crate::format::{self, Syntax};
use crate::model::Scenario;
use crate::samples::SHIPPED;

/// One thing wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct FileProblem {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1.
    pub column: usize,
    /// What was found and what was expected.
    pub message: String,
    /// What may help.
    pub hint: Option<String>,
}

/// A shipped scenario, as the Help and File menus list it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shipped {
    /// Short name.
    pub name: &'static str,
    /// Name of its file.
    pub file_name: &'static str,
    /// One sentence.
    pub about: &'static str,
    /// The file's text.
    pub text: &'static str,
}

/// Endings of scenario files.
pub(super) const ENDINGS: [&str; 2] = ["ron", "json"];

/// Reads a scenario; the ending of `name` tells the syntax.
///
/// # Errors
///
/// Everything wrong with the text.
pub(super) fn read(text: &str, name: &str) -> Result<Scenario, Vec<FileProblem>> {
    format::read(text, Syntax::of_name(name)).map_err(|problems| {
        problems
            .list
            .into_iter()
            .map(|p| FileProblem {
                line: p.line,
                column: p.column,
                message: p.message,
                hint: p.hint,
            })
            .collect()
    })
}

/// Title of the file of a person's own things.
pub(super) const OWN_TITLE: &str = "My things";

/// Reads a person's own things; none where nothing readable was kept.
///
/// A text that cannot be read stays on the disk as it is: keeping says so before it writes.
pub(super) fn own_things(kept: Option<&str>) -> Excerpt {
    kept.and_then(|text| Excerpt::read(text).ok())
        .unwrap_or_else(|| Excerpt::empty(OWN_TITLE))
}

/// Writes a scenario; the ending of `name` tells the syntax.
pub(super) fn write(scenario: &Scenario, name: &str) -> String {
    format::write(scenario, Syntax::of_name(name))
}

/// Lists the shipped scenarios.
pub(super) fn shipped() -> Vec<Shipped> {
    SHIPPED
        .iter()
        .map(|s| Shipped {
            name: s.name,
            file_name: s.file_name,
            about: s.about,
            text: s.text,
        })
        .collect()
}

/// Returns the scenario the window opens with when no file was named.
pub(super) fn first_scenario() -> Scenario {
    let samples = shipped();
    samples
        .iter()
        .find(|s| s.file_name == "incident.ron")
        .or_else(|| samples.first())
        .and_then(|s| read(s.text, s.file_name).ok())
        .unwrap_or_else(|| Scenario::new("New scenario"))
}

/// Returns a file name for a title.
pub(super) fn suggested_name(title: &str) -> String {
    let mut name: String = title
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() { c } else { '-' })
        .collect();
    while name.contains("--") {
        name = name.replace("--", "-");
    }
    let name = name.trim_matches('-');
    let name = if name.is_empty() { "scenario" } else { name };
    format!("{name}.{}", ENDINGS[0])
}

/// Adds the usual ending to a path that has none.
pub(super) fn with_ending(path: std::path::PathBuf) -> std::path::PathBuf {
    if path.extension().is_some() {
        path
    } else {
        path.with_extension(ENDINGS[0])
    }
}

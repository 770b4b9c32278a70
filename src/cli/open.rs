//! Opening the scenario a verb was given, and finding its phases.

use std::fs;
use std::io::Write;
use std::path::Path;

use serde_json::json;

use crate::format::{self, Problems, Syntax, did_you_mean};
use crate::model::{Phase, Scenario};

use super::error::{Error, Kind};
use super::show::json_lines;

/// Reads the scenario in a file.
///
/// With `json`, the problems of a file that cannot be read are also written to the output.
pub(super) fn scenario(path: &Path, out: &mut dyn Write, json: bool) -> Result<Scenario, Error> {
    let result = read(path);
    if let Err(error) = &result
        && json
        && let Some(file) = &error.file
    {
        let written = json_lines(out, &problems_json(&file.name, &file.problems));
        written.or_else(super::quiet).map_err(Error::output)?;
    }
    result
}

fn read(path: &Path) -> Result<Scenario, Error> {
    let name = path.display().to_string();
    let text = text(path).map_err(|error| {
        if path.exists() {
            error
        } else {
            error.hint("`crosspatch example DIR` writes scenarios to begin with")
        }
    })?;
    format::read(&text, Syntax::of_name(&name))
        .map_err(|problems| Error::problems(name, text, problems))
}

/// Reads a file of text.
pub(super) fn text(path: &Path) -> Result<String, Error> {
    let name = path.display().to_string();
    let bytes = fs::read(path).map_err(|source| {
        Error::new(Kind::Input, format!("{name} cannot be read")).because(source)
    })?;
    String::from_utf8(bytes).map_err(|source| {
        let at = source.utf8_error().valid_up_to();
        let good = source.as_bytes().get(..at).unwrap_or_default();
        let line = good.split(|b| *b == b'\n').count();
        Error::new(
            Kind::Input,
            format!("{name} is not text in UTF-8: line {line} holds other bytes"),
        )
    })
}

fn problems_json(name: &str, problems: &Problems) -> serde_json::Value {
    let list: Vec<_> = problems
        .list
        .iter()
        .map(|p| json!({"line": p.line, "column": p.column, "message": p.message, "hint": p.hint}))
        .collect();
    json!({"file": name, "problems": list})
}

/// Finds the phase asked for, or the first.
pub(super) fn phase<'a>(scenario: &'a Scenario, asked: Option<&str>) -> Result<&'a Phase, Error> {
    scenario.find_phase(asked).ok_or_else(|| {
        let asked = asked.unwrap_or_default();
        let keys = || scenario.phases.iter().map(|p| p.key.as_str());
        let names = scenario.phases.iter().map(|p| p.name.as_str());
        let hint = did_you_mean(asked, keys().chain(names)).unwrap_or_else(|| {
            let keys: Vec<&str> = keys().collect();
            format!("the phases are {}", keys.join(", "))
        });
        Error::new(Kind::Usage, format!("there is no phase '{asked}'")).hint(hint)
    })
}

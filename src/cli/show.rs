//! What the verbs share in showing things: colours, wrapping, names, and text made safe.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use serde_json::Value;

pub(super) use crate::exchange::thing_json;
use crate::model::{Scenario, Severity, ThingId};

/// Style of headings and names of files.
pub(super) const BOLD: Style = Style::new().bold();
/// Style of what frames the text.
pub(super) const DIM: Style = Style::new().dimmed();
/// Style of the word "error" and of carets.
pub(super) const ERROR: Style = AnsiColor::Red.on_default().bold();
/// Widest line of running text.
const WIDTH: usize = 100;

/// Returns the style of a severity.
pub(super) fn style(severity: Severity) -> Style {
    match severity {
        Severity::Stops => AnsiColor::Red.on_default().bold(),
        Severity::Warns => AnsiColor::Yellow.on_default().bold(),
        Severity::Notes => AnsiColor::Cyan.on_default().bold(),
    }
}

/// Takes out of a text what could move the cursor or turn the line around.
pub(super) fn clean(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            '\n' | '\t' => ' ',
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => '\u{fffd}',
            c if c.is_control() => '\u{fffd}',
            c => c,
        })
        .collect()
}

/// Writes a label and a text beside it, wrapped.
pub(super) fn labelled(
    out: &mut dyn Write,
    indent: usize,
    label: &str,
    text: &str,
) -> io::Result<()> {
    let column = indent + 9;
    let mut is_first = true;
    for paragraph in text.lines().filter(|line| !line.trim().is_empty()) {
        for line in wrapped(&clean(paragraph), WIDTH - column) {
            let label = if is_first { label } else { "" };
            writeln!(out, "{:indent$}{DIM}{label:<9}{DIM:#}{line}", "")?;
            is_first = false;
        }
    }
    Ok(())
}

/// Cuts a text into lines at its spaces.
pub(super) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Names a thing for people: its name, and its key where that says more.
pub(super) fn thing(scenario: &Scenario, id: ThingId) -> String {
    let (name, key) = (scenario.name(id), scenario.key(id));
    let text = if name == key {
        format!("{} {name}", id.kind())
    } else {
        format!("{} {name} ({key})", id.kind())
    };
    clean(&text)
}

/// Prints a number with as few decimals as it needs, three at most.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// Writes a JSON value on lines of its own.
pub(super) fn json_lines(out: &mut dyn Write, value: &Value) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, value)?;
    writeln!(out)
}

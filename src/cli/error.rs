//! Why a verb could not run: a kind, a message, its causes and hints; and how that is printed.

use std::fmt;
use std::io::{self, Write};

use crate::format::Problems;

use super::show::{BOLD, DIM, ERROR, clean};

/// Problems of a file that are printed; more have one cause anyway.
const MOST_PROBLEMS: usize = 40;
/// Widest source line that is printed whole.
const WIDEST: usize = 120;

/// What kept a verb from running.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// What was asked for makes no sense.
    Usage,
    /// A file cannot be read.
    Input,
    /// A file cannot be written, or standard output is closed.
    Output,
    /// The board cannot open.
    Board,
}

/// Why a verb could not run.
#[derive(Debug)]
pub struct Error {
    /// What kind of failure.
    pub kind: Kind,
    /// One sentence without a full stop.
    pub message: String,
    /// What caused it.
    pub source: Option<Box<dyn std::error::Error + Send + Sync>>,
    /// What may help.
    pub hints: Vec<String>,
    /// The file that is wrong, if it is a file.
    pub file: Option<Box<WrongFile>>,
}

/// A file that could not be read as a scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrongFile {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub text: String,
    /// What is wrong with it.
    pub problems: Problems,
}

impl Error {
    /// Makes an error without a cause.
    pub fn new(kind: Kind, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
            source: None,
            hints: Vec::new(),
            file: None,
        }
    }

    /// Adds the cause.
    pub(super) fn because(
        mut self,
        source: impl Into<Box<dyn std::error::Error + Send + Sync>>,
    ) -> Self {
        self.source = Some(source.into());
        self
    }

    /// Adds a hint.
    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds a hint, if there is one.
    pub(super) fn maybe_hint(mut self, hint: Option<String>) -> Self {
        self.hints.extend(hint);
        self
    }

    /// Makes the error of an output that cannot be written.
    pub(super) fn output(error: io::Error) -> Self {
        Self::new(Kind::Output, "the output cannot be written").because(error)
    }

    /// Makes the error of a file with problems.
    pub(super) fn problems(name: String, text: String, problems: Problems) -> Self {
        let count = problems.list.len();
        let what = if count == 1 { "problem" } else { "problems" };
        let mut error = Self::new(Kind::Input, format!("{name} has {count} {what}"));
        error.file = Some(Box::new(WrongFile {
            name,
            text,
            problems,
        }));
        error
    }

    /// Prints the error with its causes and hints, and a file's problems with their lines.
    pub fn render(&self, out: &mut dyn Write) -> io::Result<()> {
        if let Some(file) = &self.file {
            render_problems(out, file)?;
        }
        writeln!(out, "{ERROR}error{ERROR:#}: {}", clean(&self.message))?;
        let mut source = self.source.as_deref().map(|e| e as &dyn std::error::Error);
        while let Some(cause) = source {
            writeln!(out, "  cause: {}", clean(&cause.to_string()))?;
            source = cause.source();
        }
        for hint in &self.hints {
            writeln!(out, "  hint: {}", clean(hint))?;
        }
        out.flush()
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Error {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.source
            .as_deref()
            .map(|e| e as &(dyn std::error::Error + 'static))
    }
}

fn render_problems(out: &mut dyn Write, file: &WrongFile) -> io::Result<()> {
    let WrongFile {
        name,
        text,
        problems,
    } = file;
    let lines: Vec<&str> = text.split('\n').collect();
    let shown = problems.list.iter().take(MOST_PROBLEMS);
    let width = shown
        .clone()
        .map(|p| p.line.to_string().len())
        .max()
        .unwrap_or(1);
    let name = clean(name);
    for problem in shown {
        writeln!(out, "{BOLD}{name}:{}{BOLD:#}", clean(&problem.to_string()))?;
        let line = problem
            .line
            .checked_sub(1)
            .and_then(|i| lines.get(i))
            .copied()
            .unwrap_or_default();
        let (line, column) = window(line, problem.column);
        writeln!(out, "{DIM}{:>width$} |{DIM:#} {line}", problem.line)?;
        writeln!(
            out,
            "{DIM}{:>width$} |{DIM:#} {:column$}{ERROR}^{ERROR:#}",
            "", ""
        )?;
        if let Some(hint) = &problem.hint {
            writeln!(out, "{:>width$}   hint: {}", "", clean(hint))?;
        }
    }
    let more = problems.list.len().saturating_sub(MOST_PROBLEMS);
    if more > 0 {
        writeln!(out, "… and {more} more")?;
    }
    Ok(())
}

/// Cuts a line to what fits, and tells how far the caret stands from its start.
fn window(line: &str, column: usize) -> (String, usize) {
    let line = line.trim_start_matches('\u{feff}');
    let start = column.saturating_sub(WIDEST * 2 / 3);
    let start = if line.chars().count() <= WIDEST {
        0
    } else {
        start
    };
    let part: String = line
        .chars()
        .skip(start)
        .take(WIDEST)
        .map(|c| if c == '\t' { ' ' } else { c })
        .collect();
    (
        clean(part.trim_end()),
        column.saturating_sub(1).saturating_sub(start),
    )
}

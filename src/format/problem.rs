//! What is wrong with a file: where, what was found, what was expected, and a hint.
//!
//! [`Problem`] is for people and carries a line and a column; [`Fault`] is the same thing inside the
//! reader, with an offset. Nothing here prints.

use std::fmt;

/// Everything found wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems {
    /// The problems, in the order of the file; never empty.
    pub list: Vec<Problem>,
}

/// One thing wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// Where in the structure, what was found and what was expected.
    pub message: String,
    /// What may help.
    pub hint: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.line, self.column, self.message)
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, problem) in self.list.iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
            if let Some(hint) = &problem.hint {
                write!(f, " ({hint})")?;
            }
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

/// A problem at an offset of the text, gathering its path on the way out of the structure.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// Offset in bytes, once it is known.
    pub(super) at: Option<usize>,
    /// Steps of the path, innermost first, each with its dot or brackets.
    pub(super) path: Vec<String>,
    /// What was found and expected.
    pub(super) message: String,
    /// What may help.
    pub(super) hint: Option<String>,
}

impl Fault {
    /// Makes a fault at an offset.
    pub(super) fn new(at: usize, message: impl Into<String>) -> Self {
        Self {
            at: Some(at),
            path: Vec::new(),
            message: message.into(),
            hint: None,
        }
    }

    /// Adds a hint.
    pub(super) fn with_hint(mut self, hint: Option<String>) -> Self {
        self.hint = hint;
        self
    }

    /// Says where, unless a deeper level said it already.
    pub(super) fn or_at(mut self, at: usize) -> Self {
        self.at.get_or_insert(at);
        self
    }

    /// Adds the next outer step of the path.
    pub(super) fn under(mut self, step: impl Into<String>) -> Self {
        self.path.push(step.into());
        self
    }

    fn text(&self) -> String {
        let path: String = self.path.iter().rev().map(String::as_str).collect();
        let path = path.trim_start_matches('.');
        if path.is_empty() {
            self.message.clone()
        } else {
            format!("{path}: {}", self.message)
        }
    }
}

/// Turns faults into problems with lines and columns, in the order of the file.
///
/// The list of faults must not be empty.
pub(super) fn problems(text: &str, mut faults: Vec<Fault>) -> Problems {
    faults.sort_by_key(|fault| fault.at);
    faults.dedup();
    let mut lines = Lines::new(text);
    let list = faults
        .iter()
        .map(|fault| {
            let (line, column) = lines.position(fault.at.unwrap_or(0));
            Problem {
                line,
                column,
                message: fault.text(),
                hint: fault.hint.clone(),
            }
        })
        .collect();
    Problems { list }
}

/// Walks a text once and tells lines and columns of ascending offsets.
struct Lines<'a> {
    text: &'a str,
    line: usize,
    start: usize,
}

impl<'a> Lines<'a> {
    fn new(text: &'a str) -> Self {
        Self {
            text,
            line: 1,
            start: 0,
        }
    }

    fn position(&mut self, at: usize) -> (usize, usize) {
        let at = at.min(self.text.len());
        while let Some(end) = self
            .text
            .get(self.start..at)
            .and_then(|rest| rest.find('\n'))
        {
            self.line += 1;
            self.start += end + 1;
        }
        let before = self.text.get(self.start..at).unwrap_or_default();
        (
            self.line,
            before.trim_start_matches('\u{feff}').chars().count() + 1,
        )
    }
}

/// Tells the line and column, both from 1, of an offset.
pub(super) fn position(text: &str, at: usize) -> (usize, usize) {
    Lines::new(text).position(at)
}

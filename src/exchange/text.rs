//! Comma-separated text taken apart and put together (RFC 4180); what the cells mean is not its business.

use csv::{ReaderBuilder, Terminator, WriterBuilder};

use super::columns::Mapping;

/// Rows above the headings that are looked through: title lines of a printed form.
const MOST_TITLES: usize = 20;
/// Columns that must be known before a row is taken for the headings.
const FEWEST_KNOWN: usize = 2;

/// A table to be written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sheet {
    /// The headings.
    pub headings: Vec<String>,
    /// The rows, each with as many cells as there are headings.
    pub rows: Vec<Vec<String>>,
}

impl Sheet {
    /// Makes a table without rows.
    pub(super) fn new<const N: usize>(headings: [&str; N]) -> Self {
        Self {
            headings: headings.into_iter().map(str::to_owned).collect(),
            rows: Vec::new(),
        }
    }

    /// Writes it: commas, quotes where needed, lines ended as RFC 4180 asks.
    ///
    /// A cell that a spreadsheet would take for a formula, because it begins with `=`, `+`, `-`, `@`, a
    /// tab or a line break, gets an apostrophe before it (common practice against formula injection);
    /// [`Source::read`] takes it off again.
    pub fn csv(&self) -> String {
        let mut writer = WriterBuilder::new()
            .terminator(Terminator::CRLF)
            .from_writer(Vec::new());
        for row in std::iter::once(&self.headings).chain(&self.rows) {
            // Memory does not refuse, and all rows are equally long.
            drop(writer.write_record(row.iter().map(|cell| guarded(cell))));
        }
        let bytes = writer.into_inner().unwrap_or_default();
        String::from_utf8(bytes).unwrap_or_default()
    }
}

fn is_risky(c: char) -> bool {
    matches!(c, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n')
}

fn guarded(cell: &str) -> String {
    if cell.starts_with(is_risky) {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

fn unguarded(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(is_risky) => rest,
        _ => cell,
    }
}

/// A table that was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Line of the headings, from 1.
    pub line: u64,
    /// The headings.
    pub headings: Vec<String>,
    /// The rows below that hold anything, each with its line.
    pub rows: Vec<(u64, Vec<String>)>,
    /// What stands between cells.
    pub delimiter: char,
}

/// Why a text is no table of channels.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unreadable {
    /// There is nothing in it.
    #[error("there is nothing in it")]
    Empty,
    /// A line cannot be taken apart.
    #[error("line {line} cannot be taken apart: {reason}")]
    Line {
        /// The line, from 1.
        line: u64,
        /// Why.
        reason: String,
    },
    /// A cell opens with a quotation mark that nothing closes: all rows below would be taken for its text.
    #[error(
        "the cell that begins with a quotation mark in line {line} is never closed, so that the rows below \
         it would be lost; close it or take the mark out"
    )]
    Unclosed {
        /// The line, from 1.
        line: u64,
    },
    /// No row looks like headings.
    #[error(
        "no line among the first {MOST_TITLES} holds headings such as Channel Name, Rx Freq, Rx Tone, Tx Freq, \
         Tx Tone, Mode; found '{found}'"
    )]
    NoHeadings {
        /// The first line.
        found: String,
    },
}

impl Source {
    /// Takes a text apart: with or without a byte order mark, cells parted by commas, semicolons or tabs.
    ///
    /// The headings are the first row in which columns are known; what stands above is a title.
    ///
    /// # Errors
    ///
    /// Why it is no table.
    pub fn read(text: &str) -> Result<Self, Unreadable> {
        let text = text.trim_start_matches('\u{feff}');
        if text.trim().is_empty() {
            return Err(Unreadable::Empty);
        }
        let mut best: Option<Self> = None;
        let mut first_error = None;
        for delimiter in [',', ';', '\t'] {
            match Self::read_by(text, delimiter) {
                Ok(source) => {
                    let known = |s: &Self| Mapping::guess(&s.headings).known();
                    if best.as_ref().is_none_or(|b| known(b) < known(&source)) {
                        best = Some(source);
                    }
                }
                Err(error) => drop(first_error.get_or_insert(error)),
            }
        }
        let source = best.ok_or_else(|| first_error.unwrap_or(Unreadable::Empty))?;
        match unclosed(text, source.delimiter) {
            Some(line) => Err(Unreadable::Unclosed { line }),
            None => Ok(source),
        }
    }

    fn read_by(text: &str, delimiter: char) -> Result<Self, Unreadable> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter as u8)
            .from_reader(text.as_bytes());
        let mut rows = Vec::new();
        for record in reader.records() {
            let record = record.map_err(|error| Unreadable::Line {
                line: error.position().map_or(0, csv::Position::line),
                reason: error.to_string(),
            })?;
            let line = record.position().map_or(0, |at| first_line(text, at));
            let cells: Vec<String> = record
                .iter()
                .map(|cell| unguarded(cell.trim()).to_owned())
                .collect();
            if cells.iter().any(|cell| !cell.is_empty()) {
                rows.push((line, cells));
            }
        }
        let place = rows
            .iter()
            .take(MOST_TITLES)
            .position(|(_, cells)| Mapping::guess(cells).known() >= FEWEST_KNOWN);
        let Some(place) = place else {
            let found = text.lines().find(|l| !l.trim().is_empty()).unwrap_or("");
            return Err(Unreadable::NoHeadings {
                found: found.chars().take(60).collect(),
            });
        };
        let below = rows.split_off(place + 1);
        let (line, headings) = rows.pop().unwrap_or_default();
        Ok(Self {
            line,
            headings,
            rows: below,
            delimiter,
        })
    }
}

/// Returns the line a record begins on: the reader says where the record before it ended, and blank
/// lines between the two are no record.
fn first_line(text: &str, at: &csv::Position) -> u64 {
    let rest = text.get(at.byte() as usize..).unwrap_or_default();
    let blank = rest.lines().take_while(|line| line.is_empty()).count();
    at.line() + blank as u64
}

/// Returns the line of a quotation mark that opens a cell and is never closed: a reader takes the end of
/// the text for the end of that cell, and says nothing.
fn unclosed(text: &str, delimiter: char) -> Option<u64> {
    let (mut line, mut opened) = (1, None);
    let mut begins = true;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let is_end = matches!(c, '\n' | '\r');
        match (c, opened) {
            ('"', None) if begins => opened = Some(line),
            // Two marks stand for one.
            ('"', Some(_)) if chars.peek() == Some(&'"') => drop(chars.next()),
            ('"', Some(_)) => opened = None,
            _ => {}
        }
        begins = opened.is_none() && (is_end || c == delimiter);
        if c == '\n' || c == '\r' && chars.peek() != Some(&'\n') {
            line += 1;
        }
    }
    opened
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_look_like_formulas_are_guarded_and_come_back() {
        let mut sheet = Sheet::new(["Channel Name", "Rx Freq", "Remarks"]);
        for cell in ["=1+2", "+A1", "-3", "@x", "plain", "a,\"b\"", "'=x"] {
            sheet
                .rows
                .push(vec!["A".to_owned(), String::new(), cell.to_owned()]);
        }
        let text = sheet.csv();
        assert!(text.contains("'=1+2") && text.contains("\r\n"), "{text}");
        assert!(!text.contains(",=") && !text.contains(",@"), "{text}");
        let back = Source::read(&text).unwrap();
        let cells: Vec<&str> = back.rows.iter().map(|(_, r)| r[2].as_str()).collect();
        assert_eq!(cells[..6], ["=1+2", "+A1", "-3", "@x", "plain", "a,\"b\""]);
    }

    #[test]
    fn marks_delimiters_and_titles_are_seen_through() {
        for delimiter in [",", ";", "\t"] {
            let lines = [
                "\u{feff}INCIDENT RADIO PLAN",
                "",
                "Channel Name|Rx Freq|Tx Freq|Mode",
                "TAC 1|154.265|154.265|A",
            ];
            let text = lines.join("\n").replace('|', delimiter);
            let source = Source::read(&text).unwrap();
            assert_eq!(source.line, 3, "{delimiter:?}");
            assert_eq!(source.headings.len(), 4);
            assert_eq!(
                source.rows,
                [(
                    4,
                    vec![
                        "TAC 1".into(),
                        "154.265".into(),
                        "154.265".into(),
                        "A".into()
                    ]
                )]
            );
        }
        assert_eq!(Source::read(" \n "), Err(Unreadable::Empty));
        let open = "Channel Name,Rx Freq,Remarks\nA,1,\"two\nlines\"\nB,1,\"see note\nC,1,\"\"\n";
        assert_eq!(Source::read(open), Err(Unreadable::Unclosed { line: 4 }));
        let closed = open.replace("see note", "see \"\"note\"\"\"");
        assert_eq!(Source::read(&closed).map(|s| s.rows.len()), Ok(3));
        let inside = "Channel Name;Rx Freq;Remarks\nA;1;say \"go\nB;1;\n";
        assert_eq!(Source::read(inside).map(|s| s.rows.len()), Ok(2));
        assert!(matches!(
            Source::read("a,b\n1,2"),
            Err(Unreadable::NoHeadings { .. })
        ));
    }
}

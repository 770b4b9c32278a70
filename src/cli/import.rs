//! `import`: the channels of a table into a scenario, all or none.
//!
//! Rows are read by the exchange layer and taken by the gate; this file says what was found, and writes.

use std::io::{self, Write};

use serde_json::json;

use crate::exchange::{self, Column, Mapping, Source};
use crate::format::{self, Syntax, did_you_mean};

use super::args::Import;
use super::disk::{self, Existing};
use super::error::{Error, Kind};
use super::show::{BOLD, DIM, clean, json_lines};
use super::{Outcome, done, open};

/// Imports, or says what would be imported.
pub(super) fn run(args: &Import, out: &mut dyn Write) -> Result<Outcome, Error> {
    let name = args.file.display().to_string();
    let text = open::text(&args.file).map_err(|error| {
        if args.file.exists() {
            error.hint("a spreadsheet writes it as \"CSV UTF-8\"")
        } else {
            error
        }
    })?;
    let source = Source::read(&text).map_err(|reason| {
        Error::new(Kind::Input, format!("{name} is no table of channels")).because(reason)
    })?;
    let scenario = open::scenario(&args.into, out, args.json)?;
    let mut mapping = Mapping::guess(&source.headings);
    for pair in &args.map {
        map(&mut mapping, &source, pair)?;
    }
    let import = exchange::import(&scenario, &source, &mapping);
    let is_good = import.problems.is_empty();
    let is_written = !args.dry_run && (is_good || args.skip_bad) && !import.edits.is_empty();
    if is_written {
        let after = scenario.apply(&import.edits).map_err(|reason| {
            Error::new(Kind::Input, "the channels cannot be taken in").because(reason)
        })?;
        let syntax = Syntax::of_name(&args.into.to_string_lossy());
        let text = format::write(&after, syntax);
        disk::write(&args.into, &text, Existing::Replace)?;
    }
    let outcome = if is_good {
        Outcome::Clean
    } else {
        Outcome::Findings
    };
    let written = if args.json {
        json_of(args, out, (&source, &mapping), &import, is_written)
    } else {
        said(args, out, (&source, &mapping), &import, is_written)
    };
    done(outcome, written)
}

/// Reads "Heading=column".
fn map(mapping: &mut Mapping, source: &Source, pair: &str) -> Result<(), Error> {
    let wrong = |message: String| Error::new(Kind::Usage, message);
    let (heading, word) = pair.rsplit_once('=').ok_or_else(|| {
        wrong(format!("'{pair}' is no mapping"))
            .hint("write it HEADING=COLUMN, such as \"Talk=name\"")
    })?;
    let headings = || source.headings.iter().map(String::as_str);
    let is_it = |h: &str| h.trim().eq_ignore_ascii_case(heading.trim());
    let place = headings().position(is_it).ok_or_else(|| {
        let hint = did_you_mean(heading, headings())
            .unwrap_or_else(|| format!("the headings are {}", source.headings.join(", ")));
        wrong(format!("there is no heading '{heading}'")).hint(hint)
    })?;
    let column = if word.trim().eq_ignore_ascii_case("none") {
        None
    } else {
        Some(Column::of_word(word).ok_or_else(|| {
            let words = Column::ALL.map(|c| c.word().replace(' ', "-"));
            let hint = format!("the columns are {}, none", words.join(", "));
            wrong(format!("there is no column '{word}'")).hint(hint)
        })?)
    };
    mapping.set(place, column);
    Ok(())
}

fn said(
    args: &Import,
    out: &mut dyn Write,
    (source, mapping): (&Source, &Mapping),
    import: &exchange::Import,
    is_written: bool,
) -> io::Result<()> {
    writeln!(out, "{BOLD}Columns{BOLD:#}, of line {}", source.line)?;
    for (heading, column) in source.headings.iter().zip(&mapping.columns) {
        let meaning = column.map_or("left out", Column::shown);
        writeln!(out, "  {}  {DIM}→{DIM:#} {meaning}", clean(heading))?;
    }
    if !import.rows.is_empty() {
        writeln!(out, "{BOLD}Channels{BOLD:#}")?;
    }
    for row in &import.rows {
        let there = if row.is_there {
            ", is there already"
        } else {
            ""
        };
        let words = format!("line {}  {} {}{there}", row.line, row.name, row.words);
        writeln!(out, "  {}", clean(&words))?;
    }
    if !import.notes.is_empty() {
        writeln!(out, "{BOLD}Taken for granted{BOLD:#}")?;
    }
    for note in &import.notes {
        writeln!(out, "  {}", clean(note))?;
    }
    if !import.problems.is_empty() {
        writeln!(out, "{BOLD}Rows that cannot be imported{BOLD:#}")?;
    }
    for problem in &import.problems {
        writeln!(out, "  {}", clean(&problem.to_string()))?;
    }
    let (added, into) = (import.added(), args.into.display().to_string());
    let channels = if added == 1 { "channel" } else { "channels" };
    let into = clean(&into);
    if is_written {
        writeln!(out, "{added} {channels} added to {into}")
    } else if args.dry_run {
        writeln!(
            out,
            "{added} {channels} would be added to {into}; nothing is written"
        )
    } else if added == 0 && import.problems.is_empty() {
        writeln!(out, "nothing is new; {into} is as it was")
    } else {
        writeln!(
            out,
            "nothing is imported; repair the rows, or leave them out with --skip-bad"
        )
    }
}

fn json_of(
    args: &Import,
    out: &mut dyn Write,
    (source, mapping): (&Source, &Mapping),
    import: &exchange::Import,
    is_written: bool,
) -> io::Result<()> {
    let columns = source.headings.iter().zip(&mapping.columns);
    let columns: Vec<_> = columns
        .map(|(heading, column)| json!({"heading": heading, "column": column.map(Column::word)}))
        .collect();
    let rows = import.rows.iter();
    let rows: Vec<_> = rows
        .map(|r| json!({"line": r.line, "name": r.name, "words": r.words, "there": r.is_there}))
        .collect();
    let problems = import.problems.iter();
    let problems: Vec<_> = problems
        .map(|p| {
            json!({"line": p.line, "column": p.column, "found": p.found, "expected": p.expected})
        })
        .collect();
    let value = json!({
        "file": args.file.display().to_string(),
        "into": args.into.display().to_string(),
        "mapping": columns,
        "channels": rows,
        "problems": problems,
        "notes": import.notes,
        "added": import.added(),
        "written": is_written,
    });
    json_lines(out, &value)
}

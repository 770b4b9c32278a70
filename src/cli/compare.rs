//! `compare`: two scenarios, or two phases of one, set against each other.
//!
//! What differs is worked out by the picture; this file finds the two and prints.

use std::io::{self, Write};
use std::sync::Arc;

use serde_json::json;

use crate::model::{Phase, PhaseId, Scenario};
use crate::picture::Picture;
use crate::picture::compare::{About, Comparison, Difference, PARTS, compare};

use super::args::Compare;
use super::error::{Error, Kind};
use super::show::{BOLD, clean, json_lines, thing_json, wrapped};
use super::{Outcome, done, open};

/// Widest line of a difference.
const WIDTH: usize = 96;

/// Compares, and tells the differences.
pub(super) fn run(args: &Compare, out: &mut dyn Write) -> Result<Outcome, Error> {
    let a = Arc::new(open::scenario(&args.file, out, args.json)?);
    let b = match &args.with_file {
        Some(file) => Arc::new(open::scenario(file, out, args.json)?),
        None => Arc::clone(&a),
    };
    let was = open::phase(&a, args.phase.as_deref())?;
    let is = match &args.with_phase {
        Some(asked) => open::phase(&b, Some(asked))?,
        None => twin(&b, was)?,
    };
    if args.with_file.is_none() && was.id == is.id {
        let message = format!("both phases are '{}'", was.key);
        let hint = "name another with --with-phase, or give a second scenario";
        return Err(Error::new(Kind::Usage, message).hint(hint));
    }
    let picture = |s: &Arc<Scenario>, phase: PhaseId| Picture::new(Arc::clone(s), phase);
    let comparison = compare(&picture(&a, was.id), &picture(&b, is.id));
    let name = |file: &std::path::Path| file.display().to_string();
    let with_file = args.with_file.as_deref().unwrap_or(&args.file);
    let written = if args.json {
        let differences = comparison.differences.iter();
        let differences: Vec<_> = differences.map(|d| difference_json(&a, &b, d)).collect();
        let value = json!({
            "file": name(&args.file),
            "phase": was.key,
            "with_file": name(with_file),
            "with_phase": is.key,
            "differences": differences,
        });
        json_lines(out, &value)
    } else {
        let of = |phase: &Phase, file: &std::path::Path| match args.with_file {
            Some(_) => format!("{} of {}", phase.name, file.display()),
            None => phase.name.clone(),
        };
        let title = format!("From {} to {}", of(was, &args.file), of(is, with_file));
        text(out, &clean(&title), &comparison)
    };
    let outcome = if comparison.differences.is_empty() {
        Outcome::Clean
    } else {
        Outcome::Findings
    };
    done(outcome, written)
}

/// Finds the phase of the same key or name, or else the first.
fn twin<'b>(b: &'b Scenario, was: &Phase) -> Result<&'b Phase, Error> {
    let alike = b.phases.by_key(&was.key);
    let named = || b.phases.iter().find(|p| p.name == was.name);
    match alike.or_else(named) {
        Some(phase) => Ok(phase),
        None => open::phase(b, None),
    }
}

fn difference_json(a: &Scenario, b: &Scenario, d: &Difference) -> serde_json::Value {
    let is_of_b = d.about == About::Added;
    let things = d.things.iter().map(|thing| {
        let s = if is_of_b || !a.contains(*thing) { b } else { a };
        thing_json(s, *thing)
    });
    json!({
        "about": d.about.word(),
        "words": d.words,
        "things": things.collect::<Vec<_>>(),
    })
}

fn text(out: &mut dyn Write, title: &str, comparison: &Comparison) -> io::Result<()> {
    writeln!(out, "{BOLD}{title}{BOLD:#}")?;
    if comparison.differences.is_empty() {
        return writeln!(out, "  nothing differs");
    }
    for (part, about) in PARTS {
        let lines = comparison.differences.iter();
        let lines: Vec<_> = lines.filter(|d| about.contains(&d.about)).collect();
        if lines.is_empty() {
            continue;
        }
        writeln!(out, "{BOLD}{part}{BOLD:#}")?;
        for line in lines {
            for (i, words) in wrapped(&clean(&line.words), WIDTH).iter().enumerate() {
                let indent = if i == 0 { 2 } else { 6 };
                writeln!(out, "{:indent$}{words}", "")?;
            }
        }
    }
    Ok(())
}

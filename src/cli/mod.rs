//! The headless verbs: check, hears, figures, what-if, compare, export, import, convert, schema,
//! explain, example, calc.
//!
//! One verb a file, each writing to `&mut dyn Write` and returning whether it found anything. This
//! module turns that into an exit code: 0 clean, 1 findings at or above the bar, 2 could not run.
//! Nothing here computes a fact about a scenario.

mod args;
mod calc;
mod check;
mod compare;
mod convert;
mod disk;
mod error;
mod example;
mod explain;
mod export;
mod figures;
mod hears;
mod import;
mod matrix;
mod open;
mod paperwork;
mod schema;
mod show;
mod what_if;

use std::ffi::OsString;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser as _;

pub use args::{Args, Verb};
pub use error::{Error, Kind};

/// What a verb that could run has found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Nothing at or above the bar.
    Clean,
    /// Something at or above the bar.
    Findings,
}

/// Reads the command line, or prints what clap has to say and returns the exit code for it.
pub fn parse(args: impl IntoIterator<Item = OsString>) -> Result<Args, ExitCode> {
    let args = Args::try_parse_from(calc::joined(args)).map_err(|error| {
        // A closed pipe is the only way this fails, and then nobody reads.
        drop(error.print());
        ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
    })?;
    match args.file.as_deref().and_then(args::misspelt_verb) {
        Some(error) => Err(complain(&error)),
        None => Ok(args),
    }
}

/// Runs a verb on the terminal or pipe the program was started with.
pub fn run(verb: &Verb) -> ExitCode {
    let mut out = io::BufWriter::new(anstream::stdout().lock());
    let result = run_to(verb, &mut out);
    let result = result.and_then(|outcome| {
        out.flush()
            .or_else(quiet)
            .map_err(Error::output)
            .map(|()| outcome)
    });
    match result {
        Ok(Outcome::Clean) => ExitCode::SUCCESS,
        Ok(Outcome::Findings) => ExitCode::from(1),
        Err(error) => complain(&error),
    }
}

/// Runs a verb and writes what it has to say.
///
/// # Errors
///
/// Why the verb could not run. A pipe that closes early is not an error: whoever reads has enough.
pub fn run_to(verb: &Verb, out: &mut dyn Write) -> Result<Outcome, Error> {
    match verb {
        Verb::Check(args) => check::run(args, out),
        Verb::Hears(args) => hears::run(args, out),
        Verb::Figures(args) => figures::run(args, out),
        Verb::WhatIf(args) => what_if::run(args, out),
        Verb::Compare(args) => compare::run(args, out),
        Verb::Export(args) => export::run(args, out),
        Verb::Import(args) => import::run(args, out),
        Verb::Convert(args) => convert::run(args, out),
        Verb::Schema(args) => schema::run(args, out),
        Verb::Explain(args) => explain::run(args, out),
        Verb::Example(args) => example::run(args, out),
        Verb::Paperwork(args) => paperwork::run(args, out),
        Verb::Calc(args) => calc::run(args, out),
    }
}

/// Says in one sentence that the board cannot open, and what to do without it.
pub fn no_board(reason: &str) -> ExitCode {
    let reason = reason.trim().trim_end_matches('.');
    complain(&Error::new(
        Kind::Board,
        format!(
            "the board cannot open ({reason}); use `crosspatch check FILE`, `crosspatch hears FILE` \
             or another verb of `crosspatch --help`, which need no screen"
        ),
    ))
}

/// The file the board was asked to open, if any.
pub fn file_of(args: &Args) -> Option<PathBuf> {
    args.file.clone()
}

fn complain(error: &Error) -> ExitCode {
    let mut err = anstream::stderr().lock();
    // There is nowhere left to say that standard error is closed.
    drop(error.render(&mut err));
    ExitCode::from(2)
}

/// Takes a closed pipe for a reader who has enough.
fn quiet(error: io::Error) -> io::Result<()> {
    if error.kind() == io::ErrorKind::BrokenPipe {
        Ok(())
    } else {
        Err(error)
    }
}

/// Ends a verb: its output written, or its reader gone.
fn done(outcome: Outcome, written: io::Result<()>) -> Result<Outcome, Error> {
    written.or_else(quiet).map_err(Error::output)?;
    Ok(outcome)
}

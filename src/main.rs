//! Opens the board, or runs a verb without it.

use std::path::PathBuf;
use std::process::ExitCode;

use crosspatch::cli;

fn main() -> ExitCode {
    let args = match cli::parse(std::env::args_os()) {
        Ok(args) => args,
        Err(code) => return code,
    };
    match args.verb {
        Some(verb) => cli::run(&verb),
        None => open(args.file).unwrap_or_else(|reason| cli::no_board(&reason)),
    }
}

#[cfg(feature = "gui")]
fn open(file: Option<PathBuf>) -> Result<ExitCode, String> {
    crosspatch::app::run(file).map(|()| ExitCode::SUCCESS)
}

#[cfg(not(feature = "gui"))]
fn open(_file: Option<PathBuf>) -> Result<ExitCode, String> {
    Err("this build has none".to_owned())
}

//! `convert`: one scenario, the other spelling, or the same one in its canonical layout.

use std::io::Write;
use std::path::Path;

use serde_json::json;

use crate::format::{self, Syntax};

use super::args::Convert;
use super::disk::{self, Existing};
use super::error::{Error, Kind};
use super::show::{clean, json_lines};
use super::{Outcome, done, open};

/// Reads one file and writes the other.
pub(super) fn run(args: &Convert, out: &mut dyn Write) -> Result<Outcome, Error> {
    let syntax = syntax_of(&args.to)?;
    let scenario = open::scenario(&args.from, out, args.json)?;
    if !args.force && args.to.symlink_metadata().is_ok() {
        return Err(disk::exists(&args.to));
    }
    let text = format::write(&scenario, syntax);
    disk::write(&args.to, &text, Existing::of(args.force))?;
    let (from, to) = (
        args.from.display().to_string(),
        args.to.display().to_string(),
    );
    let written = if args.json {
        json_lines(out, &json!({"from": from, "to": to, "bytes": text.len()}))
    } else {
        writeln!(out, "{} written from {}", clean(&to), clean(&from))
    };
    done(Outcome::Clean, written)
}

fn syntax_of(path: &Path) -> Result<Syntax, Error> {
    let ending = path
        .extension()
        .and_then(|e| e.to_str())
        .unwrap_or_default();
    if ["ron", "json"]
        .iter()
        .any(|e| ending.eq_ignore_ascii_case(e))
    {
        return Ok(Syntax::of_name(&path.to_string_lossy()));
    }
    Err(Error::new(
        Kind::Usage,
        format!("{} ends in neither .ron nor .json", path.display()),
    ))
}

//! `schema`: the layout of scenario files, for editors and other programs.

use std::io::Write;

use crate::format;

use super::args::Schema;
use super::{Error, Outcome, done};

/// Prints the schema.
pub(super) fn run(_args: &Schema, out: &mut dyn Write) -> Result<Outcome, Error> {
    done(Outcome::Clean, out.write_all(format::schema().as_bytes()))
}

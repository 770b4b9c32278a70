//! What the verbs say when a file cannot be written; the writing itself is in the layer `disk`.

use std::io;
use std::path::{Path, PathBuf};

pub(super) use crate::disk::Existing;

use super::error::{Error, Kind};

/// Writes a file.
pub(super) fn write(path: &Path, text: &str, existing: Existing) -> Result<(), Error> {
    write_all(&[(path.to_owned(), text.as_bytes())], existing)
}

/// Writes several files: none gets its name before all are safely on the disk.
pub(super) fn write_all(files: &[(PathBuf, &[u8])], existing: Existing) -> Result<(), Error> {
    crate::disk::write_all(files, existing).map_err(|failure| {
        if failure.reason.kind() == io::ErrorKind::AlreadyExists && existing == Existing::Keep {
            return exists(&failure.path);
        }
        let message = failure.to_string();
        Error::new(Kind::Output, message).because(failure.reason)
    })
}

/// Makes the error of a file that is in the way.
pub(super) fn exists(path: &Path) -> Error {
    let message = format!("{} exists already", path.display());
    Error::new(Kind::Output, message).hint("--force writes over it")
}

//! Writing files whole or not at all.
//!
//! A new version stands beside the old one under another name until it is safely on the disk, and
//! then takes its place. Symbolic links stay links; permissions stay as they were.

use std::fs::{self, File, Permissions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::error::{Error, Kind};

/// Whether a file that exists may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Existing {
    /// It stays, and the verb fails.
    Keep,
    /// It is replaced.
    Replace,
}

impl Existing {
    /// Reads the `--force` of a command line.
    pub(super) fn of(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }
}

/// Writes a file.
pub(super) fn write(path: &Path, text: &str, existing: Existing) -> Result<(), Error> {
    write_all(&[(path.to_owned(), text.as_bytes())], existing)
}

/// Writes several files: none gets its name before all are safely on the disk.
pub(super) fn write_all(files: &[(PathBuf, &[u8])], existing: Existing) -> Result<(), Error> {
    let refused = |path: &Path, source: io::Error| {
        if source.kind() == io::ErrorKind::AlreadyExists && existing == Existing::Keep {
            exists(path)
        } else {
            Error::new(
                Kind::Output,
                format!("{} cannot be written", path.display()),
            )
            .because(source)
        }
    };
    let mut staged = Vec::new();
    for (path, bytes) in files {
        let ready = stage(path, bytes, existing).map_err(|source| refused(path, source))?;
        staged.push((path, ready));
    }
    for (path, ready) in staged {
        ready
            .settle(existing)
            .map_err(|source| refused(path, source))?;
    }
    Ok(())
}

/// Makes the error of a file that is in the way.
pub(super) fn exists(path: &Path) -> Error {
    let message = format!("{} exists already", path.display());
    Error::new(Kind::Output, message).hint("--force writes over it")
}

/// A file that is on the disk and has not got its name yet; gone again when it is dropped.
struct Staged {
    file: NamedTempFile,
    target: PathBuf,
}

impl Staged {
    fn settle(self, existing: Existing) -> io::Result<()> {
        match existing {
            Existing::Keep => self.file.persist_noclobber(&self.target)?,
            Existing::Replace => self.file.persist(&self.target)?,
        };
        sync_folder(folder(&self.target))
    }
}

fn folder(target: &Path) -> &Path {
    match target.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

fn stage(path: &Path, bytes: &[u8], existing: Existing) -> io::Result<Staged> {
    let target = match existing {
        Existing::Replace => resolved(path)?,
        Existing::Keep => path.to_owned(),
    };
    let old = fs::metadata(&target).ok();
    if old.as_ref().is_some_and(|m| m.permissions().readonly()) {
        return Err(io::Error::new(
            io::ErrorKind::PermissionDenied,
            "the file may only be read",
        ));
    }
    if old.as_ref().is_some_and(fs::Metadata::is_dir) {
        return Err(io::Error::new(
            io::ErrorKind::IsADirectory,
            "it is a folder",
        ));
    }
    let mut file = beside(folder(&target))?;
    file.write_all(bytes)?;
    if let Some(old) = old {
        fs::set_permissions(file.path(), old.permissions())?;
    }
    file.as_file().sync_all()?;
    Ok(Staged { file, target })
}

/// Follows symbolic links to the file that is to be written, which may not exist yet.
fn resolved(path: &Path) -> io::Result<PathBuf> {
    const MOST_LINKS: usize = 40;
    let mut path = path.to_owned();
    for _ in 0..MOST_LINKS {
        match fs::symlink_metadata(&path) {
            Ok(found) if found.file_type().is_symlink() => {
                let target = fs::read_link(&path)?;
                let parent = path.parent().unwrap_or(Path::new(""));
                path = parent.join(target);
            }
            Ok(_) => return Ok(path),
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(path),
            Err(error) => return Err(error),
        }
    }
    Err(io::Error::other("its symbolic links go in a circle"))
}

/// Makes a temporary file with the permissions any new file gets.
fn beside(dir: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".crosspatch-").suffix(".part");
    match ordinary() {
        Some(permissions) => builder.permissions(permissions).tempfile_in(dir),
        None => builder.tempfile_in(dir),
    }
}

#[cfg(unix)]
#[expect(
    clippy::unnecessary_wraps,
    reason = "other systems have no such permissions"
)]
fn ordinary() -> Option<Permissions> {
    use std::os::unix::fs::PermissionsExt as _;
    // Reduced by the process's own mask when the file is made.
    Some(Permissions::from_mode(0o666))
}

#[cfg(not(unix))]
fn ordinary() -> Option<Permissions> {
    None
}

/// Makes the new name last: on Unix a folder is synced like a file.
fn sync_folder(dir: &Path) -> io::Result<()> {
    if cfg!(unix) {
        File::open(dir)?.sync_all()?;
    }
    Ok(())
}

//! Writing files whole or not at all, for the window and the verbs.
//!
//! A new version stands beside the old one under another name until it is safely on the disk, and
//! then takes its place. Symbolic links stay links; permissions stay as they were. Nothing here knows
//! what is in a file.

use std::fs::{self, File, Permissions};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

/// Whether a file that exists may be replaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Existing {
    /// It stays, and nothing is written.
    Keep,
    /// It is replaced.
    Replace,
}

impl Existing {
    /// Reads the `--force` of a command line.
    pub fn of(force: bool) -> Self {
        if force { Self::Replace } else { Self::Keep }
    }
}

/// A file that could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{} cannot be written", path.display())]
pub struct Failure {
    /// Which.
    pub path: PathBuf,
    /// Why.
    #[source]
    pub reason: io::Error,
}

/// What is wrong with a place that the system itself would write to, or has no good words for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// A file that may only be read.
    #[error("the file may only be read")]
    ReadOnly,
    /// A folder of that name.
    #[error("it is a folder")]
    Folder,
    /// Links without an end.
    #[error("its symbolic links go in a circle")]
    Circle,
}

/// Writes several files: none gets its name before all are safely on the disk.
///
/// # Errors
///
/// The first file that failed. What stood there before is as it was; only where the disk itself
/// fails between two new names may some of them be in place.
pub fn write_all(files: &[(PathBuf, &[u8])], existing: Existing) -> Result<(), Failure> {
    let fail = |path: &Path, reason| Failure {
        path: path.to_owned(),
        reason: plain(reason),
    };
    let mut staged = Vec::new();
    for (path, bytes) in files {
        let ready = stage(path, bytes, existing).map_err(|reason| fail(path, reason))?;
        staged.push((path, ready));
    }
    let mut settled: Vec<&Path> = Vec::new();
    for (path, ready) in staged {
        if let Err(reason) = ready.settle(existing) {
            // New files are taken away again; what was replaced has no way back.
            if existing == Existing::Keep {
                for path in settled {
                    fs::remove_file(path).ok();
                }
            }
            return Err(fail(path, reason));
        }
        settled.push(path);
    }
    Ok(())
}

/// Takes the name of the file beside off a reason: nobody has asked for that file.
fn plain(reason: io::Error) -> io::Error {
    match reason.get_ref() {
        Some(inner) if !inner.is::<Refusal>() && reason.kind() != io::ErrorKind::Other => {
            reason.kind().into()
        }
        _ => reason,
    }
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
        sync_folder(folder(&self.target));
        Ok(())
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
            Refusal::ReadOnly,
        ));
    }
    if old.as_ref().is_some_and(fs::Metadata::is_dir) {
        return Err(io::Error::new(io::ErrorKind::IsADirectory, Refusal::Folder));
    }
    if old.is_some() && existing == Existing::Keep {
        return Err(io::ErrorKind::AlreadyExists.into());
    }
    let mut file = beside(folder(&target))?;
    file.write_all(bytes).map_err(|error| unnamed(&error))?;
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
    Err(io::Error::other(Refusal::Circle))
}

/// Makes a temporary file with the permissions any new file gets.
fn beside(dir: &Path) -> io::Result<NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".crosspatch-").suffix(".part");
    let made = match ordinary() {
        Some(permissions) => builder.permissions(permissions).tempfile_in(dir),
        None => builder.tempfile_in(dir),
    };
    made.map_err(|error| unnamed(&error))
}

/// Returns an error without the name of the temporary file, which nobody asked for.
fn unnamed(error: &io::Error) -> io::Error {
    error.kind().into()
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

/// Makes the new name last: on Unix a folder is synced like a file; one that cannot be is no failure.
fn sync_folder(dir: &Path) {
    if cfg!(unix)
        && let Ok(folder) = File::open(dir)
    {
        folder.sync_all().ok();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_written_when_one_of_several_cannot_be() {
        let folder = tempfile::tempdir().unwrap();
        let old = folder.path().join("two");
        fs::write(&old, "old").unwrap();
        let files = [
            (folder.path().join("one"), b"new".as_slice()),
            (old.clone(), b"new".as_slice()),
        ];
        let failure = write_all(&files, Existing::Keep).unwrap_err();
        assert_eq!(failure.path, old);
        assert_eq!(failure.reason.kind(), io::ErrorKind::AlreadyExists);
        assert_eq!(fs::read_to_string(&old).unwrap(), "old");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);

        write_all(&files, Existing::Replace).unwrap();
        assert_eq!(fs::read_to_string(&old).unwrap(), "new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 2);

        let nowhere = [
            (folder.path().join("three"), b"".as_slice()),
            (folder.path().join("missing/four"), b"".as_slice()),
        ];
        let failure = write_all(&nowhere, Existing::Replace).unwrap_err();
        let said = failure.reason.to_string();
        assert!(!said.contains(".part"), "{said}");
        assert_eq!(failure.reason.kind(), io::ErrorKind::NotFound);
        assert!(!folder.path().join("three").exists());
    }
}

//! Recovery files: what was not saved yet, kept beside nothing of the user's own.
//!
//! Each running window has one, under a lock that the system takes back when the window ends for
//! whatever reason. A recovery file whose lock is free belongs to a window that did not end well.
//! One that will not load is kept and offered all the same; only a person throws it away.

use std::fs::{self, File, TryLockError};
use std::path::{Path, PathBuf};

use super::{Effects, Stamp, reason, write_text};

/// A recovery file of a window that did not end well.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// Where it lies.
    pub place: PathBuf,
    /// The scenario's own file, if it had one.
    pub of: Option<PathBuf>,
    /// How that file looked when it was read or written last.
    pub stamp: Option<Stamp>,
    /// The first line that names the scenario, for somebody who has to choose.
    pub title: String,
}

/// This window's recovery file and its lock.
#[derive(Debug)]
pub(super) struct Own {
    place: PathBuf,
    /// Held for as long as the window lives.
    _lock: File,
}

const TEXT: &str = "ron";
const LOCK: &str = "lock";
const OF: &str = "of";

impl Effects {
    /// Returns where what was not saved yet is kept, under this window's lock; `None` where nothing is
    /// remembered at all.
    ///
    /// # Errors
    ///
    /// The reason in a sentence why no such place could be taken.
    pub fn recovery_place(&mut self) -> Result<Option<PathBuf>, String> {
        let Some(folder) = self.recovery_folder() else {
            return Ok(None);
        };
        if self.own.is_none() {
            self.own = Some(own(&folder)?);
        }
        Ok(self.own.as_ref().map(|own| own.place.clone()))
    }

    /// Throws this window's recovery file away: all is saved, or nobody wants it.
    pub fn drop_recovery(&mut self) {
        if let Some(own) = self.own.take() {
            sweep(&own.place);
        }
    }

    /// Lists the recovery files of windows that did not end well, in the order of their names.
    pub fn recoveries(&self) -> Vec<Kept> {
        let Some(entries) = self.recovery_folder().and_then(|f| fs::read_dir(f).ok()) else {
            return Vec::new();
        };
        let mut found: Vec<Kept> = entries
            .filter_map(|entry| Some(entry.ok()?.path()))
            .filter(|path| path.extension().is_some_and(|e| e == TEXT) && is_orphan(path))
            .map(|place| {
                let of = fs::read_to_string(place.with_extension(OF)).unwrap_or_default();
                let text = fs::read_to_string(&place).unwrap_or_default();
                let (stamp, path) = of.split_once('\n').unwrap_or(("", ""));
                Kept {
                    of: (!path.is_empty()).then(|| PathBuf::from(path)),
                    stamp: Stamp::of(stamp),
                    title: title(&text),
                    place,
                }
            })
            .collect();
        found.sort_by(|a, b| a.place.cmp(&b.place));
        found
    }

    /// Throws a recovery file away that somebody does not want.
    pub fn drop_kept(&self, kept: &Kept) {
        sweep(&kept.place);
    }

    fn recovery_folder(&self) -> Option<PathBuf> {
        Some(self.folder.as_ref()?.join("recovery"))
    }
}

/// Writes a recovery file; `of` is the scenario's own file. Stands alone, so that a thread can do it.
///
/// # Errors
///
/// The reason in a sentence; an older recovery file is as it was.
pub(in crate::app) fn write_recovery(
    place: &Path,
    of: Option<(&Path, Option<Stamp>)>,
    text: &str,
) -> Result<(), String> {
    write_text(place, text)?;
    let of = of.map_or_else(String::new, |(path, stamp)| {
        let stamp = stamp.map_or_else(String::new, Stamp::text);
        format!("{stamp}\n{}", path.display())
    });
    write_text(&place.with_extension(OF), &of)
}

/// Takes a name that no other window has, under a lock.
fn own(folder: &Path) -> Result<Own, String> {
    fs::create_dir_all(folder).map_err(|e| reason(&e, folder))?;
    let process = std::process::id();
    let mut number = 0_u32;
    loop {
        let place = folder.join(format!("plan-{process}-{number}.{TEXT}"));
        let lock = place.with_extension(LOCK);
        if !place.exists() {
            let file = File::create(&lock).map_err(|e| reason(&e, &lock))?;
            // Where files cannot be locked the name alone has to do.
            if !matches!(file.try_lock(), Err(TryLockError::WouldBlock)) {
                return Ok(Own { place, _lock: file });
            }
        }
        number += 1;
    }
}

/// Tells whether no window holds the lock of a recovery file.
fn is_orphan(place: &Path) -> bool {
    match File::open(place.with_extension(LOCK)) {
        Ok(lock) => !matches!(lock.try_lock(), Err(TryLockError::WouldBlock)),
        // Without a lock nobody holds it.
        Err(_) => true,
    }
}

fn sweep(place: &Path) {
    for ending in [TEXT, OF, LOCK] {
        fs::remove_file(place.with_extension(ending)).ok();
    }
}

/// Returns what stands after `title:` in a scenario's text, or nothing.
fn title(text: &str) -> String {
    text.lines()
        .take(60)
        .find_map(|line| line.trim().strip_prefix("title:"))
        .map(|rest| rest.trim().trim_matches([',', '"']).to_owned())
        .unwrap_or_default()
}

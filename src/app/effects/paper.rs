//! Papers on the disk: a folder for them, the picture that heads them, and the system's viewer.

use std::fs;
use std::path::{Path, PathBuf};

use egui::Context;

use crate::disk::{Existing, write_all};

use super::{Effects, reason};

/// A file and what is in it.
pub(in crate::app) type Sheet = (String, Vec<u8>);

/// Largest picture that heads a page, in bytes; a larger one was made for a wall.
const LARGEST: u64 = 20_000_000;

impl Effects {
    /// Reads a picture.
    ///
    /// # Errors
    ///
    /// The reason in a sentence.
    pub fn picture(&self, path: &Path) -> Result<Vec<u8>, String> {
        let about = fs::metadata(path).map_err(|e| reason(&e, path))?;
        if about.len() > LARGEST {
            let (size, most) = (about.len() / 1_000_000, LARGEST / 1_000_000);
            return Err(format!(
                "it has {size} MB, and {most} MB is the most: {}",
                path.display()
            ));
        }
        fs::read(path).map_err(|e| reason(&e, path))
    }

    /// Counts the files that are in a folder already.
    pub fn in_the_way<'a>(&self, folder: &Path, names: impl Iterator<Item = &'a str>) -> usize {
        names
            .filter(|name| folder.join(name).symlink_metadata().is_ok())
            .count()
    }

    /// Shows a file or folder in the system's own viewer; a failure comes as an answer.
    pub fn show(&mut self, ctx: &Context, path: &Path) {
        self.chooser.show(ctx, path);
    }
}

/// Writes files into a folder, all or none; makes the folder if it is not there.
///
/// Stands alone, so that a thread can do it.
pub(in crate::app) fn write_sheets(
    folder: &Path,
    sheets: &[Sheet],
    existing: Existing,
) -> Result<(), String> {
    if folder.is_file() {
        return Err(format!(
            "that is a file and no folder: {}",
            folder.display()
        ));
    }
    let was_there = folder.is_dir();
    fs::create_dir_all(folder).map_err(|e| reason(&e, folder))?;
    let files: Vec<(PathBuf, &[u8])> = sheets
        .iter()
        .map(|(name, bytes)| (folder.join(name), bytes.as_slice()))
        .collect();
    write_all(&files, existing).map_err(|failure| {
        if !was_there {
            fs::remove_dir(folder).ok();
        }
        reason(&failure.reason, &failure.path)
    })
}

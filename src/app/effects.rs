//! The only place for the system's dialogs, the disk and the clock.
//!
//! Tests hand in their own [`Chooser`], folder and date; disk work is the same for them. Nothing here
//! knows what a scenario is.

mod chooser;
mod paper;
mod recovery;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use egui::Context;

pub use chooser::{Answer, Ask, Chooser};
pub use recovery::Kept;

pub(in crate::app) use paper::{Sheet, write_sheets};
pub(in crate::app) use recovery::write_recovery;

use crate::disk::{Existing, Refusal, write_all};
use chooser::SystemChooser;

/// Dialogs, disk and clock.
pub struct Effects {
    chooser: Box<dyn Chooser>,
    /// Folder for what the window remembers between starts.
    folder: Option<PathBuf>,
    today: fn() -> String,
    /// The time of day, as it is to read; tests have none.
    time: Option<fn() -> String>,
    /// This window's recovery file, once there is something to keep.
    own: Option<recovery::Own>,
}

/// What shows that a file changed: its length and when it was written last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    length: u64,
    written: Option<std::time::SystemTime>,
}

impl Stamp {
    /// Returns the length of the file, in bytes.
    pub(in crate::app) fn length(self) -> usize {
        usize::try_from(self.length).unwrap_or(usize::MAX)
    }

    /// Writes it as numbers: length, and seconds and nanoseconds since 1970.
    fn text(self) -> String {
        let since = self
            .written
            .and_then(|t| t.duration_since(std::time::UNIX_EPOCH).ok())
            .unwrap_or_default();
        format!(
            "{} {} {}",
            self.length,
            since.as_secs(),
            since.subsec_nanos()
        )
    }

    /// Reads it from such numbers.
    fn of(text: &str) -> Option<Self> {
        let mut numbers = text.split(' ');
        let length = numbers.next()?.parse().ok()?;
        let seconds = numbers.next()?.parse().ok()?;
        let nanos = numbers.next()?.parse().ok()?;
        let written = std::time::UNIX_EPOCH.checked_add(Duration::new(seconds, nanos));
        Some(Self { length, written })
    }
}

impl std::fmt::Debug for Effects {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Effects")
            .field("folder", &self.folder)
            .finish_non_exhaustive()
    }
}

/// Name of the file of the person's own things.
const THINGS: &str = "things.ron";
/// Most files remembered.
const RECENT: usize = 10;

impl Effects {
    /// Makes the real ones.
    pub fn real() -> Self {
        Self {
            chooser: Box::new(SystemChooser::default()),
            folder: state_folder(),
            today: today_utc,
            time: Some(time_utc),
            own: None,
        }
    }

    /// Makes effects with a chooser, a folder and a date of one's own.
    pub fn with(chooser: Box<dyn Chooser>, folder: Option<PathBuf>, today: fn() -> String) -> Self {
        Self {
            chooser,
            folder,
            today,
            time: None,
            own: None,
        }
    }

    /// Returns today's date, as YYYY-MM-DD.
    pub fn today(&self) -> String {
        (self.today)()
    }

    /// Gives it a time of day of one's own.
    #[must_use]
    pub fn at(mut self, time: fn() -> String) -> Self {
        self.time = Some(time);
        self
    }

    /// Returns the time of day, as HH:MM and the zone; nothing where there is no clock.
    pub fn time(&self) -> String {
        self.time.map_or_else(String::new, |time| time())
    }

    /// Returns date and time of day, as they are to read on paper.
    pub fn now(&self) -> String {
        format!("{} {}", self.today(), self.time())
            .trim_end()
            .to_owned()
    }

    /// Returns the folder in which a typed path begins.
    pub fn home(&self) -> PathBuf {
        std::env::var_os("HOME").map_or_else(PathBuf::new, PathBuf::from)
    }

    /// Asks the file chooser.
    pub fn ask(&mut self, ctx: &Context, ask: Ask) {
        self.chooser.ask(ctx, ask);
    }

    /// Returns the chooser's answer, once it is there.
    pub fn answer(&mut self) -> Option<Answer> {
        self.chooser.answer()
    }

    /// Reads a text file.
    ///
    /// # Errors
    ///
    /// The reason in a sentence.
    pub fn read(&self, path: &Path) -> Result<String, String> {
        read_text(path)
    }

    /// Writes a text file in one stroke: the old file stays whole until the new one is.
    ///
    /// A link is followed, so that the file behind it changes. The file keeps its mode.
    ///
    /// # Errors
    ///
    /// The reason in a sentence; the old file is as it was.
    pub fn write(&self, path: &Path, text: &str) -> Result<(), String> {
        write_text(path, text)
    }

    /// Returns what shows that a file changed; `None` when there is no such file.
    pub fn stamp(&self, path: &Path) -> Option<Stamp> {
        stamp_of(path)
    }

    /// Tells whether something stands at a path.
    pub fn exists(&self, path: &Path) -> bool {
        path.exists()
    }

    /// Returns the files opened lately, the last one first.
    pub fn recent(&self) -> Vec<PathBuf> {
        let Some(list) = self.folder.as_ref().map(|f| f.join("recent")) else {
            return Vec::new();
        };
        fs::read_to_string(list)
            .unwrap_or_default()
            .lines()
            .filter(|line| !line.is_empty())
            .map(PathBuf::from)
            .take(RECENT)
            .collect()
    }

    /// Puts a file first in the list of those opened lately, and returns the list.
    pub fn remember(&self, path: &Path) -> Vec<PathBuf> {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let mut list = self.recent();
        list.retain(|p| *p != path);
        list.insert(0, path);
        list.truncate(RECENT);
        let mut lines: Vec<String> = list.iter().map(|p| p.display().to_string()).collect();
        lines.push(String::new());
        self.keep("recent", &lines.join("\n"));
        list
    }

    /// Returns the text kept about the window; `None` at the first start.
    pub fn kept_window(&self) -> Option<String> {
        let file = self.folder.as_ref()?.join("window");
        fs::read_to_string(file).ok()
    }

    /// Keeps a text about the window for the next start.
    pub fn keep_window(&self, text: &str) {
        self.keep("window", text);
    }

    /// Returns the text of the person's own things; `None` while nothing was kept.
    ///
    /// # Errors
    ///
    /// The reason in a sentence, when something is there that cannot be read.
    pub fn kept_things(&self) -> Result<Option<String>, String> {
        let Some(folder) = &self.folder else {
            return Ok(None);
        };
        let file = folder.join(THINGS);
        match fs::read_to_string(&file) {
            Ok(text) => Ok(Some(text)),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(reason(&error, &file)),
        }
    }

    /// Keeps the text of the person's own things, in one stroke.
    ///
    /// # Errors
    ///
    /// The reason in a sentence; what was kept before is as it was.
    pub fn keep_things(&self, text: &str) -> Result<(), String> {
        let Some(folder) = &self.folder else {
            return Ok(());
        };
        fs::create_dir_all(folder).map_err(|e| reason(&e, folder))?;
        self.write(&folder.join(THINGS), text)
    }

    /// Returns why nothing can be kept between starts, if so.
    pub fn trouble(&self) -> Option<String> {
        let folder = self.folder.as_ref()?;
        let made = fs::create_dir_all(folder);
        made.err().map(|e| reason(&e, folder))
    }

    /// Tells whether anything is remembered between starts.
    pub fn remembers(&self) -> bool {
        self.folder.is_some()
    }

    /// Keeps a small text between starts; a failure costs only the memory of it.
    fn keep(&self, name: &str, text: &str) {
        if let Some(folder) = &self.folder
            && fs::create_dir_all(folder).is_ok()
        {
            self.write(&folder.join(name), text).ok();
        }
    }
}

/// Reads a text file. Stands alone, so that a thread can do it.
pub(in crate::app) fn read_text(path: &Path) -> Result<String, String> {
    let bytes = fs::read(path).map_err(|e| reason(&e, path))?;
    String::from_utf8(bytes).map_err(|_bytes| format!("it is not a text file: {}", path.display()))
}

/// Writes a text file in one stroke. Stands alone, so that a thread can do it.
pub(in crate::app) fn write_text(path: &Path, text: &str) -> Result<(), String> {
    let files = [(path.to_owned(), text.as_bytes())];
    write_all(&files, Existing::Replace).map_err(|f| reason(&f.reason, &f.path))
}

/// Returns what shows that a file changed. Stands alone, so that a thread can ask.
pub(in crate::app) fn stamp_of(path: &Path) -> Option<Stamp> {
    let about = fs::metadata(path).ok()?;
    Some(Stamp {
        length: about.len(),
        written: about.modified().ok(),
    })
}

/// Says in a sentence why something on the disk failed.
fn reason(error: &std::io::Error, path: &Path) -> String {
    use std::io::ErrorKind as E;
    let what = match error.kind() {
        _ if error
            .get_ref()
            .is_some_and(<dyn std::error::Error + Send + Sync>::is::<Refusal>) =>
        {
            error.to_string()
        }
        E::NotFound => "there is no such file or folder".to_owned(),
        E::PermissionDenied => "this account may not do that there".to_owned(),
        E::StorageFull => "the disk is full".to_owned(),
        E::AlreadyExists => "a file of that name is there meanwhile".to_owned(),
        E::IsADirectory => "that is a folder".to_owned(),
        _ => error.to_string(),
    };
    format!("{what}: {}", path.display())
}

/// Returns the folder for what is remembered, after the XDG base directories.
fn state_folder() -> Option<PathBuf> {
    let absolute = |name: &str| {
        std::env::var_os(name)
            .map(PathBuf::from)
            .filter(|p| p.is_absolute())
    };
    let base = absolute("XDG_STATE_HOME")
        .or_else(|| absolute("HOME").map(|home| home.join(".local/state")))?;
    Some(base.join("crosspatch"))
}

/// Returns the seconds since 1970 by the system's clock.
fn seconds_utc() -> u64 {
    #[expect(
        clippy::disallowed_methods,
        reason = "this is the one place of the window that reads the clock"
    )]
    let now = std::time::SystemTime::now();
    now.duration_since(std::time::UNIX_EPOCH)
        .map_or(0, |d| d.as_secs())
}

/// Returns today's date, in UTC.
fn today_utc() -> String {
    date(seconds_utc() / 86_400)
}

/// Returns the time of day, in UTC.
fn time_utc() -> String {
    time_of_day(seconds_utc())
}

/// Writes hours and minutes so many seconds after a midnight.
fn time_of_day(seconds: u64) -> String {
    let (hours, minutes) = (seconds / 3600 % 24, seconds / 60 % 60);
    format!("{hours:02}:{minutes:02} UTC")
}

/// Writes the date so many days after 1970-01-01.
///
/// Source: the days-to-civil algorithm over eras of 400 years of the Gregorian calendar.
fn date(days: u64) -> String {
    let z = days + 719_468;
    let era = z / 146_097;
    let day_of_era = z % 146_097;
    let year_of_era =
        (day_of_era - day_of_era / 1460 + day_of_era / 36_524 - day_of_era / 146_096) / 365;
    let day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let shifted_month = (5 * day_of_year + 2) / 153;
    let day = day_of_year - (153 * shifted_month + 2) / 5 + 1;
    let month = if shifted_month < 10 {
        shifted_month + 3
    } else {
        shifted_month - 9
    };
    let year = year_of_era + era * 400 + u64::from(month <= 2);
    format!("{year:04}-{month:02}-{day:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Nobody;
    impl Chooser for Nobody {
        fn ask(&mut self, _: &Context, _: Ask) {}
        fn answer(&mut self) -> Option<Answer> {
            None
        }
        fn show(&mut self, _: &Context, _: &Path) {}
    }

    fn effects(folder: &Path) -> Effects {
        Effects::with(Box::new(Nobody), Some(folder.join("state")), || {
            "2031-05-04".to_owned()
        })
    }

    #[test]
    fn days_become_dates() {
        assert_eq!(date(0), "1970-01-01");
        assert_eq!(date(19_782), "2024-02-29");
        assert_eq!(date(20_454), "2026-01-01");
        assert_eq!(time_of_day(86_400 + 3_660 + 59), "01:01 UTC");
    }

    #[test]
    fn a_failed_write_leaves_the_old_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.ron");
        let effects = effects(folder.path());
        effects.write(&path, "one").unwrap();
        let nowhere = folder.path().join("missing/plan.ron");
        let error = effects.write(&nowhere, "two").unwrap_err();
        assert!(error.contains("no such file or folder"), "{error}");
        let mut read_only = fs::metadata(&path).unwrap().permissions();
        read_only.set_readonly(true);
        fs::set_permissions(&path, read_only).unwrap();
        assert!(effects.write(&path, "two").is_err());
        assert_eq!(effects.read(&path).unwrap(), "one");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn a_write_keeps_the_mode_and_follows_links() {
        use std::os::unix::fs::PermissionsExt as _;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.ron");
        let link = folder.path().join("link.ron");
        fs::write(&path, "one").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        std::os::unix::fs::symlink(&path, &link).unwrap();
        effects(folder.path()).write(&link, "two").unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "two");
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        let mode = fs::metadata(&path).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o640);
    }

    #[test]
    fn recent_files_come_last_first_and_once() {
        let folder = tempfile::tempdir().unwrap();
        let effects = effects(folder.path());
        assert!(effects.recent().is_empty());
        let paths: Vec<PathBuf> = (0..12)
            .map(|i| PathBuf::from(format!("/x/{i}.ron")))
            .collect();
        for path in &paths {
            effects.remember(path);
        }
        effects.remember(Path::new("/x/5.ron"));
        let recent = effects.recent();
        assert_eq!(recent.len(), RECENT);
        assert_eq!(recent.first(), Some(&PathBuf::from("/x/5.ron")));
        assert_eq!(recent.get(1), Some(&PathBuf::from("/x/11.ron")));
        assert_eq!(recent.iter().filter(|p| p.ends_with("5.ron")).count(), 1);
        assert_eq!(effects.kept_window(), None);
        effects.keep_window("scale 1.50\n");
        assert_eq!(effects.kept_window().as_deref(), Some("scale 1.50\n"));
    }
}

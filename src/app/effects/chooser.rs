//! The system's file chooser and viewers, each on a thread of its own.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, Sender, TryRecvError, channel};
use std::time::{Duration, Instant};

use egui::Context;

use crate::app::files;

/// What a file chooser is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Ask {
    /// A file to read.
    Open,
    /// A file to write, with a name to begin with.
    Save {
        /// The name to begin with.
        name: String,
    },
    /// Another scenario to compare with.
    Compare,
    /// A table of channels to read.
    ImportChannels,
    /// A table to write, with a name to begin with.
    ExportTable {
        /// The name to begin with.
        name: String,
    },
    /// A file of ready-made things to read.
    Import,
    /// A file of ready-made things to write, with a name to begin with.
    Export {
        /// The name to begin with.
        name: String,
    },
    /// A folder for papers.
    Folder,
    /// A picture that heads the papers.
    Logo,
}

/// What a file chooser answers.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Answer {
    /// This file.
    Path(Ask, PathBuf),
    /// None: it was closed.
    Nothing,
    /// There is no chooser on this machine.
    NoChooser(Ask),
    /// Something was to be shown by the system's own viewer, and was not: what, and why in a sentence.
    NotShown(PathBuf, String),
}

/// The system's dialogs and viewers; they do not make the window wait.
pub trait Chooser {
    /// Asks; the answer comes later.
    fn ask(&mut self, ctx: &Context, ask: Ask);
    /// Returns the answer, once it is there.
    fn answer(&mut self) -> Option<Answer>;
    /// Shows a file or folder in the system's own viewer; a failure comes as an answer.
    fn show(&mut self, ctx: &Context, path: &Path);
}

/// What was chosen, and how long that took.
type Chosen = (Option<PathBuf>, Duration);

/// The system's own dialogs and viewers.
pub(super) struct SystemChooser {
    /// What was asked, and where the answer comes from.
    waiting: Option<(Ask, Receiver<Chosen>)>,
    /// What could not be shown, and why.
    refused: (Sender<Answer>, Receiver<Answer>),
}

impl Default for SystemChooser {
    fn default() -> Self {
        Self {
            waiting: None,
            refused: channel(),
        }
    }
}

/// Nobody closes a chooser faster than this: an empty answer this soon means there is none.
const TOO_SOON: Duration = Duration::from_millis(250);

impl Chooser for SystemChooser {
    fn ask(&mut self, ctx: &Context, ask: Ask) {
        if self.waiting.is_some() {
            return;
        }
        let (send, receive) = channel();
        let ctx = ctx.clone();
        let asked = ask.clone();
        std::thread::spawn(move || {
            let began = Instant::now();
            let answer = dialog(asked);
            send.send((answer, began.elapsed())).ok();
            ctx.request_repaint();
        });
        self.waiting = Some((ask, receive));
    }

    fn answer(&mut self) -> Option<Answer> {
        if let Ok(refused) = self.refused.1.try_recv() {
            return Some(refused);
        }
        let (ask, receive) = self.waiting.as_ref()?;
        let answer = match receive.try_recv() {
            Ok((Some(path), _)) => Answer::Path(ask.clone(), path),
            Ok((None, took)) if took >= TOO_SOON => Answer::Nothing,
            Ok((None, _)) | Err(TryRecvError::Disconnected) => Answer::NoChooser(ask.clone()),
            Err(TryRecvError::Empty) => return None,
        };
        self.waiting = None;
        Some(answer)
    }

    fn show(&mut self, ctx: &Context, path: &Path) {
        let (send, ctx, path) = (self.refused.0.clone(), ctx.clone(), path.to_owned());
        std::thread::spawn(move || {
            if let Err(reason) = view(&path) {
                send.send(Answer::NotShown(path, reason)).ok();
                ctx.request_repaint();
            }
        });
    }
}

/// Returns the letters behind the last dot of a name.
fn ending(name: &str) -> &str {
    name.rsplit_once('.').map_or("csv", |(_, ending)| ending)
}

fn dialog(asked: Ask) -> Option<PathBuf> {
    let plain = rfd::FileDialog::new();
    let dialog = rfd::FileDialog::new().add_filter("Scenarios", &files::ENDINGS);
    let table = rfd::FileDialog::new().add_filter("Tables", &["csv", "txt", "tsv"]);
    match asked {
        Ask::Open => dialog.set_title("Open a scenario").pick_file(),
        Ask::Compare => dialog.set_title("Compare with a scenario").pick_file(),
        Ask::ImportChannels => table.set_title("Import channels").pick_file(),
        Ask::ExportTable { name } => plain
            .add_filter("Tables", &[ending(&name)])
            .set_title("Export a table")
            .set_file_name(name)
            .save_file(),
        Ask::Import => dialog.set_title("Import things").pick_file(),
        Ask::Export { name } => dialog
            .set_title("Export my things")
            .set_file_name(name)
            .save_file(),
        Ask::Save { name } => dialog
            .set_title("Save the scenario")
            .set_file_name(name)
            .save_file(),
        Ask::Folder => plain
            .set_title("Choose a folder for the papers")
            .pick_folder(),
        Ask::Logo => plain
            .add_filter("Pictures", &["png", "jpg", "jpeg", "svg"])
            .set_title("Choose a logo")
            .pick_file(),
    }
}

/// Shows a file or folder in the system's own viewer, and waits until that has taken it over.
fn view(path: &Path) -> Result<(), String> {
    let viewer = if cfg!(windows) {
        "explorer"
    } else if cfg!(target_os = "macos") {
        "open"
    } else {
        "xdg-open"
    };
    let status = Command::new(viewer)
        .arg(path)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .map_err(|error| format!("{viewer} could not be started: {error}"))?;
    // The one of Windows tells of a failure even where there was none.
    if status.success() || cfg!(windows) {
        Ok(())
    } else {
        Err(format!("{viewer} found nothing that shows it"))
    }
}

//! The system's file chooser. It must not know what is done with the files.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

use egui::Context;

use super::{Answer, Ask, Chooser};

/// The system's file chooser, asked on a thread of its own.
#[derive(Default)]
pub(super) struct SystemChooser {
    waiting: Option<(Ask, Receiver<Option<PathBuf>>, Instant)>,
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
            let is_table = matches!(asked, Ask::ImportChannels | Ask::ExportTable { .. });
            let dialog = if is_table {
                rfd::FileDialog::new().add_filter("Tables", &["csv", "txt", "tsv"])
            } else {
                rfd::FileDialog::new().add_filter("Scenarios", &crate::app::files::ENDINGS)
            };
            let answer = match asked {
                Ask::Open => dialog.set_title("Open a scenario").pick_file(),
                Ask::Compare => dialog.set_title("Compare with a scenario").pick_file(),
                Ask::ImportChannels => dialog.set_title("Import channels").pick_file(),
                Ask::ExportTable { name } => dialog
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
            };
            send.send(answer).ok();
            ctx.request_repaint();
        });
        self.waiting = Some((ask, receive, Instant::now()));
    }

    fn answer(&mut self) -> Option<Answer> {
        let (ask, receive, since) = self.waiting.as_ref()?;
        let answer = match receive.try_recv() {
            Ok(Some(path)) => Answer::Path(ask.clone(), path),
            Ok(None) if since.elapsed() >= TOO_SOON => Answer::Nothing,
            Ok(None) | Err(TryRecvError::Disconnected) => Answer::NoChooser(ask.clone()),
            Err(TryRecvError::Empty) => return None,
        };
        self.waiting = None;
        Some(answer)
    }
}

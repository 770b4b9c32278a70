//! Keeping what is not saved yet, and watching the file for changes from outside.

use std::path::Path;

use egui::Context;

use crate::app::application::Application;
use crate::app::effects::{Kept, Stamp};
use crate::app::files;
use crate::app::state::Dialog;
use crate::history::{Autosave, Document};

/// Seconds between two looks at the file.
const LOOK: f64 = 2.0;

/// What is known about keeping and watching.
#[derive(Debug)]
pub(in crate::app) struct Keeping {
    autosave: Autosave,
    /// How the file looked when it was read or written here.
    pub(super) stamp: Option<Stamp>,
    /// When the file was looked at last, in seconds of the window's clock.
    looked: f64,
    /// A failure was said; it is not said again at every change.
    failed: bool,
}

impl Keeping {
    /// Begins with a document as it was just opened.
    pub(in crate::app) fn new(document: &Document) -> Self {
        Self {
            autosave: Autosave::new(document.revision()),
            stamp: None,
            looked: 0.0,
            failed: false,
        }
    }
}

impl Application {
    /// Keeps what is not saved, when it is due, and looks at the file.
    pub(in crate::app) fn keep_and_watch(&mut self, ctx: &Context) {
        let now = ctx.input(|i| i.time);
        self.keeping.autosave.see(self.document.revision(), now);
        if self.derived.is_saved && self.keeping.autosave.kept.is_some() {
            self.effects.drop_recovery();
            self.keeping.autosave.drop_kept();
        }
        let due = self.keeping.autosave.due_in(self.derived.is_saved, now);
        match due {
            Some(seconds) if seconds > 0.0 => ctx.request_repaint_after_secs(seconds as f32),
            // A drag or a word being typed is kept when it is done.
            Some(_) if self.effects.remembers() && !self.ui.board.is_busy() => self.keep_now(),
            _ => {}
        }
        if self.ui.dialog.is_none() && now - self.keeping.looked >= LOOK {
            self.keeping.looked = now;
            self.look_at_file();
        }
    }

    /// Writes the recovery file.
    pub(in crate::app) fn keep_now(&mut self) {
        let text = files::write(self.document.scenario(), "recovery.ron");
        let file = self.ui.shared.file.clone();
        let of = file.as_deref().map(|path| (path, self.keeping.stamp));
        match self.effects.keep_recovery(of, &text) {
            Ok(()) => {
                self.keeping.failed = false;
                self.keeping.autosave.keep(self.document.revision());
            }
            Err(reason) => {
                self.keeping.autosave.put_off();
                if !self.keeping.failed {
                    self.keeping.failed = true;
                    self.say(format!(
                        "What is not saved could not be kept for recovery: {reason}"
                    ));
                }
            }
        }
    }

    /// Takes note of how the file looks now that it was read or written here.
    pub(in crate::app) fn stamp_file(&mut self) {
        let file = self.ui.shared.file.as_deref();
        self.keeping.stamp = file.and_then(|path| self.effects.stamp(path));
    }

    /// Tells whether the file is no longer the one that was read or written here.
    pub(in crate::app) fn is_changed_outside(&self, path: &Path) -> bool {
        let before = self.keeping.stamp;
        before.is_some()
            && self
                .effects
                .stamp(path)
                .is_some_and(|now| Some(now) != before)
    }

    fn look_at_file(&mut self) {
        let Some(path) = self.ui.shared.file.clone() else {
            return;
        };
        if self.keeping.stamp.is_some() && self.effects.stamp(&path).is_none() {
            self.keeping.stamp = None;
            self.document.mark_unsaved();
            self.derived.saved_moved(&self.document);
            self.say("The file is gone from where it was. Save to write it again".to_owned());
            return;
        }
        if !self.is_changed_outside(&path) {
            return;
        }
        // Written again with the same words is no change.
        let name = super::file::file_name(&path);
        let same = self
            .effects
            .read(&path)
            .ok()
            .and_then(|text| files::read(&text, &name).ok())
            .is_some_and(|theirs| {
                // Numbers of things are no part of a file, words are.
                files::write(&theirs, &name) == files::write(self.document.scenario(), &name)
            });
        if same {
            self.document.mark_saved();
            self.derived.saved_moved(&self.document);
            self.stamp_file();
        } else {
            self.ask(Dialog::ChangedOutside { path, save: false });
        }
    }

    /// Answers the question about a file that changed outside.
    pub(in crate::app) fn changed_outside(&mut self, ctx: &Context, read: bool) {
        let Some(Dialog::ChangedOutside { path, save }) = self.ui.dialog.take() else {
            return;
        };
        if read {
            self.ui.after_save = None;
            self.open_path(ctx, &path);
            return;
        }
        self.stamp_file();
        if save {
            self.save_to(ctx, &path);
        } else {
            // What is here is no longer what the file holds.
            self.document.mark_unsaved();
            self.derived.saved_moved(&self.document);
        }
    }

    /// Offers what windows that did not end well have kept.
    pub(in crate::app) fn offer_recovery(&mut self) {
        let kept = self.effects.recoveries();
        if !kept.is_empty() {
            self.ask(Dialog::Recover { kept });
        }
    }

    /// Opens a recovery file as unsaved changes of the file it belongs to.
    pub(in crate::app) fn recover(&mut self, kept: &Kept) {
        let name = super::file::file_name(&kept.place);
        let scenario = match self.effects.read(&kept.place) {
            Ok(text) => files::read(&text, &name),
            Err(reason) => {
                self.ask(Dialog::Failed {
                    title: "What was kept could not be opened".to_owned(),
                    reason: format!("{reason}. It stays where it is."),
                });
                return;
            }
        };
        match scenario {
            Ok(scenario) => {
                self.replace(Document::new(scenario), kept.of.clone());
                // How the file looked then: one that was changed since is asked about.
                self.keeping.stamp = kept.stamp;
                // Only once it is kept anew is the old one thrown away.
                self.keep_now();
                if !self.keeping.failed {
                    self.effects.drop_kept(kept);
                }
                self.say("Opened what was not saved. Save it to keep it".to_owned());
            }
            Err(problems) => self.ask(Dialog::Problems {
                file: format!("{}, which stays where it is,", kept.place.display()),
                problems,
            }),
        }
    }
}

//! Keeping what is not saved yet, and watching the file for changes from outside.

use std::path::Path;
use std::sync::Arc;

use egui::Context;

use crate::app::application::Application;
use crate::app::derived::is_large;
use crate::app::effects::{Kept, Stamp, read_text, stamp_of, write_recovery};
use crate::app::files::{self, FileProblem};
use crate::app::state::Dialog;
use crate::history::{Autosave, Document};
use crate::model::Scenario;

use super::errand::Purpose;
use super::file::LONG;

/// What was read of a file: a reason why not, or everything wrong with it.
pub(super) type Read = Result<Result<Scenario, Vec<FileProblem>>, String>;

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
        if self.is_out_for(Purpose::Keep) {
            return;
        }
        if self.derived.is_saved && self.keeping.autosave.kept.is_some() {
            self.effects.drop_recovery();
            self.keeping.autosave.drop_kept();
        }
        let due = self.keeping.autosave.due_in(self.derived.is_saved, now);
        match due {
            Some(seconds) if seconds > 0.0 => ctx.request_repaint_after_secs(seconds as f32),
            // A drag or a word being typed is kept when it is done.
            Some(_) if self.effects.remembers() && !self.ui.board.is_busy() => {
                self.keep_now(ctx, None);
            }
            _ => {}
        }
        if self.ui.dialog.is_none() && now - self.keeping.looked >= LOOK {
            self.keeping.looked = now;
            self.look_at_file(ctx);
        }
    }

    /// Writes the recovery file; then throws away the older one, if it was opened from one.
    pub(in crate::app) fn keep_now(&mut self, ctx: &Context, from: Option<Kept>) {
        let place = match self.effects.recovery_place() {
            Ok(Some(place)) => place,
            Ok(None) => return,
            Err(reason) => return self.kept(self.document.revision(), Err(reason), None),
        };
        let scenario = Arc::clone(self.document.scenario());
        let (revision, is_long) = (self.document.revision(), is_large(&scenario));
        let (file, stamp) = (self.ui.shared.file.clone(), self.keeping.stamp);
        let purpose = (Purpose::Keep, "Keeping what is not saved".to_owned());
        let part = move |is_wanted: &dyn Fn() -> bool| {
            let text = files::write(&scenario, "recovery.ron");
            let of = file.as_deref().map(|path| (path, stamp));
            is_wanted().then(|| write_recovery(&place, of, &text))
        };
        self.run_errand(ctx, purpose, is_long, part, move |this, _, answer| {
            if let Some(answer) = answer {
                this.kept(revision, answer, from);
            }
        });
    }

    /// Takes note of what is in the recovery file.
    fn kept(&mut self, revision: u64, answer: Result<(), String>, from: Option<Kept>) {
        match answer {
            Ok(()) => {
                self.keeping.failed = false;
                self.keeping.autosave.keep(revision);
                if let Some(from) = from {
                    self.effects.drop_kept(&from);
                }
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

    fn look_at_file(&mut self, ctx: &Context) {
        // While it is written or looked at here, how it looks tells nothing.
        if self.is_out_for(Purpose::Save) || self.is_out_for(Purpose::Look) {
            return;
        }
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
        let ours = Arc::clone(self.document.scenario());
        let is_long = is_large(&ours);
        let name = super::file::file_name(&path);
        let purpose = (Purpose::Look, format!("Looking at {name}"));
        let place = path.clone();
        let part = move |_: &dyn Fn() -> bool| {
            // Taken before reading, so that what changes meanwhile is seen.
            let stamp = stamp_of(&place);
            let theirs = read_text(&place).ok();
            let theirs = theirs.and_then(|text| files::read(&text, &name).ok());
            // Written again with the same words is no change. Numbers of things are no part of a file,
            // words are.
            let is_same = theirs
                .is_some_and(|theirs| files::write(&theirs, &name) == files::write(&ours, &name));
            Some((is_same.then_some(ours), stamp))
        };
        self.run_errand(ctx, purpose, is_long, part, move |this, _, answer| {
            let Some((same, stamp)) = answer else { return };
            if let Some(ours) = same {
                this.document.mark_saved_as(ours);
                this.derived.saved_moved(&this.document);
                this.keeping.stamp = stamp;
            } else if this.ui.dialog.is_none() {
                this.ask(Dialog::ChangedOutside { path, save: false });
            }
        });
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
    pub(in crate::app) fn recover(&mut self, ctx: &Context, kept: Kept) {
        let length = self.effects.stamp(&kept.place).map_or(0, Stamp::length);
        let place = kept.place.clone();
        let purpose = (Purpose::Other, "Opening what was not saved".to_owned());
        let part = move |is_wanted: &dyn Fn() -> bool| {
            let name = super::file::file_name(&place);
            let read = read_text(&place).map(|text| files::read(&text, &name));
            is_wanted().then_some(read)
        };
        let is_long = length >= LONG;
        if is_long {
            let file = super::file::file_name(kept.of.as_deref().unwrap_or(&kept.place));
            self.ask(Dialog::Opening { file });
        }
        self.run_errand(ctx, purpose, is_long, part, move |this, ctx, read| {
            let is_wanted = matches!(this.ui.dialog, Some(Dialog::Opening { .. }));
            if is_long && is_wanted {
                this.ui.dialog = None;
            }
            // Where the dialog was closed nobody wants it any more.
            this.recovered(ctx, kept, read.filter(|_| is_wanted || !is_long));
        });
    }

    fn recovered(&mut self, ctx: &Context, kept: Kept, read: Option<Read>) {
        match read {
            None => self.say("Stopped: what was not saved stays where it is".to_owned()),
            Some(Err(reason)) => self.ask(Dialog::Failed {
                title: "What was kept could not be opened".to_owned(),
                reason: format!("{reason}. It stays where it is."),
            }),
            Some(Ok(Ok(scenario))) => {
                self.replace(Document::new(scenario), kept.of.clone());
                // How the file looked then: one that was changed since is asked about.
                self.keeping.stamp = kept.stamp;
                // Only once it is kept anew is the old one thrown away.
                self.keep_now(ctx, Some(kept));
                self.say("Opened what was not saved. Save it to keep it".to_owned());
            }
            Some(Ok(Err(problems))) => self.ask(Dialog::Problems {
                file: format!("{}, which stays where it is,", kept.place.display()),
                problems,
            }),
        }
    }
}

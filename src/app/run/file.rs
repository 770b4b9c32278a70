//! Opening, saving, and what must be asked before.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, ViewportCommand};

use crate::app::application::{Application, first_phase};
use crate::app::derived::{Derived, is_large};
use crate::app::effects::{Answer, Ask, Stamp, stamp_of, write_text};
use crate::app::files::{self, FileProblem};
use crate::app::state::{Dialog, Next};
use crate::app::work::{Got, Work};
use crate::history::Document;
use crate::model::Scenario;

use super::Keeping;
use super::errand::Purpose;

/// A scenario that was to be saved, and how its file looks since.
type Written = (Arc<Scenario>, Result<Option<Stamp>, String>);

/// Bytes of a file beyond which it is read on a thread.
pub(super) const LONG: usize = 400_000;

impl Application {
    /// Goes on with something that replaces the scenario, after asking about unsaved changes.
    pub(in crate::app) fn next(&mut self, ctx: &Context, next: Next) {
        self.derived.saved_moved(&self.document);
        if self.document.is_saved() {
            self.go(ctx, next);
        } else {
            self.ask(Dialog::Unsaved(next));
        }
    }

    pub(in crate::app) fn go_on(&mut self, ctx: &Context, save: bool) {
        let Some(Dialog::Unsaved(next)) = self.ui.dialog.take() else {
            return;
        };
        if save {
            self.ui.after_save = Some(next);
            self.save(ctx);
        } else {
            self.go(ctx, next);
        }
    }

    pub(in crate::app) fn go(&mut self, ctx: &Context, next: Next) {
        match next {
            Next::New => self.replace(Document::opened(Scenario::new("New scenario")), None),
            Next::Choose => {
                self.asked_for = Some((self.opened, self.document.revision()));
                self.effects.ask(ctx, Ask::Open);
            }
            Next::Open(path) => self.open_path(ctx, &path),
            Next::Sample(i) => {
                if let Some(sample) = files::shipped().into_iter().nth(i) {
                    match files::read(sample.text, sample.file_name) {
                        Ok(scenario) => self.replace(Document::opened(scenario), None),
                        Err(problems) => self.ask(Dialog::Problems {
                            file: sample.name.to_owned(),
                            problems,
                        }),
                    }
                }
            }
            Next::Quit => {
                self.ui.may_quit = true;
                self.end_errands(|_| true);
                self.effects.drop_recovery();
                ctx.send_viewport_cmd(ViewportCommand::Close);
            }
        }
    }

    pub(in crate::app) fn replace(&mut self, document: Document, file: Option<PathBuf>) {
        // A recovery file of the plan before must not be written after it was thrown away.
        self.end_errands(|purpose| matches!(purpose, Purpose::Keep | Purpose::Look));
        if self.ui.tour.is_some() {
            // The tour speaks of the plan that was shown.
            self.end_tour();
        }
        self.document = document;
        let phase = first_phase(self.document.scenario());
        self.ui.start_over(phase);
        self.ui.shared.file = file;
        // Numbers of things mean others in another plan: nothing of the one before may stay.
        self.derived = Derived::new(&self.document, phase, &self.ui.board.folded);
        self.opened += 1;
        self.opening = None;
        self.ui.after_save = None;
        self.effects.drop_recovery();
        self.keeping = Keeping::new(&self.document);
    }

    /// Opens a file; a long one is read on a thread, with a way to stop.
    pub(in crate::app) fn open_path(&mut self, ctx: &Context, path: &Path) {
        let path = &std::path::absolute(path).unwrap_or_else(|_| path.to_owned());
        let name = file_name(path);
        // Taken before reading, so that what changes meanwhile is seen.
        let stamp = self.effects.stamp(path);
        let text = match self.effects.read(path) {
            Ok(text) => text,
            Err(reason) => {
                self.ask(Dialog::Failed {
                    title: format!("{name} could not be opened"),
                    reason,
                });
                return;
            }
        };
        if text.len() < LONG {
            let answer = files::read(&text, &name);
            self.take_in(path, stamp, answer);
            return;
        }
        let path = path.to_owned();
        let file = name.clone();
        self.opening = Some(Work::start(ctx, format!("Opening {name}"), move |desk| {
            let answer = files::read(&text, &name);
            desk.answer((path, stamp, answer));
        }));
        self.ask(Dialog::Opening { file });
    }

    /// Takes the file that a thread has read.
    pub(in crate::app) fn take_opened(&mut self) {
        let Some(work) = &self.opening else { return };
        let wanted = matches!(self.ui.dialog, Some(Dialog::Opening { .. }));
        match work.got() {
            Got::Answer((path, stamp, answer)) => {
                self.opening = None;
                // The dialog was closed: nobody wants it any more.
                if wanted {
                    self.ui.dialog = None;
                    self.take_in(&path, stamp, answer);
                }
            }
            Got::Nothing if wanted => {}
            Got::Nothing | Got::Ended => self.opening = None,
        }
    }

    fn take_in(
        &mut self,
        path: &Path,
        stamp: Option<Stamp>,
        answer: Result<Scenario, Vec<FileProblem>>,
    ) {
        match answer {
            Ok(scenario) => {
                self.replace(Document::opened(scenario), Some(path.to_owned()));
                self.ui.shared.recent = self.effects.remember(path);
                self.keeping.stamp = stamp;
            }
            Err(problems) => self.ask(Dialog::Problems {
                file: file_name(path),
                problems,
            }),
        }
    }

    pub(in crate::app) fn save(&mut self, ctx: &Context) {
        match self.ui.shared.file.clone() {
            Some(path) => self.save_to(ctx, &path),
            None => self.save_as(ctx),
        }
    }

    pub(in crate::app) fn save_as(&mut self, ctx: &Context) {
        let name = self.ui.shared.file.as_deref().map_or_else(
            || files::suggested_name(&self.document.scenario().header.title),
            file_name,
        );
        self.asked_for = Some((self.opened, self.document.revision()));
        self.effects.ask(ctx, Ask::Save { name });
    }

    pub(in crate::app) fn save_to(&mut self, ctx: &Context, path: &Path) {
        // Asked first: while a thread writes the file, how it looks tells nothing.
        if self.is_out_for(Purpose::Save) {
            // What is here now is saved when the one under way is through.
            self.save_again = Some(path.to_owned());
            return;
        }
        let is_open_one = self.ui.shared.file.as_deref() == Some(path);
        if is_open_one && self.is_changed_outside(path) {
            self.ask(Dialog::ChangedOutside {
                path: path.to_owned(),
                save: true,
            });
            return;
        }
        // What is typed while a thread writes makes a step of its own.
        self.document.seal();
        let scenario = Arc::clone(self.document.scenario());
        let (opened, is_long) = (self.opened, is_large(&scenario));
        let (path, name) = (path.to_owned(), file_name(path));
        let place = path.clone();
        let purpose = (Purpose::Save, format!("Saving {name}"));
        let part = move |is_wanted: &dyn Fn() -> bool| {
            let text = files::write(&scenario, &file_name(&place));
            if !is_wanted() {
                return None;
            }
            let written = write_text(&place, &text).map(|()| stamp_of(&place));
            Some((scenario, written))
        };
        self.run_errand(ctx, purpose, is_long, part, move |this, ctx, answer| {
            this.saved(ctx, &path, opened, answer);
        });
    }

    /// Takes note of what was saved, and goes on with what waited for it.
    fn saved(&mut self, ctx: &Context, path: &Path, opened: u32, answer: Option<Written>) {
        let name = file_name(path);
        let again = self.save_again.take();
        match answer {
            Some((scenario, Ok(stamp))) => {
                if self.opened == opened {
                    self.document.mark_saved_as(scenario);
                    self.derived.saved_moved(&self.document);
                    self.ui.shared.file = Some(path.to_owned());
                    self.keeping.stamp = stamp;
                }
                self.ui.shared.recent = self.effects.remember(path);
                self.say(format!("Saved {name}"));
                if let Some(again) = again
                    && self.opened == opened
                {
                    self.save_to(ctx, &again);
                } else if let Some(next) = self.ui.after_save.take() {
                    // What was changed while a thread wrote is asked about.
                    self.next(ctx, next);
                }
            }
            Some((_, Err(reason))) => {
                self.ui.after_save = None;
                self.ask(Dialog::Failed {
                    title: format!("{name} was not saved"),
                    reason: format!("{reason}. The file is as it was before."),
                });
            }
            None => {
                self.ui.after_save = None;
                self.say(format!("Stopped: {name} is as it was before"));
            }
        }
    }

    /// Takes the answer of the file chooser.
    pub(in crate::app) fn answered(&mut self, ctx: &Context, answer: Answer) {
        match answer {
            Answer::Path(Ask::Open, path) => {
                // What was changed while the chooser stood open is asked about like anything else.
                let now = (self.opened, self.document.revision());
                if self.asked_for == Some(now) {
                    self.open_path(ctx, &path);
                } else {
                    self.next(ctx, Next::Open(path));
                }
            }
            Answer::Path(Ask::Save { .. }, path) => {
                if self
                    .asked_for
                    .is_some_and(|(opened, _)| opened != self.opened)
                {
                    self.ui.after_save = None;
                    self.say("Another plan was opened meanwhile: save it anew".to_owned());
                    return;
                }
                let named = files::with_ending(path.clone());
                // The chooser has asked about the name it was given, not about one with an ending.
                let is_open_one = self.ui.shared.file.as_deref() == Some(named.as_path());
                if named != path && self.effects.exists(&named) && !is_open_one {
                    self.ask(Dialog::Replace { path: named });
                } else {
                    self.save_to(ctx, &named);
                }
            }
            Answer::Path(Ask::Export { .. }, path) => self.export_kept_to(path),
            Answer::Path(Ask::Import, path) => self.import_kept(&path),
            Answer::Path(Ask::Compare, path) => self.compare_with(ctx, &path),
            Answer::Path(Ask::ImportChannels, path) => self.import_channels(&path),
            Answer::Path(Ask::ExportTable { .. }, path) => self.export_table_to(ctx, path),
            Answer::Path(Ask::Folder, path) => self.save_papers(ctx, path),
            Answer::Path(Ask::Logo, path) => self.take_logo(path),
            Answer::NotShown(path, reason) => self.ask(Dialog::Failed {
                title: format!("{} was not opened", file_name(&path)),
                reason: format!("{reason}: {}", path.display()),
            }),
            Answer::Nothing => self.ui.after_save = None,
            Answer::NoChooser(asked) => {
                let name = match &asked {
                    Ask::Open | Ask::Import | Ask::Logo | Ask::Compare | Ask::ImportChannels => {
                        String::new()
                    }
                    Ask::Folder => "papers".to_owned(),
                    Ask::Save { name } | Ask::Export { name } | Ask::ExportTable { name } => {
                        name.clone()
                    }
                };
                let folder = match self.ui.shared.file.as_deref().and_then(Path::parent) {
                    Some(folder) => folder.to_owned(),
                    None => self.effects.home(),
                };
                let text = folder.join(name).display().to_string();
                self.ask(Dialog::Path { asked, text });
            }
        }
    }

    pub(in crate::app) fn typed_path(&mut self, ctx: &Context, path: PathBuf) {
        let Some(Dialog::Path { asked, .. }) = self.ui.dialog.take() else {
            return;
        };
        match asked {
            Ask::Export { .. } => {
                let path = files::with_ending(path);
                if self.is_in_the_way(&path, "Your things were not exported") {
                    return;
                }
                self.export_kept_to(path);
            }
            Ask::ExportTable { .. } => {
                if self.is_in_the_way(&path, "The table was not exported") {
                    return;
                }
                self.export_table_to(ctx, path);
            }
            Ask::Import => self.import_kept(&path),
            Ask::Compare => self.compare_with(ctx, &path),
            Ask::ImportChannels => self.import_channels(&path),
            Ask::Save { .. } => {
                let path = files::with_ending(path);
                let is_open_one = self.ui.shared.file.as_deref() == Some(path.as_path());
                if self.effects.exists(&path) && !is_open_one {
                    self.ask(Dialog::Replace { path });
                } else {
                    self.save_to(ctx, &path);
                }
            }
            Ask::Open => self.open_path(ctx, &path),
            Ask::Folder => self.save_papers(ctx, path),
            Ask::Logo => self.take_logo(path),
        }
    }

    /// Tells whether a file is there already, and says so.
    fn is_in_the_way(&mut self, path: &Path, title: &str) -> bool {
        let is_there = self.effects.exists(path);
        if is_there {
            self.ask(Dialog::Failed {
                title: title.to_owned(),
                reason: format!("a file is there already: {}", path.display()),
            });
        }
        is_there
    }
}

pub(super) fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(
        || path.display().to_string(),
        |n| n.to_string_lossy().into_owned(),
    )
}

//! What is done with the papers: opened, made into files, written into a folder.

use std::path::PathBuf;
use std::sync::Arc;

use egui::Context;

use crate::app::action::{Action, PaperAction};
use crate::app::application::Application;
use crate::app::effects::{Ask, write_sheets};
use crate::app::panels::Made;
use crate::app::state::{Dialog, Toast};
use crate::app::words::counted;
use crate::app::work::{Got, Work};
use crate::disk::Existing;
use crate::paperwork::set::logo::Logo;

use super::file::file_name;

impl Application {
    /// Shows the papers over the middle.
    pub(in crate::app) fn open_paper(&mut self) {
        self.quiet();
        self.ui.paper.open();
        let choice = &self.ui.paper.choice;
        // What was remembered from the start before is read when it is wanted.
        if choice.logo.is_none()
            && let Some(path) = choice.logo_path.clone()
        {
            self.take_logo(path);
        }
    }

    /// Ends what the papers have under way, or closes them; returns whether there was anything.
    pub(in crate::app) fn close_paper(&mut self) -> bool {
        if !self.ui.paper.open {
            return false;
        }
        if self.ui.paper.cancel() {
            self.say("Nothing was saved".to_owned());
        } else {
            self.ui.paper.close();
        }
        true
    }

    /// Makes room for what an action shows.
    pub(in crate::app) fn leave_paper(&mut self, action: &Action) {
        let leaves = match action {
            Action::Command(command) => !command.is_for_paper(),
            Action::Show(_)
            | Action::GoTo(_)
            | Action::Ask(..)
            | Action::Asking(_)
            | Action::Add { .. }
            | Action::AddReady { .. }
            | Action::AddOffer(_)
            | Action::Talk(..)
            | Action::TalkOver(..)
            | Action::Tab(_) => true,
            _ => false,
        };
        if leaves {
            self.ui.paper.close();
        }
    }

    /// Tells whether the pages shown are of the plan as it is now, for tests.
    pub fn is_paper_set(&self) -> bool {
        let paper = &self.ui.paper;
        let ask = paper
            .choice
            .ask(self.document.scenario(), self.ui.shared.phase);
        paper.is_set(&ask)
    }

    /// Tells whether files of papers are being made or written, for tests.
    pub fn is_saving_papers(&self) -> bool {
        self.ui.paper.making.is_some()
    }

    pub(in crate::app) fn paper(&mut self, ctx: &Context, action: PaperAction) {
        match action {
            PaperAction::Save => self.effects.ask(ctx, Ask::Folder),
            PaperAction::Cancel => {
                if self.ui.paper.cancel() {
                    self.say("Nothing was saved".to_owned());
                }
            }
            PaperAction::Replace(replace) => self.replace_papers(ctx, replace),
            PaperAction::ChooseLogo => self.effects.ask(ctx, Ask::Logo),
            PaperAction::NoLogo => self.ui.paper.choice.drop_logo(),
            PaperAction::Now => self.ui.paper.choice.prepared = self.effects.now(),
        }
    }

    /// Heads the pages with a picture; one that cannot be read leaves the one before.
    pub(in crate::app) fn take_logo(&mut self, path: PathBuf) {
        let read = self.effects.picture(&path).and_then(Logo::read);
        let choice = &mut self.ui.paper.choice;
        match read {
            Ok(logo) => {
                choice.logo = Some(Arc::new(logo));
                choice.logo_path = Some(path);
                choice.logo_refused = None;
            }
            Err(reason) => {
                let name = file_name(&path);
                choice.logo_refused = Some(format!(
                    "the picture {name} cannot head the pages: {reason}"
                ));
            }
        }
    }

    /// Makes all chosen papers for a folder.
    pub(in crate::app) fn save_papers(&mut self, ctx: &Context, folder: PathBuf) {
        if self.ui.paper.making.is_some() {
            return;
        }
        let (scenario, phase) = (self.document.scenario(), self.ui.shared.phase);
        let ask = self.ui.paper.choice.ask(scenario, phase);
        self.ui.paper.make(ctx, folder, ask);
    }

    /// Takes what the thread has made; asks before anything is written over.
    pub(in crate::app) fn take_papers(&mut self, ctx: &Context) {
        let Some(making) = &mut self.ui.paper.making else {
            return;
        };
        let folder = making.folder.clone();
        match making.got() {
            Got::Nothing | Got::Answer(Made::Progress(..)) => {}
            Got::Answer(Made::Files(files)) => {
                let names = files.iter().map(|(name, _)| name.as_str());
                let count = self.effects.in_the_way(&folder, names);
                making.files = Arc::new(files);
                if count > 0 {
                    making.is_asked = true;
                    self.ask(Dialog::ReplacePapers { folder, count });
                } else {
                    self.write_papers(ctx, Existing::Keep);
                }
            }
            Got::Answer(Made::Written) => {
                let count = making.files.len();
                // One file is opened itself, several as the folder they are in.
                let opens = match making.files.as_slice() {
                    [(name, _)] => folder.join(name),
                    _ => folder.clone(),
                };
                self.ui.paper.making = None;
                let files = counted(count, "file", "files");
                self.ui.toast = Some(Toast {
                    text: format!("Saved {files} in {}", file_name(&folder)),
                    until: None,
                    step: None,
                    opens: Some(opens),
                });
            }
            Got::Answer(Made::Refused(reason)) => self.papers_refused(&reason),
            // Files wait for an answer; their thread has ended.
            Got::Ended if making.is_asked => {
                // A question closed without an answer is answered by no.
                if !matches!(self.ui.dialog, Some(Dialog::ReplacePapers { .. })) {
                    self.replace_papers(ctx, false);
                }
            }
            Got::Ended => self.papers_refused("the files could not be made"),
        }
    }

    fn replace_papers(&mut self, ctx: &Context, replace: bool) {
        self.ui.dialog = None;
        if replace {
            self.write_papers(ctx, Existing::Replace);
        } else if self.ui.paper.cancel() {
            self.say("Nothing was saved".to_owned());
        }
    }

    fn write_papers(&mut self, ctx: &Context, existing: Existing) {
        let Some(making) = &mut self.ui.paper.making else {
            return;
        };
        let (folder, files) = (making.folder.clone(), Arc::clone(&making.files));
        making.is_asked = false;
        making.is_writing = true;
        making.work = Work::start(ctx, "Writing the papers", move |desk| {
            desk.answer(match write_sheets(&folder, &files, existing) {
                Ok(()) => Made::Written,
                Err(reason) => Made::Refused(reason),
            });
        });
    }

    fn papers_refused(&mut self, reason: &str) {
        self.ui.paper.making = None;
        self.ask(Dialog::Failed {
            title: "The papers were not saved".to_owned(),
            reason: format!("{reason}. Nothing was written."),
        });
    }
}

//! Where every action is done, and nowhere else. The siblings do one kind each: commands, changes of the
//! scenario, files, talking.

mod arranging;
mod commands;
mod edits;
mod file;
mod finding;
mod talking;

use egui::Context;

use super::action::Action;
use super::application::Application;
use super::state::{Next, Tab};

impl Application {
    /// Does one action.
    pub(in crate::app) fn act(&mut self, ctx: &Context, action: Action) {
        match action {
            Action::Apply { label, edits } => {
                self.document.seal();
                let answer = self.document.apply(&label, &edits);
                self.told(answer);
            }
            Action::Type {
                label,
                field,
                edits,
            } => {
                let answer = self.document.apply_typed(&label, &field, &edits);
                self.told(answer);
            }
            Action::Seal => self.document.seal(),
            Action::Command(command) => self.do_command(ctx, command),
            Action::Select(things) => {
                self.ui.shared.selection = things.into_iter().collect();
            }
            Action::Toggle(thing) => {
                let selection = &mut self.ui.shared.selection;
                if !selection.remove(&thing) {
                    selection.insert(thing);
                }
            }
            Action::Show(things) => {
                self.ui.shared.selection = things.iter().copied().collect();
                self.ui.board.frame = Some(self.on_board(&things));
            }
            Action::Add { article, at, on } => self.add(article, at, on),
            Action::Phase(phase) => self.ui.shared.phase = phase,
            Action::Talk(party, hold) => self.talk(ctx, party, hold),
            Action::Quiet => self.ui.shared.talk = None,
            Action::Ask(from, to) => {
                self.ui.shared.asked = Some((from, to));
                self.ui.shared.tab = Tab::Matrix;
                self.ui.look.side = true;
            }
            Action::Tab(tab) => {
                self.ui.shared.tab = tab;
                self.ui.look.side = true;
            }
            Action::Open(path) => self.next(ctx, Next::Open(path)),
            Action::OpenSample(i) => self.next(ctx, Next::Sample(i)),
            Action::Dialog(dialog) => self.ask(dialog),
            Action::GoOn { save } => self.go_on(ctx, save),
            Action::TypedPath(path) => self.typed_path(ctx, path),
            Action::ReplaceFile(path) => {
                self.ui.dialog = None;
                self.save_to(ctx, &path);
            }
            Action::Say(text) => self.say(text),
            Action::GoTo(thing) => self.go_to(ctx, thing),
        }
    }
}

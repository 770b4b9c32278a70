//! Where every action is done, and nowhere else. The siblings do one kind each: commands, changes of the
//! scenario, files, talking.

mod arranging;
mod commands;
mod edits;
mod errand;
mod exchange;
mod file;
mod finding;
mod keeping;
mod paper;
mod reading;
mod remembering;
mod talking;
mod things;

use egui::Context;

pub(super) use errand::Errand;
pub(super) use keeping::Keeping;
pub(super) use reading::item_of;

use super::action::Action;
use super::application::Application;
use super::state::{Next, Tab};

impl Application {
    /// Does one action.
    pub(in crate::app) fn act(&mut self, ctx: &Context, action: Action) {
        self.leave_paper(&action);
        match action {
            Action::Apply { label, edits } => self.apply(&label, &edits),
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
            Action::AddReady { source, at, on } => self.add_ready(source, at, on),
            Action::AddOffer(offer) => self.add_offer(offer),
            Action::Paste(text) => self.paste(ctx, &text),
            Action::Unkeep(thing) => self.unkeep(thing),
            Action::Phase(phase) => self.ui.shared.phase = phase,
            Action::Talk(party, hold) => self.talk(ctx, party, hold),
            Action::Quiet => drop(self.quiet()),
            Action::Ask(from, to) => {
                self.ui.shared.asked = Some((from, to));
                self.ui.shared.asking = None;
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
            Action::ChangedOutside { read } => self.changed_outside(ctx, read),
            Action::Recover(kept) => {
                self.ui.dialog = None;
                self.recover(ctx, kept);
            }
            Action::DropKept(kept) => {
                self.effects.drop_kept(&kept);
                self.ui.dialog = None;
                self.offer_recovery();
            }
            Action::Unask => self.ui.shared.asked = None,
            Action::Toured => self.end_tour(),
            Action::Work { stop: true } => self.stop_working(),
            Action::Work { stop: false } => self.derived.take_up(),
            Action::StopErrand => self.stop_errands(),
            Action::TalkOver(party, hold) => self.talk_over(ctx, party, hold),
            Action::LetGo(hold) => self.let_go(hold),
            Action::Lesson(on) => self.lesson(on),
            Action::Pace(pace) => self.pace(ctx, pace),
            Action::OutOfService(item) => self.out_of_service(item),
            Action::Compare(phase) => {
                self.ui.shared.compare = phase;
                self.ui.shared.against = None;
            }
            Action::EndComparing => self.ui.shared.against = None,
            Action::ExportTable(table) => self.export_table(ctx, table),
            Action::Asking(party) => self.asking(party),
            Action::GoTo(thing) => self.go_to(ctx, thing),
            Action::Paper(action) => self.paper(ctx, action),
            Action::ShowFile(path) => self.effects.show(ctx, &path),
        }
    }
}

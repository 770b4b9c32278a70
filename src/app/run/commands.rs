//! What each command does.

use egui::Context;

use crate::app::action::Action;
use crate::app::application::Application;
use crate::app::command::Command;
use crate::app::state::{Dialog, Next, Tab, View};
use crate::model::{Kind, ThingId};

impl Application {
    /// Does one command.
    pub(in crate::app) fn do_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.next(ctx, Next::New),
            Command::Open => self.next(ctx, Next::Choose),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.save_as(ctx),
            Command::Quit => self.next(ctx, Next::Quit),
            Command::Undo => {
                if let Some(label) = self.document.undo() {
                    self.say(format!("Undone: {label}"));
                }
            }
            Command::Redo => {
                if let Some(label) = self.document.redo() {
                    self.say(format!("Done again: {label}"));
                }
            }
            Command::SelectAll => {
                self.ui.shared.selection = self
                    .derived
                    .layout
                    .things()
                    .map(|(thing, _)| thing)
                    .filter(|t| matches!(t.kind(), Kind::Unit | Kind::Channel | Kind::Gateway))
                    .collect();
            }
            Command::SelectNone => self.escape(),
            Command::Delete => self.delete(),
            Command::Talk => self.latch(ctx),
            Command::Quiet => self.ui.shared.talk = None,
            Command::Fit => self.ui.board.moved = false,
            Command::FitSelection => {
                let things: Vec<ThingId> = self.ui.shared.selection.iter().copied().collect();
                self.ui.board.frame = Some(self.on_board(&things));
            }
            Command::ZoomIn => self.zoom(1.25),
            Command::ZoomOut => self.zoom(0.8),
            Command::Needs => self.ui.shared.show_needs = !self.ui.shared.show_needs,
            Command::Shelf => self.ui.look.shelf = !self.ui.look.shelf,
            Command::Side => self.ui.look.side = !self.ui.look.side,
            Command::Calculators => self.ui.calculators.open = !self.ui.calculators.open,
            Command::Theme => {
                self.ui.look.dark = !self.ui.look.dark;
                self.effects.remember_dark(self.ui.look.dark);
            }
            Command::ViewBoard => self.ui.shared.view = View::Board,
            Command::ViewMatrix => self.ui.shared.view = View::Matrix,
            Command::ViewNeeds => self.ui.shared.view = View::Needs,
            Command::ViewGroups => self.ui.shared.view = View::Groups,
            Command::ViewSite => self.ui.shared.view = View::Site,
            Command::ViewTables => self.ui.shared.view = View::Tables,
            Command::Beside => self.ui.look.beside = !self.ui.look.beside,
            Command::Findings => self.act(ctx, Action::Tab(Tab::Findings)),
            Command::Details => self.act(ctx, Action::Tab(Tab::Details)),
            Command::Matrix => self.act(ctx, Action::Tab(Tab::Matrix)),
            Command::Figures => self.act(ctx, Action::Tab(Tab::Figures)),
            Command::NextPhase => {
                let ids: Vec<_> = self.document.scenario().phases.ids().collect();
                let now = ids.iter().position(|p| *p == self.ui.shared.phase);
                let next = now.map_or(0, |i| (i + 1) % ids.len().max(1));
                if let Some(phase) = ids.get(next) {
                    self.ui.shared.phase = *phase;
                }
            }
            Command::Find | Command::FindNext | Command::FindPrevious | Command::Palette => {
                self.find_command(ctx, command);
            }
            Command::Rename => self.rename(),
            Command::Tidy
            | Command::TidySelection
            | Command::BackToColumns
            | Command::GatherSites
            | Command::AlignLeft
            | Command::AlignRight
            | Command::AlignTop
            | Command::AlignBottom
            | Command::AlignCentre
            | Command::AlignMiddle
            | Command::SpaceAcross
            | Command::SpaceDown
            | Command::Snap
            | Command::Fold
            | Command::FoldAll
            | Command::UnfoldAll
            | Command::Join
            | Command::Menu => self.arrange(ctx, command),
            Command::HowTo => self.ask(Dialog::HowTo),
            Command::Handbook => self.ask(Dialog::Handbook { code: None }),
            Command::Cautions => self.ask(Dialog::Cautions),
        }
    }

    pub(in crate::app) fn zoom(&mut self, factor: f32) {
        self.ui.board.moved = true;
        let camera = &mut self.ui.board.camera;
        camera.zoom_at(camera.view.center(), factor);
    }

    /// Ends what is under way, the nearest first.
    pub(in crate::app) fn escape(&mut self) {
        if self.ui.finder.close() {
            return;
        }
        let was_busy = self.ui.board.give_up();
        if self.ui.shared.talk.take().is_some() || was_busy {
            return;
        }
        if self.ui.shared.asked.take().is_some() || self.ui.calculators.close() {
            return;
        }
        self.ui.shared.selection.clear();
    }
}

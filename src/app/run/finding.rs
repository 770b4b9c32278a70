//! Going to what was found.

use egui::Context;

use crate::app::action::Action;
use crate::app::application::Application;
use crate::app::command::Command;
use crate::app::state::{Tab, View};
use crate::model::ThingId;

impl Application {
    pub(in crate::app) fn find_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::Palette => self.ui.finder.open_palette(),
            Command::Find => self.ui.finder.open_find(),
            _ => {
                let scenario = self.document.scenario();
                let forward = command == Command::FindNext;
                match self.ui.finder.step(scenario, forward) {
                    Some(thing) => self.go_to(ctx, thing),
                    None => self.ui.finder.open_find(),
                }
            }
        }
    }

    /// Shows a thing: a phase by turning to it, what stands on the board there, the rest by its
    /// details.
    pub(in crate::app) fn go_to(&mut self, ctx: &Context, thing: ThingId) {
        if let ThingId::Phase(phase) = thing {
            self.act(ctx, Action::Phase(phase));
            return;
        }
        self.uncover(thing);
        self.act(ctx, Action::Show(vec![thing]));
        if self.on_board(&[thing]).is_empty() {
            self.act(ctx, Action::Tab(Tab::Details));
        } else if self.ui.shared.view != View::Board && !self.ui.look.beside {
            self.ui.shared.view = View::Board;
        }
    }
}

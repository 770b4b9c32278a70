//! What each command does.

use egui::{Context, ViewportCommand};

use crate::app::action::Action;
use crate::app::application::Application;
use crate::app::command::Command;
use crate::app::effects::Ask;
use crate::app::memory::SCALE;
use crate::app::panels::Topic;
use crate::app::state::{Dialog, Next, Tab, TableKind, View};
use crate::app::theme::Colours;
use crate::model::{Kind, ThingId};

impl Application {
    /// Does one command.
    pub(in crate::app) fn do_command(&mut self, ctx: &Context, command: Command) {
        match command {
            Command::New => self.next(ctx, Next::New),
            Command::Open => self.next(ctx, Next::Choose),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.save_as(ctx),
            Command::ImportChannels => self.effects.ask(ctx, Ask::ImportChannels),
            Command::ExportTable => self.ask(Dialog::ExportTable {
                table: TableKind::Ics217a,
            }),
            Command::CompareFile => self.effects.ask(ctx, Ask::Compare),
            Command::Print => self.open_paper(),
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
            Command::Cut => {
                if self.copy(ctx) {
                    self.delete();
                }
            }
            Command::Copy => drop(self.copy(ctx)),
            // The text comes back as an event of a later frame.
            Command::Paste => ctx.send_viewport_cmd(ViewportCommand::RequestPaste),
            Command::Duplicate => self.duplicate(),
            Command::TypeToAdd => self.ui.adder.open(),
            Command::Keep => self.keep(),
            Command::ExportKept => self.export_kept(ctx),
            Command::ImportKept => self.effects.ask(ctx, Ask::Import),
            Command::Talk => self.latch(ctx),
            Command::Quiet => drop(self.quiet()),
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
                self.paint(self.ui.look.colours.next());
            }
            Command::ThemeLight => self.paint(Colours::Light),
            Command::ThemeDark => self.paint(Colours::Dark),
            Command::ThemeSunlight => self.paint(Colours::Sunlight),
            Command::ThemeNight => self.paint(Colours::Night),
            Command::Larger => self.scale(self.ui.look.scale * 1.1),
            Command::Smaller => self.scale(self.ui.look.scale / 1.1),
            Command::UsualSize => self.scale(1.0),
            Command::Touch => self.ui.look.touch = !self.ui.look.touch,
            Command::ViewBoard => self.ui.shared.view = View::Board,
            Command::ViewMatrix => self.ui.shared.view = View::Matrix,
            Command::ViewNeeds => self.ui.shared.view = View::Needs,
            Command::ViewGroups => self.ui.shared.view = View::Groups,
            Command::ViewSite => self.ui.shared.view = View::Site,
            Command::ViewTables => self.ui.shared.view = View::Tables,
            Command::ViewPrecheck => self.ui.shared.view = View::Precheck,
            Command::Beside => self.ui.look.beside = !self.ui.look.beside,
            Command::Findings => {
                self.act(ctx, Action::Tab(Tab::Findings));
                self.ui.findings.take_keyboard();
            }
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
            Command::PhaseEarlier => self.move_phase(self.ui.shared.phase, -1),
            Command::PhaseLater => self.move_phase(self.ui.shared.phase, 1),
            Command::Tour => {
                self.ui.shared.view = View::Board;
                self.ui.tour = Some(0);
            }
            Command::HowTo => {
                let selected = self.ui.shared.selection.first().copied();
                let topic = if self.ui.paper.open {
                    Topic::Paper
                } else {
                    Topic::about(selected, self.ui.shared.view)
                };
                self.ask(Dialog::HowTo { topic });
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
            Command::Handbook => self.ask(Dialog::Handbook { code: None }),
            Command::Cautions => self.ask(Dialog::Cautions),
            Command::Lesson => self.lesson(!self.ui.shared.lesson),
            Command::LessMotion => {
                self.ui.shared.less_motion = !self.ui.shared.less_motion;
                self.say(if self.ui.shared.less_motion {
                    "Nothing glides or pulses now".to_owned()
                } else {
                    "What changes with the phase glides and pulses again".to_owned()
                });
            }
            Command::AskTwo => self.ask_two(ctx),
            Command::OutOfService => self.selection_out_of_service(),
            Command::PutBack => self.ui.shared.out.clear(),
            Command::Slower => self.pace(ctx, self.ui.shared.pace.step(-1)),
            Command::Faster => self.pace(ctx, self.ui.shared.pace.step(1)),
        }
    }

    fn paint(&mut self, colours: Colours) {
        self.ui.look.colours = colours;
        self.ui.look.is_chosen = true;
    }

    fn scale(&mut self, scale: f32) {
        // Two decimals, so that larger and smaller meet again at one.
        let scale = (scale * 100.0).round() / 100.0;
        self.ui.look.scale = scale.clamp(SCALE.0, SCALE.1);
        self.say(format!("Everything at {:.0} %", self.ui.look.scale * 100.0));
    }

    pub(in crate::app) fn zoom(&mut self, factor: f32) {
        self.ui.board.moved = true;
        let camera = &mut self.ui.board.camera;
        camera.zoom_at(camera.view.center(), factor);
    }

    /// Ends what is under way, the nearest first.
    pub(in crate::app) fn escape(&mut self) {
        if self.ui.finder.close() || self.close_paper() {
            return;
        }
        let was_busy = self.ui.board.give_up() || self.ui.adder.close();
        if self.quiet() || was_busy {
            return;
        }
        if self.ui.shared.asking.take().is_some() {
            return;
        }
        if self.ui.shared.compare.take().is_some() || self.ui.shared.against.take().is_some() {
            return;
        }
        if self.ui.tour.is_some() {
            self.end_tour();
            return;
        }
        if self.ui.shared.asked.take().is_some() || self.ui.calculators.close() {
            return;
        }
        self.ui.shared.selection.clear();
    }
}

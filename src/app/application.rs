//! The window's one object: the three kinds of state, and the order of a frame.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, Frame, Panel, Ui, ViewportCommand};

use super::action::Action;
use super::command::Command;
use super::derived::Derived;
use super::effects::Effects;
use super::files::{self, FileProblem};
use super::memory::{Memory, SIDE};
use super::panels::{self, Landmarks};
use super::run::Keeping;
use super::state::{Dialog, UiState, View};
use super::theme::{Palette, Tokens, dress};
use super::view::ViewCtx;
use super::work::Work;
use crate::history::Document;
use crate::model::{Edit, PhaseId, Scenario};

/// A file that was read, with the scenario or everything wrong with it.
pub(super) type Opened = (PathBuf, Result<Scenario, Vec<FileProblem>>);

/// The window.
#[derive(Debug)]
pub struct Application {
    pub(super) document: Document,
    pub(super) ui: UiState,
    pub(super) derived: Derived,
    pub(super) effects: Effects,
    /// What is known about keeping and watching.
    pub(super) keeping: Keeping,
    /// A file that a thread reads.
    pub(super) opening: Option<Work<Opened>>,
    title: String,
    /// The colours, size of controls and scale last given to the toolkit.
    dressed: Option<(Palette, bool, f32)>,
    /// What is kept for the next start.
    memory: Memory,
    /// When what is to be kept moved last, in seconds of the window's clock.
    memory_moved: f64,
    /// It is on the disk.
    is_remembered: bool,
}

impl Application {
    /// Makes the window for a scenario.
    ///
    /// `dark` is the desktop's theme, which counts until somebody chose one here.
    pub fn new(scenario: Scenario, effects: Effects, dark: bool) -> Self {
        let kept = effects.kept_window();
        let memory = kept.as_deref().map(Memory::of).unwrap_or_default();
        let document = Document::opened(scenario);
        let phase = first_phase(document.scenario());
        let mut ui = UiState::new(phase, dark, memory);
        ui.shared.recent = effects.recent();
        let keeping = Keeping::new(&document);
        ui.shared.own = Arc::new(super::files::own_things(effects.kept_things().as_deref()));
        let derived = Derived::new(&document, phase, &ui.board.folded);
        Self {
            document,
            ui,
            derived,
            effects,
            keeping,
            opening: None,
            title: String::new(),
            dressed: None,
            memory,
            memory_moved: 0.0,
            is_remembered: true,
        }
    }

    /// Makes the window as it first opens: with a file, or with the shipped incident.
    pub fn at_start(ctx: &Context, file: Option<&Path>, effects: Effects, dark: bool) -> Self {
        let mut this = Self::new(files::first_scenario(), effects, dark);
        if let Some(file) = file {
            this.open_path(ctx, file);
        }
        // At the very first start the tour shows around, unless somebody came for a file of theirs.
        if file.is_none() && this.effects.remembers() && !this.memory.toured {
            this.ui.tour = Some(0);
            this.ui.shared.view = super::state::View::Board;
        }
        this.offer_recovery();
        this
    }

    /// Returns the document.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// Returns what the window remembers, for tests.
    pub fn selection(&self) -> Vec<crate::model::ThingId> {
        self.ui.shared.selection.iter().copied().collect()
    }

    /// Selects things.
    pub fn select(&mut self, things: Vec<crate::model::ThingId>) {
        self.ui.shared.selection = things.into_iter().collect();
    }

    /// Moves the board nearer or further away, as the buttons in its corner do.
    pub fn zoom_by(&mut self, factor: f32) {
        self.zoom(factor);
    }

    /// Returns the phase shown.
    pub fn phase(&self) -> PhaseId {
        self.ui.shared.phase
    }

    /// Returns who talks.
    pub fn talker(&self) -> Option<crate::model::Party> {
        self.ui.shared.talk.map(|t| t.party)
    }

    /// Returns who talks while the first one goes on.
    pub fn second_talker(&self) -> Option<crate::model::Party> {
        self.ui.shared.second.map(|t| t.party)
    }

    /// Returns what is out of service.
    pub fn items_out(&self) -> Vec<crate::hearing::Item> {
        self.ui.shared.out.iter().copied().collect()
    }

    /// Returns what the window's title says.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Returns the open findings.
    pub fn findings(&self) -> &[crate::model::Finding] {
        &self.derived.report.open
    }

    /// Tells whether hearing and findings are those of the plan as it is now.
    pub fn is_worked_out(&self) -> bool {
        self.derived.is_current()
    }

    /// Stops what is being worked out, as the button in the status bar does.
    pub fn stop_working(&mut self) {
        self.derived.give_up();
    }

    /// Changes the scenario as one step, as a view asks for it.
    pub fn apply_edits(&mut self, label: &str, edits: &[Edit]) {
        let answer = self.document.apply(label, edits);
        self.told(answer);
    }

    /// Does what needs no drawing: answers of the file chooser, closing, the title.
    pub fn logic(&mut self, ctx: &Context) {
        self.take_opened();
        self.keep_and_watch(ctx);
        while let Some(answer) = self.effects.answer() {
            self.answered(ctx, answer);
        }
        if ctx.input(|i| i.viewport().close_requested())
            && !self.ui.may_quit
            && !self.derived.is_saved
        {
            ctx.send_viewport_cmd(ViewportCommand::CancelClose);
            self.do_command(ctx, Command::Quit);
        }
        let title = self.title_now();
        if title != self.title {
            ctx.send_viewport_cmd(ViewportCommand::Title(title.clone()));
            self.title = title;
        }
    }

    fn title_now(&self) -> String {
        let name = self
            .ui
            .shared
            .file
            .as_deref()
            .and_then(Path::file_name)
            .map_or_else(
                || {
                    let title = &self.document.scenario().header.title;
                    if title.is_empty() {
                        "New scenario".to_owned()
                    } else {
                        title.clone()
                    }
                },
                |n| n.to_string_lossy().into_owned(),
            );
        let edited = if self.derived.is_saved {
            ""
        } else {
            " (edited)"
        };
        format!("{name}{edited} - Crosspatch")
    }

    /// Draws one frame and does what was asked for in it.
    pub fn show(&mut self, ui: &mut Ui) {
        let ctx = ui.ctx().clone();
        self.logic(&ctx);
        self.dress(&ctx);
        self.remember(&ctx);
        let tokens = Tokens::of(self.ui.look.palette);
        self.keep_phase();
        self.derived.refresh(
            &ctx,
            &self.document,
            self.ui.shared.phase,
            (&self.ui.board.overlay, &self.ui.board.folded),
            &self.ui.shared.out,
            (
                self.ui.shared.talk.map(|t| t.party),
                self.ui.shared.second.map(|t| t.party),
            ),
        );
        self.ui.findings.remember(
            self.document.scenario(),
            self.ui.shared.phase,
            &self.derived.report,
        );
        let mut actions: Vec<Action> = Vec::new();
        let mut hint = String::new();
        let mut lit = Vec::new();
        let today = self.effects.today();
        let scenario = Arc::clone(self.document.scenario());
        if self.ui.dialog.is_none() {
            let at_port = matches!(
                self.selection().as_slice(),
                [crate::model::ThingId::Port(_)]
            );
            shortcuts(&ctx, at_port, &mut actions);
            clipboard(&ctx, self.ui.shared.view, &mut actions);
        }
        {
            let UiState {
                shared,
                board,
                findings,
                details,
                matrix,
                figures,
                calculators,
                shelf: shelf_state,
                adder,
                finder,
                views,
                dialog,
                toast,
                tour,
                look,
                planner,
                ..
            } = &mut self.ui;
            let mut view = ViewCtx {
                scenario: &scenario,
                document: &self.document,
                derived: &self.derived,
                shared,
                look: *look,
                tokens,
                today: &today,
                actions: &mut actions,
                hint: &mut hint,
                lit: &mut lit,
            };
            let bar = Frame::new().fill(tokens.panel);
            let top = Panel::top("top-bar")
                .frame(bar.inner_margin(egui::Margin::symmetric(12, 6)))
                .show(ui, |ui| panels::top_bar_ui(&mut view, ui))
                .response
                .rect;
            Panel::bottom("status-bar")
                .frame(bar.inner_margin(egui::Margin::symmetric(14, 5)))
                .show(ui, |ui| panels::status_bar_ui(&mut view, ui));
            let mut shelf = None;
            if look.shelf {
                let panel = Panel::left("shelf")
                    .frame(bar.inner_margin(egui::Margin::symmetric(10, 12)))
                    .resizable(false)
                    .exact_size(196.0)
                    .show(ui, |ui| panels::shelf_ui(&mut view, ui, shelf_state));
                shelf = Some(panel.response.rect);
            }
            let mut side = None;
            if look.side {
                let panel = Panel::right("side")
                    .frame(bar)
                    .default_size(look.side_width)
                    .size_range(SIDE.0..=SIDE.1)
                    .show(ui, |ui| {
                        panels::side_ui(&mut view, ui, findings, details, matrix, figures);
                    });
                side = Some(panel.response.rect);
                look.side_width = panel.response.rect.width().clamp(SIDE.0, SIDE.1);
            }
            let strip = Panel::top("strip")
                .frame(bar.inner_margin(egui::Margin::symmetric(12, 5)))
                .show(ui, |ui| super::views::strip_ui(&mut view, ui, look.beside))
                .response
                .rect;
            let middle = ui.available_rect_before_wrap();
            super::views::middle_ui(&mut view, ui, views, board, look.beside);
            panels::calculators_ui(&mut view, &ctx, calculators);
            panels::finder_ui(&mut view, &ctx, finder);
            panels::adder_ui(&mut view, &ctx, adder, board.camera.view);
            if dialog.is_none() {
                let marks = Landmarks {
                    top,
                    shelf,
                    side,
                    strip,
                    middle,
                };
                panels::tour_ui(&mut view, &ctx, tour, &marks);
            }
            panels::toast_ui(&mut view, &ctx, toast);
            panels::dialogs_ui(&mut view, &ctx, dialog, planner);
        }
        self.ui.shared.hint = hint;
        dropped_files(&ctx, &mut actions);
        for action in actions {
            self.act(&ctx, action);
        }
    }

    /// Gives the toolkit the colours, the size of controls and the scale, when one has changed.
    fn dress(&mut self, ctx: &Context) {
        let look = &self.ui.look;
        let now = (look.palette, look.touch, look.scale);
        if self.dressed != Some(now) {
            dress(ctx, look.palette, look.touch);
            // The desktop's own factor for dense screens stays on top of it.
            ctx.set_zoom_factor(look.scale);
            self.dressed = Some(now);
        }
    }

    /// Keeps for the next start what has changed, once it has been still for a while.
    fn remember(&mut self, ctx: &Context) {
        /// Seconds of stillness; a window being resized is not written down at every step.
        const STILL: f64 = 1.0;
        let look = &self.ui.look;
        let (now, rect, maximized) = ctx.input(|i| {
            let port = i.viewport();
            (i.time, port.inner_rect, port.maximized.unwrap_or(false))
        });
        let size = match rect {
            Some(rect) if !maximized && rect.width() > 1.0 => {
                let size = rect.size() * look.scale;
                (size.x.round(), size.y.round())
            }
            _ => self.memory.size,
        };
        let memory = Memory {
            palette: look.is_chosen.then_some(look.palette),
            scale: look.scale,
            touch: look.touch,
            shelf: look.shelf,
            side: look.side,
            side_width: look.side_width.round(),
            beside: look.beside,
            tab: self.ui.shared.tab,
            view: self.ui.shared.view,
            size,
            maximized,
            toured: self.memory.toured,
        };
        if memory != self.memory {
            self.memory = memory;
            self.memory_moved = now;
            self.is_remembered = false;
        }
        if !self.is_remembered {
            if now - self.memory_moved >= STILL || self.ui.may_quit {
                self.effects.keep_window(&self.memory.text());
                self.is_remembered = true;
            } else {
                ctx.request_repaint_after_secs(STILL as f32);
            }
        }
    }

    /// Ends the tour; the next start is without it.
    pub(super) fn end_tour(&mut self) {
        self.ui.tour = None;
        self.memory.toured = true;
        self.is_remembered = false;
    }

    /// Shows a phase that exists.
    fn keep_phase(&mut self) {
        let scenario = &Arc::clone(self.document.scenario());
        if !scenario.phases.contains(self.ui.shared.phase) {
            self.ui.shared.phase = first_phase(scenario);
        }
        self.ui.shared.selection.retain(|t| scenario.contains(*t));
        if let Some(talk) = self.ui.shared.talk
            && !scenario.contains(talk.party.into())
        {
            self.quiet();
        }
        if let Some(talk) = self.ui.shared.second
            && !scenario.contains(talk.party.into())
        {
            self.ui.shared.second = None;
        }
        if let Some(phase) = self.ui.shared.compare
            && (!scenario.phases.contains(phase) || phase == self.ui.shared.phase)
        {
            self.ui.shared.compare = None;
        }
        self.ui
            .shared
            .out
            .retain(|item| scenario.contains(item.thing()));
        if let Some(party) = self.ui.shared.asking
            && !scenario.contains(party.into())
        {
            self.ui.shared.asking = None;
        }
        if let Some((a, b)) = self.ui.shared.asked
            && !(scenario.contains(a.into()) && scenario.contains(b.into()))
        {
            self.ui.shared.asked = None;
        }
    }

    /// Opens a dialog.
    pub(super) fn ask(&mut self, dialog: Dialog) {
        self.ui.dialog = Some(dialog);
    }
}

impl eframe::App for Application {
    fn ui(&mut self, ui: &mut Ui, _: &mut eframe::Frame) {
        self.show(ui);
    }
}

/// Returns the first phase; a scenario has one as soon as it was read or made.
pub(super) fn first_phase(scenario: &Scenario) -> PhaseId {
    scenario.phases.first().map_or(PhaseId(0), |p| p.id)
}

/// Pushes the commands whose shortcuts were pressed.
///
/// With a port selected, plain digits are the positions of its switch.
fn shortcuts(ctx: &Context, at_port: bool, actions: &mut Vec<Action>) {
    let typing = ctx.text_edit_focused();
    let in_cells = super::views::in_cells(ctx);
    for command in Command::by_modifiers() {
        if typing && command.is_bare() {
            continue;
        }
        if at_port && command.is_digit() {
            continue;
        }
        // In the tables, keys type into cells and select, copy and fill them.
        if in_cells && super::views::is_for_cells(command) {
            continue;
        }
        // Undo while typing is the field's own.
        if typing && command.is_of_text() {
            continue;
        }
        if let Some(shortcut) = command.shortcut()
            && ctx.input_mut(|i| i.consume_shortcut(&shortcut))
        {
            actions.push(Action::Command(command));
        }
    }
}

/// Pushes what the clipboard keys ask for; in a text field, and in tables, they are the field's own.
fn clipboard(ctx: &Context, view: View, actions: &mut Vec<Action>) {
    if ctx.text_edit_focused() || view == View::Tables {
        return;
    }
    let events = ctx.input(|i| i.events.clone());
    for event in events {
        match event {
            egui::Event::Copy => actions.push(Action::Command(Command::Copy)),
            egui::Event::Cut => actions.push(Action::Command(Command::Cut)),
            egui::Event::Paste(text) => actions.push(Action::Paste(text)),
            _ => {}
        }
    }
}

/// Opens the file dropped on the window.
fn dropped_files(ctx: &Context, actions: &mut Vec<Action>) {
    let path = ctx.input(|i| i.raw.dropped_files.first().map(|f| f.path().to_owned()));
    if let Some(path) = path {
        actions.push(Action::Open(path));
    }
}

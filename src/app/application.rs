//! The window's one object: the three kinds of state, and the order of a frame.

use std::path::Path;
use std::sync::Arc;

use egui::{Context, Frame, Panel, Theme, Ui, ViewportCommand};

use super::action::Action;
use super::command::Command;
use super::derived::Derived;
use super::effects::Effects;
use super::files;
use super::panels;
use super::state::{Dialog, UiState};
use super::theme::Tokens;
use super::view::ViewCtx;
use crate::history::Document;
use crate::model::{PhaseId, Scenario};

/// The window.
#[derive(Debug)]
pub struct Application {
    pub(super) document: Document,
    pub(super) ui: UiState,
    pub(super) derived: Derived,
    pub(super) effects: Effects,
    title: String,
}

impl Application {
    /// Makes the window for a scenario.
    ///
    /// `dark` is the desktop's theme, which counts until somebody chose one here.
    pub fn new(scenario: Scenario, effects: Effects, dark: bool) -> Self {
        let dark = effects.remembered_dark().unwrap_or(dark);
        let document = Document::opened(scenario);
        let phase = first_phase(document.scenario());
        let mut ui = UiState::new(phase, dark);
        ui.shared.recent = effects.recent();
        let derived = Derived::new(&document, phase, &ui.board.folded);
        Self {
            document,
            ui,
            derived,
            effects,
            title: String::new(),
        }
    }

    /// Makes the window as it first opens: with a file, or with the shipped incident.
    pub fn at_start(file: Option<&Path>, effects: Effects, dark: bool) -> Self {
        let mut this = Self::new(files::first_scenario(), effects, dark);
        if let Some(file) = file {
            this.open_path(file);
        }
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

    /// Returns what the window's title says.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Returns the open findings.
    pub fn findings(&self) -> &[crate::model::Finding] {
        &self.derived.report.open
    }

    /// Does what needs no drawing: answers of the file chooser, closing, the title.
    pub fn logic(&mut self, ctx: &Context) {
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
        ctx.set_theme(if self.ui.look.dark {
            Theme::Dark
        } else {
            Theme::Light
        });
        let tokens = Tokens::of(self.ui.look.dark);
        self.keep_phase();
        self.derived.refresh(
            &self.document,
            self.ui.shared.phase,
            (&self.ui.board.overlay, &self.ui.board.folded),
            self.ui.shared.talk.map(|t| t.party),
        );
        let mut actions: Vec<Action> = Vec::new();
        let mut hint = String::new();
        let today = self.effects.today();
        let scenario = Arc::clone(self.document.scenario());
        if self.ui.dialog.is_none() {
            let at_port = matches!(
                self.selection().as_slice(),
                [crate::model::ThingId::Port(_)]
            );
            shortcuts(&ctx, at_port, &mut actions);
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
                finder,
                views,
                dialog,
                toast,
                look,
                planner,
                ..
            } = &mut self.ui;
            let mut view = ViewCtx {
                scenario: &scenario,
                document: &self.document,
                derived: &self.derived,
                shared,
                tokens,
                today: &today,
                actions: &mut actions,
                hint: &mut hint,
            };
            let bar = Frame::new().fill(tokens.panel);
            Panel::top("top-bar")
                .frame(bar.inner_margin(egui::Margin::symmetric(12, 6)))
                .show(ui, |ui| panels::top_bar_ui(&mut view, ui, look.dark));
            Panel::bottom("status-bar")
                .frame(bar.inner_margin(egui::Margin::symmetric(14, 5)))
                .show(ui, |ui| panels::status_bar_ui(&mut view, ui));
            if look.shelf {
                Panel::left("shelf")
                    .frame(bar.inner_margin(egui::Margin::symmetric(10, 12)))
                    .resizable(false)
                    .exact_size(148.0)
                    .show(ui, |ui| panels::shelf_ui(&mut view, ui));
            }
            if look.side {
                Panel::right("side")
                    .frame(bar)
                    .default_size(392.0)
                    .size_range(320.0..=640.0)
                    .show(ui, |ui| {
                        panels::side_ui(&mut view, ui, findings, details, matrix, figures);
                    });
            }
            Panel::top("strip")
                .frame(bar.inner_margin(egui::Margin::symmetric(12, 5)))
                .show(ui, |ui| super::views::strip_ui(&mut view, ui, look.beside));
            super::views::middle_ui(&mut view, ui, views, board, look.beside);
            panels::calculators_ui(&mut view, &ctx, calculators);
            panels::finder_ui(&mut view, &ctx, finder);
            panels::toast_ui(&view, &ctx, toast);
            panels::dialogs_ui(&mut view, &ctx, dialog, planner);
        }
        self.ui.shared.hint = hint;
        dropped_files(&ctx, &mut actions);
        for action in actions {
            self.act(&ctx, action);
        }
    }

    /// Shows a phase that exists.
    fn keep_phase(&mut self) {
        let scenario = self.document.scenario();
        if !scenario.phases.contains(self.ui.shared.phase) {
            self.ui.shared.phase = first_phase(scenario);
        }
        self.ui.shared.selection.retain(|t| scenario.contains(*t));
        if let Some(talk) = self.ui.shared.talk
            && !scenario.contains(talk.party.into())
        {
            self.ui.shared.talk = None;
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
    for command in Command::by_modifiers() {
        if typing && command.is_bare() {
            continue;
        }
        if at_port && command.is_digit() {
            continue;
        }
        // Undo while typing is the field's own.
        if typing && matches!(command, Command::SelectAll | Command::Undo | Command::Redo) {
            continue;
        }
        if let Some(shortcut) = command.shortcut()
            && ctx.input_mut(|i| i.consume_shortcut(&shortcut))
        {
            actions.push(Action::Command(command));
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

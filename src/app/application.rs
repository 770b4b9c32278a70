//! The window's one object: the three kinds of state, and the order of a frame.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use egui::{Context, Frame, Panel, Ui, ViewportCommand};

use super::action::Action;
use super::command::Command;
use super::derived::Derived;
use super::effects::{Effects, Stamp};
use super::files::{self, FileProblem};
use super::input::{Wanted, clipboard, dropped_files, shortcuts};
use super::memory::{Memory, SIDE};
use super::panels::{self, Landmarks};
use super::run::{Errand, Keeping};
use super::state::{Dialog, UiState};
use super::theme::{Colours, Tokens};
use super::view::ViewCtx;
use super::work::Work;
use crate::history::Document;
use crate::model::{Edit, PhaseId, Scenario, ThingId};

/// A file that was read, with the scenario or everything wrong with it.
pub(super) type Opened = (PathBuf, Option<Stamp>, Result<Scenario, Vec<FileProblem>>);

/// The window.
#[derive(Debug)]
pub struct Application {
    pub(super) document: Document,
    pub(super) ui: UiState,
    pub(super) derived: Derived,
    pub(super) effects: Effects,
    /// What is known about keeping and watching.
    pub(super) keeping: Keeping,
    /// Counts the documents opened in this window.
    pub(super) opened: u32,
    /// The document, and its revision, for which the file chooser was asked.
    pub(super) asked_for: Option<(u32, u64)>,
    /// What was kept at a crash is still to be offered.
    recovery_due: bool,
    /// A file that a thread reads.
    pub(super) opening: Option<Work<Opened>>,
    /// What threads are out for.
    pub(super) errands: Vec<Errand>,
    /// What was to be saved while saving was under way.
    pub(super) save_again: Option<PathBuf>,
    title: String,
    /// A selection of which everything is in a scenario.
    selected_of: Option<(Arc<Scenario>, BTreeSet<ThingId>)>,
    /// The colours, size of controls and scale last given to the toolkit.
    pub(super) dressed: Option<(Colours, bool, f32)>,
    /// What is kept for the next start.
    pub(super) memory: Memory,
    /// When what is to be kept moved last, in seconds of the window's clock.
    pub(super) memory_moved: f64,
    /// It is on the disk.
    pub(super) is_remembered: bool,
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
        let mut ui = UiState::new(phase, dark, memory.clone());
        ui.shared.recent = effects.recent();
        let keeping = Keeping::new(&document);
        ui.shared.own = Arc::new(super::files::own_things(
            effects.kept_things().ok().flatten().as_deref(),
        ));
        let derived = Derived::new(&document, phase, &ui.board.folded);
        Self {
            document,
            ui,
            derived,
            effects,
            keeping,
            opened: 0,
            asked_for: None,
            recovery_due: false,
            opening: None,
            errands: Vec::new(),
            save_again: None,
            title: String::new(),
            selected_of: None,
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
        if let Some(reason) = this.effects.trouble() {
            let words = "Nothing is kept for recovery, and nothing remembered";
            this.say(format!("{words}: {reason}"));
        }
        this.recovery_due = true;
        this
    }

    /// Opens a file.
    pub fn open(&mut self, ctx: &Context, path: &Path) {
        self.open_path(ctx, path);
    }

    /// Returns the document.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// Returns what the window remembers, for tests.
    pub fn selection(&self) -> Vec<ThingId> {
        self.ui.shared.selection.iter().copied().collect()
    }

    /// Selects things.
    pub fn select(&mut self, things: Vec<ThingId>) {
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

    /// Returns who loses whom by what is out of service.
    pub fn lost(&self) -> Option<&crate::picture::what_if::Lost> {
        self.derived.missed.as_ref()
    }

    /// Returns what the window's title says.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Returns the open findings.
    pub fn findings(&self) -> &crate::checks::Findings {
        &self.derived.report.open
    }

    /// Tells whether hearing and findings are those of the plan as it is now.
    pub fn is_worked_out(&self) -> bool {
        self.derived.is_current()
    }

    /// Stops what is being worked out, as the button in the status bar does.
    pub fn stop_working(&mut self) {
        if self.derived.is_taking_out() {
            self.ui.shared.out.clear();
            self.say("Stopped: everything is in service again".to_owned());
        }
        self.derived.give_up();
    }

    /// Tells whether a thread works out something that was asked, or is out to save or to read.
    pub fn is_busy(&self) -> bool {
        !self.errands.is_empty() || self.derived.asked_for().is_some()
    }

    /// Changes the scenario as one step, as a view asks for it.
    pub fn apply_edits(&mut self, label: &str, edits: &[Edit]) {
        let answer = self.document.apply(label, edits);
        self.told(answer);
    }

    /// Does what needs no drawing: answers of the file chooser, closing, the title.
    pub fn logic(&mut self, ctx: &Context) {
        self.take_opened();
        self.take_errands(ctx);
        if self.recovery_due && self.ui.dialog.is_none() && self.opening.is_none() {
            self.recovery_due = false;
            self.offer_recovery();
        }
        self.keep_and_watch(ctx);
        while let Some(answer) = self.effects.answer() {
            self.answered(ctx, answer);
        }
        self.take_papers(ctx);
        if ctx.input(|i| i.viewport().close_requested()) {
            if self.ui.may_quit || self.derived.is_saved {
                self.end_errands(|_| true);
            } else {
                ctx.send_viewport_cmd(ViewportCommand::CancelClose);
                self.do_command(ctx, Command::Quit);
            }
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
        let tokens = Tokens::of(self.ui.look.colours);
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
        let closed;
        let mut lit = Vec::new();
        let (today, time) = (self.effects.today(), self.effects.time());
        let scenario = Arc::clone(self.document.scenario());
        if self.ui.dialog.is_none() {
            let wanted = Wanted {
                port: matches!(self.selection().as_slice(), [ThingId::Port(_)])
                    || super::port_keys::has_port_in_focus(&ctx),
                field: self.ui.adder.is_open() || self.ui.finder.is_open(),
                paper: self.ui.paper.open,
            };
            shortcuts(&ctx, wanted, &mut actions);
            if !wanted.paper {
                clipboard(&ctx, self.ui.shared.view, &mut actions);
            }
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
                paper,
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
                time: &time,
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
            // The papers take the room of all that is about the board.
            let is_board = !paper.open;
            if look.shelf && is_board {
                let panel = Panel::left("shelf")
                    .frame(bar.inner_margin(egui::Margin::symmetric(10, 12)))
                    .resizable(false)
                    .exact_size(196.0)
                    .show(ui, |ui| panels::shelf_ui(&mut view, ui, shelf_state));
                shelf = Some(panel.response.rect);
            }
            let mut side = None;
            if look.side && is_board {
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
            let (strip, middle) = if is_board {
                let strip = Panel::top("strip")
                    .frame(bar.inner_margin(egui::Margin::symmetric(12, 5)))
                    .show(ui, |ui| super::views::strip_ui(&mut view, ui, look.beside))
                    .response
                    .rect;
                let middle = ui.available_rect_before_wrap();
                super::views::middle_ui(&mut view, ui, views, board, look.beside);
                (strip, middle)
            } else {
                let middle = ui.available_rect_before_wrap();
                panels::paper_ui(&mut view, ui, paper);
                (egui::Rect::NOTHING, middle)
            };
            if is_board {
                panels::calculators_ui(&mut view, &ctx, calculators);
            }
            panels::finder_ui(&mut view, &ctx, finder);
            panels::adder_ui(&mut view, &ctx, adder, board.camera.view);
            if dialog.is_none() && is_board {
                let marks = Landmarks {
                    top,
                    shelf,
                    side,
                    strip,
                    middle,
                };
                panels::tour_ui(&mut view, &ctx, tour, &marks);
            }
            panels::toast_ui(&mut view, &ctx, toast, middle);
            let was_open = dialog.is_some();
            panels::dialogs_ui(&mut view, &ctx, dialog, planner);
            // A question that was closed is answered by no: nothing waits for it any more.
            closed = was_open && dialog.is_none();
        }
        if closed {
            self.ui.after_save = None;
        }
        self.ui.shared.hint = hint;
        dropped_files(&ctx, &mut actions);
        for action in actions {
            self.act(&ctx, action);
        }
    }

    /// Shows a phase that exists.
    fn keep_phase(&mut self) {
        let scenario = &Arc::clone(self.document.scenario());
        if !scenario.phases.contains(self.ui.shared.phase) {
            self.ui.shared.phase = first_phase(scenario);
        }
        let selection = &mut self.ui.shared.selection;
        // A thousand things are not looked up again in every frame.
        let is_known = |(of, kept): &(Arc<Scenario>, BTreeSet<ThingId>)| {
            Arc::ptr_eq(of, scenario) && kept == selection
        };
        if !self.selected_of.as_ref().is_some_and(is_known) {
            selection.retain(|t| scenario.contains(*t));
            self.selected_of = Some((Arc::clone(scenario), selection.clone()));
        }
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

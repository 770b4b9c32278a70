//! The papers over the middle: what to print on the left, the pages as they will be, and a list of them.
//!
//! What a page says is made by `paperwork`; here it is only asked for, shown and turned. Siblings:
//! `choice` is what was chosen, `setting` has the threads, `sheets` the pages as textures, `options`,
//! `preview` and `list` draw.

mod choice;
mod list;
mod options;
mod preview;
mod setting;
mod sheets;

use egui::{CentralPanel, Frame, Margin, Panel, RichText, Ui};

pub(crate) use setting::Made;

use crate::app::command::Command;
use crate::app::memory::PaperMemory;
use crate::app::theme::{Sign, primary_button, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::model::Scenario;
use choice::Choice;
use preview::Zoom;
use setting::{Making, Setting};
use sheets::Sheets;

/// Width of what is chosen, in points.
const OPTIONS: f32 = 316.0;
/// Width of the list of papers, in points.
const LIST: f32 = 196.0;
/// Width of the window below which the list gives its room to the page.
const NARROW: f32 = 1_000.0;

/// What the papers remember.
#[derive(Debug)]
pub(crate) struct PaperState {
    /// They are shown.
    pub(crate) open: bool,
    pub(crate) choice: Choice,
    setting: Setting,
    sheets: Sheets,
    /// Files on their way into a folder.
    pub(crate) making: Option<Making>,
    /// The page looked at, from 0.
    page: usize,
    zoom: Zoom,
    /// The page takes the keys as soon as it is there.
    wants_keys: bool,
}

impl PaperState {
    /// Makes it with what was given the last time.
    pub(crate) fn new(memory: PaperMemory) -> Self {
        Self {
            open: false,
            choice: Choice::new(memory),
            setting: Setting::default(),
            sheets: Sheets::default(),
            making: None,
            page: 0,
            zoom: Zoom::default(),
            wants_keys: false,
        }
    }

    /// Opens it.
    pub(crate) fn open(&mut self) {
        self.wants_keys = !self.open;
        self.open = true;
    }

    /// Closes it and forgets the pages; what was chosen stays. Returns whether it was open.
    pub(crate) fn close(&mut self) -> bool {
        self.setting.clear();
        self.sheets.clear();
        std::mem::take(&mut self.open)
    }

    /// Forgets what belonged to the scenario before.
    pub(crate) fn start_over(&mut self) {
        self.close();
        self.cancel();
        self.page = 0;
    }

    /// Ends the making of files; returns whether there was any to end. What is being written stays.
    pub(crate) fn cancel(&mut self) -> bool {
        let Some(making) = self.making.take_if(|making| !making.is_writing) else {
            return false;
        };
        making.work.stop();
        true
    }

    /// Tells whether the pages shown are of the plan and the choice as they are now; for tests.
    pub(crate) fn is_set(&self, ask: &crate::paperwork::Ask) -> bool {
        self.setting.is_of(ask)
    }
}

/// Shows the papers.
pub(crate) fn paper_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut PaperState) {
    let t = ctx.tokens;
    let ground = Frame::new().fill(t.panel);
    let margin = Margin::symmetric(14, 12);
    "Read the papers before you hand them out.".clone_into(ctx.hint);
    if is_empty(ctx.scenario) {
        CentralPanel::default()
            .frame(ground.inner_margin(margin))
            .show(ui, |ui| empty_ui(ctx, ui));
        return;
    }
    let width = ui.available_width();
    Panel::left("paper-options")
        .frame(ground.inner_margin(margin))
        .resizable(false)
        .exact_size(OPTIONS)
        .show(ui, |ui| options::options_ui(ctx, ui, state));
    let ask = state.choice.ask(ctx.scenario, ctx.shared.phase);
    state.setting.refresh(ui.ctx(), &ask);
    if width >= NARROW {
        Panel::right("paper-list")
            .frame(ground.inner_margin(margin))
            .resizable(false)
            .exact_size(LIST)
            .show(ui, |ui| list::list_ui(ctx, ui, state));
    }
    CentralPanel::default()
        .frame(Frame::new().fill(t.canvas))
        .show(ui, |ui| preview::preview_ui(ctx, ui, state, &ask));
}

/// Tells whether a plan has nothing that could stand on paper.
fn is_empty(s: &Scenario) -> bool {
    s.units.is_empty() && s.channels.is_empty() && s.gateways.is_empty()
}

fn empty_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.vertical_centered(|ui| {
        ui.add_space((ui.available_height() / 3.0).max(20.0));
        sign_label(ui, Sign::Paper, 32.0, t.faint);
        ui.add_space(8.0);
        let head = RichText::new("Nothing to print yet").font(semibold(17.0));
        ui.label(head.color(t.text));
        let text = "Add units, channels and a gateway to the board first. The forms, cards and \
                    sheets are made from them.";
        ui.set_max_width(420.0);
        ui.add(egui::Label::new(RichText::new(text).color(t.soft)).wrap());
        ui.add_space(8.0);
        if primary_button(ui, t, "Back to the board").clicked() {
            ctx.command(Command::ViewBoard);
        }
    });
}

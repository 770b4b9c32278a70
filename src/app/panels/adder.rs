//! The field in which one types what to add: a preview while typing, completions below, Enter adds.

use std::sync::Arc;

use egui::{
    Area, Context, CornerRadius, Event, Frame, Id, Key, Margin, Modifiers, Order, Rect, RichText,
    Stroke, TextEdit, Ui, vec2,
};

use crate::app::action::Action;
use crate::app::theme::{Sign, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::library::typed::{Completion, Typed, typed};
use crate::model::Scenario;

/// Width of the field with all below it, in points.
const WIDTH: f32 = 520.0;

/// What the field remembers.
#[derive(Debug, Default)]
pub(crate) struct AdderState {
    open: bool,
    /// The field is to have the keys.
    wants_focus: bool,
    text: String,
    /// The completion chosen by the arrow keys.
    chosen: Option<usize>,
    /// The answer to a text about a scenario, until either changes.
    answer: Option<(String, Arc<Scenario>, Typed)>,
}

impl AdderState {
    /// Opens the field with nothing in it.
    pub(crate) fn open(&mut self) {
        *self = Self {
            open: true,
            wants_focus: true,
            ..Self::default()
        };
    }

    /// Tells whether the field is open.
    pub(crate) fn is_open(&self) -> bool {
        self.open
    }

    /// Closes the field; returns whether it was open.
    pub(crate) fn close(&mut self) -> bool {
        std::mem::take(&mut self.open)
    }

    fn answer(&mut self, ctx: &ViewCtx<'_>) -> Typed {
        if let Some((text, scenario, answer)) = &self.answer
            && *text == self.text
            && Arc::ptr_eq(scenario, ctx.scenario)
        {
            return answer.clone();
        }
        let own = Some(ctx.shared.own.as_ref());
        let answer = typed(ctx.scenario, ctx.shared.phase, own, &self.text);
        let scenario = Arc::clone(ctx.scenario);
        self.answer = Some((self.text.clone(), scenario, answer.clone()));
        answer
    }
}

/// Shows the field over the board, if it is open.
pub(crate) fn adder_ui(ctx: &mut ViewCtx<'_>, egui: &Context, state: &mut AdderState, board: Rect) {
    if !state.open {
        return;
    }
    let t = ctx.tokens;
    let around = if board.is_positive() {
        board
    } else {
        egui.content_rect()
    };
    let width = WIDTH.min(around.width() - 32.0).max(240.0);
    let at = around.center_top() + vec2(-width / 2.0, 18.0);
    Area::new(Id::unique("type-to-add"))
        .order(Order::Foreground)
        .fixed_pos(at)
        .show(egui, |ui| {
            Frame::new()
                .fill(t.panel)
                .stroke(Stroke::new(1.4, t.accent.ink))
                .corner_radius(CornerRadius::same(12))
                .inner_margin(Margin::symmetric(14, 11))
                .show(ui, |ui| {
                    ui.set_width(width);
                    contents(ctx, ui, state);
                });
        });
}

fn contents(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut AdderState) {
    let t = ctx.tokens;
    let key = taken(ui);
    let label = ui
        .horizontal(|ui| {
            sign_label(ui, Sign::Plus, 16.0, t.accent.ink);
            let label = ui.label(
                RichText::new("Type to add")
                    .font(semibold(14.0))
                    .color(t.text),
            );
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                if sign_button(ui, t, Sign::Cross, "Close the field", true).clicked() {
                    state.open = false;
                }
            });
            label
        })
        .inner;
    let id = Id::unique("type-to-add-field");
    if state.wants_focus {
        take_ahead(ui, state, id);
    }
    let field = TextEdit::singleline(&mut state.text)
        .id(id)
        .hint_text("fire 12 VHF")
        .desired_width(f32::INFINITY)
        // Tab completes and does not leave.
        .lock_focus(true)
        .show(ui);
    let response = field.response.response.labelled_by(label.id);
    if response.changed() {
        state.chosen = None;
    }
    if key == Some(Key::Escape) {
        state.open = false;
    }
    let typed = state.answer(ctx);
    walk(state, key, typed.completions.len());
    let enters = key == Some(Key::Enter);
    if key == Some(Key::Tab) || (enters && state.chosen.is_some()) {
        let n = state.chosen.unwrap_or(0);
        if let Some(completion) = typed.completions.get(n) {
            fill(ui, state, completion, response.id);
        }
    } else if enters {
        add(ctx, state, &typed);
        response.request_focus();
    }
    preview(ctx, ui, &typed, state.text.trim().is_empty());
    for (n, completion) in typed.completions.iter().enumerate() {
        if row(ctx, ui, completion, state.chosen == Some(n)) {
            fill(ui, state, completion, response.id);
        }
    }
    ui.add_space(2.0);
    ui.label(
        RichText::new("Enter adds, Tab completes, Escape closes")
            .size(11.5)
            .color(t.faint),
    );
}

/// Takes the key that is the field's while it is open.
fn taken(ui: &Ui) -> Option<Key> {
    // A button reached by the keys keeps its own; Escape closes from there too.
    let all = [
        Key::Escape,
        Key::Enter,
        Key::Tab,
        Key::ArrowUp,
        Key::ArrowDown,
    ];
    let n = if ui.ctx().text_edit_focused() { 5 } else { 1 };
    all.into_iter()
        .take(n)
        .find(|key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, *key)))
}

fn walk(state: &mut AdderState, key: Option<Key>, n: usize) {
    match key {
        _ if n == 0 => state.chosen = None,
        Some(Key::ArrowDown) => {
            state.chosen = Some(state.chosen.map_or(0, |i| (i + 1).min(n - 1)));
        }
        Some(Key::ArrowUp) => state.chosen = state.chosen.and_then(|i| i.checked_sub(1)),
        _ => {}
    }
}

/// Takes what is typed before the field has the keys, and asks for them until it has.
fn take_ahead(ui: &Ui, state: &mut AdderState, field: Id) {
    state.wants_focus = !ui.memory(|m| m.has_focus(field));
    ui.memory_mut(|m| m.request_focus(field));
    if !state.wants_focus {
        return;
    }
    let before = state.text.len();
    ui.input_mut(|i| {
        i.events.retain(|event| match event {
            Event::Text(text) => {
                state.text.push_str(text);
                false
            }
            _ => true,
        });
    });
    if state.text.len() > before {
        caret_at_end(ui, state, field);
    }
}

/// Puts a completion into the field, with the caret at its end.
fn fill(ui: &Ui, state: &mut AdderState, completion: &Completion, field: Id) {
    state.text.clone_from(&completion.text);
    state.chosen = None;
    state.wants_focus = true;
    caret_at_end(ui, state, field);
}

fn caret_at_end(ui: &Ui, state: &AdderState, field: Id) {
    let mut edit = egui::text_edit::TextEditState::load(ui.ctx(), field).unwrap_or_default();
    let end = egui::text::CCursor::new(state.text.chars().count());
    let range = egui::text::CCursorRange::one(end);
    edit.cursor.set_char_range(Some(range));
    edit.store(ui.ctx(), field);
    ui.ctx().request_repaint();
}

/// Asks for what is offered and empties the field for the next.
fn add(ctx: &mut ViewCtx<'_>, state: &mut AdderState, typed: &Typed) {
    if let Ok(offer) = &typed.answer {
        ctx.push(Action::AddOffer(offer.clone()));
        state.text.clear();
        state.chosen = None;
    }
}

fn preview(ctx: &ViewCtx<'_>, ui: &mut Ui, typed: &Typed, is_empty: bool) {
    let t = ctx.tokens;
    let (sign, ink, text) = match &typed.answer {
        Ok(offer) => (Sign::Tick, t.good.ink, &offer.sentence),
        Err(why) if is_empty => (Sign::Notes, t.notes.ink, why),
        Err(why) => (Sign::Warns, t.warns.ink, why),
    };
    ui.horizontal_top(|ui| {
        sign_label(ui, sign, 15.0, ink);
        ui.add(egui::Label::new(RichText::new(text).color(t.text)).wrap());
    });
}

fn row(ctx: &ViewCtx<'_>, ui: &mut Ui, completion: &Completion, chosen: bool) -> bool {
    let t = ctx.tokens;
    let text = RichText::new(completion.text.trim_end()).color(t.text);
    let mut button = egui::Button::new(text)
        .frame_when_inactive(chosen)
        .corner_radius(CornerRadius::same(6))
        .shortcut_text(RichText::new(&completion.about).size(11.5).color(t.faint));
    if chosen {
        button = button.fill(t.hover);
    }
    ui.add_sized(vec2(ui.available_width(), 22.0), button)
        .on_hover_text("Puts this into the field")
        .clicked()
}

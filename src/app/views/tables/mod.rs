//! The view of everything as tables: one tab a kind, cells to type and paste into.
//!
//! `sheets` says what the columns are and what a text in a cell means; here is only the cursor, the
//! drawing and the keys. Siblings: `lines` keeps the rows as text, `keys` and `clip` do what is asked
//! for, `edit` holds the cell being typed in, `grid` draws.

mod clip;
mod edit;
mod grid;
mod heads;
mod keys;
mod lines;

use std::collections::BTreeMap;

use egui::accesskit::Role;
use egui::{
    Context, CornerRadius, Event, Id, Key, Modifiers, Response, RichText, ScrollArea, Sense,
    Stroke, StrokeKind, TextEdit, Ui, WidgetInfo, pos2, vec2,
};

use self::clip::Pasting;
use self::edit::Editing;
use self::lines::Lines;
use crate::app::command::Command;
use crate::app::theme::{
    Sign, Tokens, kind_sign, paint_sign, quiet_button, semibold, sign_label, text_button,
};
use crate::app::view::ViewCtx;
use crate::sheets::{Row, SHEETS, Sheet};

/// A cell: a row as shown, from 0, the empty one last; and a column, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
struct Spot {
    row: usize,
    column: usize,
}

/// A text that a cell does not take.
#[derive(Debug, Clone)]
struct Bad {
    text: String,
    reason: String,
}

/// What is remembered of one table.
#[derive(Debug, Default)]
struct Leaf {
    cursor: Spot,
    /// The other corner of the range selected.
    anchor: Spot,
    /// The column the rows are sorted by, and whether the last comes first.
    sort: Option<(usize, bool)>,
    filter: String,
    /// Widths of columns that were changed, in points.
    widths: BTreeMap<usize, f32>,
    /// Cells that do not take what is typed in them; no row is the empty one.
    bad: BTreeMap<(Option<Row>, usize), Bad>,
    /// What is typed into the empty row so far.
    pending: BTreeMap<usize, String>,
    /// Bring the cursor into view.
    reveal: bool,
}

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct TablesState {
    sheet: usize,
    leaves: BTreeMap<usize, Leaf>,
    lines: Option<Lines>,
    editing: Option<Editing>,
    pasting: Option<Pasting>,
    /// What was pressed behind a key that leaves a cell, for the next frame.
    later: Vec<Event>,
    /// Counts the cells typed in, so that each has an editor of its own.
    serial: u64,
}

/// Returns the identity of the cells as a whole, which hold the keyboard's focus.
fn cells_id() -> Id {
    Id::unique("cells of the tables")
}

/// Tells whether the keys go to the cells of the tables.
pub(crate) fn in_cells(ctx: &Context) -> bool {
    ctx.memory(|m| m.has_focus(cells_id()))
}

/// Tells whether the shortcut of a command means something else while the cells have the keys.
pub(crate) fn is_for_cells(command: Command) -> bool {
    command.is_bare()
        || command.shortcut().is_some_and(|s| {
            let keys = [
                Key::A,
                Key::C,
                Key::D,
                Key::V,
                Key::X,
                Key::Enter,
                Key::Delete,
            ];
            let is_cell_command =
                s.modifiers == Modifiers::COMMAND && keys.contains(&s.logical_key);
            is_cell_command || (s.modifiers.is_none() && s.logical_key == Key::F2)
        })
}

impl TablesState {
    fn sheet(&self) -> &'static dyn Sheet {
        SHEETS.get(self.sheet).copied().unwrap_or(SHEETS[0])
    }

    fn leaf(&mut self) -> &mut Leaf {
        self.leaves.entry(self.sheet).or_default()
    }

    fn turn_to(&mut self, sheet: usize) {
        self.sheet = sheet;
        self.editing = None;
        self.pasting = None;
        self.lines = None;
    }
}

/// Shows everything as tables.
pub(super) fn tables_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    if !state.later.is_empty() {
        let mut events = std::mem::take(&mut state.later);
        ui.input_mut(|i| {
            events.append(&mut i.events);
            i.events = events;
        });
        ui.ctx().request_repaint();
    }
    tabs(ctx, ui, state);
    state.refresh(ctx);
    keys::keys(ctx, ui, state);
    tools(ctx, ui, state);
    clip::paste_bar(ctx, ui, state);
    let foot = 30.0;
    let size = vec2(
        ui.available_width(),
        (ui.available_height() - foot).max(80.0),
    );
    ui.allocate_ui(size, |ui| {
        ui.set_min_size(size);
        grid::grid_ui(ctx, ui, state);
    });
    foot_ui(ctx, ui, state);
}

/// The tabs, one a kind.
fn tabs(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    let t = ctx.tokens;
    ScrollArea::horizontal()
        .id_salt("table tabs")
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 2.0;
                for (index, sheet) in SHEETS.iter().enumerate() {
                    let is_on = index == state.sheet;
                    if tab(ui, t, *sheet, is_on).clicked() && !is_on {
                        state.commit(ctx, edit::Leave::Stay);
                        state.turn_to(index);
                    }
                }
            });
        });
}

fn tab(ui: &mut Ui, t: &Tokens, sheet: &dyn Sheet, is_on: bool) -> Response {
    let ink = if is_on { t.accent.ink } else { t.soft };
    let text = ui
        .painter()
        .layout_no_wrap(sheet.name().to_owned(), semibold(12.5), ink);
    let size = vec2(text.size().x + 42.0, 28.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let label = format!("Table: {}", sheet.name());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_on, &label));
    let painter = ui.painter();
    if is_on {
        painter.rect_filled(rect, CornerRadius::same(8), t.accent.ground);
    } else if response.hovered() || response.has_focus() {
        painter.rect_filled(rect, CornerRadius::same(8), t.hover);
    }
    if response.has_focus() {
        let edge = Stroke::new(1.5, t.accent.ink);
        painter.rect_stroke(rect, CornerRadius::same(8), edge, StrokeKind::Inside);
    }
    let middle = pos2(rect.min.x + 18.0, rect.center().y);
    paint_sign(painter, kind_sign(sheet.kind()), middle, 15.0, ink);
    let at = pos2(rect.min.x + 31.0, rect.center().y - text.size().y / 2.0);
    painter.galley(at, text, ink);
    response.on_hover_text(format!(
        "Shows the table of {}",
        sheet.name().to_lowercase()
    ))
}

/// The filter, what can be done with the table, and how much is shown.
fn tools(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, Sign::Search, 15.0, t.faint);
        let leaf = state.leaf();
        let field = TextEdit::singleline(&mut leaf.filter)
            .id(Id::unique("filter of the tables"))
            .hint_text("Filter rows")
            .desired_width(190.0)
            .margin(vec2(8.0, 5.0));
        let response = ui.add(field);
        let node = |node: &mut egui::accesskit::Node| node.set_label("Filter rows");
        ui.ctx().accesskit_node_builder(response.id, node);
        let response = response.on_hover_text("Shows only rows with this in one of their cells");
        if response.changed() {
            state.show_rows();
        }
        if state.leaf().sort.is_some()
            && text_button(ui, t, "In the order of the file")
                .on_hover_text("Ends the sorting")
                .clicked()
        {
            state.leaf().sort = None;
            state.show_rows();
        }
        if text_button(ui, t, "Copy the table")
            .on_hover_text("Copies the rows shown with their headings, for a spreadsheet")
            .clicked()
        {
            let text = state.whole_text();
            ui.ctx().copy_text(text);
            ctx.push(crate::app::action::Action::Say(
                "Copied the table".to_owned(),
            ));
        }
        let chosen = state.chosen_rows();
        let words = match chosen.len() {
            0 | 1 => "Delete the row".to_owned(),
            n => format!("Delete {n} rows"),
        };
        if !chosen.is_empty()
            && text_button(ui, t, &words)
                .on_hover_text(
                    "Takes the rows of the selected cells out of the scenario (Ctrl+Delete)",
                )
                .clicked()
        {
            keys::delete_rows(ctx, state);
        }
        let count = state.count_words();
        ui.label(RichText::new(count).size(12.5).color(t.faint));
    });
}

/// One line about the cell under the cursor: what is wrong with it, or what may be typed.
fn foot_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    let t = ctx.tokens;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let bad = state.leaf().bad.len();
        if bad > 0 {
            let words = match bad {
                1 => "1 cell to mend".to_owned(),
                n => format!("{n} cells to mend"),
            };
            if text_button(ui, t, &words)
                .on_hover_text("Goes to the next cell that does not take what is typed in it")
                .clicked()
            {
                state.next_bad();
                ui.memory_mut(|m| m.request_focus(cells_id()));
            }
            if quiet_button(ui, t, "Take back what does not fit")
                .on_hover_text("Shows in these cells again what the plan has")
                .clicked()
            {
                let leaf = state.leaf();
                leaf.bad.clear();
                leaf.pending.clear();
            }
        }
        let cursor = state.leaf().cursor;
        let key = (state.row_at(cursor.row), cursor.column);
        let (sign, ink, words) = match state.leaf().bad.get(&key) {
            Some(bad) => (Some(Sign::Warns), t.stops.ink, bad.reason.clone()),
            None => (None, t.faint, state.hint_words()),
        };
        if let Some(sign) = sign {
            sign_label(ui, sign, 14.0, ink);
        }
        ui.add(egui::Label::new(RichText::new(words).size(12.5).color(ink)).truncate());
    });
}

impl TablesState {
    /// Says how many rows are shown of how many.
    fn count_words(&self) -> String {
        let Some(lines) = &self.lines else {
            return String::new();
        };
        let (shown, all) = (lines.shown.len(), lines.rows.len());
        match (shown == all, all) {
            (true, 1) => "1 row".to_owned(),
            (true, _) => format!("{all} rows"),
            (false, _) => format!("{shown} of {all} rows"),
        }
    }

    /// Says what may be typed under the cursor, and what the empty row still needs.
    fn hint_words(&mut self) -> String {
        let sheet = self.sheet();
        let cursor = self.leaf().cursor;
        let is_new = self.row_at(cursor.row).is_none();
        if is_new && !self.leaf().pending.is_empty() {
            let pending = &self.leaf().pending;
            let needed: Vec<String> = (0..sheet.columns())
                .filter(|c| !pending.contains_key(c))
                .filter_map(|c| sheet.heading(c))
                .filter(|h| h.needed)
                .map(crate::sheets::Heading::title)
                .collect();
            if !needed.is_empty() {
                return format!("Still needed: {}", needed.join(", "));
            }
        }
        sheet
            .heading(cursor.column)
            .map(|h| format!("{}: {}", h.title(), h.hint))
            .unwrap_or_default()
    }
}

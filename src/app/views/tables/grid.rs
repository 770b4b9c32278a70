//! The drawing of a table: headings that stay, the first columns that stay, the rows in view, and what
//! the pointer does with them.
//!
//! The toolkit's own table scrolls one way and keeps no column in place, so the cells are laid out
//! here; only what is in view is drawn.

use egui::accesskit::Role;
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Align2, Color32, EventFilter, FontId, Painter, Pos2, Rect, ScrollArea, Sense, Stroke,
    StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::edit::{Begin, Leave, editor};
use super::heads::headings;
use super::{Spot, TablesState, cells_id};
use crate::app::action::Action;
use crate::app::state::Tab;
use crate::app::theme::{Sign, Tokens, paint_sign, severity_pair, severity_sign};
use crate::app::view::ViewCtx;
use crate::sheets::{Heading, Row, Sheet};

const ROW: f32 = 27.0;
pub(super) const HEAD: f32 = 30.0;
/// Width of the column with the sign of a row.
pub(super) const GUTTER: f32 = 34.0;
/// Points a letter takes, about.
const LETTER: f32 = 7.4;
/// Height kept below the last row for the words of an empty table.
const BELOW: f32 = 60.0;

/// Where everything lies in this frame.
pub(super) struct Frame {
    /// What is seen of the table.
    pub(super) view: Rect,
    /// The screen's spot of the table's upper left corner.
    origin: Pos2,
    /// Left edge of each column and of what is right of the last, in the table.
    pub(super) edges: Vec<f32>,
    /// How many columns stay in place.
    pub(super) frozen: usize,
}

impl Frame {
    fn frozen_width(&self) -> f32 {
        self.edges.get(self.frozen).copied().unwrap_or(GUTTER)
    }

    fn top(&self, row: usize) -> f32 {
        self.origin.y + HEAD + row as f32 * ROW
    }

    pub(super) fn span(&self, column: usize) -> (f32, f32) {
        let at = |i: usize| self.edges.get(i).copied().unwrap_or_default();
        let base = if column < self.frozen {
            self.view.min.x
        } else {
            self.origin.x
        };
        (base + at(column), base + at(column + 1))
    }

    fn cell(&self, spot: Spot) -> Rect {
        let (left, right) = self.span(spot.column);
        let top = self.top(spot.row);
        Rect::from_min_max(pos2(left, top), pos2(right, top + ROW))
    }

    /// What is seen of a column's cells.
    fn body_of(&self, column: usize) -> Rect {
        let left = if column < self.frozen {
            self.view.min.x
        } else {
            self.view.min.x + self.frozen_width()
        };
        Rect::from_min_max(pos2(left, self.view.min.y + HEAD), self.view.max)
    }

    pub(super) fn head_of(&self, column: usize) -> Rect {
        let body = self.body_of(column);
        Rect::from_min_max(
            pos2(body.min.x, self.view.min.y),
            pos2(self.view.max.x, self.view.min.y + HEAD),
        )
    }
}

fn width_of(sheet: &dyn Sheet, column: usize, own: Option<&f32>) -> f32 {
    own.copied().unwrap_or_else(|| {
        sheet.heading(column).map_or(80.0, |h| {
            let head = h.title().chars().count() as f32 * LETTER + 30.0;
            (f32::from(h.letters) * LETTER + 16.0).max(head)
        })
    })
}

/// Shows the table.
pub(super) fn grid_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState) {
    let sheet = state.sheet();
    let widths = state.leaf().widths.clone();
    let mut edges = vec![GUTTER];
    for column in 0..sheet.columns() {
        let last = edges.last().copied().unwrap_or_default();
        edges.push(last + width_of(sheet, column, widths.get(&column)));
    }
    let fixed = (0..sheet.columns())
        .take_while(|c| sheet.heading(*c).is_some_and(|h| h.fixed))
        .count();
    let rows = state.shown() + 1;
    let size = vec2(
        edges.last().copied().unwrap_or_default() + 24.0,
        HEAD + rows as f32 * ROW + BELOW,
    );
    ScrollArea::both()
        .id_salt(("table", sheet.name()))
        .auto_shrink(false)
        .show_viewport(ui, |ui, viewport| {
            ui.set_min_size(size);
            let view = ui.clip_rect();
            let frame = Frame {
                view,
                origin: view.min - viewport.min.to_vec2(),
                edges,
                frozen: fixed.max(1),
            };
            focus(ui, state, &frame);
            reveal(ui, state, &frame);
            let first = ((view.min.y - frame.origin.y) / ROW).floor().max(0.0) as usize;
            let many = ((view.height() - HEAD) / ROW).ceil().max(0.0) as usize + 1;
            let in_view = first..(first + many).min(rows);
            body(ctx, ui, state, &frame, in_view);
            headings(ctx, ui, state, &frame);
            below(ctx, ui, state, &frame);
            if let Some(spot) = state.editing.as_ref().map(|e| e.spot) {
                let mut rect = frame.cell(spot);
                rect.max.x = rect.max.x.max(rect.min.x + 120.0).min(view.max.x - 4.0);
                if frame.body_of(spot.column).intersects(rect) {
                    editor(ctx, ui, state, rect);
                }
            }
        });
}

/// Lets the cells as a whole have the keyboard.
fn focus(ui: &Ui, state: &mut TablesState, frame: &Frame) {
    let id = cells_id();
    let response = ui.interact(frame.view, id, Sense::focusable_noninteractive());
    let sheet = state.sheet();
    let cursor = state.leaf().cursor;
    let words = cell_words(state, sheet, cursor);
    response.widget_info(|| {
        let label = format!("Cells of {}, at {words}", sheet.name().to_lowercase());
        WidgetInfo::labeled(Role::Grid, true, label)
    });
    if response.has_focus() {
        ui.memory_mut(|m| {
            m.set_focus_lock_filter(
                id,
                EventFilter {
                    tab: true,
                    horizontal_arrows: true,
                    vertical_arrows: true,
                    escape: true,
                },
            );
        });
        if response.gained_focus() {
            ui.ctx().request_repaint();
        }
    }
}

/// Scrolls until the cursor is in view, clear of what stays in place.
fn reveal(ui: &Ui, state: &mut TablesState, frame: &Frame) {
    let leaf = state.leaf();
    if !std::mem::take(&mut leaf.reveal) {
        return;
    }
    let mut rect = frame.cell(leaf.cursor);
    if leaf.cursor.column < frame.frozen {
        // It stays in place; only the row may be out of view.
        rect.min.x = frame.view.min.x;
        rect.max.x = frame.view.min.x + 1.0;
    } else {
        rect.min.x -= frame.frozen_width();
    }
    rect.min.y -= HEAD;
    rect.max.y += 4.0;
    ui.scroll_to_rect_animation(rect, None, egui::style::ScrollAnimation::none());
    ui.ctx().request_repaint();
}

/// What a screen reader says of a cell.
fn cell_words(state: &TablesState, sheet: &dyn Sheet, spot: Spot) -> String {
    let title = sheet.heading(spot.column).map(Heading::title);
    let row = match state.line_at(spot.row) {
        Some(line) => line.name.clone(),
        None => format!("New {}", sheet.row_word()),
    };
    let text = state.text_at(spot);
    let text = if text.is_empty() { "empty" } else { &text };
    format!("{row}, {}: {text}", title.unwrap_or_default())
}

fn body(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut TablesState,
    frame: &Frame,
    rows: std::ops::Range<usize>,
) {
    let columns = frame.edges.len() - 1;
    let in_view: Vec<usize> = (0..columns)
        .filter(|c| {
            let (left, right) = frame.span(*c);
            let body = frame.body_of(*c);
            right > body.min.x && left < body.max.x
        })
        .collect();
    for row in rows {
        for column in &in_view {
            let spot = Spot {
                row,
                column: *column,
            };
            cell(ctx, ui, state, frame, spot);
        }
        gutter(ctx, ui, state, frame, row);
    }
    let t = ctx.tokens;
    let edge = frame.view.min.x + frame.frozen_width();
    let end = frame.top(state.shown() + 1).min(frame.view.max.y);
    ui.painter()
        .vline(edge, frame.view.min.y..=end, Stroke::new(1.5, t.panel_edge));
}

/// One cell: its ground, its text, its marks, and what the pointer does.
fn cell(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut TablesState, frame: &Frame, spot: Spot) {
    let t = ctx.tokens;
    let sheet = state.sheet();
    let rect = frame.cell(spot);
    let seen = rect.intersect(frame.body_of(spot.column));
    if seen.width() < 2.0 || seen.height() < 2.0 {
        return;
    }
    let row = state.row_at(spot.row);
    let bad = state
        .leaf()
        .bad
        .get(&(row, spot.column))
        .map(|bad| bad.reason.clone());
    let id = cells_id().with((sheet.name(), spot.row, spot.column));
    let response = ui.interact(seen, id, Sense::CLICK | Sense::DRAG);
    response.widget_info(|| {
        let words = cell_words(state, sheet, spot);
        let label = match &bad {
            Some(reason) => format!("{words}, not taken: {reason}"),
            None => words,
        };
        WidgetInfo::labeled(Role::Cell, true, label)
    });
    let (low, high) = state.range();
    let is_in = (low.row..=high.row).contains(&spot.row)
        && (low.column..=high.column).contains(&spot.column);
    let is_cursor = state.leaf().cursor == spot;
    let painter = ui.painter().with_clip_rect(seen);
    let ground = match (&bad, is_in, row.is_none()) {
        (Some(_), ..) => t.stops.ground,
        (None, true, _) if low != high || is_cursor => t.accent.ground,
        (None, _, true) => t.panel,
        _ if spot.row % 2 == 1 => t.sunken,
        _ => t.card,
    };
    painter.rect_filled(rect, 0, ground);
    let line = Stroke::new(1.0, t.panel_edge);
    painter.hline(rect.x_range(), rect.max.y - 0.5, line);
    painter.vline(rect.max.x - 0.5, rect.y_range(), line);
    let is_list = is_cursor
        && sheet
            .heading(spot.column)
            .is_some_and(|h| h.has_choices() && !(h.fixed && row.is_some()));
    let mut inside = rect.shrink2(vec2(7.0, 0.0));
    if bad.is_some() {
        let at = pos2(rect.max.x - 12.0, rect.center().y);
        paint_sign(&painter, Sign::Warns, at, 14.0, t.stops.ink);
        inside.max.x -= 16.0;
    } else if is_list {
        let at = pos2(rect.max.x - 11.0, rect.center().y);
        paint_sign(&painter, Sign::ChevronDown, at, 12.0, t.soft);
        inside.max.x -= 14.0;
    }
    let text = state.text_at(spot);
    let ink = if bad.is_some() { t.stops.ink } else { t.text };
    if text.is_empty() && row.is_none() && spot.column == 0 && state.leaf().pending.is_empty() {
        let words = format!("New {}", sheet.row_word());
        write(&painter, inside, &words, t.faint);
    } else {
        write(&painter, inside, &text, ink);
    }
    if is_cursor {
        let has_keys = ui.memory(|m| m.has_focus(cells_id()));
        let width = if has_keys { 2.0 } else { 1.0 };
        let edge = Stroke::new(width, t.accent.ink);
        painter.rect_stroke(rect.shrink(1.0), 2, edge, StrokeKind::Inside);
    }
    let over = response.contains_pointer();
    let response = match bad {
        Some(reason) => response.on_hover_text(reason),
        None => response,
    };
    if over {
        let words = cell_words(state, sheet, spot);
        *ctx.hint = format!("{words}. Type, or click twice, to change it");
    }
    pointer(ctx, ui, state, frame, spot, &response);
}

/// Writes one line, cut short where it does not fit.
fn write(painter: &Painter, rect: Rect, text: &str, ink: Color32) {
    if text.is_empty() {
        return;
    }
    let line: String = text
        .chars()
        .take(200)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    let mut job = LayoutJob::simple_singleline(line, FontId::proportional(13.0), ink);
    job.wrap = TextWrapping::truncate_at_width(rect.width().max(1.0));
    let galley = painter.layout_job(job);
    let at = pos2(rect.min.x, rect.center().y - galley.size().y / 2.0);
    painter.galley(at, galley, ink);
}

fn pointer(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut TablesState,
    frame: &Frame,
    spot: Spot,
    response: &egui::Response,
) {
    let is_open = state.editing.as_ref().is_some_and(|e| e.spot == spot);
    if is_open {
        return;
    }
    let is_down = response.drag_started() || response.clicked();
    if is_down {
        let was_here = state.leaf().cursor == spot && state.editing.is_none();
        let had_keys = ui.memory(|m| m.has_focus(cells_id()));
        state.commit(ctx, Leave::Stay);
        let extends = ui.input(|i| i.modifiers.shift);
        let leaf = state.leaf();
        leaf.cursor = spot;
        if !extends {
            leaf.anchor = spot;
        }
        ui.memory_mut(|m| m.request_focus(cells_id()));
        ui.ctx().request_repaint();
        // A second click on the cell begins to type.
        if response.double_clicked() || (response.clicked() && was_here && had_keys && !extends) {
            state.begin(ui, Begin::Kept);
        }
    } else if response.dragged()
        && let Some(at) = ui.input(|i| i.pointer.interact_pos())
    {
        let to = spot_at(state, frame, at);
        let leaf = state.leaf();
        if leaf.cursor != to {
            leaf.cursor = to;
            leaf.reveal = true;
        }
    }
}

/// Returns the cell nearest to a spot of the screen.
fn spot_at(state: &TablesState, frame: &Frame, at: Pos2) -> Spot {
    let row = ((at.y - frame.origin.y - HEAD) / ROW).floor().max(0.0) as usize;
    let columns = frame.edges.len() - 1;
    let holds = |c: &usize| {
        let (left, right) = frame.span(*c);
        at.x >= left && at.x < right
    };
    let column = (0..columns).find(holds).unwrap_or_else(|| {
        if at.x < frame.view.center().x {
            0
        } else {
            columns.saturating_sub(1)
        }
    });
    Spot {
        row: row.min(state.shown()),
        column,
    }
}

/// The sign of a row: the worst finding about it, or its number; a click shows it in the details.
fn gutter(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut TablesState, frame: &Frame, row: usize) {
    let t = ctx.tokens;
    let top = frame.top(row);
    let left = frame.view.min.x;
    let rect = Rect::from_min_size(pos2(left, top), vec2(GUTTER, ROW));
    let seen = rect.intersect(frame.body_of(0));
    if seen.height() < 2.0 {
        return;
    }
    let painter = ui.painter().with_clip_rect(seen);
    let line = Stroke::new(1.0, t.panel_edge);
    painter.rect_filled(rect, 0, t.panel);
    painter.hline(rect.x_range(), rect.max.y - 0.5, line);
    painter.vline(rect.max.x - 0.5, rect.y_range(), line);
    let Some((of, name)) = state.line_at(row).map(|l| (l.row, l.name.clone())) else {
        paint_sign(&painter, Sign::Plus, rect.center(), 13.0, t.faint);
        return;
    };
    let id = cells_id().with(("sign", row));
    let response = ui.interact(seen, id, Sense::CLICK);
    let worst = ctx.derived.worst.get(&of.thing()).copied();
    let words = match worst {
        Some(severity) => format!("{name} has a finding that {}: show it", severity.word()),
        None => format!("Show {name} in the details"),
    };
    response.widget_info(|| WidgetInfo::labeled(Role::RowHeader, true, &words));
    if response.hovered() {
        painter.rect_filled(rect.shrink(1.0), 4, t.hover);
    }
    match worst {
        Some(severity) => {
            let ink = severity_pair(t, severity).ink;
            paint_sign(&painter, severity_sign(severity), rect.center(), 15.0, ink);
        }
        None => number(&painter, rect.center(), t, row + 1),
    }
    if response.clicked() {
        show(ctx, of);
        state.leaf().go(Spot { row, column: 0 });
    }
    response.on_hover_text(words);
}

fn number(painter: &Painter, at: Pos2, t: &Tokens, number: usize) {
    let font = FontId::proportional(11.0);
    painter.text(at, Align2::CENTER_CENTER, number, font, t.faint);
}

fn show(ctx: &mut ViewCtx<'_>, row: Row) {
    ctx.push(Action::Select(vec![row.thing()]));
    ctx.push(Action::Tab(Tab::Details));
}

/// Says below the last row what to do with an empty table, or why nothing is shown.
fn below(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut TablesState, frame: &Frame) {
    if state.shown() > 0 {
        return;
    }
    let filter = state.leaf().filter.trim().to_owned();
    let words = if filter.is_empty() {
        "Paste rows from a spreadsheet here, or type in the first empty row".to_owned()
    } else {
        format!("No row has '{filter}' in it")
    };
    let at = pos2(frame.view.min.x + GUTTER + 8.0, frame.top(1) + 24.0);
    let rect = Rect::from_min_size(
        at,
        vec2((frame.view.width() - GUTTER - 16.0).max(80.0), 20.0),
    );
    let label = egui::Label::new(egui::RichText::new(words).color(ctx.tokens.soft));
    let mut child = ui.new_child(egui::UiBuilder::new().max_rect(rect));
    child.add(label);
}

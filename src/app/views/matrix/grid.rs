//! The scrolled part of the matrix: what the pointer and the keys do in it, and what is said of a cell.

use std::ops::Range;

use egui::accesskit::Role;
use egui::{
    Context, CornerRadius, EventFilter, Id, Key, Modifiers, PointerButton, Pos2, Rect, Response,
    ScrollArea, Sense, Stroke, StrokeKind, Ui, UiBuilder, Vec2, WidgetInfo, pos2, vec2,
};

use super::axes::{Axes, Line};
use super::cells::{Cells, Shown, TINY, WORDY};
use super::cursor::{moved, reveal, zoomed};
use super::{CELL, MatrixViewState, heads};
use crate::app::action::{Action, Hold};
use crate::app::pairs;
use crate::app::view::ViewCtx;
use crate::model::NeedId;
use crate::picture::Picture;

/// Width of the names of the rows, and height of those of the columns.
pub(super) const HEADS: Vec2 = vec2(178.0, 156.0);
/// Most cells exposed by name; of more in sight, those in line with the cursor are.
const NAMED: usize = 900;
/// Room after the last cell, so that the scroll bars cover none.
const MARGIN: f32 = 12.0;

/// Shows the cells with their names beside and above.
pub(super) fn grid_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut MatrixViewState,
    axes: &Axes,
) {
    let whole = ui.available_rect_before_wrap();
    ui.allocate_rect(whole, Sense::hover());
    let body = Rect::from_min_max((whole.min + HEADS).min(whole.max), whole.max);
    if state.sight == Vec2::ZERO {
        // A small plan uses the room there is, with words in its cells if it can.
        state.cell = fitting(axes, body.size()).clamp(CELL.1, WORDY + 4.0);
    }
    // A key that leads nowhere keeps the cursor inside, whatever was filtered out since.
    state.cursor = moved(
        state.cursor,
        Key::A,
        (axes.rows.len(), axes.columns.len()),
        1,
    );
    zoom(ui, state, body);
    let mut child = ui.new_child(UiBuilder::new().id_salt("matrix-body").max_rect(body));
    let mut area = ScrollArea::both()
        .id_salt("matrix-cells")
        .auto_shrink(false);
    if let Some(offset) = state.jump.take() {
        area = area.scroll_offset(offset);
    }
    let shown = area.show_viewport(&mut child, |ui, _| body_ui(ctx, ui, state, axes));
    state.offset = shown.state.clamped_offset();
    // Names stand beside the cells and not beside the scroll bars.
    let body = shown.inner_rect;
    state.sight = body.size();
    let origin = shown.inner;
    heads::heads_ui(ctx, ui, state, axes, whole, body, origin);
    quiet(ctx, ui);
}

/// Nobody talks by the pointer or the key when it is up.
fn quiet(ctx: &mut ViewCtx<'_>, ui: &Ui) {
    let (pointer, key) = ui.input(|i| (i.pointer.primary_down(), i.key_down(Key::T)));
    for (hold, is_down) in [(Hold::Pointer, pointer), (Hold::Key, key)] {
        if !is_down && ctx.shared.is_held(hold) {
            ctx.push(Action::LetGo(hold));
        }
    }
}

/// Tells whether the keys are the matrix's, so that T lets the row talk and not what is selected.
pub(in crate::app) fn has_keys(ctx: &Context) -> bool {
    ctx.memory(|m| m.has_focus(grid_id()))
}

/// Returns the size of cells with which all of them are in sight, in points.
pub(super) fn fitting(axes: &Axes, sight: Vec2) -> f32 {
    let room = sight - Vec2::splat(MARGIN);
    let wide = axes.columns.len().max(1) as f32;
    let high = axes.rows.len().max(1) as f32;
    (room.x / wide).min(room.y / high)
}

fn grid_id() -> Id {
    Id::unique("matrix-grid")
}

fn zoom(ui: &Ui, state: &mut MatrixViewState, body: Rect) {
    let Some(pointer) = ui
        .input(|i| i.pointer.hover_pos())
        .filter(|p| body.contains(*p))
    else {
        return;
    };
    let factor = ui.input(egui::InputState::zoom_delta);
    let size = (state.cell * factor).clamp(CELL.0, CELL.2);
    if (size - state.cell).abs() > f32::EPSILON {
        let spot = pointer - body.min;
        state.jump = Some(zoomed(state.offset, spot, size / state.cell));
        state.cell = size;
    }
}

/// Shows the cells; returns where the first one begins.
fn body_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut MatrixViewState, axes: &Axes) -> Pos2 {
    let t = ctx.tokens;
    let derived = ctx.derived;
    let picture = &derived.picture;
    let extent = vec2(axes.columns.len() as f32, axes.rows.len() as f32) * state.cell;
    let size = extent + Vec2::splat(MARGIN);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let response = ui.interact(rect, grid_id(), Sense::click());
    let place = |at: Pos2| place(at - rect.min, state.cell, axes);
    let hovered = response.hover_pos().and_then(place);
    state.hovered = (hovered.map(|h| h.0), hovered.map(|h| h.1));
    if response.clicked_by(PointerButton::Primary)
        && let Some(cell) = response.interact_pointer_pos().and_then(place)
    {
        state.cursor = cell;
        response.request_focus();
        enter(ctx, state, axes);
    }
    keys(ctx, ui, state, axes, &response);
    let cells = Cells {
        t,
        picture,
        axes,
        wish: &state.wish,
        painter: ui.painter(),
        origin: rect.min,
        size: state.cell,
    };
    let sight = ui.clip_rect();
    let rows = in_sight(sight.y_range(), rect.min.y, state.cell, axes.rows.len());
    let columns = in_sight(sight.x_range(), rect.min.x, state.cell, axes.columns.len());
    bands(
        ui,
        t,
        &cells,
        (&rows, &columns),
        state,
        ctx.shared.talk.map(|t| t.party),
    );
    cells.draw(rows.clone(), columns.clone());
    marks(ctx, ui, &cells, state, &response);
    let words = sentence(picture, axes, state.cursor);
    let label = format!("Matrix, at {words}");
    response.widget_info(|| WidgetInfo::labeled(Role::Grid, true, &label));
    name_cells(ui, &cells, picture, (rows, columns), state.cursor);
    let said = hovered.or(response.has_focus().then_some(state.cursor));
    if let Some(cell) = said {
        *ctx.hint = sentence(picture, axes, cell);
    }
    rect.min
}

/// Returns the row and column at a spot of the cells.
fn place(spot: Vec2, cell: f32, axes: &Axes) -> Option<(usize, usize)> {
    let (row, column) = ((spot.y / cell).floor(), (spot.x / cell).floor());
    let is_inside = (0.0..axes.rows.len() as f32).contains(&row)
        && (0.0..axes.columns.len() as f32).contains(&column);
    is_inside.then_some((row as usize, column as usize))
}

/// Returns which rows or columns are in sight.
fn in_sight(sight: egui::Rangef, start: f32, cell: f32, count: usize) -> Range<usize> {
    let from = ((sight.min - start) / cell).floor().max(0.0) as usize;
    let to = ((sight.max - start) / cell).ceil().max(0.0) as usize;
    from.min(count)..to.min(count)
}

/// Every other row is shaded, and row and column of what is pointed at or spoken by are lit.
fn bands(
    ui: &Ui,
    t: &crate::app::theme::Tokens,
    cells: &Cells<'_>,
    (rows, columns): (&Range<usize>, &Range<usize>),
    state: &MatrixViewState,
    talker: Option<crate::model::Party>,
) {
    let extent = cells.rect(rows.end, columns.end).min;
    let start = cells.rect(rows.start, columns.start).min;
    let row_band = |row: usize| {
        let cell = cells.rect(row, 0);
        Rect::from_min_max(pos2(start.x, cell.min.y), pos2(extent.x, cell.max.y))
    };
    let painter = ui.painter();
    for row in rows.clone() {
        let (is_group, party) = match cells.axes.rows.get(row) {
            Some(Line::Party(place)) => (false, cells.axes.people.get(*place).map(|p| p.party)),
            _ => (true, None),
        };
        if is_group {
            painter.rect_filled(row_band(row), 0.0, t.group);
        } else if talker.is_some() && party == talker {
            painter.rect_filled(row_band(row), 0.0, t.accent.ground);
        } else if cells.size >= TINY && row % 2 == 1 {
            painter.rect_filled(row_band(row), 0.0, t.hover.gamma_multiply(0.4));
        }
    }
    for column in columns.clone() {
        if matches!(cells.axes.columns.get(column), Some(Line::Group { .. })) {
            let cell = cells.rect(0, column);
            let band = Rect::from_min_max(pos2(cell.min.x, start.y), pos2(cell.max.x, extent.y));
            painter.rect_filled(band, 0.0, t.group);
        }
    }
    if let Some(row) = state.hovered.0 {
        painter.rect_filled(row_band(row), 0.0, t.hover);
    }
    if let Some(column) = state.hovered.1 {
        let cell = cells.rect(0, column);
        let band = Rect::from_min_max(pos2(cell.min.x, start.y), pos2(cell.max.x, extent.y));
        painter.rect_filled(band, 0.0, t.hover);
    }
}

/// Draws the frames of the cell asked about and of the one the keys are at.
fn marks(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    cells: &Cells<'_>,
    state: &MatrixViewState,
    response: &Response,
) {
    let t = ctx.tokens;
    let round = CornerRadius::same((cells.size * 0.2).min(6.0) as u8);
    let frame = |(row, column): (usize, usize), line: Stroke| {
        let rect = cells.rect(row, column);
        ui.painter()
            .rect_stroke(rect, round, line, StrokeKind::Inside);
    };
    if let Some((from, to)) = ctx.shared.asked {
        let find = |lines: &[Line], party| {
            lines.iter().position(|line| match line {
                Line::Party(place) => cells
                    .axes
                    .people
                    .get(*place)
                    .is_some_and(|p| p.party == party),
                Line::Group { .. } => false,
            })
        };
        let row = find(&cells.axes.rows, from);
        if let Some(cell) = row.zip(find(&cells.axes.columns, to)) {
            frame(cell, Stroke::new(1.6, t.accent.ink));
        }
    }
    if response.has_focus() {
        frame(state.cursor, Stroke::new(2.2, t.accent.ink));
    }
}

fn keys(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut MatrixViewState,
    axes: &Axes,
    response: &Response,
) {
    // Like the board, it holds the keyboard whenever nothing else does.
    let is_covered =
        ui.memory(|m| m.top_modal_layer().is_some()) || egui::Popup::is_any_open(ui.ctx());
    if ui.memory(|m| m.focused().is_none()) && !is_covered {
        response.request_focus();
        // The keys are held from the next frame on, which nothing else may bring about.
        ui.ctx().request_repaint();
    }
    if !response.has_focus() {
        return;
    }
    let filter = EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: false,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let page = (state.sight.y / state.cell).floor().max(1.0) as usize;
    for key in [
        Key::ArrowUp,
        Key::ArrowDown,
        Key::ArrowLeft,
        Key::ArrowRight,
        Key::Home,
        Key::End,
        Key::PageUp,
        Key::PageDown,
    ] {
        let times = ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key));
        for _ in 0..times {
            let counts = (axes.rows.len(), axes.columns.len());
            state.cursor = moved(state.cursor, key, counts, page);
            let sight = state.sight - Vec2::splat(MARGIN);
            state.jump = reveal(state.offset, sight, state.cursor, state.cell);
            ui.ctx().request_repaint();
        }
    }
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
        enter(ctx, state, axes);
    }
    let talks = ui.input(|i| i.key_pressed(Key::T) && i.modifiers.is_none());
    if talks
        && let Some(Line::Party(place)) = axes.rows.get(state.cursor.0)
        && let Some(person) = axes.people.get(*place)
        && ctx.shared.may_begin(person.party)
    {
        ctx.push(Action::TalkOver(person.party, Hold::Key));
    }
}

/// Explains the pair under the cursor, or opens or closes its group.
fn enter(ctx: &mut ViewCtx<'_>, state: &mut MatrixViewState, axes: &Axes) {
    let (row, column) = state.cursor;
    match (axes.rows.get(row), axes.columns.get(column)) {
        (Some(Line::Group { name, .. }), _) | (_, Some(Line::Group { name, .. })) => {
            toggle(state, name);
        }
        (Some(Line::Party(from)), Some(Line::Party(to))) if from != to => {
            if let (Some(from), Some(to)) = (axes.people.get(*from), axes.people.get(*to)) {
                ctx.push(Action::Ask(from.party, to.party));
            }
        }
        _ => {}
    }
}

/// Opens or closes a group, in the rows and in the columns.
pub(super) fn toggle(state: &mut MatrixViewState, name: &str) {
    if !state.wish.closed.remove(name) {
        state.wish.closed.insert(name.to_owned());
    }
}

/// Says all that is true of a cell.
pub(super) fn sentence(picture: &Picture, axes: &Axes, (row, column): (usize, usize)) -> String {
    let (Some(from), Some(to)) = (axes.rows.get(row), axes.columns.get(column)) else {
        return String::new();
    };
    let names = (axes.name(from), axes.name(to));
    let (Line::Party(a), Line::Party(b)) = (from, to) else {
        let (heard, all) = axes.sum(picture, row, column);
        let (from, to) = names;
        return format!("{from} to {to}: {heard} of {all} pairs heard");
    };
    if a == b {
        return format!("{} and itself", names.0);
    }
    let (hearing, sounds) = (picture.hearing(), picture.sounds());
    let wanted = sounds.wanted(*a, *b);
    let asked = wanted.map(|w| w.asked).unwrap_or_default();
    let said = pairs::sentence(names, &sounds.facts(hearing, *a, *b), asked);
    let Some(wanted) = wanted else {
        return said;
    };
    let scenario = picture.scenario();
    let names = |needs: &[NeedId]| -> String {
        let names: Vec<String> = needs.iter().map(|n| scenario.name((*n).into())).collect();
        names.join(", ")
    };
    let mut said = said;
    if !wanted.needs.is_empty() {
        let is_heard = wanted.met || !wanted.apart.is_empty();
        let verb = if is_heard {
            "needed for"
        } else {
            "which fails"
        };
        said = format!("{said}; {verb} {}", names(&wanted.needs));
    }
    if !wanted.apart.is_empty() {
        said = format!("{said}; to be kept apart by {}", names(&wanted.apart));
    }
    said
}

/// Exposes cells by name: all in sight, or those in line with the cursor when there are many.
fn name_cells(
    ui: &Ui,
    cells: &Cells<'_>,
    picture: &Picture,
    (rows, columns): (Range<usize>, Range<usize>),
    cursor: (usize, usize),
) {
    // Nobody reads the nodes when no screen reader is there, and each of them takes time.
    if ui.ctx().accesskit_node_builder(grid_id(), |_| ()).is_none() {
        return;
    }
    let is_few = rows.len() * columns.len() <= NAMED;
    for row in rows {
        for column in columns.clone() {
            let in_line = row == cursor.0 || column == cursor.1;
            if !(is_few || in_line) || matches!(cells.shown(row, column), Shown::Nothing) {
                continue;
            }
            let label = sentence(picture, cells.axes, (row, column));
            let id = Id::unique(("matrix-cell", row, column));
            let node = ui.interact(cells.rect(row, column), id, Sense::hover());
            node.widget_info(|| WidgetInfo::labeled(Role::Cell, true, &label));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_rows_in_sight_are_drawn() {
        let sight = egui::Rangef::new(100.0, 160.0);
        assert_eq!(in_sight(sight, 100.0, 20.0, 600), 0..3);
        assert_eq!(in_sight(sight, 95.0, 20.0, 600), 0..4);
        assert_eq!(in_sight(sight, -900.0, 20.0, 600), 50..53);
        assert_eq!(in_sight(sight, -900.0, 20.0, 40), 40..40);
        assert_eq!(in_sight(sight, 300.0, 20.0, 600), 0..0);
    }
}

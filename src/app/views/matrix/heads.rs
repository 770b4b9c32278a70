//! The names beside and above the cells, which stay in sight while the cells are scrolled.

use std::ops::Range;
use std::sync::Arc;

use egui::accesskit::Role;
use egui::epaint::TextShape;
use egui::{FontId, Galley, Id, Painter, Pos2, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};

use super::MatrixViewState;
use super::axes::{Axes, Line};
use super::grid::{sentence, toggle};
use crate::app::action::{Action, Hold};
use crate::app::theme::{Sign, Tokens, elided, paint_sign, semibold};
use crate::app::view::ViewCtx;

/// How long a name is held until it talks, in seconds.
const HOLD: f64 = 0.25;
/// Smallest height of letters, and the room a line of them takes, in points.
const LETTERS: (f32, f32) = (10.0, 12.0);
/// Most names exposed to screen readers on one side.
const NAMED: usize = 150;

/// Shows the names of the rows and columns, and in the corner what is true of the cell pointed at.
pub(super) fn heads_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut MatrixViewState,
    axes: &Axes,
    whole: Rect,
    body: Rect,
    origin: Pos2,
) {
    let t = ctx.tokens;
    let corner = Rect::from_min_max(whole.min, body.min);
    let rows = Side {
        rect: Rect::from_min_max(pos2(whole.min.x, body.min.y), pos2(body.min.x, body.max.y)),
        start: origin.y,
        lines: &axes.rows,
        axes,
        cell: state.cell,
    };
    let columns = Side {
        rect: Rect::from_min_max(pos2(body.min.x, whole.min.y), pos2(body.max.x, body.min.y)),
        start: origin.x,
        lines: &axes.columns,
        axes,
        cell: state.cell,
    };
    rows_ui(ctx, ui, state, &rows);
    columns_ui(ctx, ui, state, &columns);
    let line = Stroke::new(1.0, t.panel_edge);
    ui.painter().hline(whole.x_range(), body.min.y, line);
    ui.painter().vline(body.min.x, whole.y_range(), line);
    corner_ui(ctx, ui, state, axes, corner);
}

/// The names on one side.
struct Side<'a> {
    rect: Rect,
    /// Where the first line begins on screen.
    start: f32,
    lines: &'a [Line],
    axes: &'a Axes,
    cell: f32,
}

impl Side<'_> {
    fn in_sight(&self, from: f32, to: f32) -> Range<usize> {
        let count = self.lines.len();
        let first = ((from - self.start) / self.cell).floor().max(0.0) as usize;
        let last = ((to - self.start) / self.cell).ceil().max(0.0) as usize;
        first.min(count)..last.min(count)
    }

    /// Returns the line at a distance along the side.
    fn at(&self, along: f32) -> Option<usize> {
        let line = ((along - self.start) / self.cell).floor();
        (0.0..self.lines.len() as f32)
            .contains(&line)
            .then_some(line as usize)
    }

    /// Returns the middle of a line along the side.
    fn middle(&self, line: usize) -> f32 {
        self.start + (line as f32 + 0.5) * self.cell
    }

    /// Returns how many lines share the room of one name.
    fn stride(&self) -> usize {
        (LETTERS.1 / self.cell).ceil().max(1.0) as usize
    }

    fn letters(&self) -> f32 {
        (self.cell * 0.6).clamp(LETTERS.0, 12.5)
    }

    /// Tells whether a name is written: all that have room, groups and what is lit always.
    fn is_written(&self, line: usize, lit: bool) -> bool {
        let is_group = matches!(self.lines.get(line), Some(Line::Group { .. }));
        lit || is_group || line.is_multiple_of(self.stride())
    }

    fn galley(
        &self,
        painter: &Painter,
        t: &Tokens,
        line: usize,
        lit: bool,
        width: f32,
    ) -> Arc<Galley> {
        let found = self.lines.get(line);
        let (name, is_group) = match found {
            Some(Line::Group { name, members, .. }) => {
                (format!("{name} ({})", members.len()), true)
            }
            Some(line) => (self.axes.name(line).to_owned(), false),
            None => (String::new(), false),
        };
        let ink = if lit || is_group { t.text } else { t.soft };
        let size = self.letters();
        let font = if is_group {
            semibold(size)
        } else {
            FontId::proportional(size)
        };
        elided(painter, &name, font, ink, width)
    }

    fn party(&self, line: usize) -> Option<crate::model::Party> {
        match self.lines.get(line)? {
            Line::Party(place) => self.axes.people.get(*place).map(|p| p.party),
            Line::Group { .. } => None,
        }
    }
}

/// Lists lines in the order they are drawn in: what is lit last, over its neighbours.
fn in_order(sight: Range<usize>, lit: Option<usize>) -> Vec<usize> {
    let last = lit.filter(|line| sight.contains(line));
    let others = sight.filter(|line| Some(*line) != last);
    others.chain(last).collect()
}

fn rows_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut MatrixViewState, side: &Side<'_>) {
    let t = ctx.tokens;
    let painter = ui
        .painter()
        .with_clip_rect(side.rect.intersect(ui.clip_rect()));
    let id = ui.scope_id().with("matrix-rows");
    let response = ui.interact(side.rect, id, Sense::CLICK | Sense::DRAG);
    let hovered = response.hover_pos().and_then(|p| side.at(p.y));
    if hovered.is_some() {
        state.hovered.0 = hovered;
    }
    hold(ctx, ui, state, side, &response, hovered);
    let talker = ctx.shared.talk.map(|talk| talk.party);
    let rows = side.in_sight(side.rect.min.y, side.rect.max.y);
    let named = rows.start..rows.end.min(rows.start + NAMED);
    for row in in_order(rows, state.hovered.0) {
        let is_talking = talker.is_some() && side.party(row) == talker;
        let lit = state.hovered.0 == Some(row) || is_talking;
        let middle = side.middle(row);
        let line = Rect::from_min_max(
            pos2(side.rect.min.x, middle - side.cell / 2.0),
            pos2(side.rect.max.x, middle + side.cell / 2.0),
        );
        if let Some(Line::Group { name, open, .. }) = side.lines.get(row) {
            painter.rect_filled(line, 0.0, t.group);
            group(ctx, ui, state, (name, *open), line, "speak");
            let sign = if *open {
                Sign::ChevronDown
            } else {
                Sign::ChevronRight
            };
            let at = pos2(line.min.x + 8.0, middle);
            paint_sign(&painter, sign, at, side.cell.clamp(9.0, 13.0), t.soft);
        } else if named.contains(&row) {
            let label = side.lines.get(row).map_or("", |l| side.axes.name(l));
            let label = format!("{label} speaks");
            let id = Id::unique(("matrix-row", row));
            let node = ui.interact(line.intersect(side.rect), id, Sense::hover());
            node.widget_info(|| WidgetInfo::labeled(Role::RowHeader, true, &label));
        }
        if !side.is_written(row, lit) {
            continue;
        }
        let galley = side.galley(&painter, t, row, lit, side.rect.width() - 26.0);
        let at = pos2(line.min.x + 18.0, middle - galley.size().y / 2.0);
        if lit {
            let ground = Rect::from_min_size(at, galley.size()).expand2(vec2(4.0, 1.0));
            let fill = if is_talking { t.accent.ground } else { t.hover };
            painter.rect_filled(ground, 4.0, fill);
        }
        if is_talking {
            paint_sign(
                &painter,
                Sign::Mic,
                pos2(line.min.x + 8.0, middle),
                13.0,
                t.accent.ink,
            );
        }
        painter.galley(at, galley, t.soft);
    }
}

/// A name held down talks; one that is clicked is selected.
fn hold(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut MatrixViewState,
    side: &Side<'_>,
    response: &egui::Response,
    hovered: Option<usize>,
) {
    let now = ui.input(|i| i.time);
    if response.is_pointer_button_down_on() {
        let (row, since) = match (state.held, hovered) {
            (Some(held), _) => held,
            (None, Some(row)) => (row, now),
            (None, None) => return,
        };
        state.held = Some((row, since));
        if now - since < HOLD {
            // A still pointer sends no events.
            ui.ctx().request_repaint();
        } else if let Some(party) = side.party(row)
            && ctx.shared.may_begin(party)
        {
            ctx.push(Action::TalkOver(party, Hold::Pointer));
        }
    } else if let Some((row, since)) = state.held.take()
        && now - since < HOLD
        && let Some(party) = side.party(row)
    {
        ctx.push(Action::Select(vec![party.into()]));
    }
    if let Some(name) = hovered.and_then(|row| side.party(row)) {
        let name = ctx.scenario.name(name.into());
        *ctx.hint = format!("{name}: click to select it, hold to let it talk");
    }
}

fn columns_ui(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut MatrixViewState, side: &Side<'_>) {
    let t = ctx.tokens;
    let painter = ui
        .painter()
        .with_clip_rect(side.rect.intersect(ui.clip_rect()));
    let id = ui.scope_id().with("matrix-columns");
    let response = ui.interact(side.rect, id, Sense::CLICK);
    let hovered = response.hover_pos().and_then(|p| side.at(p.x));
    if let Some(column) = hovered {
        state.hovered.1 = hovered;
        if let Some(party) = side.party(column) {
            *ctx.hint = format!("{}: click to select it", ctx.scenario.name(party.into()));
            if response.clicked() {
                ctx.push(Action::Select(vec![party.into()]));
            }
        }
    }
    let columns = side.in_sight(side.rect.min.x, side.rect.max.x);
    let named = columns.start..columns.end.min(columns.start + NAMED);
    for column in in_order(columns, state.hovered.1) {
        let lit = state.hovered.1 == Some(column);
        let middle = side.middle(column);
        let line = Rect::from_min_max(
            pos2(middle - side.cell / 2.0, side.rect.min.y),
            pos2(middle + side.cell / 2.0, side.rect.max.y),
        );
        if let Some(Line::Group { name, open, .. }) = side.lines.get(column) {
            painter.rect_filled(line, 0.0, t.group);
            group(ctx, ui, state, (name, *open), line, "hear");
            let sign = if *open {
                Sign::ChevronRight
            } else {
                Sign::ChevronDown
            };
            let at = pos2(middle, line.max.y - 9.0);
            paint_sign(&painter, sign, at, side.cell.clamp(9.0, 13.0), t.soft);
        } else if named.contains(&column) {
            let label = side.lines.get(column).map_or("", |l| side.axes.name(l));
            let label = format!("{label} hears");
            let id = Id::unique(("matrix-column", column));
            let node = ui.interact(line.intersect(side.rect), id, Sense::hover());
            node.widget_info(|| WidgetInfo::labeled(Role::ColumnHeader, true, &label));
        }
        if !side.is_written(column, lit) {
            continue;
        }
        let galley = side.galley(&painter, t, column, lit, side.rect.height() - 24.0);
        let height = galley.size().y;
        let at = pos2(middle - height / 2.0, side.rect.max.y - 18.0);
        if lit {
            let ground = Rect::from_min_max(
                pos2(at.x - 1.0, at.y - galley.size().x - 4.0),
                pos2(at.x + height + 1.0, at.y + 4.0),
            );
            painter.rect_filled(ground, 4.0, t.hover);
        }
        let shape = TextShape::new(at, galley, t.soft).with_angle(-std::f32::consts::FRAC_PI_2);
        painter.add(shape);
    }
}

/// The head of a group: a click opens or closes it.
fn group(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut MatrixViewState,
    (name, open): (&str, bool),
    rect: Rect,
    what: &str,
) {
    let id = ui.scope_id().with(("matrix-group", what, name));
    let response = ui.interact(rect, id, Sense::click());
    let verb = if open { "Close" } else { "Open" };
    let label = format!("{verb} {name}, who {what}");
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    if response.hovered() {
        *ctx.hint = format!("{verb} the group {name}");
    }
    if response.clicked() {
        toggle(state, name);
    }
}

/// The corner says what is true of the cell pointed at, or of the one the keys are at.
fn corner_ui(ctx: &ViewCtx<'_>, ui: &Ui, state: &MatrixViewState, axes: &Axes, corner: Rect) {
    let t = ctx.tokens;
    let painter = ui
        .painter()
        .with_clip_rect(corner.intersect(ui.clip_rect()));
    let pointed = state.hovered.0.zip(state.hovered.1);
    let cell = pointed.unwrap_or(state.cursor);
    let picture = &ctx.derived.picture;
    let words = sentence(picture, axes, cell);
    let width = corner.width() - 14.0;
    let galley = painter.layout(words, FontId::proportional(11.5), t.text, width);
    painter.galley(corner.min + vec2(2.0, 0.0), galley, t.text);
    let small = FontId::proportional(11.0);
    let at = pos2(corner.min.x + 18.0, corner.max.y - 9.0);
    let ground = Rect::from_min_max(pos2(corner.min.x, corner.max.y - 18.0), corner.max);
    painter.rect_filled(ground, 0.0, t.panel);
    paint_sign(
        &painter,
        Sign::Mic,
        pos2(corner.min.x + 8.0, at.y),
        11.0,
        t.faint,
    );
    let left = egui::Align2::LEFT_CENTER;
    painter.text(at, left, "rows speak", small.clone(), t.faint);
    let ear = pos2(corner.min.x + 90.0, at.y);
    paint_sign(&painter, Sign::Ear, ear, 11.0, t.faint);
    painter.text(ear + vec2(9.0, 0.0), left, "columns hear", small, t.faint);
}

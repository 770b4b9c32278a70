//! The headings above a table: a click sorts, the right edge of one is dragged.

use egui::accesskit::Role;
use egui::text::{LayoutJob, TextWrapping};
use egui::{
    Color32, CursorIcon, Id, Painter, Pos2, Rect, Sense, Stroke, Ui, WidgetInfo, pos2, vec2,
};

use super::grid::{Frame, GUTTER, HEAD};
use super::{TablesState, cells_id};
use crate::app::theme::semibold;
use crate::app::view::ViewCtx;

/// The headings, which stay; a click sorts, the right edge of one is dragged.
pub(super) fn headings(ctx: &ViewCtx<'_>, ui: &Ui, state: &mut TablesState, frame: &Frame) {
    let t = ctx.tokens;
    let sheet = state.sheet();
    let bar = Rect::from_min_size(frame.view.min, vec2(frame.view.width(), HEAD));
    ui.painter().rect_filled(bar, 0, t.panel);
    let columns = frame.edges.len() - 1;
    for column in (frame.frozen..columns).chain(0..frame.frozen) {
        let (left, right) = frame.span(column);
        let rect = Rect::from_min_max(
            pos2(left, frame.view.min.y),
            pos2(right, frame.view.min.y + HEAD),
        );
        let seen = rect.intersect(frame.head_of(column));
        if seen.width() < 2.0 {
            continue;
        }
        let Some(heading) = sheet.heading(column) else {
            continue;
        };
        let id = cells_id().with((sheet.name(), "heading", column));
        let response = ui.interact(seen, id, Sense::click());
        let title = heading.title();
        let sort = state.leaf().sort.filter(|(c, _)| *c == column);
        let order = match sort {
            None => "",
            Some((_, false)) => ", sorted upward",
            Some((_, true)) => ", sorted downward",
        };
        response.widget_info(|| {
            let label = format!("Sort by {title}{order}");
            WidgetInfo::labeled(Role::ColumnHeader, true, label)
        });
        let painter = ui.painter().with_clip_rect(seen);
        let ground = if response.hovered() || response.has_focus() {
            t.hover
        } else {
            t.panel
        };
        painter.rect_filled(rect, 0, ground);
        let ink = if sort.is_some() { t.accent.ink } else { t.soft };
        let mut inside = rect.shrink2(vec2(7.0, 0.0));
        if let Some((_, is_down)) = sort {
            inside.max.x -= 14.0;
            let at = pos2(rect.max.x - 12.0, rect.center().y);
            arrow(&painter, at, is_down, ink);
        }
        let mut job = LayoutJob::simple_singleline(title.clone(), semibold(12.5), ink);
        job.wrap = TextWrapping::truncate_at_width(inside.width().max(1.0));
        let galley = painter.layout_job(job);
        let at = pos2(inside.min.x, rect.center().y - galley.size().y / 2.0);
        painter.galley(at, galley, ink);
        if response.clicked() {
            let leaf = state.leaf();
            leaf.sort = match sort {
                None => Some((column, false)),
                Some((_, false)) => Some((column, true)),
                Some((_, true)) => None,
            };
            state.show_rows();
        }
        let tip = format!("{}. A click sorts the rows shown", heading.hint);
        response.on_hover_text(tip);
        resize(ui, state, column, rect, frame);
    }
    let line = Stroke::new(1.0, t.card_edge);
    ui.painter().hline(bar.x_range(), bar.max.y - 0.5, line);
    let corner = Rect::from_min_size(frame.view.min, vec2(GUTTER, HEAD));
    ui.painter().rect_filled(corner.shrink(0.5), 0, t.panel);
}

fn arrow(painter: &Painter, at: Pos2, is_down: bool, ink: Color32) {
    let tip = if is_down { 3.5 } else { -3.5 };
    let points = [
        at + vec2(-4.0, -tip / 2.0),
        at + vec2(0.0, tip / 2.0),
        at + vec2(4.0, -tip / 2.0),
    ];
    let stroke = Stroke::new(1.6, ink);
    painter.line(points.to_vec(), stroke);
}

fn resize(ui: &Ui, state: &mut TablesState, column: usize, rect: Rect, frame: &Frame) {
    let handle = Rect::from_min_max(
        pos2(rect.max.x - 5.0, rect.min.y),
        pos2(rect.max.x + 3.0, rect.max.y),
    );
    if !frame.head_of(column).contains(handle.center()) {
        return;
    }
    let id: Id = cells_id().with((state.sheet().name(), "width", column));
    let response = ui.interact(handle, id, Sense::DRAG);
    if response.hovered() || response.dragged() {
        ui.ctx().set_cursor_icon(CursorIcon::ResizeHorizontal);
    }
    if response.dragged() {
        let now = rect.width() + response.drag_delta().x;
        state.leaf().widths.insert(column, now.clamp(44.0, 700.0));
    }
}

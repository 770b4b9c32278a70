//! The panel on the right and its tabs.

use egui::accesskit::Role;
use egui::{
    Align2, CornerRadius, Frame, Margin, Sense, Stroke, StrokeKind, Ui, WidgetInfo, pos2, vec2,
};

use super::details::details_ui;
use super::figures::figures_ui;
use super::findings::findings_ui;
use super::matrix::matrix_ui;
use super::{DetailsState, FiguresState, FindingsState, MatrixState};
use crate::app::action::Action;
use crate::app::state::Tab;
use crate::app::theme::semibold;
use crate::app::view::ViewCtx;
use crate::model::Severity;

/// Shows the side panel.
pub(crate) fn side_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    findings: &mut FindingsState,
    details: &mut DetailsState,
    matrix: &mut MatrixState,
    figures: &mut FiguresState,
) {
    tabs_ui(ctx, ui);
    Frame::new()
        .inner_margin(Margin {
            left: 14,
            right: 12,
            top: 12,
            bottom: 0,
        })
        .show(ui, |ui| match ctx.shared.tab {
            Tab::Findings => findings_ui(ctx, ui, findings),
            Tab::Details => details_ui(ctx, ui, details),
            Tab::Matrix => matrix_ui(ctx, ui, matrix),
            Tab::Figures => figures_ui(ctx, ui, figures),
        });
}

fn tabs_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let width = ui.available_width();
    let (bar, _) = ui.allocate_exact_size(vec2(width, 42.0), Sense::hover());
    let open = ctx.derived.count(Severity::Stops) + ctx.derived.count(Severity::Warns);
    let tabs = [
        (Tab::Findings, "Findings"),
        (Tab::Details, "Details"),
        (Tab::Matrix, "Who hears whom"),
        (Tab::Figures, "Figures"),
    ];
    let mut x = bar.min.x + 8.0;
    for (tab, name) in tabs {
        let font = semibold(13.5);
        let galley = ui.painter().layout_no_wrap(name.to_owned(), font, t.text);
        let count = (tab == Tab::Findings && open > 0).then(|| open.to_string());
        let extra = if count.is_some() { 28.0 } else { 0.0 };
        let rect = egui::Rect::from_min_size(
            pos2(x, bar.min.y + 6.0),
            vec2(galley.size().x + 18.0 + extra, 30.0),
        );
        x = rect.max.x + 2.0;
        let id = ui.make_persistent_id(("tab", name));
        let response = ui.interact(rect, id, Sense::click());
        let is_on = ctx.shared.tab == tab;
        response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_on, name));
        if response.clicked() {
            ctx.push(Action::Tab(tab));
        }
        let painter = ui.painter();
        let lit = response.hovered() || response.has_focus();
        if is_on {
            painter.rect_filled(rect, CornerRadius::same(8), t.accent.ground);
        } else if lit {
            painter.rect_filled(rect, CornerRadius::same(8), t.hover);
        }
        if response.has_focus() {
            let edge = Stroke::new(1.5, t.accent.ink);
            painter.rect_stroke(rect, CornerRadius::same(8), edge, StrokeKind::Inside);
        }
        let ink = if is_on { t.accent.ink } else { t.soft };
        let at = pos2(rect.min.x + 9.0, rect.center().y - galley.size().y / 2.0);
        let end = at.x + galley.size().x;
        painter.galley_with_override_text_color(at, galley, ink);
        if let Some(count) = count {
            let pill =
                egui::Rect::from_center_size(pos2(end + 18.0, rect.center().y), vec2(24.0, 17.0));
            let worst = if ctx.derived.count(Severity::Stops) > 0 {
                t.stops
            } else {
                t.warns
            };
            painter.rect_filled(pill, CornerRadius::same(8), worst.ground);
            painter.text(
                pill.center(),
                Align2::CENTER_CENTER,
                count,
                semibold(11.0),
                worst.ink,
            );
        }
    }
    ui.painter()
        .hline(bar.x_range(), bar.max.y, Stroke::new(1.0, t.panel_edge));
}

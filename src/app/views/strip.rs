//! The strip above the middle: which view is shown, and the phases in their order.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{
    Align, CornerRadius, Layout, Response, ScrollArea, Sense, Stroke, StrokeKind, Ui, WidgetInfo,
    pos2, vec2,
};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::shelf::Article;
use crate::app::state::View;
use crate::app::theme::{Sign, Tokens, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;

const VIEWS: [(View, Command); 6] = [
    (View::Board, Command::ViewBoard),
    (View::Matrix, Command::ViewMatrix),
    (View::Needs, Command::ViewNeeds),
    (View::Groups, Command::ViewGroups),
    (View::Site, Command::ViewSite),
    (View::Tables, Command::ViewTables),
];

/// Widest a phase's name is written, in points.
const WIDEST: f32 = 190.0;

/// Shows the views on the left and the phases on the right.
pub(crate) fn strip_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, beside: bool) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        for (view, command) in VIEWS {
            let is_on = ctx.shared.view == view;
            let label = format!("View: {}", command.name());
            let response = tab(ui, t, command.name(), &label, is_on);
            if tip(response, command).clicked() {
                ctx.command(command);
            }
        }
        if ctx.shared.view != View::Board {
            ui.add_space(6.0);
            let label = "Board beside this view";
            let response = tab(ui, t, "Board beside", label, beside);
            if tip(response, Command::Beside).clicked() {
                ctx.command(Command::Beside);
            }
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| phases(ctx, ui));
    });
}

fn tip(response: Response, command: Command) -> Response {
    let keys = command
        .shortcut()
        .map(|s| response.ctx.format_shortcut(&s))
        .unwrap_or_default();
    response.on_hover_text(format!("{} ({keys})", command.tip()))
}

fn phases(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    if sign_button(ui, t, Sign::Plus, "Add a phase like this one", true).clicked() {
        ctx.push(Action::Add {
            article: Article::Phase,
            at: None,
            on: None,
        });
    }
    let scenario = Arc::clone(ctx.scenario);
    ScrollArea::horizontal()
        .id_salt("phases")
        .auto_shrink(true)
        .show(ui, |ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                for phase in scenario.phases.iter().rev() {
                    let is_on = phase.id == ctx.shared.phase;
                    let label = format!("Phase: {}", phase.name);
                    if tab(ui, t, &phase.name, &label, is_on).clicked() {
                        ctx.push(Action::Phase(phase.id));
                    }
                }
                sign_label(ui, Sign::Phase, 15.0, t.faint);
            });
        });
}

/// A tab that is one of several; the chosen one is lit.
fn tab(ui: &mut Ui, t: &Tokens, words: &str, label: &str, is_on: bool) -> Response {
    let font = semibold(13.0);
    let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), font, t.text);
    job.wrap = egui::text::TextWrapping::truncate_at_width(WIDEST);
    let galley = ui.painter().layout_job(job);
    let size = vec2(galley.size().x + 20.0, 28.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::selected(Role::Tab, true, is_on, label));
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
    let ink = if is_on { t.accent.ink } else { t.soft };
    let at = pos2(rect.min.x + 10.0, rect.center().y - galley.size().y / 2.0);
    painter.galley_with_override_text_color(at, galley, ink);
    response
}

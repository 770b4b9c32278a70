//! The strip above the middle: which view is shown, and the phases in their order.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{
    Align, CornerRadius, Id, Key, Layout, Response, ScrollArea, Sense, Stroke, StrokeKind,
    TextEdit, Ui, WidgetInfo, pos2, vec2,
};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::shelf::Article;
use crate::app::state::{Tab, View};
use crate::app::theme::{Sign, Tokens, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::model::{Edit, Phase, PhaseId, Scenario};

const VIEWS: [(View, Command); 7] = [
    (View::Board, Command::ViewBoard),
    (View::Matrix, Command::ViewMatrix),
    (View::Needs, Command::ViewNeeds),
    (View::Groups, Command::ViewGroups),
    (View::Site, Command::ViewSite),
    (View::Tables, Command::ViewTables),
    (View::Precheck, Command::ViewPrecheck),
];

/// Widest a phase's name is written, in points.
const WIDEST: f32 = 190.0;
/// Narrowest a phase's name is cut, in points.
const NARROWEST: f32 = 64.0;

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
    if scenario.phases.len() > 1 {
        compare_button(ctx, ui, &scenario);
    }
    // All phases stand side by side as long as their names can still be told apart.
    let room = (ui.available_width() - 30.0) / scenario.phases.len().max(1) as f32;
    let widest = (room - 24.0).clamp(NARROWEST, WIDEST);
    ScrollArea::horizontal()
        .id_salt("phases")
        .auto_shrink(true)
        .show(ui, |ui| {
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                for phase in scenario.phases.iter().rev() {
                    phase_tab(ctx, ui, phase, widest);
                }
                sign_label(ui, Sign::Phase, 15.0, t.faint);
            });
        });
}

/// Chooses the phase that is set against the one shown.
fn compare_button(ctx: &mut ViewCtx<'_>, ui: &mut Ui, scenario: &Scenario) {
    ui.menu_button("Compare…", |ui| {
        for phase in scenario.phases.iter() {
            if phase.id == ctx.shared.phase {
                continue;
            }
            if ui.button(format!("Compare with {}", phase.name)).clicked() {
                ctx.push(Action::Compare(Some(phase.id)));
                ui.close();
            }
        }
        if ctx.shared.compare.is_some() && ui.button("End comparing").clicked() {
            ctx.push(Action::Compare(None));
            ui.close();
        }
    });
}

/// The tab of a phase: a click shows it, a double click or F2 renames it, a menu does the rest.
fn phase_tab(ctx: &mut ViewCtx<'_>, ui: &mut Ui, phase: &Phase, widest: f32) {
    if rename_field(ctx, ui, phase) {
        return;
    }
    let is_on = phase.id == ctx.shared.phase;
    let label = format!("Phase: {}", phase.name);
    let about = (label.as_str(), is_on);
    let response =
        tab_within(ui, ctx.tokens, &phase.name, about, widest).on_hover_text(phase.name.as_str());
    if response.clicked() {
        ctx.push(Action::Phase(phase.id));
    }
    let by_key = response.has_focus() && ui.input(|i| i.key_pressed(Key::F2));
    if response.double_clicked() || by_key {
        begin_renaming(ui, phase);
    }
    response.context_menu(|ui| phase_menu(ctx, ui, phase));
}

fn phase_menu(ctx: &mut ViewCtx<'_>, ui: &mut Ui, phase: &Phase) {
    ui.set_min_width(200.0);
    ui.weak(format!("Phase {}", phase.name));
    if ui.button("Rename it").clicked() {
        begin_renaming(ui, phase);
        ui.close();
    }
    if ui.button("Add a phase like it").clicked() {
        ctx.push(Action::Phase(phase.id));
        ctx.push(Action::Add {
            article: Article::Phase,
            at: None,
            on: None,
        });
        ui.close();
    }
    let is_other = phase.id != ctx.shared.phase;
    let compare = ui
        .add_enabled(is_other, egui::Button::new("Compare with the one shown"))
        .on_disabled_hover_text("This is the phase shown: choose another to compare it with");
    if compare.clicked() {
        ctx.push(Action::Compare(Some(phase.id)));
        ui.close();
    }
    if ui.button("Show its details").clicked() {
        ctx.push(Action::Select(vec![phase.id.into()]));
        ctx.push(Action::Tab(Tab::Details));
        ui.close();
    }
    ui.separator();
    let delete = ui
        .add_enabled(
            ctx.scenario.phases.len() > 1,
            egui::Button::new("Delete the phase"),
        )
        .on_disabled_hover_text("A scenario keeps at least one phase");
    if delete.clicked() {
        ctx.apply(
            format!("Remove {}", phase.name),
            vec![Edit::Remove(phase.id.into())],
        );
        ui.close();
    }
}

/// The phase being renamed, and what is typed so far.
type Renaming = Option<(PhaseId, String)>;

fn renaming_id() -> Id {
    Id::unique("renaming-phase")
}

fn begin_renaming(ui: &Ui, phase: &Phase) {
    let typed: Renaming = Some((phase.id, phase.name.clone()));
    ui.data_mut(|d| d.insert_temp(renaming_id(), typed));
}

/// Shows the field in place of the tab while its phase is renamed; returns whether it does.
fn rename_field(ctx: &mut ViewCtx<'_>, ui: &mut Ui, phase: &Phase) -> bool {
    let typed: Renaming = ui.data(|d| d.get_temp(renaming_id())).flatten();
    let Some((_, mut text)) = typed.filter(|(id, _)| *id == phase.id) else {
        return false;
    };
    let field = ui
        .add(TextEdit::singleline(&mut text).desired_width(WIDEST))
        .accessible_name("Name of the phase");
    let escaped = ui.input(|i| i.key_pressed(Key::Escape));
    let done = field.lost_focus();
    if !field.has_focus() && !done {
        field.request_focus();
    }
    let name = text.trim().to_owned();
    if done && !escaped && !name.is_empty() && name != phase.name {
        let mut renamed = phase.clone();
        renamed.name.clone_from(&name);
        ctx.apply(
            format!("Rename {} to {name}", phase.name),
            vec![Edit::Replace(renamed.into())],
        );
    }
    let next: Renaming = (!done).then_some((phase.id, text));
    ui.data_mut(|d| d.insert_temp(renaming_id(), next));
    true
}

/// A tab that is one of several; the chosen one is lit.
fn tab(ui: &mut Ui, t: &Tokens, words: &str, label: &str, is_on: bool) -> Response {
    tab_within(ui, t, words, (label, is_on), WIDEST)
}

/// The same, no wider than some points of text.
fn tab_within(
    ui: &mut Ui,
    t: &Tokens,
    words: &str,
    (label, is_on): (&str, bool),
    widest: f32,
) -> Response {
    let font = semibold(13.0);
    let mut job = egui::text::LayoutJob::simple_singleline(words.to_owned(), font, t.text);
    job.wrap = egui::text::TextWrapping::truncate_at_width(widest);
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

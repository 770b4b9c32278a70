//! The strip above the middle: which view is shown, and the phases in their order.

use std::sync::Arc;

use egui::accesskit::Role;
use egui::{
    Align, CornerRadius, Galley, Id, Key, Layout, Response, ScrollArea, Sense, Stroke, StrokeKind,
    TextEdit, Ui, WidgetInfo, pos2, vec2,
};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::shelf::Article;
use crate::app::state::{Tab, View};
use crate::app::theme::{Sign, Tokens, elided, semibold, sign_button, sign_label};
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
const WIDEST: f32 = 240.0;
/// Space between two tabs, in points.
const GAP: f32 = 3.0;
/// Most that the phases take in height, in points.
const MOST_HIGH: f32 = 96.0;
/// Room for a scroll bar, in points.
const SCROLL_BAR: f32 = 16.0;
/// What keeps the board in sight beside another view.
const BESIDE: &str = "Board beside";

/// Shows the views on the left and the phases on the right, or below where they find no room beside them.
pub(crate) fn strip_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, beside: bool) {
    let t = ctx.tokens;
    // Asked before anything is laid out, which could make the room wider than it is.
    let whole = ui.available_width();
    // The phases stand where they stand whether the last tab is there or not.
    let views: f32 = VIEWS
        .iter()
        .map(|(_, command)| tab_width(ui, t, command.name(), WIDEST) + GAP)
        .sum();
    let beside_width = tab_width(ui, t, BESIDE, WIDEST) + 6.0 + GAP;
    let below = views + beside_width + phases_width(ui, t, ctx.scenario) > whole;
    if below {
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().item_spacing = vec2(GAP, GAP);
            ui.set_max_width(whole);
            view_tabs(ctx, ui, beside);
        });
    } else {
        ui.horizontal(|ui| {
            ui.spacing_mut().item_spacing.x = GAP;
            view_tabs(ctx, ui, beside);
            ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                phase_buttons(ctx, ui);
                let scenario = Arc::clone(ctx.scenario);
                for phase in scenario.phases.iter().rev() {
                    phase_tab(ctx, ui, phase);
                }
                sign_label(ui, Sign::Phase, 15.0, t.faint);
            });
        });
    }
    if below {
        // Many phases take several rows, and very many are scrolled; the room of the scroll bar is kept
        // free, so that rows never change with it.
        let room = whole - SCROLL_BAR;
        ScrollArea::vertical()
            .id_salt("phases")
            .max_height(MOST_HIGH)
            .show(ui, |ui| {
                ui.set_max_width(room);
                ui.horizontal_wrapped(|ui| {
                    ui.spacing_mut().item_spacing = vec2(GAP, GAP);
                    sign_label(ui, Sign::Phase, 15.0, t.faint);
                    let scenario = Arc::clone(ctx.scenario);
                    for phase in scenario.phases.iter() {
                        phase_tab(ctx, ui, phase);
                    }
                    phase_buttons(ctx, ui);
                });
            });
    }
}

/// The views, and whether the board stays beside the one shown.
fn view_tabs(ctx: &mut ViewCtx<'_>, ui: &mut Ui, beside: bool) {
    let t = ctx.tokens;
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
        let response = tab(ui, t, BESIDE, "Board beside this view", beside);
        if tip(response, Command::Beside).clicked() {
            ctx.command(Command::Beside);
        }
    }
}

/// Returns the width that the phases and their buttons take side by side.
fn phases_width(ui: &Ui, t: &Tokens, scenario: &Scenario) -> f32 {
    let tabs = scenario.phases.iter();
    let tabs: f32 = tabs.map(|p| tab_width(ui, t, &p.name, WIDEST) + GAP).sum();
    let compare = if scenario.phases.len() > 1 {
        tab_width(ui, t, "Compare…", WIDEST)
    } else {
        0.0
    };
    // The signs before and behind them, and their gaps.
    tabs + compare + 64.0
}

fn tip(response: Response, command: Command) -> Response {
    let keys = command
        .shortcut()
        .map(|s| response.ctx.format_shortcut(&s))
        .unwrap_or_default();
    response.on_hover_text(format!("{} ({keys})", command.tip()))
}

fn phase_buttons(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
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
fn phase_tab(ctx: &mut ViewCtx<'_>, ui: &mut Ui, phase: &Phase) {
    if rename_field(ctx, ui, phase) {
        return;
    }
    let is_on = phase.id == ctx.shared.phase;
    let label = format!("Phase: {}", phase.name);
    let response = tab(ui, ctx.tokens, &phase.name, &label, is_on);
    let response = response.on_hover_text(phase.name.as_str());
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
    let place = ctx.scenario.phases.ids().position(|id| id == phase.id);
    let last = ctx.scenario.phases.len().saturating_sub(1);
    for (words, word, to) in [
        (
            "Move it earlier",
            "earlier",
            place.and_then(|at| at.checked_sub(1)),
        ),
        (
            "Move it later",
            "later",
            place.map(|at| at + 1).filter(|to| *to <= last),
        ),
    ] {
        let button = ui.add_enabled(to.is_some(), egui::Button::new(words));
        if button
            .on_disabled_hover_text("It stands there already")
            .clicked()
            && let Some(place) = to
        {
            let label = format!("Put {} {word}", phase.name);
            let phase = phase.id;
            ctx.apply(label, vec![Edit::MovePhase { phase, place }]);
            ui.close();
        }
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

/// Lays out the words of a tab.
fn words_of_tab(ui: &Ui, t: &Tokens, words: &str, widest: f32) -> Arc<Galley> {
    elided(ui.painter(), words, semibold(13.0), t.text, widest)
}

fn tab_width(ui: &Ui, t: &Tokens, words: &str, widest: f32) -> f32 {
    words_of_tab(ui, t, words, widest).size().x + 20.0
}

/// A tab that is one of several; the chosen one is lit.
fn tab(ui: &mut Ui, t: &Tokens, words: &str, label: &str, is_on: bool) -> Response {
    let galley = words_of_tab(ui, t, words, WIDEST);
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

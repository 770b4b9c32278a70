//! What will go wrong: findings in groups, each with its reason, its numbers and its cure.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{
    CornerRadius, Frame, Id, Key, Margin, Modifiers, RichText, ScrollArea, Sense, Stroke, Ui,
};

use super::asked::pending;
use super::findings_card::{closed, lost, opened, set_apart};
use super::findings_controls::controls_ui;
use super::findings_sieve::{Group, Known, Sieve};
use crate::app::action::Action;
use crate::app::theme::{
    Sign, quiet_button, semibold, severity_pair, severity_sign, sign_button, sign_label,
    text_button,
};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::checks::Report;
use crate::model::{Finding, FindingId, PhaseId, Scenario, Severity, ThingId};

/// Most findings of one group that are shown before somebody asks for the rest.
const MOST: usize = 60;

/// What is open in the list, what is let through, and what was there when the file was opened.
#[derive(Debug, Default)]
pub(crate) struct FindingsState {
    open: BTreeSet<FindingId>,
    all: BTreeSet<Group>,
    pub(super) sieve: Sieve,
    pub(super) known: Known,
    /// The conditions are shown.
    pub(super) unfolded: bool,
    /// The first finding takes the keyboard.
    take_keyboard: bool,
}

impl FindingsState {
    /// Remembers what was found in a phase as the file was opened.
    pub(crate) fn remember(&mut self, scenario: &Arc<Scenario>, phase: PhaseId, report: &Report) {
        self.known.remember(scenario, phase, report);
    }

    /// Lets the first finding take the keyboard.
    pub(crate) fn take_keyboard(&mut self) {
        self.take_keyboard = true;
    }
}

/// Shows the findings.
pub(super) fn findings_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    controls_ui(ctx, ui, state);
    ScrollArea::vertical()
        .id_salt("findings")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 4.0);
            if derived.report.open.is_empty() {
                nothing(ctx, ui);
            }
            let shown = shown(ctx, state);
            if shown.is_empty() && !derived.report.open.is_empty() {
                none_shown(ctx, ui, state);
            }
            let order: Vec<FindingId> = shown.iter().map(|f| f.id()).collect();
            keyboard(ui, state, &order);
            let scenario = Arc::clone(ctx.scenario);
            let groups = state.sieve.groups(&scenario, ctx.phase(), shown);
            for (name, findings) in groups {
                group(ctx, ui, state, &name, &findings);
            }
            if state.sieve.everywhere {
                elsewhere(ctx, ui, state);
            }
            for (title, sign, list) in [
                ("Put aside", Sign::Later, &derived.report.aside),
                ("Accepted", Sign::Tick, &derived.report.accepted),
            ] {
                if list.is_empty() {
                    continue;
                }
                ui.add_space(12.0);
                ui.label(RichText::new(title).font(semibold(15.0)).color(t.text));
                for finding in list {
                    set_apart(ctx, ui, finding, sign);
                }
            }
            lost(ctx, ui);
            ui.add_space(24.0);
        });
}

/// Lists the open findings that are let through.
fn shown<'a>(ctx: &ViewCtx<'a>, state: &FindingsState) -> Vec<&'a Finding> {
    let phase = ctx.shared.phase;
    let open = ctx.derived.report.open.iter();
    open.filter(|f| {
        let is_new = state.known.is_new(phase, f);
        state.sieve.keeps(f, &ctx.shared.selection, is_new)
    })
    .collect()
}

fn none_shown(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    ui.add_space(24.0);
    ui.vertical_centered(|ui| {
        sign_label(ui, Sign::Search, 30.0, t.faint);
        ui.label(RichText::new("No finding passes the filter").font(semibold(14.0)));
        if text_button(ui, t, "Show all findings").clicked() {
            state.sieve.clear();
        }
    });
}

fn card_id(id: &FindingId) -> Id {
    Id::unique("finding").with((id.code.as_str(), format!("{:?}", id.things)))
}

/// Up and down walk from finding to finding while one has the keyboard.
fn keyboard(ui: &Ui, state: &mut FindingsState, order: &[FindingId]) {
    if std::mem::take(&mut state.take_keyboard)
        && let Some(first) = order.first()
    {
        ui.memory_mut(|m| m.request_focus(card_id(first)));
        return;
    }
    let Some(at) = order
        .iter()
        .position(|id| ui.memory(|m| m.has_focus(card_id(id))))
    else {
        return;
    };
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::NONE, key));
    let next = if pressed(Key::ArrowDown) {
        at + 1
    } else if pressed(Key::ArrowUp) {
        at.saturating_sub(1)
    } else {
        return;
    };
    if let Some(id) = order.get(next) {
        ui.memory_mut(|m| m.request_focus(card_id(id)));
    }
}

/// Findings of other phases that this one does not have.
fn elsewhere(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &FindingsState) {
    let t = ctx.tokens;
    let scenario = Arc::clone(ctx.scenario);
    let Some(others) = ctx.derived.elsewhere() else {
        ui.add_space(12.0);
        pending(ctx, ui);
        return;
    };
    for (phase, findings) in others.iter() {
        let kept: Vec<&Finding> = findings
            .iter()
            .filter(|f| state.sieve.keeps(f, &ctx.shared.selection, false))
            .collect();
        if kept.is_empty() {
            continue;
        }
        ui.add_space(12.0);
        let title = format!("Only in {}", scenario.name((*phase).into()));
        ui.label(RichText::new(title).font(semibold(15.0)).color(t.text));
        for finding in kept {
            ui.horizontal_top(|ui| {
                let pair = severity_pair(t, finding.severity);
                sign_label(ui, severity_sign(finding.severity), 15.0, pair.ink);
                let words = egui::Label::new(sentence(&finding.headline))
                    .wrap()
                    .sense(Sense::click());
                let words = ui.add(words);
                if words.clicked() {
                    ctx.push(Action::Phase(*phase));
                    ctx.push(Action::Show(things_of(finding)));
                }
                words.on_hover_text("Show that phase, and it on the board");
            });
        }
    }
}

fn nothing(ctx: &ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.add_space(24.0);
    ui.vertical_centered(|ui| {
        if ctx.scenario.units.is_empty() {
            // A plan without anybody in it is no good plan.
            ui.label(RichText::new("Nothing to check yet").font(semibold(15.0)));
            let words = "Findings appear as soon as units, radios and gateways are in the plan.";
            ui.label(RichText::new(words).size(12.5).color(t.faint));
            return;
        }
        sign_label(ui, Sign::Tick, 36.0, t.good.ink);
        ui.label(RichText::new("Nothing found").font(semibold(15.0)));
        ui.label(
            RichText::new("The plan is still to be proved on the air.")
                .size(12.5)
                .color(t.faint),
        );
    });
}

fn group(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut FindingsState,
    name: &Group,
    all: &[&Finding],
) {
    let t = ctx.tokens;
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let (title, about) = match name {
            Group::Severity(severity) => {
                let pair = severity_pair(t, *severity);
                sign_label(ui, severity_sign(*severity), 17.0, pair.ink);
                match severity {
                    Severity::Stops => ("Stops".to_owned(), ": the plan does not work"),
                    Severity::Warns => ("Warns".to_owned(), ": works badly, or by luck"),
                    Severity::Notes => ("Notes".to_owned(), ": to know, or to verify"),
                }
            }
            Group::Named(_, name) => (sentence(name), ""),
        };
        ui.label(RichText::new(title).font(semibold(15.0)).color(t.text));
        ui.label(
            RichText::new(format!("{}{about}", all.len()))
                .size(12.5)
                .color(t.faint),
        );
    });
    let most = if state.all.contains(name) {
        usize::MAX
    } else {
        MOST
    };
    for finding in all.iter().take(most) {
        finding_ui(ctx, ui, state, finding);
    }
    if all.len() > most && quiet_button(ui, t, &format!("Show all {}", all.len())).clicked() {
        state.all.insert(name.clone());
    }
}

/// Lists the things a finding is about, the first of all first.
pub(super) fn things_of(finding: &Finding) -> Vec<ThingId> {
    let mut things = vec![finding.subject];
    things.extend(finding.related.iter().copied());
    things.dedup();
    things
}

fn finding_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState, finding: &Finding) {
    let t = ctx.tokens;
    let pair = severity_pair(t, finding.severity);
    let id = finding.id();
    let is_open = state.open.contains(&id);
    let frame = Frame::new()
        .fill(t.card)
        .stroke(Stroke::new(
            1.0,
            if is_open { pair.ink } else { t.card_edge },
        ))
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::symmetric(12, 10));
    let card = card_id(&id);
    let has_keyboard = ui.memory(|m| m.has_focus(card));
    let frame = if has_keyboard {
        frame.stroke(Stroke::new(2.0, t.accent.ink))
    } else {
        frame
    };
    let inner = frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.horizontal_top(|ui| {
            sign_label(ui, severity_sign(finding.severity), 16.0, pair.ink);
            let (sign, verb) = if is_open {
                (Sign::ChevronDown, "Close")
            } else {
                (Sign::ChevronRight, "Why")
            };
            let name = format!("{verb}: {}", finding.headline);
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Min), |ui| {
                if sign_button(ui, t, sign, &name, true).clicked() {
                    toggle(&mut state.open, &id);
                }
                ui.with_layout(egui::Layout::left_to_right(egui::Align::Min), |ui| {
                    let headline = ui.add(
                        egui::Label::new(RichText::new(sentence(&finding.headline)).color(t.text))
                            .wrap()
                            .sense(Sense::click()),
                    );
                    if headline.clicked() {
                        state.open.insert(id.clone());
                        ctx.push(Action::Show(things_of(finding)));
                    }
                    headline.on_hover_text("Show it on the board");
                });
            });
        });
        if is_open {
            opened(ctx, ui, finding);
        } else {
            closed(ctx, ui, finding);
        }
    });
    if inner.response.hovered() {
        *ctx.hint = format!("{}: {}", finding.code, finding.headline);
    }
    let response = ui.interact(inner.response.rect, card, Sense::focusable_noninteractive());
    response.widget_info(|| {
        let role = egui::accesskit::Role::ListItem;
        egui::WidgetInfo::labeled(role, true, format!("Finding: {}", finding.headline))
    });
    if has_keyboard {
        by_key(ctx, ui, state, finding, &response);
    }
}

/// What keys do to the finding that has the keyboard.
fn by_key(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut FindingsState,
    finding: &Finding,
    card: &egui::Response,
) {
    let arrows = egui::EventFilter {
        vertical_arrows: true,
        ..egui::EventFilter::default()
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(card.id, arrows));
    if card.gained_focus() {
        card.scroll_to_me(None);
        ctx.push(Action::Show(things_of(finding)));
    }
    "Up and down: another finding. Enter: open it. Ctrl+Enter: apply its fix".clone_into(ctx.hint);
    if ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, Key::Enter)) {
        let fixes = ctx.derived.fixes(finding);
        match fixes.as_ref().and_then(|fixes| fixes.first()) {
            _ if fixes.is_none() => ctx.push(Action::Say(
                "What cures it is being looked for: wait until it is there".to_owned(),
            )),
            Some(fix) => ctx.apply_derived(fix.title.clone(), fix.edits.clone()),
            None => ctx.push(Action::Say(
                "Nothing but hands can mend this one".to_owned(),
            )),
        }
    } else if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter)) {
        toggle(&mut state.open, &finding.id());
    }
}

fn toggle(set: &mut BTreeSet<FindingId>, id: &FindingId) {
    if !set.remove(id) {
        set.insert(id.clone());
    }
}

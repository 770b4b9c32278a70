//! What will go wrong: findings in three groups, each with its reason, its numbers and its cure.

use std::collections::BTreeSet;

use egui::{CornerRadius, Frame, Margin, RichText, ScrollArea, Sense, Stroke, Ui};

use crate::app::action::Action;
use crate::app::state::Dialog;
use crate::app::theme::{
    Sign, primary_button, quiet_button, semibold, severity_pair, severity_sign, sign_button,
    sign_label, text_button,
};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::checks;
use crate::model::{
    Acceptance, Edit, Evidence, Finding, FindingId, Grade, Severity, ThingId, Value,
};

/// Most findings of one group that are shown before somebody asks for the rest.
const MOST: usize = 60;

/// What is open in the list.
#[derive(Debug, Default)]
pub(crate) struct FindingsState {
    open: BTreeSet<FindingId>,
    all: BTreeSet<Severity>,
}

/// Shows the findings.
pub(super) fn findings_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    ScrollArea::vertical()
        .id_salt("findings")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 4.0);
            if derived.report.open.is_empty() {
                nothing(ctx, ui);
            }
            for severity in Severity::ALL {
                group(ctx, ui, state, severity);
            }
            if !derived.report.accepted.is_empty() {
                ui.add_space(12.0);
                ui.label(RichText::new("Accepted").font(semibold(15.0)).color(t.text));
                for finding in &derived.report.accepted {
                    accepted(ctx, ui, finding);
                }
            }
            lost(ctx, ui);
            ui.add_space(24.0);
        });
}

fn nothing(ctx: &ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.add_space(24.0);
    ui.vertical_centered(|ui| {
        sign_label(ui, Sign::Tick, 36.0, t.good.ink);
        ui.label(RichText::new("Nothing found").font(semibold(15.0)));
        ui.label(
            RichText::new("The plan is still to be proved on the air.")
                .size(12.5)
                .color(t.faint),
        );
    });
}

fn group(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState, severity: Severity) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    let all: Vec<&Finding> = derived
        .report
        .open
        .iter()
        .filter(|f| f.severity == severity)
        .collect();
    if all.is_empty() {
        return;
    }
    let pair = severity_pair(t, severity);
    let (title, about) = match severity {
        Severity::Stops => ("Stops", "the plan does not work"),
        Severity::Warns => ("Warns", "works badly, or by luck"),
        Severity::Notes => ("Notes", "to know, or to verify"),
    };
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        sign_label(ui, severity_sign(severity), 17.0, pair.ink);
        ui.label(RichText::new(title).font(semibold(15.0)).color(t.text));
        ui.label(
            RichText::new(format!("{}: {about}", all.len()))
                .size(12.5)
                .color(t.faint),
        );
    });
    let most = if state.all.contains(&severity) {
        usize::MAX
    } else {
        MOST
    };
    for finding in all.iter().take(most) {
        finding_ui(ctx, ui, state, finding);
    }
    if all.len() > most && quiet_button(ui, t, &format!("Show all {}", all.len())).clicked() {
        state.all.insert(severity);
    }
}

fn things_of(finding: &Finding) -> Vec<ThingId> {
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
}

fn toggle(set: &mut BTreeSet<FindingId>, id: &FindingId) {
    if !set.remove(id) {
        set.insert(id.clone());
    }
}

/// The one fix that needs no look, right on the closed finding.
fn closed(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
    let t = ctx.tokens;
    if let Some(fix) = finding.fixes.first().filter(|f| f.grade == Grade::Safe) {
        ui.horizontal(|ui| {
            ui.add_space(24.0);
            if text_button(ui, t, &fix.title).clicked() {
                ctx.apply(fix.title.clone(), fix.edits.clone());
            }
        });
    }
}

fn opened(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
    let t = ctx.tokens;
    if let Some(check) = checks::find(finding.code) {
        let page = check.page();
        if let Some(why) = page.section("Why it matters") {
            ui.add(egui::Label::new(RichText::new(why).size(12.5).color(t.soft)).wrap());
        }
    }
    for evidence in &finding.evidence {
        evidence_ui(ctx, ui, evidence);
    }
    for hint in &finding.hints {
        ui.horizontal_top(|ui| {
            sign_label(ui, Sign::ArrowRight, 12.0, t.faint);
            ui.add(egui::Label::new(RichText::new(sentence(hint)).size(12.5)).wrap());
        });
    }
    let fixes = ctx.derived.fixes(finding);
    for fix in fixes.iter() {
        let button = if fix.grade == Grade::Safe {
            primary_button(ui, t, &fix.title)
        } else {
            text_button(ui, t, &fix.title)
                .on_hover_text("It changes what somebody may have meant: look before applying")
        };
        if button.clicked() {
            ctx.apply(fix.title.clone(), fix.edits.clone());
        }
    }
    ui.horizontal_wrapped(|ui| {
        if quiet_button(ui, t, "Show it").clicked() {
            ctx.push(Action::Show(things_of(finding)));
        }
        if let Some((from, to)) = finding.unheard
            && quiet_button(ui, t, "Explain the silence").clicked()
        {
            ctx.push(Action::Ask(from, to));
        }
        if quiet_button(ui, t, "Accept…").clicked() {
            let scenario = ctx.scenario;
            let facts = finding.facts(|thing| scenario.key(thing));
            ctx.push(Action::Dialog(Dialog::Accept {
                finding: finding.id(),
                facts,
                headline: finding.headline.clone(),
                reason: String::new(),
                by: String::new(),
            }));
        }
        if quiet_button(ui, t, &format!("About {}", finding.code)).clicked() {
            ctx.push(Action::Dialog(Dialog::Handbook {
                code: Some(finding.code.to_owned()),
            }));
        }
    });
}

fn evidence_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, evidence: &Evidence) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        ui.label(
            RichText::new(sentence(evidence.quantity))
                .size(12.5)
                .color(t.faint),
        );
        match &evidence.value {
            Value::Number(n) => {
                let rounded = (n * 1000.0).round() / 1000.0;
                ui.label(
                    RichText::new(format!("{rounded} {}", evidence.unit)).font(semibold(12.5)),
                );
            }
            Value::Text(text) => {
                ui.label(RichText::new(text).font(semibold(12.5)));
            }
            Value::Thing(thing) => {
                let name = ctx.scenario.name(*thing);
                if ui.add(egui::Link::new(name)).clicked() {
                    ctx.push(Action::Show(vec![*thing]));
                }
            }
        }
    });
}

fn acceptance<'a>(ctx: &ViewCtx<'a>, id: &FindingId) -> Option<&'a Acceptance> {
    ctx.scenario.accepted.iter().find(|a| a.finding == *id)
}

fn accepted(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
    let t = ctx.tokens;
    let id = finding.id();
    Frame::new()
        .fill(t.sunken)
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::symmetric(12, 10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                sign_label(ui, Sign::Tick, 15.0, t.good.ink);
                ui.add(
                    egui::Label::new(RichText::new(sentence(&finding.headline)).color(t.soft))
                        .wrap(),
                );
            });
            if let Some(a) = acceptance(ctx, &id) {
                let words = format!("{} ({}, {})", a.reason, a.by, a.on);
                ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.faint)).wrap());
            }
            let name = format!("Withdraw the acceptance of {}", finding.headline);
            if quiet_button(ui, t, "Withdraw")
                .accessible_name(name)
                .clicked()
            {
                ctx.apply("Withdraw an acceptance", vec![Edit::Withdraw(id)]);
            }
        });
}

/// Acceptances whose finding has gone or whose facts have changed.
fn lost(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let scenario = std::sync::Arc::clone(ctx.scenario);
    let known: BTreeSet<FindingId> = ctx
        .derived
        .report
        .accepted
        .iter()
        .map(Finding::id)
        .collect();
    let stale: Vec<&Acceptance> = scenario
        .accepted
        .iter()
        .filter(|a| !known.contains(&a.finding))
        .collect();
    if stale.is_empty() {
        return;
    }
    ui.add_space(12.0);
    ui.label(RichText::new("Accepted before, no longer so").font(semibold(13.5)));
    for a in stale {
        ui.horizontal_wrapped(|ui| {
            let things: Vec<String> = a.finding.things.iter().map(|x| scenario.name(*x)).collect();
            let words = format!("{} {}: {}", a.finding.code, things.join(", "), a.reason);
            ui.label(RichText::new(words).size(12.5).color(t.faint));
            if quiet_button(ui, t, "Forget it").clicked() {
                ctx.apply(
                    "Forget an acceptance",
                    vec![Edit::Withdraw(a.finding.clone())],
                );
            }
        });
    }
}

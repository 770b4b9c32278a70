//! One finding: what it shows closed and opened, and how it looks once it is set apart.

use std::collections::BTreeSet;

use egui::{CornerRadius, Frame, Margin, RichText, Ui};

use super::asked::pending;
use super::findings::things_of;
use crate::app::action::Action;
use crate::app::state::Dialog;
use crate::app::theme::{Sign, primary_button, quiet_button, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::checks;
use crate::model::{Acceptance, Edit, Evidence, Finding, FindingId, Grade, Value};

/// The one fix that needs no look, right on the closed finding.
pub(super) fn closed(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
    let t = ctx.tokens;
    if let Some(fix) = finding.fixes.first().filter(|f| f.grade == Grade::Safe) {
        ui.horizontal(|ui| {
            ui.add_space(24.0);
            if text_button(ui, t, &fix.title).clicked() {
                ctx.apply_derived(fix.title.clone(), fix.edits.clone());
            }
        });
    }
}

pub(super) fn opened(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
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
    if fixes.is_none() {
        pending(ctx, ui);
    }
    for fix in fixes.iter().flat_map(|fixes| fixes.iter()) {
        let button = if fix.grade == Grade::Safe {
            primary_button(ui, t, &fix.title)
        } else {
            text_button(ui, t, &fix.title)
                .on_hover_text("It changes what somebody may have meant: look before applying")
        };
        if button.clicked() {
            ctx.apply_derived(fix.title.clone(), fix.edits.clone());
        }
    }
    ui.horizontal_wrapped(|ui| {
        if quiet_button(ui, t, "Show it").clicked() {
            ctx.push(Action::GoTo(finding.subject));
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
                until: None,
            }));
        }
        aside(ctx, ui, finding);
        if quiet_button(ui, t, &format!("About {}", finding.code)).clicked() {
            ctx.push(Action::Dialog(Dialog::Handbook {
                code: Some(finding.code.to_owned()),
            }));
        }
    });
}

/// The button that puts a finding aside until a later phase.
fn aside(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding) {
    let t = ctx.tokens;
    let later = ctx.later_phases();
    let button = ui
        .add_enabled_ui(!later.is_empty(), |ui| quiet_button(ui, t, "Put aside…"))
        .inner
        .on_hover_text("Leaves it out of the list until a later phase begins or its facts change")
        .on_disabled_hover_text("There is no later phase that could bring it back");
    if button.clicked() {
        let scenario = ctx.scenario;
        ctx.push(Action::Dialog(Dialog::Accept {
            finding: finding.id(),
            facts: finding.facts(|thing| scenario.key(thing)),
            headline: finding.headline.clone(),
            reason: String::new(),
            by: String::new(),
            until: later.first().copied(),
        }));
    }
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

/// A finding that somebody accepted or put aside, with the reason and the way back.
pub(super) fn set_apart(ctx: &mut ViewCtx<'_>, ui: &mut Ui, finding: &Finding, sign: Sign) {
    let t = ctx.tokens;
    let id = finding.id();
    Frame::new()
        .fill(t.sunken)
        .corner_radius(CornerRadius::same(10))
        .inner_margin(Margin::symmetric(12, 10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal_top(|ui| {
                sign_label(ui, sign, 15.0, t.good.ink);
                ui.add(
                    egui::Label::new(RichText::new(sentence(&finding.headline)).color(t.soft))
                        .wrap(),
                );
            });
            if let Some(a) = acceptance(ctx, &id) {
                let until = a.until.map_or_else(String::new, |phase| {
                    format!(", until {}", ctx.scenario.name(phase.into()))
                });
                let words = format!("{} ({}, {}{until})", a.reason, a.by, a.on);
                ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.faint)).wrap());
            }
            let (words, name) = if sign == Sign::Later {
                ("Bring back", format!("Bring back {}", finding.headline))
            } else {
                let name = format!("Withdraw the acceptance of {}", finding.headline);
                ("Withdraw", name)
            };
            if quiet_button(ui, t, words).accessible_name(name).clicked() {
                let label = match sign {
                    Sign::Later => "Bring a finding back",
                    _ => "Withdraw an acceptance",
                };
                ctx.apply(label, vec![Edit::Withdraw(id)]);
            }
        });
}

/// Acceptances whose finding has gone or whose facts have changed.
pub(super) fn lost(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let scenario = std::sync::Arc::clone(ctx.scenario);
    let report = &ctx.derived.report;
    let known: BTreeSet<FindingId> = report
        .accepted
        .iter()
        .chain(&report.aside)
        .map(Finding::id)
        .collect();
    let stale: Vec<&Acceptance> = scenario
        .accepted
        .iter()
        .filter(|a| a.until.is_none() && !known.contains(&a.finding))
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

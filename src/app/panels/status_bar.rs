//! The line at the bottom: what lies under the pointer, and how many findings there are.

use egui::{Align, Layout, RichText, Sense, Spinner, Ui};

use crate::app::action::Action;
use crate::app::command::Command;
use crate::app::state::Tab;
use crate::app::theme::{Tokens, quiet_button, severity_pair, severity_sign, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::counted;
use crate::model::Severity;

/// Seconds before work on a thread is announced.
const SOON: f64 = 0.3;

/// Shows the status bar.
pub(crate) fn status_bar_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            for severity in Severity::ALL.into_iter().rev() {
                let n = ctx.derived.count(severity);
                let pair = severity_pair(t, severity);
                let ink = if n > 0 { pair.ink } else { t.faint };
                let (one, many) = words_for(severity);
                let text = counted(n, one, many);
                let label = ui.add(
                    egui::Label::new(RichText::new(text).size(12.0).color(ink))
                        .sense(Sense::click()),
                );
                if label.clicked() {
                    ctx.push(Action::Tab(Tab::Findings));
                }
                sign_label(ui, severity_sign(severity), 13.0, ink);
                ui.add_space(10.0);
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                errand_ui(ctx, ui);
                work_ui(ctx, ui);
                out_ui(ctx, ui);
                let s = ctx.scenario;
                let hint = if ctx.shared.hint.is_empty() {
                    format!(
                        "{}, {}, {}. Hold a unit to let it talk.",
                        counted(s.units.len(), "unit", "units"),
                        counted(s.channels.len(), "channel", "channels"),
                        counted(s.gateways.len(), "gateway", "gateways")
                    )
                } else {
                    ctx.shared.hint.clone()
                };
                ui.add(egui::Label::new(RichText::new(hint).size(12.0).color(t.soft)).truncate());
            });
        });
    });
}

/// The words for one finding of a severity and for several.
fn words_for(severity: Severity) -> (&'static str, &'static str) {
    match severity {
        Severity::Stops => ("stop", "stops"),
        Severity::Warns => ("warning", "warnings"),
        Severity::Notes => ("note", "notes"),
    }
}

/// Says in every view that something is out of service, with a way back.
fn out_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let n = ctx.shared.out.len();
    if n == 0 {
        return;
    }
    let t = ctx.tokens;
    sign_label(ui, severity_sign(Severity::Warns), 13.0, t.warns.ink);
    let words = format!("{} out of service", counted(n, "thing", "things"));
    ui.label(RichText::new(words).size(12.0).color(t.warns.ink));
    let button = quiet_button(ui, t, "Put back").accessible_name("Put back what is out of service");
    if button.clicked() {
        ctx.command(Command::PutBack);
    }
}

/// What a thread is out for, with a way to stop it.
fn errand_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    if let Some((name, since)) = &ctx.shared.errand
        && busy_ui(ctx.tokens, ui, name, *since)
    {
        ctx.push(Action::StopErrand);
    }
}

/// Says what a thread does, and for how long already; returns whether it is to stop.
fn busy_ui(t: &Tokens, ui: &mut Ui, name: &str, since: f64) -> bool {
    let seconds = ui.input(|i| i.time) - since;
    // What is done before one could read it is not announced.
    if seconds < SOON {
        ui.request_repaint_after_secs(SOON as f32);
        return false;
    }
    ui.add(Spinner::new().size(14.0).color(t.accent.ink));
    let words = format!("{name}, {seconds:.0} s");
    ui.label(RichText::new(words).size(12.0).color(t.text));
    let button = quiet_button(ui, t, "Stop").accessible_name(format!("Stop: {name}"));
    button.clicked()
}

/// What a thread works out, with a way to stop it.
fn work_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    if let Some((name, since)) = ctx.derived.working() {
        if busy_ui(t, ui, name, since) {
            ctx.push(Action::Work { stop: true });
        }
    } else if ctx.derived.is_given_up() {
        let words = "Hearing and findings are of an older state of the plan.";
        ui.label(RichText::new(words).size(12.0).color(t.warns.ink));
        if quiet_button(ui, t, "Work them out").clicked() {
            ctx.push(Action::Work { stop: false });
        }
    }
}

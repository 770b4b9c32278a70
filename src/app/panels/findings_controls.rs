//! Above the list of findings: the text to look for, what is let through, and how it is grouped.

use egui::{ComboBox, RichText, TextEdit, Ui};

use super::findings::FindingsState;
use super::findings_sieve::By;
use crate::app::theme::{Sign, quiet_button, severity_pair, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::checks::FAMILIES;
use crate::model::Severity;

/// Shows the conditions.
pub(super) fn controls_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        sign_label(ui, Sign::Search, 15.0, t.faint);
        let width = (ui.available_width() - 138.0).max(80.0);
        ui.add(
            TextEdit::singleline(&mut state.sieve.text)
                .hint_text("Text, code or family")
                .desired_width(width),
        )
        .accessible_name("Text in findings");
        let words = if state.unfolded {
            "Fewer conditions"
        } else {
            "Filter and group"
        };
        if quiet_button(ui, t, words).clicked() {
            state.unfolded = !state.unfolded;
        }
    });
    if state.unfolded {
        conditions(ctx, ui, state);
    }
    count(ctx, ui, state);
    ui.add_space(4.0);
}

fn conditions(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    ui.horizontal_wrapped(|ui| {
        for severity in Severity::ALL {
            let mut is_on = !state.sieve.hidden.contains(&severity);
            let ink = severity_pair(t, severity).ink;
            let words = RichText::new(format!("Show {severity}")).color(ink);
            if ui.checkbox(&mut is_on, words).changed() && !state.sieve.hidden.remove(&severity) {
                state.sieve.hidden.insert(severity);
            }
        }
    });
    ui.horizontal_wrapped(|ui| {
        ui.checkbox(&mut state.sieve.selection, "About the selection");
        ui.checkbox(&mut state.sieve.new, "Only new since opened");
        ui.checkbox(&mut state.sieve.everywhere, "Other phases too");
    });
    ui.horizontal_wrapped(|ui| {
        let label = ui.label(RichText::new("Family").color(t.soft));
        ComboBox::from_id_salt("family")
            .selected_text(state.sieve.family.unwrap_or("all"))
            .show_ui(ui, |ui| {
                ui.selectable_value(&mut state.sieve.family, None, "all");
                for (_, name) in FAMILIES {
                    ui.selectable_value(&mut state.sieve.family, Some(name), name);
                }
            })
            .response
            .labelled_by(label.id);
        let label = ui.label(RichText::new("Group by").color(t.soft));
        ComboBox::from_id_salt("group-by")
            .selected_text(state.sieve.by.words())
            .show_ui(ui, |ui| {
                for by in By::ALL {
                    ui.selectable_value(&mut state.sieve.by, by, by.words());
                }
            })
            .response
            .labelled_by(label.id);
    });
}

/// How many pass, how many are new, how many are put aside.
fn count(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FindingsState) {
    let t = ctx.tokens;
    let report = &ctx.derived.report;
    let phase = ctx.shared.phase;
    let is_new = |f: &&crate::model::Finding| state.known.is_new(phase, f);
    let new = report.open.iter().filter(is_new).count();
    let mut parts = Vec::new();
    if state.sieve.is_on() {
        let open = report.open.iter();
        let shown = open.filter(|f| {
            let is_new = state.known.is_new(phase, f);
            state.sieve.keeps(f, &ctx.shared.selection, is_new)
        });
        parts.push(format!("{} of {} shown", shown.count(), report.open.len()));
    }
    if new > 0 {
        parts.push(format!("{new} new since opened"));
    }
    if !report.aside.is_empty() {
        parts.push(format!("{} put aside", report.aside.len()));
    }
    if !ctx.shared.out.is_empty() {
        parts.push("as the plan has it, everything in service".to_owned());
    }
    if parts.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new(parts.join(" · ")).size(12.0).color(t.soft));
        if state.sieve.is_on() && text_button(ui, t, "Clear the filter").clicked() {
            state.sieve.clear();
        }
    });
}

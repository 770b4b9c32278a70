//! Fields of a phase.

use std::sync::Arc;

use egui::Ui;

use super::fields::Form;
use crate::app::action::Action;
use crate::app::shelf::Article;
use crate::app::theme::text_button;
use crate::model::PhaseId;

pub(super) fn phase_ui(form: &mut Form<'_, '_>, ui: &mut Ui, id: PhaseId) {
    let s = Arc::clone(form.ctx.scenario);
    let Some(phase) = s.phases.get(id) else {
        return;
    };
    form.words(ui, "Name", &phase.name, phase, |p, text| p.name = text);
    form.words(ui, "Starts", &phase.start, phase, |p, text| p.start = text);
    form.number(ui, ("Length", "hours"), phase.hours, phase, |p, n| {
        p.hours = n;
    });
    form.fact(
        ui,
        "In it",
        &format!(
            "{} ports switched to a talk group, {} ports in use",
            phase.switches.len(),
            phase.attachments.len()
        ),
    );
    let t = form.t();
    ui.horizontal(|ui| {
        if form.ctx.shared.phase != id && text_button(ui, t, "Show this phase").clicked() {
            form.ctx.push(Action::Phase(id));
        }
        if text_button(ui, t, "Add a phase like it").clicked() {
            form.ctx.push(Action::Phase(id));
            form.ctx.push(Action::Add {
                article: Article::Phase,
                at: None,
                on: None,
            });
        }
    });
}

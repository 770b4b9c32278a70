//! The line at the bottom: what lies under the pointer, and how many findings there are.

use egui::{Align, Layout, RichText, Sense, Ui};

use crate::app::action::Action;
use crate::app::state::Tab;
use crate::app::theme::{severity_pair, severity_sign, sign_label};
use crate::app::view::ViewCtx;
use crate::model::Severity;

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
                let text = format!("{n} {}", severity.word());
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
                let s = ctx.scenario;
                let hint = if ctx.shared.hint.is_empty() {
                    format!(
                        "{} units, {} channels, {} gateways. Hold a unit to let it talk.",
                        s.units.len(),
                        s.channels.len(),
                        s.gateways.len()
                    )
                } else {
                    ctx.shared.hint.clone()
                };
                ui.add(egui::Label::new(RichText::new(hint).size(12.0).color(t.soft)).truncate());
            });
        });
    });
}

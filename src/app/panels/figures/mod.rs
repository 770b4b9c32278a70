//! The numbers behind the findings: nets and their load, sites, power, and what needs hang on.
//!
//! Everything is read from the picture; this folder only draws it.

mod needs;
mod nets;
mod power;
mod site;

use egui::{RichText, ScrollArea, Ui};

use crate::app::theme::{Tokens, semibold};
use crate::app::view::ViewCtx;
use crate::hearing::Item;
use crate::model::SiteId;

/// What the panel remembers.
#[derive(Debug, Default)]
pub(crate) struct FiguresState {
    /// The site whose plan is shown; the first where none is chosen.
    site: Option<SiteId>,
    /// What was taken out of service to see who loses whom.
    without: Option<Item>,
}

/// Shows the figures of the phase.
pub(super) fn figures_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState) {
    let t = ctx.tokens;
    ScrollArea::vertical()
        .id_salt("figures-tab")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 4.0);
            ui.spacing_mut().item_spacing.y = 6.0;
            if ctx.scenario.units.is_empty() && ctx.scenario.gateways.is_empty() {
                quiet(
                    ui,
                    t,
                    "Add units and a gateway to see loads, hours and distances.",
                );
                return;
            }
            nets::nets_ui(ctx, ui);
            site::site_ui(ctx, ui, state);
            power::power_ui(ctx, ui);
            needs::needs_ui(ctx, ui, state);
            ui.add_space(24.0);
        });
}

fn head(ui: &mut Ui, t: &Tokens, title: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(title).font(semibold(14.5)).color(t.text));
}

fn quiet(ui: &mut Ui, t: &Tokens, words: &str) {
    ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.faint)).wrap());
}

fn line(ui: &mut Ui, t: &Tokens, words: &str) {
    ui.add(egui::Label::new(RichText::new(words).size(12.5).color(t.soft)).wrap());
}

/// Writes a number with one decimal, or none where it has none.
fn short(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}

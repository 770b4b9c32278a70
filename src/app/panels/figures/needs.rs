//! What each need hangs on, and what is lost with anything out of service.

use egui::{CollapsingHeader, RichText, Ui};

use super::{FiguresState, head, line, quiet};
use crate::app::panels::details::link_to;
use crate::app::panels::pending;
use crate::app::theme::{card, quiet_button, semibold, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::counted;
use crate::engineering::reliability::depth::RANKS;
use crate::hearing::Item;
use crate::model::{Need, NeedId};
use crate::picture::resilience::{Breaks, to_be_heard};

/// Things listed of one kind before the list is cut.
const MOST: usize = 12;
/// Needs beyond which the list is cut.
const MOST_NEEDS: usize = 60;

pub(crate) fn needs_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState) {
    let t = ctx.tokens;
    head(ui, t, "What each need hangs on");
    if to_be_heard(ctx.scenario).next().is_none() {
        quiet(ui, t, "Add needs to see what breaks them.");
        return;
    }
    if let Some(item) = state.without {
        lost_ui(ctx, ui, state, item);
    }
    let scenario = std::sync::Arc::clone(ctx.scenario);
    for need in to_be_heard(&scenario).take(MOST_NEEDS) {
        CollapsingHeader::new(RichText::new(&need.name).color(t.text))
            .id_salt(("breaks", need.id))
            .show(ui, |ui| need_ui(ctx, ui, state, need.id));
    }
    let more = to_be_heard(&scenario).count().saturating_sub(MOST_NEEDS);
    if more > 0 {
        quiet(
            ui,
            t,
            &format!("and {}", counted(more, "more need", "more needs")),
        );
    }
}

fn need_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState, need: NeedId) {
    let t = ctx.tokens;
    let Some(breaks) = ctx.derived.breaks(need) else {
        return;
    };
    let breaks: &Breaks = &breaks;
    if breaks.ways.is_empty() {
        line(ui, t, "It is not met as it stands; see the findings.");
        return;
    }
    let depth = breaks.depth();
    let rank = depth
        .checked_sub(1)
        .and_then(|i| RANKS.get(i))
        .copied()
        .unwrap_or("none");
    let chance = breaks.chance.map_or_else(String::new, |c| {
        let error = c
            .error
            .map_or_else(String::new, |e| format!(" within {:.3}", 2.0 * e));
        format!("Met with probability {:.3}{error}. ", c.value)
    });
    line(
        ui,
        t,
        &format!("{chance}Ways to meet it, down to the {rank}: {depth}."),
    );
    if breaks.singles.is_empty() {
        let words = breaks.smallest_cut.map_or_else(
            || "Nothing alone cuts it.".to_owned(),
            |n| format!("Nothing alone cuts it; {n} things must fail together."),
        );
        line(ui, t, &words);
    } else {
        line(ui, t, "Cut by any one of these:");
        for item in breaks.singles.iter().take(MOST) {
            item_ui(ctx, ui, state, *item);
        }
    }
    if !breaks.doubles.is_empty() {
        let pairs = counted(
            breaks.doubles.len(),
            "pair of failures",
            "pairs of failures",
        );
        let pairs = format!("Cut by {pairs}, such as");
        line(ui, t, &pairs);
        for (a, b) in breaks.doubles.iter().take(3) {
            let name = |item: &Item| item.name(ctx.scenario);
            line(ui, t, &format!("  {} with {}", name(a), name(b)));
        }
    }
    if !breaks.whole {
        quiet(
            ui,
            t,
            "It has very many ways; there may be more cuts than these.",
        );
    }
    let spare = breaks.spare_channels.iter();
    let spare: Vec<String> = spare.map(|c| ctx.scenario.name((*c).into())).collect();
    if !spare.is_empty() {
        line(
            ui,
            t,
            &format!("Everybody could turn to {}.", spare.join(", ")),
        );
    }
}

fn item_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState, item: Item) {
    let t = ctx.tokens;
    let name = item.name(ctx.scenario);
    ui.horizontal(|ui| {
        link_to(ctx, ui, item.thing(), &name);
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = quiet_button(ui, t, "Take out");
            let words = format!("Take out {name}");
            button.widget_info(|| {
                egui::WidgetInfo::labeled(egui::accesskit::Role::Button, true, &words)
            });
            if button
                .on_hover_text("Shows who loses whom without it")
                .clicked()
            {
                state.without = Some(item);
            }
        });
    });
}

fn lost_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState, item: Item) {
    let t = ctx.tokens;
    let Some(lost) = ctx.derived.without(item) else {
        pending(ctx, ui);
        return;
    };
    let scenario = ctx.scenario;
    card(ui, t, |ui| {
        let title = format!("Without {}", item.name(scenario));
        ui.label(RichText::new(title).font(semibold(13.5)).color(t.text));
        if lost.pairs.is_empty() {
            line(ui, t, "Nobody loses anybody.");
        }
        for need in &lost.needs {
            let aim = scenario.needs.get(*need).map_or("met", Need::aim);
            let words = format!("{} is no longer {aim}", scenario.name((*need).into()));
            ui.label(RichText::new(words).size(12.5).color(t.stops.ink));
        }
        for (from, to) in lost.pairs.iter().take(MOST) {
            let name = |party: crate::model::Party| scenario.name(party.into());
            line(
                ui,
                t,
                &format!("{} no longer hears {}", name(*to), name(*from)),
            );
        }
        let more = lost.pairs.len().saturating_sub(MOST);
        if more > 0 {
            quiet(
                ui,
                t,
                &format!("and {}", counted(more, "more pair", "more pairs")),
            );
        }
        if text_button(ui, t, "Put it back").clicked() {
            state.without = None;
        }
    });
}

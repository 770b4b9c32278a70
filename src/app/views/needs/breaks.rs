//! What a need hangs on, on its card: what it can fall back on, how probable it is, what cuts it.

use egui::{Label, RichText, Ui};

use super::card::{MOST_NAMES, named};
use super::phases::MOST;
use super::{Known, NeedsViewState};
use crate::app::panels::details;
use crate::app::theme::{Sign, quiet_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::engineering::reliability::depth::RANKS;
use crate::model::Need;
use crate::picture::resilience::Breaks;

/// What the need hangs on, worked out for one need a frame.
pub(super) fn breaks_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &NeedsViewState,
    known: &mut Known,
    need: &Need,
    worked_out: bool,
) -> bool {
    let t = ctx.tokens;
    let is_large = ctx.derived.picture.hearing().parties().len() > MOST;
    if !known.broken.contains(&need.id) {
        if is_large {
            let button = quiet_button(ui, t, "Work out what breaks it");
            let tip = "This takes a while in a plan as large as this";
            if named(button, &format!("Work out what breaks {}", need.name))
                .on_hover_text(tip)
                .clicked()
            {
                known.broken.insert(need.id);
            }
            return worked_out;
        }
        if worked_out {
            ui.label(RichText::new("Working out what breaks it").color(t.faint));
            ui.ctx().request_repaint();
            return true;
        }
        known.broken.insert(need.id);
        broken_ui(ctx, ui, state, need);
        return true;
    }
    broken_ui(ctx, ui, state, need);
    worked_out
}

fn broken_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &NeedsViewState, need: &Need) {
    let t = ctx.tokens;
    let Some(breaks) = ctx.derived.breaks(need.id) else {
        return;
    };
    if breaks.ways.is_empty() {
        let words = "Nothing to fall back on: it is not met as it stands";
        ui.label(RichText::new(words).color(t.soft));
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let depth = breaks.depth();
        for (number, rank) in RANKS.iter().enumerate() {
            let has = number < depth;
            let (sign, ink) = if has {
                (Sign::Tick, t.good.ink)
            } else {
                (Sign::None, t.faint)
            };
            sign_label(ui, sign, 12.0, ink);
            let words = if has {
                sentence(rank)
            } else {
                format!("no {rank}")
            };
            ui.label(RichText::new(words).size(12.5).color(ink));
            ui.add_space(6.0);
        }
        ui.label(RichText::new(chance_words(&breaks)).color(t.soft));
    });
    cuts_ui(ctx, ui, &breaks);
    if state.open.contains(&need.id) {
        more_ui(ctx, ui, &breaks);
    }
}

fn chance_words(breaks: &Breaks) -> String {
    breaks.chance.map_or_else(String::new, |c| {
        let error = c
            .error
            .map_or_else(String::new, |e| format!(" within {:.3}", 2.0 * e));
        format!("Met with probability {:.3}{error}", c.value)
    })
}

fn cuts_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, breaks: &Breaks) {
    let t = ctx.tokens;
    if breaks.singles.is_empty() {
        let words = breaks.smallest_cut.map_or_else(
            || "No one thing cuts it".to_owned(),
            |n| format!("No one thing cuts it; {n} must fail together"),
        );
        ui.label(RichText::new(words).color(t.soft));
        return;
    }
    ui.horizontal_wrapped(|ui| {
        sign_label(ui, Sign::Warns, 14.0, t.warns.ink);
        ui.label(RichText::new("Cut by any one of").color(t.warns.ink));
        for item in breaks.singles.iter().take(MOST_NAMES) {
            let name = item.name(ctx.scenario);
            details::link_to(ctx, ui, item.thing(), &name);
        }
        let more = breaks.singles.len().saturating_sub(MOST_NAMES);
        if more > 0 {
            ui.label(RichText::new(format!("and {more} more")).color(t.faint));
        }
    });
}

fn more_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, breaks: &Breaks) {
    let t = ctx.tokens;
    let mut line = |words: String| {
        ui.add(Label::new(RichText::new(words).size(12.5).color(t.soft)).wrap());
    };
    for item in breaks.singles.iter().skip(MOST_NAMES) {
        line(format!("Cut by {} alone", item.name(ctx.scenario)));
    }
    for (a, b) in breaks.doubles.iter().take(MOST_NAMES) {
        let (a, b) = (a.name(ctx.scenario), b.name(ctx.scenario));
        line(format!("Cut when {a} and {b} fail together"));
    }
    if breaks.doubles.len() > MOST_NAMES {
        let more = breaks.doubles.len() - MOST_NAMES;
        line(format!("and {more} more pairs of failures"));
    }
    for channel in &breaks.spare_channels {
        let name = ctx.scenario.name((*channel).into());
        line(format!("Everybody could turn to {name}"));
    }
    if !breaks.whole {
        line("It has very many ways; there may be more cuts than these".to_owned());
    }
}

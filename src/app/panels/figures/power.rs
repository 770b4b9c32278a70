//! Hours of every gateway and donor against the phase, and when to change what.

use egui::Ui;

use super::{head, line, quiet, short};
use crate::app::panels::details::link_to;
use crate::app::view::ViewCtx;
use crate::app::words::counted;
use crate::picture::power::CAUTION;

/// Rows beyond which the list is cut.
const MOST: usize = 60;

pub(super) fn power_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    let power = derived.picture.power();
    if power.gateways.is_empty() {
        return;
    }
    head(ui, t, "How long everything runs");
    quiet(
        ui,
        t,
        &format!("The phase lasts {} h.", short(power.phase_h)),
    );
    for g in power.gateways.iter().take(MOST) {
        let name = ctx.scenario.name(g.gateway.into());
        link_to(ctx, ui, g.gateway.into(), &name);
        let outside = if g.is_supplied() {
            "Supplied from outside; inside "
        } else {
            "Inside "
        };
        let set = g.cells.map_or_else(
            || "set of cells".to_owned(),
            |n| format!("set of {}", counted(n as usize, "cell", "cells")),
        );
        let sets = format!("{set}s")
            .replace("set of ", "sets of ")
            .replace("cellss", "cells");
        let words = lasts(g.inside_h, g.sets, &g.changes_h, (&set, &sets));
        line(ui, t, &format!("{outside}{words}"));
    }
    for d in power.donors.iter().filter(|d| !d.is_supplied).take(MOST) {
        let name = ctx.scenario.name(d.radio.into());
        link_to(ctx, ui, d.radio.into(), &name);
        let words = format!(
            "Transmits {:.0} % of the time, {} mA on average: {}",
            d.shares.transmit * 100.0,
            short(d.average_ma),
            lasts(d.own_h, d.batteries, &d.changes_h, ("battery", "batteries"))
        );
        line(ui, t, &words);
    }
    quiet(ui, t, CAUTION);
}

fn lasts(
    hours: Option<f64>,
    sets: Option<u32>,
    changes_h: &[f64],
    (one, many): (&str, &str),
) -> String {
    let (Some(hours), Some(sets)) = (hours, sets) else {
        return "the hours are unknown".to_owned();
    };
    let mut words = format!(
        "{} h, {} for the phase",
        short(hours),
        counted(sets as usize, one, many)
    );
    if !changes_h.is_empty() {
        let at: Vec<String> = changes_h.iter().take(6).map(|h| short(*h)).collect();
        let more = if changes_h.len() > 6 {
            " and so on"
        } else {
            ""
        };
        words.push_str(&format!(", change after {} h{more}", at.join(", ")));
    }
    words
}

//! What stands beside the plan: the antenna chosen, distances to keep, isolation that is missing,
//! mixing products and harmonics.

use egui::{Label, RichText, Ui};

use super::SiteViewState;
use super::ground::{SNAP_M, snap};
use super::products;
use crate::app::action::Action;
use crate::app::plan::{Spot, disturbed_words, metres, port_words, short};
use crate::app::theme::{Sign, Tokens, card, semibold, sign_label, text_button};
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::model::{Antenna, Edit, Site};
use crate::picture::exposure::{CAUTION, keep_m};
use crate::picture::site::{Set, SiteView};

/// Rows of one kind before the list is cut.
const MOST: usize = 12;

/// Shows what is known of the site.
pub(super) fn facts_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut SiteViewState,
    site: &Site,
    view: Option<&SiteView>,
    spots: &[Spot<'_>],
) {
    let t = ctx.tokens;
    ui.spacing_mut().item_spacing.y = 5.0;
    if let Some(spot) = state.chosen.and_then(|i| spots.get(i)) {
        chosen(ctx, ui, spot);
    }
    let Some(view) = view else {
        let words = "No donor with a channel stands here in this phase: choose this site for a \
                     gateway and plug radios into it.";
        text(ui, words, t.soft);
        return;
    };
    head(ui, t, "Distances to keep");
    exposure(ctx, ui, view);
    without_antenna(ctx, ui, site, view);
    head(ui, t, "Mixing products in receivers");
    products::products_ui(ctx, ui, state, view);
    ui.spacing_mut().item_spacing.y = 5.0;
    isolation(ctx, ui, view);
    harmonics(ctx, ui, view);
    if !view.without_frequency.is_empty() {
        let words = "Donors on group numbers are left out: their frequency is the system's.";
        text(ui, words, t.faint);
    }
    ui.add_space(20.0);
}

fn head(ui: &mut Ui, t: &Tokens, title: &str) {
    ui.add_space(8.0);
    ui.label(RichText::new(title).font(semibold(14.0)).color(t.text));
}

fn text(ui: &mut Ui, words: &str, ink: egui::Color32) {
    ui.add(Label::new(RichText::new(words).size(12.5).color(ink)).wrap());
}

/// A line with a sign before it.
fn row(ui: &mut Ui, sign: Sign, ink: egui::Color32, words: &str, text_ink: egui::Color32) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        sign_label(ui, sign, 14.0, ink);
        ui.add(Label::new(RichText::new(words).size(12.5).color(text_ink)).wrap());
    });
}

/// The antenna chosen.
fn chosen(ctx: &mut ViewCtx<'_>, ui: &mut Ui, spot: &Spot<'_>) {
    let t = ctx.tokens;
    let antenna = &spot.antenna;
    card(ui, t, |ui| {
        let title = format!("Antenna {}", antenna.name);
        ui.label(RichText::new(title).font(semibold(14.0)).color(t.text));
        match spot.set {
            Some(set) => {
                let words = sentence(&port_words(ctx, set.port));
                let link = ui.add(egui::Link::new(words));
                if link.on_hover_text("Selects the port").clicked() {
                    ctx.push(Action::Select(vec![set.port.into()]));
                }
                let how = match (set.group, set.transmits) {
                    (Some(_), true) => format!("sends at {} with {} W", set.tx, short(set.power_w)),
                    (Some(_), false) => "only listens".to_owned(),
                    (None, _) => "is on no talk group".to_owned(),
                };
                let radio = ctx.scenario.name(set.radio.into());
                let channel = ctx.scenario.name(set.channel.into());
                let words = format!("{radio} on {channel} {how}, hears at {}", set.rx);
                text(ui, &words, t.soft);
            }
            None => text(ui, "Serves no donor with a known frequency", t.soft),
        }
        let words = format!(
            "{} m east, {} m north of the mark, {} m high, gain {} dBi",
            short(antenna.east_m),
            short(antenna.north_m),
            short(antenna.height_m),
            short(antenna.gain_dbi)
        );
        text(ui, &words, t.soft);
        if let Some(ring) = spot.ring {
            let words = format!(
                "Public limit met beyond {:.2} m, occupational beyond {:.2} m; {} W radiated over \
                 an isotropic antenna, on for {:.0} % of the time",
                keep_m(ring.public_m),
                keep_m(ring.occupational_m),
                short(ring.eirp_w),
                ring.duty * 100.0
            );
            text(ui, &words, t.soft);
        }
        let words = format!(
            "Drag it, or move it by {SNAP_M} m with the arrow keys while it has the focus."
        );
        text(ui, &words, t.faint);
    });
}

fn exposure(ctx: &ViewCtx<'_>, ui: &mut Ui, view: &SiteView) {
    let t = ctx.tokens;
    let exposure = &view.exposure;
    if exposure.rings.is_empty() {
        text(ui, "No transmitter stands here in this phase.", t.soft);
        return;
    }
    let words = format!(
        "All antennas together: the public limit is met beyond {:.2} m, the occupational one \
         beyond {:.2} m.",
        keep_m(exposure.public_m),
        keep_m(exposure.occupational_m)
    );
    text(ui, &words, t.text);
    if exposure.rings.iter().any(|r| r.assumed) {
        let words = "Some antennas are not noted; their gain is the figure of practice.";
        row(ui, Sign::Notes, t.notes.ink, words, t.soft);
    }
    row(ui, Sign::Warns, t.warns.ink, CAUTION, t.soft);
}

/// Donors nobody noted an antenna for, each with a button that notes one.
fn without_antenna(ctx: &mut ViewCtx<'_>, ui: &mut Ui, site: &Site, view: &SiteView) {
    let t = ctx.tokens;
    let bare: Vec<&Set> = view.sets.iter().filter(|s| s.antenna.is_none()).collect();
    if bare.is_empty() {
        return;
    }
    head(ui, t, "Donors without an antenna");
    for set in bare.into_iter().take(MOST) {
        let port = port_words(ctx, set.port);
        let words = format!("Add the antenna of {port}");
        let button = text_button(ui, t, &words);
        if button
            .on_hover_text("Adds an antenna at a free spot near the mark; drag it where it stands")
            .clicked()
        {
            let name = ctx.scenario.name(set.radio.into());
            let mut changed = site.clone();
            let apart_m = ctx.scenario.practice.antenna_apart_m;
            let (east_m, north_m) = free_spot(site, apart_m);
            changed.antennas.push(Antenna {
                name,
                radio: Some(set.radio),
                height_m: 2.0,
                east_m,
                north_m,
                gain_dbi: 0.0,
            });
            ctx.apply(words, vec![Edit::Replace(changed.into())]);
        }
    }
}

/// Finds the first spot east of the mark that is as far from every antenna as practice has it.
fn free_spot(site: &Site, apart_m: f64) -> (f64, f64) {
    let step_m = apart_m.max(SNAP_M);
    let spots = (0..=3 * site.antennas.len() as u32).map(|i| snap((f64::from(i) * step_m, 0.0)));
    let is_free = |at: &(f64, f64)| {
        site.antennas.iter().all(|a| {
            // Half a snap of room for rounding.
            (a.east_m - at.0).hypot(a.north_m - at.1) >= step_m - SNAP_M / 2.0
        })
    };
    spots
        .into_iter()
        .find(is_free)
        .unwrap_or_else(|| snap((0.0, (site.antennas.len() + 1) as f64 * step_m)))
}

fn isolation(ctx: &ViewCtx<'_>, ui: &mut Ui, view: &SiteView) {
    let t = ctx.tokens;
    head(ui, t, "Isolation that is missing");
    if view.desense.is_empty() {
        let words = "Every receiver here stands the transmitters beside it.";
        row(ui, Sign::Tick, t.good.ink, words, t.soft);
    }
    for d in view.desense.iter().take(MOST) {
        let mut words = format!(
            "{} reaches {} with {}: {} more wanted",
            sentence(&port_words(ctx, d.from)),
            port_words(ctx, d.to),
            d.arrives,
            d.missing
        );
        if let Some(apart_m) = d.horizontal_m {
            words.push_str(&format!(", as by {} side by side", metres(apart_m)));
        }
        if d.assumed {
            words.push_str("; a spacing is assumed");
        }
        row(ui, Sign::Warns, t.stops.ink, &words, t.soft);
    }
    more(ui, t, view.desense.len(), "pair", "pairs");
    for (a, b, apart_m) in view.too_near.iter().take(MOST) {
        let words = format!(
            "{} and {} are {} apart, too near for the formulas",
            sentence(&port_words(ctx, *a)),
            port_words(ctx, *b),
            metres(*apart_m)
        );
        row(ui, Sign::Notes, t.notes.ink, &words, t.soft);
    }
}

fn harmonics(ctx: &ViewCtx<'_>, ui: &mut Ui, view: &SiteView) {
    let t = ctx.tokens;
    if view.harmonics.is_empty() {
        return;
    }
    head(ui, t, "Harmonics in receivers");
    for h in view.harmonics.iter().take(MOST) {
        let words = format!(
            "Harmonic {} of {} falls on {}",
            h.multiple,
            port_words(ctx, h.from),
            disturbed_words(ctx, h.disturbed)
        );
        row(ui, Sign::Warns, t.warns.ink, &words, t.soft);
    }
    more(ui, t, view.harmonics.len(), "harmonic", "harmonics");
}

fn more(ui: &mut Ui, t: &Tokens, all: usize, one: &str, many: &str) {
    let rest = all.saturating_sub(MOST);
    if rest > 0 {
        let word = if rest == 1 { one } else { many };
        text(ui, &format!("and {rest} more {word}"), t.faint);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::SiteId;

    #[test]
    fn a_new_antenna_stands_clear_of_the_others() {
        let mut site = Site {
            id: SiteId(1),
            key: "s".to_owned(),
            name: "S".to_owned(),
            contaminated: false,
            temperature_c: None,
            supply_v: None,
            antennas: Vec::new(),
            notes: String::new(),
        };
        for _ in 0..6 {
            let (east_m, north_m) = free_spot(&site, 1.0);
            let near = site.antennas.iter();
            let near = near.map(|a| (a.east_m - east_m).hypot(a.north_m - north_m));
            assert!(near.fold(f64::MAX, f64::min) >= 1.0 - 1e-9);
            site.antennas.push(Antenna {
                name: String::new(),
                radio: None,
                height_m: 2.0,
                east_m,
                north_m,
                gain_dbi: 0.0,
            });
        }
        assert_eq!(site.antennas.len(), 6);
    }
}

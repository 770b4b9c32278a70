//! A site seen from above: antennas, how far to stay from them, and what their signals do to each
//! other's receivers.

use egui::accesskit::Role;
use egui::{ComboBox, Sense, Ui, WidgetInfo, vec2};

use super::{FiguresState, head, line, quiet, short};
use crate::app::plan;
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::picture::exposure::{CAUTION, keep_m};
use crate::picture::site::SiteView;

/// Height of the plan, in points.
const PLAN: f32 = 220.0;
/// Rows of one kind before the list is cut.
const MOST: usize = 6;

pub(super) fn site_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState) {
    let t = ctx.tokens;
    let derived = ctx.derived;
    let sites = derived.picture.sites();
    let Some(first) = sites.first() else {
        return;
    };
    head(ui, t, "Radio site");
    let shown = sites
        .iter()
        .find(|s| Some(s.site) == state.site)
        .unwrap_or(first);
    let name = |site: &SiteView| ctx.scenario.name(site.site.into());
    if sites.len() > 1 {
        ui.name_inputs("Site shown", |ui| {
            ComboBox::from_id_salt("site-shown")
                .selected_text(name(shown))
                .width(ui.available_width() - 8.0)
                .truncate()
                .show_ui(ui, |ui| {
                    for site in sites {
                        let is_on = site.site == shown.site;
                        if ui.selectable_label(is_on, name(site)).clicked() {
                            state.site = Some(site.site);
                        }
                    }
                });
        });
    } else {
        line(ui, t, &name(shown));
    }
    plan(ctx, ui, shown);
    let exposure = &shown.exposure;
    if !exposure.rings.is_empty() {
        let words = format!(
            "All antennas together: the public limit is met beyond {:.2} m, the occupational one \
             beyond {:.2} m.",
            keep_m(exposure.public_m),
            keep_m(exposure.occupational_m)
        );
        line(ui, t, &words);
        quiet(ui, t, CAUTION);
    }
    interference(ctx, ui, shown);
}

/// Draws the site from above, north up.
fn plan(ctx: &ViewCtx<'_>, ui: &mut Ui, view: &SiteView) {
    let t = ctx.tokens;
    let site = ctx.scenario.sites.get(view.site);
    let mut spots = site.map_or_else(Vec::new, |site| plan::spots(site, Some(view)));
    spots.retain(|s| s.set.is_some());
    if spots.is_empty() {
        quiet(
            ui,
            t,
            "No antenna of a donor is noted here: add them to the site.",
        );
        return;
    }
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width() - 4.0, PLAN), Sense::hover());
    let words = format!(
        "Plan of {}: {} antennas, public limit met beyond {:.2} m",
        ctx.scenario.name(view.site.into()),
        spots.len(),
        keep_m(view.exposure.public_m)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
    let scale = plan::Scale::fit(rect, &spots);
    let names = vec![String::new(); spots.len()];
    let painter = ui.painter_at(rect);
    let look = plan::Look::default();
    plan::draw(&painter, t, (rect, scale), &spots, &names, look);
}

fn interference(ctx: &ViewCtx<'_>, ui: &mut Ui, site: &SiteView) {
    let t = ctx.tokens;
    let name = |port| plan::port_words(ctx, port);
    let disturbed = |d| plan::disturbed_words(ctx, d);
    for d in site.desense.iter().take(MOST) {
        let words = format!(
            "{} reaches {} with {} dBm: {} dB more isolation wanted",
            sentence(&name(d.from)),
            name(d.to),
            short(d.arrives.0),
            short(d.missing.0)
        );
        line(ui, t, &words);
    }
    for p in site.products.iter().take(MOST) {
        let words = format!(
            "Order {} mixing product at {}, {} kHz off {}{}: {}",
            p.order,
            p.at,
            short(p.offset_hz as f64 / 1e3),
            disturbed(p.disturbed),
            if p.together.is_some() {
                ", whenever the talk group speaks"
            } else {
                ", when two talk groups speak at once"
            },
            plan::terms_words(ctx, site, p)
        );
        line(ui, t, &words);
    }
    for h in site.harmonics.iter().take(MOST) {
        let words = format!(
            "Harmonic {} of {} falls on {}",
            h.multiple,
            name(h.from),
            disturbed(h.disturbed)
        );
        line(ui, t, &words);
    }
    let found = site.desense.len() + site.products.len() + site.harmonics.len();
    if found == 0 {
        line(
            ui,
            t,
            "No transmitter here disturbs a receiver that the plan knows of.",
        );
    }
    if !site.without_frequency.is_empty() {
        quiet(
            ui,
            t,
            "Donors on group numbers are left out: their frequency is the system's.",
        );
    }
}

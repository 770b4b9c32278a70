//! A site seen from above: antennas, how far to stay from them, and what their signals do to each
//! other's receivers.

use egui::accesskit::Role;
use egui::{Align2, Color32, ComboBox, FontId, Pos2, Rect, Sense, Shape, Stroke, Ui, WidgetInfo};
use egui::{pos2, vec2};

use super::{FiguresState, head, line, quiet, short};
use crate::app::theme::Tokens;
use crate::app::view::ViewCtx;
use crate::app::words::sentence;
use crate::picture::exposure::{CAUTION, keep_m};
use crate::picture::site::{Disturbed, Product, SiteView};

/// Height of the plan, in points.
const PLAN: f32 = 220.0;
/// Rows of one kind before the list is cut.
const MOST: usize = 6;

pub(crate) fn site_ui(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut FiguresState) {
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
fn plan(ctx: &ViewCtx<'_>, ui: &mut Ui, site: &SiteView) {
    let t = ctx.tokens;
    let noted: Vec<(&crate::picture::site::Set, f64, f64)> = site
        .sets
        .iter()
        .filter_map(|s| s.antenna.as_ref().map(|a| (s, a.east_m, a.north_m)))
        .collect();
    if noted.is_empty() {
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
        ctx.scenario.name(site.site.into()),
        noted.len(),
        keep_m(site.exposure.public_m)
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &words));
    let ring = |port| site.exposure.rings.iter().find(|r| r.port == port);
    // What must be in view: each antenna with its larger ring, and a metre around.
    let mut low = (f64::MAX, f64::MAX);
    let mut high = (f64::MIN, f64::MIN);
    for (set, east, north) in &noted {
        let around = ring(set.port).map_or(0.0, |r| r.public_m) + 1.0;
        low = (low.0.min(east - around), low.1.min(north - around));
        high = (high.0.max(east + around), high.1.max(north + around));
    }
    let span = (high.0 - low.0).max(high.1 - low.1).max(1.0);
    let scale = f64::from((rect.width() - 16.0).min(rect.height() - 28.0)) / span;
    let middle = (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1));
    let at = |east: f64, north: f64| -> Pos2 {
        let centre = rect.center() - vec2(0.0, 6.0);
        centre
            + vec2(
                ((east - middle.0) * scale) as f32,
                ((middle.1 - north) * scale) as f32,
            )
    };
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 8.0, t.sunken);
    for (set, east, north) in &noted {
        if let Some(ring) = ring(set.port) {
            let centre = at(*east, *north);
            circle(&painter, centre, ring.public_m * scale, t.warns.ink);
            circle(&painter, centre, ring.occupational_m * scale, t.stops.ink);
        }
    }
    for (set, east, north) in &noted {
        let centre = at(*east, *north);
        painter.circle_filled(centre, 4.0, if set.transmits { t.text } else { t.faint });
        painter.text(
            centre + vec2(7.0, -7.0),
            Align2::LEFT_CENTER,
            format!("{}", set.port.port),
            FontId::proportional(12.0),
            t.text,
        );
    }
    key(&painter, rect, t, scale);
}

fn circle(painter: &egui::Painter, centre: Pos2, radius: f64, ink: Color32) {
    let points: Vec<Pos2> = (0..=48)
        .map(|i| {
            centre + radius as f32 * egui::Vec2::angled(i as f32 * std::f32::consts::TAU / 48.0)
        })
        .collect();
    painter.extend(Shape::dashed_line(&points, Stroke::new(1.3, ink), 5.0, 3.0));
}

/// The scale, and what the circles mean.
fn key(painter: &egui::Painter, rect: Rect, t: &Tokens, scale: f64) {
    let metres = [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
    let fits = metres
        .iter()
        .rev()
        .find(|m| **m * scale <= f64::from(rect.width()) / 4.0);
    let font = FontId::proportional(11.5);
    let y = rect.max.y - 10.0;
    let mut x = rect.min.x + 10.0;
    if let Some(metres) = fits {
        let end = x + (metres * scale) as f32;
        painter.hline(x..=end, y, Stroke::new(2.0, t.soft));
        let words = format!("{} m", short(*metres));
        let drawn = painter.text(
            pos2(end + 5.0, y),
            Align2::LEFT_CENTER,
            words,
            font.clone(),
            t.soft,
        );
        x = drawn.max.x + 14.0;
    }
    for (words, ink) in [("public", t.warns.ink), ("occupational", t.stops.ink)] {
        painter.hline(x..=x + 14.0, y, Stroke::new(2.0, ink));
        let at = pos2(x + 18.0, y);
        let drawn = painter.text(at, Align2::LEFT_CENTER, words, font.clone(), t.soft);
        x = drawn.max.x + 12.0;
    }
    let north = pos2(rect.max.x - 12.0, rect.min.y + 10.0);
    painter.text(north, Align2::CENTER_CENTER, "N", font, t.faint);
}

fn interference(ctx: &ViewCtx<'_>, ui: &mut Ui, site: &SiteView) {
    let t = ctx.tokens;
    let name = |port: crate::model::PortRef| {
        format!(
            "port {} of {}",
            port.port,
            ctx.scenario.name(port.gateway.into())
        )
    };
    let disturbed = |d: Disturbed| match d {
        Disturbed::Donor(port) => name(port),
        Disturbed::Listeners(channel) => {
            format!("radios on {} nearby", ctx.scenario.name(channel.into()))
        }
    };
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
            terms(ctx, p)
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

fn terms(ctx: &ViewCtx<'_>, product: &Product) -> String {
    let terms = product.terms.iter().map(|(times, port)| {
        let picture = &ctx.derived.picture;
        let sites = picture.sites().iter().flat_map(|s| &s.sets);
        let channel = sites
            .into_iter()
            .find(|s| s.port == *port)
            .map(|s| s.channel);
        let name = channel.map_or_else(String::new, |c| ctx.scenario.name(c.into()));
        format!("{times} x {name}")
    });
    terms.collect::<Vec<_>>().join(", ")
}

//! The view of the antennas of a site from above, with distances to keep and mixing products.
//!
//! `ground` is the plan and what the pointer and keys do on it, `facts` what stands beside it,
//! `products` the table of mixing products and its order.

mod facts;
mod ground;
mod products;

use std::sync::Arc;

use egui::{ComboBox, Rect, RichText, ScrollArea, Ui, UiBuilder, pos2, vec2};

use self::products::Order;
use crate::app::action::Action;
use crate::app::plan::{self, Scale, Spot};
use crate::app::shelf::Article;
use crate::app::theme::{Sign, primary_button, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::model::{Site, SiteId};
use crate::picture::site::{Product, SiteView};

/// Width from which what is known stands beside the plan and not below it, in points.
const WIDE: f32 = 760.0;
/// Width of what stands beside the plan, in points.
const BESIDE: f32 = 400.0;
/// Height of the plan where the rest stands below it, in points.
const LOW: f32 = 380.0;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct SiteViewState {
    /// The site shown; the first with donors where none is chosen.
    site: Option<SiteId>,
    /// How the plan lies in the window; everything is in view where it was not moved.
    scale: Option<Scale>,
    /// Where the plan was drawn last.
    rect: Option<Rect>,
    /// The antenna chosen, by its place in the site's list.
    chosen: Option<usize>,
    /// The antenna under the pointer.
    hovered: Option<usize>,
    /// The antenna in hand, and where it is.
    in_hand: Option<InHand>,
    /// The mixing product chosen.
    product: Option<Product>,
    /// The order of the table of products.
    order: Order,
}

/// An antenna in hand.
#[derive(Debug, Clone, Copy, PartialEq)]
struct InHand {
    index: usize,
    /// From the pointer to the antenna, in metres east and north.
    grip: (f64, f64),
    /// Where it is, in metres east and north.
    at: (f64, f64),
}

impl SiteViewState {
    fn show(&mut self, site: SiteId) {
        if self.site != Some(site) {
            let order = self.order;
            *self = Self {
                site: Some(site),
                order,
                ..Self::default()
            };
        }
    }
}

/// Shows the antennas of a site from above, with distances to keep and mixing products.
pub(super) fn site_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut SiteViewState) {
    let scenario = Arc::clone(ctx.scenario);
    let derived = ctx.derived;
    let views = derived.picture.sites();
    // The first site is the one where something is on the air.
    let first = views.first().map(|v| v.site);
    let first = first.or_else(|| scenario.sites.ids().next());
    let kept = state.site.filter(|id| scenario.sites.contains(*id));
    let Some(id) = kept.or(first) else {
        empty(ctx, ui);
        return;
    };
    state.show(id);
    let Some(site) = scenario.sites.get(id) else {
        return;
    };
    let view = views.iter().map(Arc::as_ref).find(|v| v.site == id);
    if state.chosen.is_some_and(|i| i >= site.antennas.len()) {
        state.chosen = None;
    }
    let keeps = |p: &Product| view.is_some_and(|v| v.products.contains(p));
    if state.product.as_ref().is_some_and(|p| !keeps(p)) {
        state.product = None;
    }
    let mut spots = plan::spots(site, view);
    if let Some(hand) = state.in_hand
        && let Some(spot) = spots.get_mut(hand.index)
    {
        (spot.antenna.east_m, spot.antenna.north_m) = hand.at;
    }
    head(ctx, ui, state, site, &spots);
    let room = ui.available_rect_before_wrap();
    if room.width() >= WIDE {
        let split = room.max.x - BESIDE;
        let left = Rect::from_min_max(room.min, pos2(split - 14.0, room.max.y));
        let right = Rect::from_min_max(pos2(split, room.min.y), room.max);
        ground_ui(ctx, ui, state, site, view, &spots, left);
        let mut child = ui.new_child(UiBuilder::new().id_salt("facts").max_rect(right));
        ScrollArea::vertical()
            .id_salt("site-facts")
            .auto_shrink(false)
            .show(&mut child, |ui| {
                ui.set_max_width(BESIDE - 12.0);
                facts::facts_ui(ctx, ui, state, site, view, &spots);
            });
        return;
    }
    ScrollArea::vertical()
        .id_salt("site-narrow")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.set_max_width(ui.available_width() - 6.0);
            let (rect, _) =
                ui.allocate_exact_size(vec2(ui.available_width(), LOW), egui::Sense::hover());
            ground_ui(ctx, ui, state, site, view, &spots, rect);
            facts::facts_ui(ctx, ui, state, site, view, &spots);
        });
}

fn ground_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut SiteViewState,
    site: &Site,
    view: Option<&SiteView>,
    spots: &[Spot<'_>],
    rect: Rect,
) {
    if spots.is_empty() {
        ground::empty(ctx, ui, site, view, rect);
    } else {
        ground::ground_ui(ctx, ui, state, site, view, spots, rect);
    }
}

fn empty(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.28);
        sign_label(ui, Sign::Site, 44.0, t.faint);
        ui.label(RichText::new("No site yet").font(semibold(18.0)));
        ui.label(
            RichText::new(
                "A site is where gateways stand. Add one, choose it for a gateway, then note the \
                 antennas of its donors.",
            )
            .color(t.soft),
        );
        ui.add_space(8.0);
        if primary_button(ui, t, "Add a site").clicked() {
            ctx.push(Action::Add {
                article: Article::Site,
                at: None,
                on: None,
            });
        }
    });
}

fn head(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    state: &mut SiteViewState,
    site: &Site,
    spots: &[Spot<'_>],
) {
    let t = ctx.tokens;
    ui.horizontal(|ui| {
        if ctx.scenario.sites.len() > 1 {
            ui.label(RichText::new("Site").color(t.soft));
            ui.name_inputs("Site on the plan", |ui| {
                ComboBox::from_id_salt("site-on-plan")
                    .selected_text(&site.name)
                    .width(260.0)
                    .truncate()
                    .show_ui(ui, |ui| {
                        for other in ctx.scenario.sites.iter() {
                            let is_on = other.id == site.id;
                            if ui.selectable_label(is_on, &other.name).clicked() {
                                state.show(other.id);
                            }
                        }
                    });
            });
        } else {
            ui.label(RichText::new(&site.name).font(semibold(15.0)).color(t.text));
        }
        if ui
            .button("Fields of the site")
            .on_hover_text("Shows the site and its antennas in the side panel")
            .clicked()
        {
            ctx.push(Action::Select(vec![site.id.into()]));
            ctx.push(Action::Tab(crate::app::state::Tab::Details));
        }
        let factor = if sign_button(ui, t, Sign::Minus, "Plan further away", true).clicked() {
            Some(0.8)
        } else if sign_button(ui, t, Sign::Plus, "Plan closer", true).clicked() {
            Some(1.25)
        } else {
            None
        };
        if let (Some(factor), Some(rect)) = (factor, state.rect) {
            // Until the plan is moved by hand it fits the window: begin from there.
            let now = state.scale.unwrap_or_else(|| Scale::fit(rect, spots));
            state.scale = Some(now.closer(rect, factor));
        }
        if sign_button(ui, t, Sign::Fit, "Fit the plan", true).clicked() {
            state.scale = None;
        }
    });
    ui.add_space(2.0);
}

//! The plan itself: look, pan, zoom, choose an antenna, drag or nudge it.

use egui::accesskit::Role;
use egui::{
    EventFilter, Id, Key, Modifiers, PointerButton, Popup, Rect, Response, RichText, Sense, Stroke,
    StrokeKind, Ui, UiBuilder, Vec2, WidgetInfo, vec2,
};

use super::{InHand, SiteViewState};
use crate::app::action::Action;
use crate::app::plan::{self, Look, Scale, Spot, short};
use crate::app::theme::{Sign, semibold, sign_label};
use crate::app::view::ViewCtx;
use crate::model::{Edit, Site, ThingId};
use crate::picture::exposure::keep_m;
use crate::picture::site::{Disturbed, SiteView};

/// Antennas stand on multiples of this, in metres.
pub(super) const SNAP_M: f64 = 0.5;

/// How far one press of an arrow key moves the plan, in points.
const PAN: f32 = 60.0;

/// Returns the nearest position antennas snap to.
pub(super) fn snap((east, north): (f64, f64)) -> (f64, f64) {
    let to = |metres: f64| (metres / SNAP_M).round() * SNAP_M;
    (to(east), to(north))
}

/// Returns the edit that moves an antenna; `None` where it is there already.
pub(super) fn moved(site: &Site, index: usize, (east, north): (f64, f64)) -> Option<Edit> {
    let mut site = site.clone();
    let antenna = site.antennas.get_mut(index)?;
    if antenna.east_m.to_bits() == east.to_bits() && antenna.north_m.to_bits() == north.to_bits() {
        return None;
    }
    (antenna.east_m, antenna.north_m) = (east, north);
    Some(Edit::Replace(site.into()))
}

/// Says what to do where no antenna is noted.
pub(super) fn empty(
    ctx: &ViewCtx<'_>,
    ui: &mut Ui,
    site: &Site,
    view: Option<&SiteView>,
    rect: Rect,
) {
    let t = ctx.tokens;
    ui.painter().rect_filled(rect, 8.0, t.sunken);
    let mut child = ui.new_child(UiBuilder::new().id_salt("no-antenna").max_rect(rect));
    child.vertical_centered(|ui| {
        ui.add_space(rect.height() * 0.3);
        sign_label(ui, Sign::Site, 40.0, t.faint);
        let title = format!("No antenna at {} yet", site.name);
        ui.label(RichText::new(title).font(semibold(16.0)).color(t.text));
        let words = if view.is_some() {
            "Add those of its donors with the buttons beside or below."
        } else {
            "Choose this site for a gateway and plug a donor radio into it, or add antennas in the \
             site's fields."
        };
        ui.label(RichText::new(words).color(t.soft));
    });
}

/// Shows the plan and does what pointer and keys ask.
pub(super) fn ground_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut SiteViewState,
    site: &Site,
    view: Option<&SiteView>,
    spots: &[Spot<'_>],
    rect: Rect,
) {
    let response = ui.interact(
        rect,
        Id::unique(("site-plan", site.id)),
        Sense::DRAG | Sense::FOCUSABLE,
    );
    let public = view.map_or(0.0, |v| keep_m(v.exposure.public_m));
    let label = format!(
        "Plan of {} from above: {} antennas, public limit of all together met beyond {public:.2} m",
        site.name,
        spots.len(),
    );
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &label));
    if response.has_focus() {
        let edge = Stroke::new(1.5, ctx.tokens.accent.ink);
        ui.painter()
            .rect_stroke(rect, 8.0, edge, StrokeKind::Outside);
    }
    state.rect = Some(rect);
    let mut scale = state.scale.unwrap_or_else(|| Scale::fit(rect, spots));
    look_around(ui, state, &mut scale, rect, &response);
    state.hovered = None;
    for spot in spots {
        antenna(ctx, ui, state, site, spot, (rect, scale));
    }
    let keen = state
        .in_hand
        .map(|h| h.index)
        .or(state.hovered)
        .or(state.chosen);
    let names: Vec<String> = spots.iter().map(|s| name(ctx, s)).collect();
    let chosen = state.product.as_ref();
    let hit = chosen.and_then(|p| match p.disturbed {
        Disturbed::Donor(port) => Some(port),
        Disturbed::Listeners(_) => None,
    });
    let look = Look {
        large: true,
        keen,
        desense: view.map_or(&[], |v| v.desense.as_slice()),
        terms: chosen.map_or(&[], |p| p.terms.as_slice()),
        hit,
    };
    let painter = ui.painter_at(rect);
    plan::draw(&painter, ctx.tokens, (rect, scale), spots, &names, look);
    let help = "Drag the ground or press an arrow key to look around, scroll to come closer, drag an \
                antenna to move it";
    let font = egui::FontId::proportional(11.5);
    let corner = rect.left_top() + vec2(12.0, 8.0);
    // On the right stands the arrow to the north.
    let room = (rect.width() - 60.0).max(80.0);
    let words = painter.layout(help.to_owned(), font, ctx.tokens.faint, room);
    painter.galley(corner, words, ctx.tokens.faint);
}

/// The words beside an antenna: its port, or its own name where it serves no donor.
fn name(ctx: &ViewCtx<'_>, spot: &Spot<'_>) -> String {
    match spot.set {
        Some(set) => format!(
            "{}  {}",
            set.port.port,
            ctx.scenario.name(set.channel.into())
        ),
        None => spot.antenna.name.clone(),
    }
}

fn look_around(
    ui: &Ui,
    state: &mut SiteViewState,
    scale: &mut Scale,
    rect: Rect,
    response: &Response,
) {
    let before = *scale;
    if response.dragged_by(PointerButton::Primary) || response.dragged_by(PointerButton::Middle) {
        scale.pan(response.drag_delta());
    }
    if let Some(way) = pan_by_key(ui, response) {
        scale.pan(way);
    }
    let over = ui.rect_contains_pointer(rect);
    let (scroll, zoom, at) = ui.input(|i| {
        (
            i.smooth_scroll_delta().y,
            i.zoom_delta(),
            i.pointer.hover_pos(),
        )
    });
    if let Some(at) = at.filter(|_| over) {
        let factor = f64::from(zoom) * f64::from(scroll / 240.0).exp();
        if (factor - 1.0).abs() > 1e-4 {
            scale.zoom(rect, at, factor);
        }
    }
    if *scale != before {
        state.scale = Some(*scale);
    }
}

/// Returns how far an arrow key moves the plan; the keys are for it as long as nothing else has the focus.
fn pan_by_key(ui: &Ui, response: &Response) -> Option<Vec2> {
    let focused = ui.memory(egui::Memory::focused);
    if Popup::is_any_open(ui.ctx()) || focused.is_some_and(|id| id != response.id) {
        return None;
    }
    if response.has_focus() {
        let filter = EventFilter {
            horizontal_arrows: true,
            vertical_arrows: true,
            ..EventFilter::default()
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    }
    // The plan moves against the arrow, so that what lies in its direction comes into view.
    let ways = [
        (Key::ArrowLeft, vec2(PAN, 0.0)),
        (Key::ArrowRight, vec2(-PAN, 0.0)),
        (Key::ArrowUp, vec2(0.0, PAN)),
        (Key::ArrowDown, vec2(0.0, -PAN)),
    ];
    let pressed = ways
        .into_iter()
        .filter(|(key, _)| ui.input_mut(|i| i.consume_key(Modifiers::NONE, *key)));
    pressed.map(|(_, way)| way).reduce(|a, b| a + b)
}

fn antenna(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut SiteViewState,
    site: &Site,
    spot: &Spot<'_>,
    (rect, scale): (Rect, Scale),
) {
    let position = (spot.antenna.east_m, spot.antenna.north_m);
    let at = scale.at(rect, position);
    let node = Rect::from_center_size(at, Vec2::splat(24.0)).intersect(rect);
    if !node.is_positive() {
        return;
    }
    let id = Id::unique(("antenna", site.id, spot.index));
    let response = ui.interact(node, id, Sense::click_and_drag());
    let label = label(ctx, state, spot);
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, &label));
    if response.hovered() || response.dragged() {
        state.hovered = Some(spot.index);
        ui.ctx().set_cursor_icon(egui::CursorIcon::Grab);
        ctx.hint.clone_from(&label);
    }
    if response.has_focus() {
        state.hovered = state.hovered.or(Some(spot.index));
        keys(ctx, ui, &response, site, spot);
    }
    if response.clicked() {
        state.chosen = Some(spot.index);
        let thing = spot.port().map_or(ThingId::from(site.id), ThingId::from);
        ctx.push(Action::Select(vec![thing]));
    }
    drag(ctx, ui, state, site, spot, &response, (rect, scale));
}

fn drag(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut SiteViewState,
    site: &Site,
    spot: &Spot<'_>,
    response: &Response,
    (rect, scale): (Rect, Scale),
) {
    let position = (spot.antenna.east_m, spot.antenna.north_m);
    if response.drag_started_by(PointerButton::Primary)
        && let Some(press) = ui.input(|i| i.pointer.press_origin())
    {
        let ground = scale.ground(rect, press);
        state.chosen = Some(spot.index);
        state.in_hand = Some(InHand {
            index: spot.index,
            grip: (position.0 - ground.0, position.1 - ground.1),
            at: position,
        });
        // While something is in hand the plan stays where it is.
        state.scale = Some(scale);
    }
    let Some(hand) = state.in_hand.as_mut().filter(|h| h.index == spot.index) else {
        return;
    };
    if response.dragged()
        && let Some(pointer) = ui.input(|i| i.pointer.latest_pos())
    {
        let ground = scale.ground(rect, pointer);
        hand.at = snap((ground.0 + hand.grip.0, ground.1 + hand.grip.1));
    }
    if response.drag_stopped() {
        let at = hand.at;
        state.in_hand = None;
        // Escape stops a drag without letting go: then the antenna stays where it stood.
        if ui.input(|i| i.pointer.any_released())
            && let Some(edit) = moved(site, spot.index, at)
        {
            ctx.apply(format!("Move antenna {}", spot.antenna.name), vec![edit]);
        }
    }
}

fn keys(ctx: &mut ViewCtx<'_>, ui: &Ui, response: &Response, site: &Site, spot: &Spot<'_>) {
    let filter = EventFilter {
        horizontal_arrows: true,
        vertical_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let ways = [
        (Key::ArrowLeft, (-SNAP_M, 0.0)),
        (Key::ArrowRight, (SNAP_M, 0.0)),
        (Key::ArrowUp, (0.0, SNAP_M)),
        (Key::ArrowDown, (0.0, -SNAP_M)),
    ];
    for (key, by) in ways {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            let to = snap((spot.antenna.east_m + by.0, spot.antenna.north_m + by.1));
            if let Some(edit) = moved(site, spot.index, to) {
                // Several nudges of one antenna are one step.
                ctx.push(Action::Type {
                    label: format!("Move antenna {}", spot.antenna.name),
                    field: format!("antenna {} of {}", spot.index, site.key),
                    edits: vec![edit],
                });
            }
        }
    }
}

/// Says all that the plan shows of an antenna.
fn label(ctx: &ViewCtx<'_>, state: &SiteViewState, spot: &Spot<'_>) -> String {
    let antenna = &spot.antenna;
    let serves = spot.port().map_or_else(
        || "serves no donor with a known frequency".to_owned(),
        |port| plan::port_words(ctx, port),
    );
    let mut label = format!(
        "Antenna {}, {serves}: {} m east, {} m north, {} m high",
        antenna.name,
        short(antenna.east_m),
        short(antenna.north_m),
        short(antenna.height_m)
    );
    if let Some(ring) = spot.ring {
        label.push_str(&format!(
            ", public limit met beyond {:.2} m, occupational beyond {:.2} m",
            keep_m(ring.public_m),
            keep_m(ring.occupational_m)
        ));
    }
    if let (Some(product), Some(port)) = (&state.product, spot.port()) {
        if product.terms.iter().any(|(_, p)| *p == port) {
            label.push_str(", sends in the product chosen");
        } else if product.disturbed == Disturbed::Donor(port) {
            label.push_str(", hit by the product chosen");
        }
    }
    label
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Antenna, SiteId, Thing};

    #[test]
    fn antennas_snap_to_half_metres() {
        assert_eq!(snap((1.26, -0.74)), (1.5, -0.5));
        assert_eq!(snap((0.2, -0.2)), (0.0, 0.0));
    }

    #[test]
    fn moving_replaces_the_site_with_one_antenna_elsewhere() {
        let antenna = |name: &str| Antenna {
            name: name.to_owned(),
            radio: None,
            height_m: 3.0,
            east_m: 1.0,
            north_m: 2.0,
            gain_dbi: 0.0,
        };
        let site = Site {
            id: SiteId(1),
            key: "s".to_owned(),
            name: "S".to_owned(),
            contaminated: false,
            temperature_c: None,
            supply_v: None,
            antennas: vec![antenna("a"), antenna("b")],
            notes: String::new(),
        };
        let Some(Edit::Replace(Thing::Site(changed))) = moved(&site, 1, (4.0, 2.0)) else {
            unreachable!("it moves");
        };
        assert_eq!(changed.antennas.first(), site.antennas.first());
        let there = changed.antennas.get(1).map(|a| (a.east_m, a.north_m));
        assert_eq!(there, Some((4.0, 2.0)));
        assert_eq!(moved(&site, 1, (1.0, 2.0)), None);
        assert_eq!(moved(&site, 7, (1.0, 2.0)), None);
    }
}

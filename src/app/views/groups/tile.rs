//! One port as a tile: what is plugged in, its buffer, its load and its worst finding. Dragging it to
//! another lane, the arrow keys and its menu all switch the port.

use egui::accesskit::Role as NodeRole;
use egui::{
    CornerRadius, EventFilter, FontId, Key, Modifiers, Rect, Response, Sense, Stroke, StrokeKind,
    Ui, WidgetInfo, pos2, vec2,
};

use super::preview;
use super::{InHand, Now, switch};
use crate::app::action::Action;
use crate::app::port_keys::{stands_for_port, switch_by_number};
use crate::app::state::Tab;
use crate::app::theme::{Sign, elided, paint_sign, semibold, severity_pair, severity_sign};
use crate::app::view::ViewCtx;
use crate::app::words::{Choice as _, seconds, sentence};
use crate::model::{Attachment, PortKind, PortRef, Severity, ThingId};
use crate::picture::lanes::Lane;

/// What is plugged into a port, in words.
struct Plugged {
    sign: Sign,
    thing: Option<ThingId>,
    name: String,
    /// Channel and cable, or whatever else there is to know.
    under: String,
}

/// Returns the words by which a tile is known while it is in hand.
pub(super) fn title(ctx: &ViewCtx<'_>, port: PortRef) -> String {
    format!("{}  {}", port.port, plugged(ctx, port).name)
}

/// Shows the tile of a port and does what is asked for with it.
pub(super) fn tile_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    rect: Rect,
    all: &[Lane],
    lane: &Lane,
    port: PortRef,
    now: Now,
) {
    let plugged = plugged(ctx, port);
    let id = egui::Id::unique(("port-tile", port));
    let response = ui.interact(rect, id, Sense::click_and_drag());
    response.dnd_set_drag_payload(InHand(port));
    let reached = ctx.derived.talk.as_ref().map(|talk| {
        let at = talk.lit.get(&port.into()).copied();
        at.is_some_and(|at| at <= now.talked)
    });
    let label = label(ctx, lane, port, &plugged, reached == Some(true));
    response.widget_info(|| WidgetInfo::labeled(NodeRole::Button, true, &label));
    draw(ctx, ui, rect, lane, port, &plugged, &response, reached, now);
    if response.clicked() {
        ctx.push(Action::Select(vec![port.into()]));
    }
    if response.double_clicked() {
        ctx.push(Action::Tab(Tab::Details));
    }
    if response.gained_focus() {
        response.scroll_to_me(None);
    }
    if response.has_focus() {
        stands_for_port(ui.ctx(), response.id);
        keys(ctx, ui, &response, all, lane, port);
        switch_by_number(ctx, ui, port);
    }
    if response.hovered() {
        *ctx.hint = format!(
            "{}: drag it to another lane, or press the left or right arrow key or the number of a talk group",
            ctx.scenario.name(port.into())
        );
    }
    menu(ctx, &response, all, lane, port);
    // Whatever had no room on the tile.
    response.on_hover_text(format!("{}: {}", plugged.name, plugged.under));
}

fn keys(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    response: &Response,
    all: &[Lane],
    lane: &Lane,
    port: PortRef,
) {
    let filter = EventFilter {
        horizontal_arrows: true,
        ..EventFilter::default()
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    let here = all.iter().position(|l| l.group == lane.group).unwrap_or(0);
    let steps = [(Key::ArrowLeft, -1), (Key::ArrowRight, 1)];
    for (key, by) in steps {
        if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key))
            && let Some(to) = here.checked_add_signed(by).and_then(|i| all.get(i))
        {
            switch(ctx, port, to.group.map(|g| g.group));
        }
    }
}

fn menu(ctx: &mut ViewCtx<'_>, response: &Response, all: &[Lane], lane: &Lane, port: PortRef) {
    response.context_menu(|ui| {
        ui.set_min_width(200.0);
        for other in all.iter().filter(|l| l.group != lane.group) {
            let group = other.group.map(|g| g.group);
            let name = other.group.and_then(|g| ctx.scenario.talk_group(g));
            let words = match name {
                Some(g) => format!("Switch to {} {}", g.number, g.name),
                None => "Switch to none".to_owned(),
            };
            let button = ui.button(words);
            if button.clicked() {
                switch(ctx, port, group);
                ui.close();
            }
            button.on_hover_ui(|ui| preview::contents(ctx, ui, ctx.tokens, port, group));
        }
        ui.separator();
        if ui.button("Show its details").clicked() {
            ctx.push(Action::Select(vec![port.into()]));
            ctx.push(Action::Tab(Tab::Details));
            ui.close();
        }
    });
}

fn buffer(ctx: &ViewCtx<'_>, port: PortRef) -> String {
    match ctx.scenario.port(port).map_or(0, |p| p.buffer_ms) {
        0 => "no buffer".to_owned(),
        ms => format!("buffer {}", seconds(ms)),
    }
}

fn load(lane: &Lane, port: PortRef) -> Option<String> {
    let share = lane.shares.iter().find(|s| s.port == port)?;
    Some(match lane.group {
        Some(_) => format!("{:.2} erlang, joined {:.2}", share.own_erl, share.all_erl),
        None => format!("{:.2} erlang", share.own_erl),
    })
}

fn label(
    ctx: &ViewCtx<'_>,
    lane: &Lane,
    port: PortRef,
    plugged: &Plugged,
    reached: bool,
) -> String {
    let name = ctx.scenario.name(port.into());
    let group = match lane.group {
        Some(g) => format!("in lane {}", g.group),
        None => "in the lane of none".to_owned(),
    };
    let mut label = format!(
        "{name} {group}: {}, {}, {}",
        plugged.name,
        plugged.under,
        buffer(ctx, port)
    );
    if let Some(load) = load(lane, port) {
        label.push_str(&format!(", {load}"));
    }
    if let Some(severity) = worst(ctx, port, plugged) {
        label.push_str(&format!(", a finding {severity}"));
    }
    if reached {
        label.push_str(", carries the message");
    }
    label
}

fn worst(ctx: &ViewCtx<'_>, port: PortRef, plugged: &Plugged) -> Option<Severity> {
    let things = [Some(ThingId::from(port)), plugged.thing];
    let found = things.into_iter().flatten();
    let worst = found.filter_map(|t| ctx.derived.worst.get(&t)).min()?;
    (*worst != Severity::Notes).then_some(*worst)
}

#[expect(
    clippy::too_many_arguments,
    reason = "one drawing of all that is known of a port"
)]
fn draw(
    ctx: &ViewCtx<'_>,
    ui: &Ui,
    rect: Rect,
    lane: &Lane,
    port: PortRef,
    plugged: &Plugged,
    response: &Response,
    reached: Option<bool>,
    now: Now,
) {
    let t = ctx.tokens;
    let mut painter = ui.painter().clone();
    if now.in_hand == Some(port) {
        painter.multiply_opacity(0.45);
    }
    let colour = lane.group.map_or(t.faint, |g| t.bus(g.group));
    let round = CornerRadius::same(8);
    let fill = if response.hovered() { t.hover } else { t.card };
    let edge = if response.has_focus() || ctx.is_selected(port.into()) {
        Stroke::new(2.0, t.accent.ink)
    } else if reached == Some(true) {
        Stroke::new(2.5, colour)
    } else {
        Stroke::new(1.0, t.card_edge)
    };
    painter.rect(rect, round, fill, edge, StrokeKind::Inside);
    let bar = Rect::from_min_size(rect.min + vec2(3.0, 8.0), vec2(3.0, rect.height() - 16.0));
    painter.rect_filled(bar, CornerRadius::same(2), colour);
    let left = rect.min.x + 14.0;
    let line = |n: f32| rect.min.y + 6.0 + n * 17.0;
    let centre = pos2(left + 4.0, line(0.0) + 8.0);
    let middle = egui::Align2::CENTER_CENTER;
    painter.text(
        centre,
        middle,
        port.port.to_string(),
        semibold(12.5),
        t.soft,
    );
    paint_sign(
        &painter,
        plugged.sign,
        centre + vec2(21.0, 0.0),
        15.0,
        t.soft,
    );
    let mut right = rect.max.x - 12.0;
    if let Some(severity) = worst(ctx, port, plugged) {
        let ink = severity_pair(t, severity).ink;
        let at = pos2(right - 2.0, centre.y);
        paint_sign(&painter, severity_sign(severity), at, 15.0, ink);
        right -= 20.0;
    }
    if reached == Some(true) {
        paint_sign(
            &painter,
            Sign::Mic,
            pos2(right - 2.0, centre.y),
            14.0,
            colour,
        );
        right -= 18.0;
    }
    let name_at = pos2(left + 38.0, line(0.0));
    let empty = plugged.thing.is_none();
    let ink = if empty { t.faint } else { t.text };
    let galley = elided(
        &painter,
        &plugged.name,
        semibold(13.0),
        ink,
        right - name_at.x,
    );
    painter.galley(name_at, galley, ink);
    let small = FontId::proportional(12.0);
    let width = rect.max.x - 10.0 - left;
    let galley = elided(&painter, &plugged.under, small.clone(), t.soft, width);
    painter.galley(pos2(left, line(1.0) + 1.0), galley, t.soft);
    let last = match load(lane, port) {
        Some(load) => format!("{load}; {}", buffer(ctx, port)),
        None => sentence(&buffer(ctx, port)),
    };
    let galley = elided(&painter, &last, small, t.faint, width);
    painter.galley(pos2(left, line(2.0) + 1.0), galley, t.faint);
}

fn plugged(ctx: &ViewCtx<'_>, port: PortRef) -> Plugged {
    let kind = ctx.scenario.port(port).map(|p| p.kind).unwrap_or_default();
    let empty = || Plugged {
        sign: kind_sign(kind),
        thing: None,
        name: "Empty".to_owned(),
        under: sentence(&format!("{} port, nothing plugged in", kind.word())),
    };
    let s = ctx.scenario;
    let Some(phase) = ctx.phase() else {
        return empty();
    };
    let Some(attachment) = phase.attachments.get(&port) else {
        return empty();
    };
    let (sign, thing, under) = match *attachment {
        Attachment::Radio { radio, cable } => {
            let tuned = s
                .radios
                .get(radio)
                .and_then(|r| s.selected_channel(phase, r));
            let channel =
                tuned.map_or_else(|| "no channel selected".to_owned(), |c| s.name(c.into()));
            let cable = cable.map_or_else(|| "no cable chosen".to_owned(), |c| s.name(c.into()));
            (Sign::Radio, radio.into(), format!("{channel}; {cable}"))
        }
        Attachment::Telephone(id) => {
            let found = s.telephones.get(id);
            let words = found.map_or("", |x| x.kind.words());
            let far = found.map_or("", |x| x.far_end.as_str());
            let under = if far.is_empty() {
                format!("{} telephone", sentence(words))
            } else {
                format!("{} telephone; {far}", sentence(words))
            };
            (Sign::Telephone, id.into(), under)
        }
        Attachment::Headset(id) => {
            let worn = s.headsets.get(id).and_then(|h| h.held_by);
            let under = worn.map_or_else(
                || "Headset beside the gateway".to_owned(),
                |unit| format!("Headset of {}", s.name(unit.into())),
            );
            (Sign::Headset, id.into(), under)
        }
        Attachment::Tie(id) => {
            let other = phase.ports_of_tie(id).find(|p| *p != port);
            let under = other.map_or_else(
                || "Tie without a far end".to_owned(),
                |p| format!("Tie to {}", s.name(p.into())),
            );
            (Sign::Wire, id.into(), under)
        }
    };
    Plugged {
        sign,
        thing: Some(thing),
        name: s.name(thing),
        under,
    }
}

fn kind_sign(kind: PortKind) -> Sign {
    match kind {
        PortKind::Radio => Sign::Radio,
        PortKind::Telephone => Sign::Telephone,
        PortKind::Headset => Sign::Headset,
        PortKind::Wire => Sign::Wire,
        PortKind::Ip => Sign::Ip,
    }
}

//! The view of each gateway's talk groups as lanes, with their load. Moving a port's tile to another
//! lane is the switch.
//!
//! `stack` says where the blocks lie, `lane` and `tile` draw one lane and one port, `load` its plot,
//! `preview` says what a switch would change. Nothing here computes who hears whom.

mod lane;
mod load;
mod preview;
mod stack;
mod tile;

use std::sync::Arc;

use egui::{
    Align, ComboBox, CornerRadius, DragAndDrop, Frame, Layout, Margin, Popup, RichText, ScrollArea,
    Ui, UiBuilder, vec2,
};

use self::stack::Block;
use crate::app::action::Action;
use crate::app::port_keys::switch_by_number;
use crate::app::shelf::Article;
use crate::app::theme::{Sign, primary_button, semibold, sign_button, sign_label};
use crate::app::view::ViewCtx;
use crate::app::words::{ERLANG, ceilings};
use crate::model::{Edit, Gateway, GatewayId, PortRef, ThingId};
use crate::picture::lanes;

/// What the view remembers.
#[derive(Debug, Default)]
pub(super) struct GroupsViewState {
    /// The only gateway shown; all are where none is chosen.
    only: Option<GatewayId>,
}

/// The port whose tile is in hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct InHand(PortRef);

/// What the drawing of one frame looks up.
#[derive(Debug, Clone, Copy)]
struct Now {
    /// The port in hand.
    in_hand: Option<PortRef>,
    /// Seconds since somebody began to talk.
    talked: f32,
}

/// Shows each gateway's talk groups as lanes, with their load.
pub(super) fn groups_view_ui(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &mut GroupsViewState) {
    if ctx.scenario.gateways.is_empty() {
        empty(ctx, ui);
        return;
    }
    if state
        .only
        .is_some_and(|g| !ctx.scenario.gateways.contains(g))
    {
        state.only = None;
    }
    head(ctx, ui, state);
    talk_strip(ctx, ui);
    let now = Now {
        in_hand: DragAndDrop::payload::<InHand>(ui.ctx()).map(|p| p.0),
        talked: ctx
            .shared
            .talk
            .map_or(0.0, |t| (ui.input(|i| i.time) - t.since) as f32),
    };
    if let Some(talk) = &ctx.derived.talk
        && now.talked < talk.length + 0.3
    {
        ui.ctx().request_repaint();
    }
    blocks(ctx, ui, state, now);
    selected_keys(ctx, ui);
    carried(ctx, ui, now);
}

/// Number keys switch the port that is selected, also where no tile has the focus.
fn selected_keys(ctx: &mut ViewCtx<'_>, ui: &Ui) {
    let mut selected = ctx.shared.selection.iter();
    if let (Some(ThingId::Port(port)), None) = (selected.next().copied(), selected.next())
        && !ui.ctx().text_edit_focused()
        && !Popup::is_any_open(ui.ctx())
    {
        switch_by_number(ctx, ui, port);
    }
}

fn empty(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    ui.vertical_centered(|ui| {
        ui.add_space(ui.available_height() * 0.28);
        sign_label(ui, Sign::Gateway, 44.0, t.faint);
        ui.label(RichText::new("No gateway yet").font(semibold(18.0)));
        ui.label(
            RichText::new("Talk groups belong to a gateway: add one, then plug radios into it.")
                .color(t.soft),
        );
        ui.add_space(8.0);
        if primary_button(ui, t, "Add a gateway").clicked() {
            ctx.push(Action::Add {
                article: Article::Gateway,
                at: None,
                on: None,
            });
        }
    });
}

fn head(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut GroupsViewState) {
    let t = ctx.tokens;
    if ctx.scenario.gateways.len() > 1 {
        ui.horizontal(|ui| choice(ctx, ui, state));
    }
    let practice = &ctx.scenario.practice;
    let words = format!(
        "Drag a port to another lane, or give it the focus and press the left or right arrow key or the \
         number of a talk group; 0 switches it to none. \
         Bars by port, and as all for the talk group: pale before joining, full with all that is \
         joined. {}",
        ceilings(practice.load_strained_erl, practice.load_most_erl)
    );
    let words = RichText::new(words).size(12.0).color(t.faint);
    ui.add(egui::Label::new(words).wrap()).on_hover_text(ERLANG);
}

fn choice(ctx: &ViewCtx<'_>, ui: &mut Ui, state: &mut GroupsViewState) {
    let t = ctx.tokens;
    ui.label(RichText::new("Show").color(t.soft));
    let name = |id: GatewayId| ctx.scenario.name(id.into());
    let all = format!("All {} gateways", ctx.scenario.gateways.len());
    ui.name_inputs("Gateways shown", |ui| {
        ComboBox::from_id_salt("gateways-shown")
            .selected_text(state.only.map_or_else(|| all.clone(), name))
            .width(260.0)
            .truncate()
            .show_ui(ui, |ui| {
                if ui.selectable_label(state.only.is_none(), &all).clicked() {
                    state.only = None;
                }
                for id in ctx.scenario.gateways.ids() {
                    let is_on = state.only == Some(id);
                    if ui.selectable_label(is_on, name(id)).clicked() {
                        state.only = Some(id);
                    }
                }
            });
    });
    let selected = ctx.shared.selection.iter().find_map(|thing| match thing {
        ThingId::Gateway(id) => Some(*id),
        ThingId::Port(port) => Some(port.gateway),
        ThingId::TalkGroup(group) => Some(group.gateway),
        _ => None,
    });
    if let Some(id) = selected.filter(|id| state.only != Some(*id)) {
        let words = format!("Only {}", name(id));
        if ui
            .button(words)
            .on_hover_text("Shows the gateway of what is selected alone")
            .clicked()
        {
            state.only = Some(id);
        }
    }
    if state.only.is_some()
        && ui
            .button("All")
            .on_hover_text("Shows every gateway")
            .clicked()
    {
        state.only = None;
    }
}

/// Says who talks and who hears, and ends it.
fn talk_strip(ctx: &mut ViewCtx<'_>, ui: &mut Ui) {
    let t = ctx.tokens;
    let Some(talk) = &ctx.derived.talk else {
        return;
    };
    let text = talk.summary(|thing| ctx.scenario.name(thing), 3);
    Frame::new()
        .fill(t.accent.ground)
        .corner_radius(CornerRadius::same(8))
        .inner_margin(Margin::symmetric(10, 4))
        .show(ui, |ui| {
            ui.horizontal(|ui| {
                sign_label(ui, Sign::Mic, 16.0, t.accent.ink);
                ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
                    if sign_button(ui, t, Sign::Cross, "End the talking", true).clicked() {
                        ctx.push(Action::Quiet);
                    }
                    ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                        let words = RichText::new(text).font(semibold(13.0)).color(t.text);
                        ui.add(egui::Label::new(words).truncate());
                    });
                });
            });
        });
}

fn blocks(ctx: &mut ViewCtx<'_>, ui: &mut Ui, state: &GroupsViewState, now: Now) {
    let scenario = Arc::clone(ctx.scenario);
    let Some(phase) = scenario.phases.get(ctx.shared.phase) else {
        return;
    };
    let shown = scenario
        .gateways
        .iter()
        .filter(|g| state.only.is_none_or(|only| only == g.id));
    let stack = stack::stack(shown, phase);
    let height = stack.last().map_or(0.0, |b| b.top + b.height);
    let room = ui.available_width() - 10.0;
    ScrollArea::both()
        .id_salt("lanes")
        .auto_shrink(false)
        .show_viewport(ui, |ui, seen| {
            let widest = stack.iter().map(|b| stack::width(b.lanes, room));
            let width = widest.fold(0.0, f32::max);
            ui.set_min_size(vec2(width, height));
            let origin = ui.max_rect().min;
            for block in stack::seen(&stack, seen.min.y, seen.max.y) {
                let rect = egui::Rect::from_min_size(
                    origin + vec2(0.0, block.top),
                    vec2(width, block.height - stack::GAP),
                );
                let mut child =
                    ui.new_child(UiBuilder::new().id_salt(block.gateway).max_rect(rect));
                if let Some(gateway) = scenario.gateways.get(block.gateway) {
                    gateway_ui(ctx, &mut child, gateway, block, room, now);
                }
            }
        });
}

fn gateway_ui(
    ctx: &mut ViewCtx<'_>,
    ui: &mut Ui,
    gateway: &Gateway,
    block: &Block,
    room: f32,
    now: Now,
) {
    let t = ctx.tokens;
    let rect = ui.max_rect();
    ui.allocate_ui_with_layout(
        vec2(room.min(rect.width()), stack::HEAD),
        Layout::left_to_right(Align::Center),
        |ui| {
            sign_label(ui, Sign::Gateway, 18.0, t.soft);
            let name = RichText::new(&gateway.name)
                .font(semibold(15.0))
                .color(t.text);
            let link = ui.add(egui::Button::new(name).frame(false));
            if link.on_hover_text("Selects the gateway").clicked() {
                ctx.push(Action::Select(vec![gateway.id.into()]));
            }
            let site = gateway
                .site
                .map_or_else(|| "no site yet".to_owned(), |s| ctx.scenario.name(s.into()));
            ui.add(egui::Label::new(RichText::new(site).size(12.0).color(t.faint)).truncate());
        },
    );
    let derived = ctx.derived;
    let found = lanes::of(&derived.picture, gateway.id);
    let width = stack::lane_width(block.lanes, room);
    for (i, lane) in found.iter().enumerate() {
        let place = egui::Rect::from_min_size(
            rect.min + vec2(i as f32 * (width + stack::BETWEEN), stack::HEAD),
            vec2(width, rect.height() - stack::HEAD),
        );
        let mut child = ui.new_child(UiBuilder::new().id_salt(("lane", i)).max_rect(place));
        lane::lane_ui(ctx, &mut child, gateway, &found, lane, now);
    }
}

/// Draws the tile in hand at the pointer.
fn carried(ctx: &ViewCtx<'_>, ui: &Ui, now: Now) {
    let (Some(port), Some(at)) = (now.in_hand, ui.input(|i| i.pointer.latest_pos())) else {
        return;
    };
    let t = ctx.tokens;
    ui.ctx().set_cursor_icon(egui::CursorIcon::Grabbing);
    let painter = ui.ctx().layer_painter(egui::LayerId::new(
        egui::Order::Tooltip,
        egui::Id::unique("tile-in-hand"),
    ));
    let words = tile::title(ctx, port);
    let galley = painter.layout_no_wrap(words, semibold(13.0), t.text);
    let rect = egui::Rect::from_center_size(at, galley.size() + vec2(24.0, 14.0));
    painter.rect(
        rect,
        CornerRadius::same(8),
        t.card,
        egui::Stroke::new(1.5, t.accent.ink),
        egui::StrokeKind::Inside,
    );
    painter.galley(rect.min + vec2(12.0, 7.0), galley, t.text);
}

/// Asks for the switch of a port to a lane.
fn switch(ctx: &mut ViewCtx<'_>, port: PortRef, group: Option<u8>) {
    let name = ctx.scenario.name(port.into());
    let label = match group {
        Some(n) => format!("Switch {name} to talk group {n}"),
        None => format!("Switch {name} to none"),
    };
    let phase = ctx.shared.phase;
    ctx.apply(label, vec![Edit::Switch { phase, port, group }]);
}

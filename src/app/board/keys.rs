//! What keys do on the board beside the commands: talk while held, walk from thing to thing, nudge.

use egui::{EventFilter, Key, Modifiers, Response, Ui, Vec2, vec2};

use super::hit::{moves_with, party_of};
use super::reading;
use super::state::BoardState;
use crate::app::action::{Action, Hold};
use crate::app::port_keys::switch_by_number;
use crate::app::state::Tab;
use crate::app::view::ViewCtx;
use crate::layout::{SNAP, place_of};
use crate::model::{Edit, Kind, ThingId};

/// Does what the keys ask for, unless somebody types in a field.
///
/// The board holds the keyboard whenever nothing else does, so that Tab walks it; past the last thing
/// Tab goes on to the panels.
pub(super) fn keys(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, response: &Response) {
    if ui.ctx().text_edit_focused() || crate::app::views::in_cells(ui.ctx()) {
        if ctx.shared.is_held(Hold::Key) {
            ctx.push(Action::LetGo(Hold::Key));
        }
        return;
    }
    if !crate::app::views::matrix_has_keys(ui.ctx()) {
        talk(ctx, ui);
    }
    follow_selection(ctx, state);
    hold_keyboard(ui, state, response);
    if !response.has_focus() {
        return;
    }
    let tabs = [(Modifiers::SHIFT, false), (Modifiers::NONE, true)];
    for (modifiers, forward) in tabs {
        if !state.leaving && ui.input_mut(|i| i.consume_key(modifiers, Key::Tab)) {
            step(ctx, state, forward);
            break;
        }
    }
    if ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Space))
        && let Some(cursor) = state.cursor
    {
        if !state.cursor_of.remove(&cursor) {
            state.cursor_of.insert(cursor);
        }
        ctx.push(Action::Toggle(cursor));
    }
    switch(ctx, ui);
    let arrows = [
        (Key::ArrowLeft, vec2(-1.0, 0.0)),
        (Key::ArrowRight, vec2(1.0, 0.0)),
        (Key::ArrowUp, vec2(0.0, -1.0)),
        (Key::ArrowDown, vec2(0.0, 1.0)),
    ];
    for (key, way) in arrows {
        if ui.input_mut(|i| i.consume_key(Modifiers::ALT, key)) {
            nudge(ctx, way);
        } else if ui.input_mut(|i| i.consume_key(Modifiers::COMMAND, key)) {
            if let Some(next) = neighbour(ctx, state, way) {
                state.cursor = Some(next);
                show(ctx, state, next);
            }
        } else if ui.input_mut(|i| i.consume_key(Modifiers::NONE, key)) {
            walk(ctx, state, way);
        }
    }
    if ctx.shared.selection.len() == 1
        && ui.input_mut(|i| i.consume_key(Modifiers::NONE, Key::Enter))
    {
        ctx.push(Action::Tab(Tab::Details));
    }
}

fn talk(ctx: &mut ViewCtx<'_>, ui: &Ui) {
    let (pressed, down) = ui.input(|i| {
        (
            i.key_pressed(Key::T) && i.modifiers.is_none(),
            i.key_down(Key::T),
        )
    });
    let is_latched = ctx.shared.talk.is_some_and(|t| t.hold == Hold::Latched);
    if ctx.shared.is_held(Hold::Key) && !down {
        ctx.push(Action::LetGo(Hold::Key));
    } else if pressed && (ctx.shared.talk.is_none() || is_latched) {
        let Some(phase) = ctx.phase() else { return };
        let party = ctx
            .shared
            .selection
            .iter()
            .find_map(|t| party_of(ctx.scenario, phase, *t));
        match party {
            Some(party) if ctx.shared.may_begin(party) => {
                ctx.push(Action::TalkOver(party, Hold::Key));
            }
            Some(_) => ctx.push(Action::Say(
                "It talks already: select another unit to hear both at once".to_owned(),
            )),
            None => ctx.push(Action::Say(
                "Select a unit first, then hold T to let it talk".to_owned(),
            )),
        }
    }
}

/// Selects the nearest thing in a direction.
fn walk(ctx: &mut ViewCtx<'_>, state: &mut BoardState, way: Vec2) {
    if let Some(next) = neighbour(ctx, state, way) {
        go(ctx, state, next);
    }
}

fn go(ctx: &mut ViewCtx<'_>, state: &mut BoardState, next: ThingId) {
    state.leaving = false;
    state.cursor = Some(next);
    state.cursor_of = [next].into();
    ctx.push(Action::Select(vec![next]));
    show(ctx, state, next);
}

/// Brings a thing into view that is not.
fn show(ctx: &ViewCtx<'_>, state: &mut BoardState, thing: ThingId) {
    let rect = ctx.derived.layout.rect(thing);
    let is_seen = rect.is_some_and(|r| state.camera.view.contains_rect(state.camera.rect(r)));
    if !is_seen {
        state.frame = Some(vec![thing]);
    }
}

/// Goes on to the next thing in reading order, or back; past the ends Tab is let go, and leads to the
/// panels.
fn step(ctx: &mut ViewCtx<'_>, state: &mut BoardState, forward: bool) {
    let order = reading::order(&ctx.derived.layout, ctx.scenario);
    let now = state
        .cursor
        .and_then(|c| order.iter().position(|t| *t == c));
    let next = match (now, forward) {
        (None, true) => Some(0),
        (None, false) => order.len().checked_sub(1),
        (Some(i), true) => Some(i + 1),
        (Some(i), false) => i.checked_sub(1),
    };
    if let Some(next) = next.and_then(|i| order.get(i)) {
        go(ctx, state, *next);
    } else {
        state.cursor = None;
        state.leaving = true;
    }
}

/// Takes the keyboard when nothing else has it, and keeps Tab and the arrows.
fn hold_keyboard(ui: &Ui, state: &mut BoardState, response: &Response) {
    let is_covered =
        ui.memory(|m| m.top_modal_layer().is_some()) || egui::Popup::is_any_open(ui.ctx());
    if ui.memory(|m| m.focused().is_none()) && !is_covered {
        response.request_focus();
    }
    state.leaving &= response.has_focus();
    if response.has_focus() {
        let filter = EventFilter {
            tab: !state.leaving,
            horizontal_arrows: true,
            vertical_arrows: true,
            escape: false,
        };
        ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    }
}

/// Lets the keys go on from what was selected by other means.
fn follow_selection(ctx: &ViewCtx<'_>, state: &mut BoardState) {
    if state.cursor_of != ctx.shared.selection {
        state.cursor_of.clone_from(&ctx.shared.selection);
        let stays = state
            .cursor
            .is_some_and(|c| ctx.shared.selection.contains(&c));
        if !stays {
            state.cursor = ctx.shared.selection.first().copied();
        }
    }
}

/// With a port selected, a digit is a position of its switch.
fn switch(ctx: &mut ViewCtx<'_>, ui: &Ui) {
    let Some(ThingId::Port(port)) = ctx.shared.selection.first().copied() else {
        return;
    };
    if ctx.shared.selection.len() != 1 {
        return;
    }
    switch_by_number(ctx, ui, port);
}

/// Returns the nearest thing in a direction from where the keys are.
fn neighbour(ctx: &ViewCtx<'_>, state: &BoardState, way: Vec2) -> Option<ThingId> {
    let walkable = |thing: ThingId| {
        matches!(
            thing.kind(),
            Kind::Unit | Kind::Channel | Kind::Gateway | Kind::Radio | Kind::Port | Kind::Site
        ) || ctx.derived.layout.fold(thing).is_some()
    };
    let layout = &ctx.derived.layout;
    let selected = ctx.shared.selection.iter().copied();
    let now = state
        .cursor
        .into_iter()
        .chain(selected)
        .find_map(|t| Some((t, layout.rect(t)?.center())));
    match now {
        None => layout.things().map(|(t, _)| t).find(|t| walkable(*t)),
        Some((current, from)) => layout
            .things()
            .filter(|(t, _)| *t != current && walkable(*t))
            .filter_map(|(t, rect)| {
                let d = rect.center() - from;
                let along = d.dot(way);
                let aside = (d - way * along).length();
                (along > 1.0).then_some((t, along + 2.5 * aside))
            })
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(t, _)| t),
    }
}

fn nudge(ctx: &mut ViewCtx<'_>, way: Vec2) {
    let Some(phase) = ctx.phase() else { return };
    let mut edits = Vec::new();
    for thing in &ctx.shared.selection {
        if let Some(mover) = moves_with(ctx.scenario, phase, *thing)
            && let Some(rect) = ctx.derived.layout.rect(mover)
        {
            edits.push(Edit::Place {
                thing: mover,
                place: Some(place_of(rect.min + way * SNAP)),
            });
        }
    }
    if !edits.is_empty() {
        ctx.push(Action::Type {
            label: "Move".to_owned(),
            field: "nudge".to_owned(),
            edits,
        });
    }
}

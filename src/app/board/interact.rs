//! What the pointer does on the board: look, press, hold, drag, connect, drop.

use std::collections::BTreeSet;

use egui::{CursorIcon, DragAndDrop, Key, Modifiers, PointerButton, Pos2, Rect, Response, Ui};

use super::drag::begin_drag;
use super::draw::ringed;
use super::hit::{Hit, Part, hit, party_of, target_of};
use super::menu;
use super::reconnect::end_at;
use super::rename::{Rename, name_area};
use super::state::{BoardState, Drag};
use crate::app::action::{Action, Hold};
use crate::app::shelf::Article;
use crate::app::state::Tab;
use crate::app::view::ViewCtx;
use crate::layout::place_of;
use crate::library::Item;
use crate::model::{Edit, Kind, Party, PhaseId, Scenario, ThingId};

/// How far the pointer may stray and still be still, in window points.
const STILL: f32 = 4.0;
/// How long a unit is pressed before it talks, in seconds.
pub(super) const HOLD: f64 = 0.25;

/// Does one frame of the pointer's work.
pub(super) fn pointer(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, response: &Response) {
    move_board(ui, state, response);
    // A finger that is lifted is gone in the same frame, and has still let go somewhere.
    let at = ui.input(|i| i.pointer.latest_pos().or(i.pointer.interact_pos()));
    let over = response.contains_pointer();
    state.hovered = match at {
        Some(at) if over || state.is_busy() => look(ctx, state, at),
        _ => None,
    };
    drops(ctx, ui, state, response);
    if over && let Some(hit) = state.hovered {
        *ctx.hint = hint(ctx.scenario, ctx.shared.phase, hit);
    }
    if !state.is_busy() {
        let on_part = state.hovered.is_some_and(|h| h.part != Part::Body);
        state.end = at
            .filter(|_| over && !on_part && ctx.shared.talk.is_none())
            .and_then(|at| {
                let spot = state.camera.board_spot(at);
                end_at(&ctx.derived.layout, spot, state.camera.zoom)
            });
        if let Some(end) = state.end {
            let (a, b) = (ctx.scenario.name(end.loose), ctx.scenario.name(end.fixed));
            *ctx.hint =
                format!("Drag the line of {b} from {a} to another, or off to disconnect it");
        }
    }
    menu::menu(ctx, state, response);
    let Some(at) = at else {
        if let Drag::Talk = state.drag {
            ctx.push(Action::LetGo(Hold::Pointer));
            state.drag = Drag::Idle;
        }
        return;
    };
    let pressed = over && ui.input(|i| i.pointer.primary_pressed());
    if pressed && matches!(state.drag, Drag::Idle) {
        press(ctx, ui, state, at);
    }
    let down = ui.input(|i| i.pointer.primary_down());
    if !down && ctx.shared.is_held(Hold::Pointer) {
        // Whatever came between: nobody talks by the pointer when it is up.
        ctx.push(Action::LetGo(Hold::Pointer));
    }
    if down {
        held(ctx, ui, state, at);
    } else if !matches!(state.drag, Drag::Idle) {
        release(ctx, ui, state, at);
    }
    if over && response.double_clicked() {
        double_click(ctx, state, at);
    }
    cursor(ui, state, over);
}

/// Pans and zooms.
fn move_board(ui: &Ui, state: &mut BoardState, response: &Response) {
    if !response.contains_pointer() {
        return;
    }
    let (scroll, zoom, at) = ui.input(|i| {
        (
            i.smooth_scroll_delta(),
            i.zoom_delta(),
            i.pointer.hover_pos(),
        )
    });
    if let Some(at) = at
        && (zoom - 1.0).abs() > 1e-4
    {
        state.camera.zoom_at(at, zoom);
        state.moved = true;
    } else if scroll != egui::Vec2::ZERO {
        state.camera.shift += scroll;
        state.moved = true;
    }
    if response.dragged_by(PointerButton::Middle) {
        state.camera.shift += response.drag_delta();
        state.moved = true;
    }
}

fn look(ctx: &ViewCtx<'_>, state: &BoardState, at: Pos2) -> Option<Hit> {
    let spot = state.camera.board_spot(at);
    // While somebody talks no rings are drawn, and none is in the way of a microphone.
    let rings = if ctx.shared.talk.is_some() {
        Vec::new()
    } else {
        ringed(state, &ctx.shared.selection)
    };
    hit(&ctx.derived.layout, spot, state.camera.zoom, &rings)
}

fn press(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, at: Pos2) {
    ui.memory_mut(|m| {
        if let Some(focus) = m.focused() {
            m.surrender_focus(focus);
        }
    });
    if ui.input(|i| i.key_down(Key::Space)) {
        state.drag = Drag::Pan;
        return;
    }
    let hit = state.hovered;
    if let Some(Hit {
        thing,
        part: Part::Mic,
    }) = hit
        && let Some(party) = party(ctx, thing)
        && ctx.shared.may_begin(party)
    {
        state.drag = Drag::Talk;
        ctx.push(Action::TalkOver(party, Hold::Pointer));
        return;
    }
    state.drag = Drag::Pressed {
        hit,
        at,
        since: ui.input(|i| i.time),
    };
}

fn party(ctx: &ViewCtx<'_>, thing: ThingId) -> Option<Party> {
    party_of(ctx.scenario, ctx.phase()?, thing)
}

fn held(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, at: Pos2) {
    let now = ui.input(|i| i.time);
    match &state.drag {
        Drag::Pressed {
            hit,
            at: start,
            since,
        } => {
            let (hit, start, since) = (*hit, *start, *since);
            if at.distance(start) > STILL {
                begin_drag(ctx, ui, state, hit, start);
            } else if let Some(hit) = hit
                && hit.part == Part::Body
                && let Some(party) = party(ctx, hit.thing)
                && ctx.shared.may_begin(party)
            {
                if now - since >= HOLD {
                    state.drag = Drag::Talk;
                    ctx.push(Action::TalkOver(party, Hold::Pointer));
                } else {
                    // Frame by frame, for a quarter of a second: a still pointer sends no events.
                    ui.ctx().request_repaint();
                }
            }
        }
        Drag::Pan => {
            state.camera.shift += ui.input(|i| i.pointer.delta());
            state.moved = true;
        }
        Drag::Move { things, from, rest } => {
            let mut by = state.camera.board_spot(at) - *from;
            let is_free = state.free || ui.input(|i| i.modifiers.alt);
            state.guides.clear();
            if let Some(around) = rest.around.filter(|_| !is_free) {
                let moved = around.translate(by);
                let (more, guides) = super::snap::settle(moved, &rest.others, state.camera.zoom);
                by += more;
                state.guides = guides;
            }
            let places: Vec<_> = things
                .iter()
                .map(|(thing, start)| (*thing, place_of(*start + by)))
                .collect();
            for (thing, place) in places {
                state.overlay_put(thing, place);
            }
        }
        Drag::Idle | Drag::Band { .. } | Drag::Connect { .. } | Drag::Talk => {}
    }
}

fn release(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, at: Pos2) {
    match std::mem::take(&mut state.drag) {
        Drag::Pressed { hit, .. } => {
            state.cursor = hit.map(|h| h.thing);
            click(ctx, ui, hit);
        }
        Drag::Talk => {
            if ctx.shared.is_held(Hold::Pointer) {
                ctx.push(Action::LetGo(Hold::Pointer));
            }
        }
        Drag::Move { things, .. } => {
            state.guides.clear();
            let edits: Vec<Edit> = std::mem::take(&mut state.overlay)
                .into_iter()
                .map(|(thing, place)| Edit::Place {
                    thing,
                    place: Some(place),
                })
                .collect();
            let label = match things.len() {
                1 => "Move",
                _ => "Move several",
            };
            ctx.apply(label, edits);
        }
        Drag::Connect { from, targets, cut } => {
            if state.hovered.is_none()
                && let Some(cut) = cut
            {
                state.offered = Some(cut.offered(at));
            } else if let Some(hit) = state.hovered.filter(|h| h.thing != from) {
                let target = target_of(&ctx.derived.layout, &targets, hit.thing);
                match targets.get(&target) {
                    Some(Ok(connection)) => {
                        ctx.apply(connection.title.clone(), connection.edits.clone());
                    }
                    Some(Err(reason)) => {
                        ctx.push(Action::Say(crate::app::words::sentence(reason)));
                    }
                    None => {}
                }
            }
        }
        Drag::Band { from } => {
            let to = state.camera.board_spot(at);
            let band = Rect::from_two_pos(from, to);
            let mut things: Vec<ThingId> = ctx
                .derived
                .layout
                .things()
                .filter(|(thing, rect)| {
                    matches!(
                        thing.kind(),
                        Kind::Unit | Kind::Channel | Kind::Gateway | Kind::Site
                    ) && band.intersects(*rect)
                })
                .map(|(thing, _)| thing)
                .collect();
            things.extend(
                ctx.derived
                    .layout
                    .loose
                    .iter()
                    .filter(|c| band.intersects(c.rect))
                    .map(|c| c.thing),
            );
            let (add, less) = ui.input(|i| (i.modifiers.shift, i.modifiers.command));
            let banded: BTreeSet<ThingId> = things.into_iter().collect();
            let before = &ctx.shared.selection;
            let chosen = match (add, less) {
                (true, _) => before | &banded,
                (false, true) => before - &banded,
                (false, false) => banded,
            };
            ctx.push(Action::Select(chosen.into_iter().collect()));
        }
        Drag::Idle | Drag::Pan => {}
    }
}

fn click(ctx: &mut ViewCtx<'_>, ui: &Ui, hit: Option<Hit>) {
    let add = ui.input(|i| i.modifiers.shift || i.modifiers.command);
    // A question waits for its hearer.
    if let (Some(from), Some(hit)) = (ctx.shared.asking, hit)
        && let Some(other) = party(ctx, hit.thing)
        && other != from
    {
        ctx.push(Action::Ask(from, other));
        return;
    }
    // While somebody talks, a click on one who does not hear asks why.
    if let (Some(talk), Some(hit)) = (ctx.shared.talk, hit)
        && let Some(other) = party(ctx, hit.thing)
        && other != talk.party
    {
        ctx.push(Action::Ask(talk.party, other));
        return;
    }
    match hit {
        Some(Hit {
            thing: ThingId::Port(port),
            part: Part::Switch(group),
        }) => {
            let name = ctx.scenario.name(port.into());
            let label = match group {
                Some(n) => format!("Switch {name} to talk group {n}"),
                None => format!("Switch {name} to none"),
            };
            ctx.apply(
                label,
                vec![Edit::Switch {
                    phase: ctx.shared.phase,
                    port,
                    group,
                }],
            );
        }
        Some(hit) if add => ctx.push(Action::Toggle(hit.thing)),
        Some(hit) => {
            if hit.part == Part::Mic && ctx.shared.talk.is_some() {
                ctx.push(Action::Quiet);
            }
            ctx.push(Action::Select(vec![hit.thing]));
        }
        None if add => {}
        None => {
            if ctx.shared.talk.is_some() {
                ctx.push(Action::Quiet);
            }
            ctx.push(Action::Select(Vec::new()));
        }
    }
}

/// A double click on a name changes it, anywhere else on a thing opens its details.
fn double_click(ctx: &mut ViewCtx<'_>, state: &mut BoardState, at: Pos2) {
    if let Some(Hit {
        thing,
        part: Part::Body,
    }) = state.hovered
    {
        if state.folded.remove(&thing) {
            return;
        }
        let spot = state.camera.board_spot(at);
        let on_name = name_area(&ctx.derived.layout, thing).is_some_and(|r| r.contains(spot));
        if on_name && let Some(rename) = Rename::of(ctx.scenario, thing) {
            ctx.push(Action::Select(vec![thing]));
            state.rename = Some(rename);
            return;
        }
        ctx.push(Action::Select(vec![thing]));
        ctx.push(Action::Tab(Tab::Details));
    }
}

/// Takes what is dragged from the shelf.
fn drops(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState, response: &Response) {
    // Asking for the wrong kind would lose what is carried.
    let is_ready_made = DragAndDrop::has_payload_of_type::<Item>(ui.ctx());
    let (article, item) = if is_ready_made {
        (None, response.dnd_release_payload::<Item>())
    } else {
        (response.dnd_release_payload::<Article>(), None)
    };
    if article.is_none() && item.is_none() {
        return;
    }
    state.moved = true;
    // Keys that follow are the board's, not of the field that searched the shelf.
    if let Some(field) = ui.memory(egui::Memory::focused) {
        ui.memory_mut(|m| m.surrender_focus(field));
    }
    let at = ui
        .input(|i| i.pointer.latest_pos())
        .map(|at| state.camera.board_spot(at));
    let on =
        at.and_then(|at| hit(&ctx.derived.layout, at, state.camera.zoom, &[]).map(|h| h.thing));
    if let Some(article) = article {
        ctx.push(Action::Add {
            article: *article,
            at,
            on,
        });
    }
    if let Some(item) = item {
        ctx.push(Action::AddReady {
            source: item.source,
            at,
            on,
        });
    }
}

fn hint(s: &Scenario, phase: PhaseId, hit: Hit) -> String {
    let mut name = s.name(hit.thing);
    if let (ThingId::Port(port), Some(phase)) = (hit.thing, s.phases.get(phase))
        && let Some(plugged) = phase.attachments.get(&port)
    {
        // The card of a gateway has room for a part of the name only.
        name = format!("{name}, {}", s.name(plugged.thing()));
    }
    match hit.part {
        Part::Mic => format!("Press and hold: {name} talks"),
        Part::Handle => format!("Drag from here to connect {name}"),
        Part::Switch(Some(n)) => format!("Click: switch {name} to talk group {n}"),
        Part::Switch(None) => format!("Click: switch {name} to none"),
        Part::Body => match hit.thing {
            ThingId::Unit(_) => {
                format!(
                    "{name}: drag to move, hold still to let it talk, double-click for details or its name"
                )
            }
            ThingId::Port(_) => format!("{name}: click its switch to move it between talk groups"),
            ThingId::TalkGroup(_) => {
                format!("{name}: every port switched to it hears every other")
            }
            ThingId::Agency(_) | ThingId::System(_) => {
                format!("{name}: drag its head to move it with all that belongs to it")
            }
            _ => format!("{name}: click to select, drag the ring at its edge to connect"),
        },
    }
}

fn cursor(ui: &Ui, state: &BoardState, over: bool) {
    let icon = match (&state.drag, state.hovered) {
        (Drag::Pan | Drag::Move { .. }, _) => CursorIcon::Grabbing,
        (Drag::Connect { .. } | Drag::Band { .. }, _) => CursorIcon::Crosshair,
        (_, Some(hit)) if over => match hit.part {
            Part::Handle => CursorIcon::Crosshair,
            Part::Mic | Part::Switch(_) => CursorIcon::PointingHand,
            Part::Body => return,
        },
        _ if over && ui.input(|i| i.key_down(Key::Space) && i.modifiers == Modifiers::NONE) => {
            CursorIcon::Grab
        }
        _ => return,
    };
    ui.ctx().set_cursor_icon(icon);
}

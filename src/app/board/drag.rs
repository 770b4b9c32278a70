//! What a drag begins: a board pushed along, a band, a connection, a line taken off, things moved; and
//! what each of them needs to know before it goes on.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Pos2, Rect, Ui};

use super::hit::{Hit, Part, moves_with};
use super::reconnect::cut;
use super::state::{BoardState, Drag, Rest, Targets};
use crate::app::action::Action;
use crate::app::view::ViewCtx;
use crate::layout::is_block;
use crate::model::connect::connect;
use crate::model::{Edit, Scenario, ThingId};

/// Begins the drag of what was pressed.
pub(super) fn begin_drag(
    ctx: &mut ViewCtx<'_>,
    ui: &Ui,
    state: &mut BoardState,
    hit: Option<Hit>,
    start: Pos2,
) {
    let from = state.camera.board_spot(start);
    if let Some(end) = state.end.take()
        && let Some(phase) = ctx.phase()
        && let Some((cut, targets)) = cut(ctx.scenario, phase, &ctx.derived.layout, end)
    {
        state.drag = Drag::Connect {
            from: end.fixed,
            targets,
            cut: Some(cut),
        };
        return;
    }
    let Some(hit) = hit else {
        state.drag = Drag::Band { from };
        return;
    };
    if hit.part == Part::Handle {
        state.drag = Drag::Connect {
            from: hit.thing,
            targets: targets(ctx, hit.thing),
            cut: None,
        };
        return;
    }
    if let Part::Switch(_) = hit.part {
        return;
    }
    // The wide ground of a frame is for selecting; its head moves it.
    if matches!(hit.thing, ThingId::Agency(_) | ThingId::System(_)) {
        let is_head = ctx
            .derived
            .layout
            .rect(hit.thing)
            .is_some_and(|r| from.y < r.min.y + 32.0);
        let is_chip = state.folded.contains(&hit.thing);
        if !is_head && !is_chip && !ctx.is_selected(hit.thing) {
            state.drag = Drag::Band { from };
            return;
        }
    }
    let Some(phase) = ctx.phase() else { return };
    let Some(mover) = moves_with(ctx.scenario, phase, hit.thing) else {
        return;
    };
    let mut things: Vec<ThingId> = if ctx.is_selected(mover) || ctx.is_selected(hit.thing) {
        ctx.shared
            .selection
            .iter()
            .filter_map(|t| moves_with(ctx.scenario, phase, *t))
            .collect()
    } else {
        if !ui.input(|i| i.modifiers.shift) {
            ctx.push(Action::Select(vec![mover]));
        }
        vec![mover]
    };
    things.push(mover);
    things.extend(followers(ctx.scenario, &things));
    let starts: BTreeMap<ThingId, Pos2> = things
        .into_iter()
        .filter_map(|t| Some((t, ctx.derived.layout.rect(t)?.min)))
        .collect();
    // What would flow into the gap is held where it stands.
    if starts.keys().any(|t| is_block(*t)) {
        for edit in ctx.derived.layout.pins(ctx.scenario) {
            if let Edit::Place {
                thing,
                place: Some(place),
            } = edit
            {
                state.overlay_put(thing, place);
            }
        }
    }
    state.moved = true;
    let rest = resting_places(ctx, &starts);
    state.drag = Drag::Move {
        things: starts,
        from,
        rest,
    };
}

/// Returns what moved things may lie level with: everything that stays where it is.
fn resting_places(ctx: &ViewCtx<'_>, moved: &BTreeMap<ThingId, Pos2>) -> Rest {
    let layout = &ctx.derived.layout;
    let goes_along = |thing: ThingId| match thing {
        ThingId::Unit(id) => ctx
            .scenario
            .units
            .get(id)
            .and_then(|u| u.agency)
            .map(ThingId::from),
        ThingId::Channel(id) => ctx.scenario.channels.get(id).map(|c| c.system.into()),
        _ => None,
    };
    let stays = |thing: ThingId| {
        !moved.contains_key(&thing) && !goes_along(thing).is_some_and(|f| moved.contains_key(&f))
    };
    // A frame of which a member moves changes its own edges.
    let changes: BTreeSet<ThingId> = moved.keys().filter_map(|t| goes_along(*t)).collect();
    let around = moved
        .keys()
        .filter_map(|t| layout.rect(*t))
        .reduce(Rect::union);
    Rest {
        around,
        others: layout
            .solids()
            .filter(|(thing, _)| stays(*thing) && !changes.contains(thing))
            .map(|(_, rect)| rect)
            .collect(),
    }
}

/// Things with a place of their own that go along with a frame.
fn followers(s: &Scenario, things: &[ThingId]) -> Vec<ThingId> {
    let mut out = Vec::new();
    for thing in things {
        match thing {
            ThingId::Agency(id) => out.extend(
                s.units
                    .iter()
                    .filter(|u| u.agency == Some(*id))
                    .map(|u| ThingId::from(u.id)),
            ),
            ThingId::System(id) => out.extend(
                s.channels
                    .iter()
                    .filter(|c| c.system == *id)
                    .map(|c| ThingId::from(c.id)),
            ),
            ThingId::Site(id) => out.extend(
                s.gateways
                    .iter()
                    .filter(|g| g.site == Some(*id))
                    .map(|g| ThingId::from(g.id)),
            ),
            _ => {}
        }
    }
    out.retain(|t| s.places.contains_key(t));
    out
}

/// Asks once for a drag what each thing on the board says to being joined.
fn targets(ctx: &ViewCtx<'_>, from: ThingId) -> Targets {
    ctx.derived
        .layout
        .things()
        .filter(|(thing, _)| *thing != from)
        .map(|(thing, _)| (thing, connect(ctx.scenario, ctx.shared.phase, from, thing)))
        .collect()
}

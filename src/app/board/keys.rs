//! What keys do on the board beside the commands: talk while held, walk from thing to thing, nudge.

use egui::{Key, Modifiers, Ui, Vec2, vec2};

use super::hit::{moves_with, party_of};
use super::layout::{SNAP, place_of};
use super::state::BoardState;
use crate::app::action::{Action, Hold};
use crate::app::state::Tab;
use crate::app::view::ViewCtx;
use crate::model::{Edit, Kind, ThingId};

/// Does what the keys ask for, unless somebody types in a field.
pub(super) fn keys(ctx: &mut ViewCtx<'_>, ui: &Ui, state: &mut BoardState) {
    if ui.ctx().text_edit_focused() || crate::app::views::in_cells(ui.ctx()) {
        if ctx.shared.is_held(Hold::Key) {
            ctx.push(Action::LetGo(Hold::Key));
        }
        return;
    }
    talk(ctx, ui);
    if ui.ctx().egui_wants_keyboard_input() {
        return;
    }
    let arrows = [
        (Key::ArrowLeft, vec2(-1.0, 0.0)),
        (Key::ArrowRight, vec2(1.0, 0.0)),
        (Key::ArrowUp, vec2(0.0, -1.0)),
        (Key::ArrowDown, vec2(0.0, 1.0)),
    ];
    for (key, way) in arrows {
        if ui.input_mut(|i| i.consume_key(Modifiers::ALT, key)) {
            nudge(ctx, way);
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
    let walkable = |thing: ThingId| {
        matches!(
            thing.kind(),
            Kind::Unit | Kind::Channel | Kind::Gateway | Kind::Radio | Kind::Port | Kind::Site
        )
    };
    let layout = &ctx.derived.layout;
    let now = ctx
        .shared
        .selection
        .iter()
        .find_map(|t| Some((*t, layout.rect(*t)?.center())));
    let next = match now {
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
    };
    if let Some(next) = next {
        ctx.push(Action::Select(vec![next]));
        let is_seen = layout
            .rect(next)
            .is_some_and(|r| state.camera.view.contains_rect(state.camera.rect(r)));
        if !is_seen {
            state.frame = Some(vec![next]);
        }
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

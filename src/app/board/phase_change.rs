//! What changes on the board as another phase is shown: switches glide from where they stood, and what
//! is plugged or tuned otherwise pulses once.

use std::collections::BTreeSet;

use egui::{Pos2, Rect};

use super::draw::Scene;
use super::pen::{Pen, Strength};
use super::state::BoardState;
use crate::layout::Layout;
use crate::model::{Phase, PhaseId, PortRef, Scenario, ThingId};

/// Seconds it takes.
const LENGTH: f64 = 0.8;

/// A change of phase under way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct PhaseChange {
    /// The phase shown before.
    from: PhaseId,
    /// Since when, in seconds of the window's clock.
    since: f64,
}

/// How far a change is: the phase before, and how much of the change is done.
#[derive(Clone, Copy)]
pub(super) struct Glide<'a> {
    before: &'a Phase,
    /// From 0 to 1, slower at both ends.
    share: f32,
}

/// Notices that another phase is shown, and ends what is over; `still` is for less motion.
pub(super) fn notice(state: &mut BoardState, shown: PhaseId, now: f64, still: bool) {
    if let Some(before) = state.shown.replace(shown)
        && before != shown
        && !still
    {
        state.change = Some(PhaseChange {
            from: before,
            since: now,
        });
    }
    if state
        .change
        .is_some_and(|c| still || now - c.since > LENGTH)
    {
        state.change = None;
    }
}

/// Returns how far the change is.
pub(super) fn glide<'a>(state: &BoardState, scenario: &'a Scenario, now: f64) -> Option<Glide<'a>> {
    let change = state.change?;
    let share = ((now - change.since) / LENGTH).clamp(0.0, 1.0) as f32;
    Some(Glide {
        before: scenario.phases.get(change.from)?,
        share: share * share * (3.0 - 2.0 * share),
    })
}

impl Glide<'_> {
    /// Returns where the knob of a switch is, on its way from the old position to the new one.
    pub(super) fn knob(&self, port: PortRef, cells: &[(Option<u8>, Rect)], to: Pos2) -> Pos2 {
        let was = self.before.switches.get(&port).copied();
        let from = cells.iter().find(|(group, _)| *group == was);
        from.map_or(to, |(_, cell)| cell.center().lerp(to, self.share))
    }
}

/// Rings that spread once from what is plugged or tuned otherwise than before.
pub(super) fn pulses(pen: &Pen, scene: &Scene<'_>, glide: Glide<'_>) {
    pen.set(Strength::Full);
    for thing in otherwise(scene.scenario, glide.before, scene.phase) {
        pulse(pen, scene.layout, thing, glide.share);
    }
}

fn pulse(pen: &Pen, layout: &Layout, thing: ThingId, share: f32) {
    if let Some(rect) = layout.rect(thing).filter(|r| pen.sees(*r)) {
        let colour = pen.t.accent.ink.gamma_multiply(1.0 - share);
        pen.outline(rect.expand(2.0 + 10.0 * share), 12.0, 3.0, colour);
    }
}

/// Lists the ports that hold something else, and the channels that other radios are on.
fn otherwise(scenario: &Scenario, before: &Phase, after: &Phase) -> BTreeSet<ThingId> {
    let mut things = BTreeSet::new();
    for port in before.attachments.keys().chain(after.attachments.keys()) {
        if before.attachments.get(port) != after.attachments.get(port) {
            things.insert(ThingId::from(*port));
        }
    }
    for radio in before.selected.keys().chain(after.selected.keys()) {
        let Some(radio) = scenario.radios.get(*radio) else {
            continue;
        };
        let was = scenario.selected_channel(before, radio);
        let is = scenario.selected_channel(after, radio);
        if was != is {
            things.insert(radio.id.into());
            things.extend(was.into_iter().chain(is).map(ThingId::from));
        }
    }
    things
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    #[test]
    fn a_change_begins_with_another_phase_and_ends_by_itself() {
        let mut state = BoardState::default();
        notice(&mut state, PhaseId(1), 0.0, false);
        assert!(state.change.is_none(), "the first phase shown is no change");
        notice(&mut state, PhaseId(2), 1.0, false);
        assert!(state.change.is_some());
        notice(&mut state, PhaseId(2), 1.0 + LENGTH + 0.1, false);
        assert!(state.change.is_none());
        notice(&mut state, PhaseId(1), 3.0, true);
        assert!(state.change.is_none(), "less motion");
    }

    #[test]
    fn a_knob_starts_where_it_stood() {
        let scenario = Scenario::new("test");
        let before = scenario.phases.first().unwrap();
        let cell = |x: f32| Rect::from_center_size(pos2(x, 0.0), egui::Vec2::splat(10.0));
        let cells = [(None, cell(0.0)), (Some(1), cell(20.0))];
        let port = PortRef {
            gateway: crate::model::GatewayId(1),
            port: 1,
        };
        let knob = |share| Glide { before, share }.knob(port, &cells, pos2(20.0, 0.0));
        assert_eq!(knob(0.0), pos2(0.0, 0.0));
        assert_eq!(knob(1.0), pos2(20.0, 0.0));
    }
}

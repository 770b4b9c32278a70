//! What lies under a spot of the board.

use egui::{Pos2, Rect, pos2};

use super::state::Targets;
use crate::layout::{GatewayBox, Layout, Piece, Stand};
use crate::model::{Party, Phase, Scenario, ThingId};

/// A thing under a spot, and which part of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Hit {
    /// The thing.
    pub thing: ThingId,
    /// Which part.
    pub part: Part,
}

/// A part of a drawn thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// The thing itself.
    Body,
    /// The microphone button of a unit.
    Mic,
    /// A position of a port's switch.
    Switch(Option<u8>),
    /// The ring from which a connection is dragged.
    Handle,
}

/// Radius around a handle that counts as it, in window points.
const GRIP: f32 = 10.0;

/// Returns what lies under a spot; `ringed` are the things whose rings are shown.
pub(super) fn hit(layout: &Layout, at: Pos2, zoom: f32, ringed: &[ThingId]) -> Option<Hit> {
    let body = |thing: ThingId| {
        Some(Hit {
            thing,
            part: Part::Body,
        })
    };
    for thing in ringed {
        if let Some(ring) = handle(layout, *thing)
            && ring.distance(at) <= GRIP / zoom
            && !layout.cards.iter().any(|card| card.mic.contains(at))
        {
            return Some(Hit {
                thing: *thing,
                part: Part::Handle,
            });
        }
    }
    if let Some(piece) = layout.piece_at(at) {
        return in_piece(layout, piece, at);
    }
    layout
        .frames()
        .rev()
        .find(|f| f.rect.contains(at))
        .and_then(|f| f.thing)
        .and_then(body)
}

/// Returns what lies under a spot within a piece.
fn in_piece(layout: &Layout, piece: Piece, at: Pos2) -> Option<Hit> {
    let body = |thing: ThingId| Hit {
        thing,
        part: Part::Body,
    };
    Some(match piece {
        Piece::Card(i) => {
            let card = layout.cards.get(i as usize)?;
            if card.mic.contains(at) {
                return Some(Hit {
                    thing: card.id.into(),
                    part: Part::Mic,
                });
            }
            match card.chips.iter().find(|c| c.rect.contains(at)) {
                Some(chip) => body(chip.thing),
                None => body(card.id.into()),
            }
        }
        Piece::Loose(i) => body(layout.loose.get(i as usize)?.thing),
        Piece::Pill(i) => body(layout.pills.get(i as usize)?.id.into()),
        Piece::Box(i) => in_box(layout.boxes.get(i as usize)?, at),
    })
}

fn in_box(gateway: &GatewayBox, at: Pos2) -> Hit {
    let body = |thing: ThingId| Hit {
        thing,
        part: Part::Body,
    };
    for lane in &gateway.lanes {
        let bus = Rect::from_min_max(
            pos2(lane.x - 6.0, lane.label.min.y),
            pos2(lane.x + 6.0, lane.y.1),
        );
        if lane.label.contains(at) || bus.contains(at) {
            return body(lane.group.into());
        }
    }
    let Some(row) = gateway.rows.iter().find(|row| row.rect.contains(at)) else {
        return body(gateway.id.into());
    };
    if let Some((group, _)) = row.cells.iter().find(|(_, r)| r.contains(at)) {
        return Hit {
            thing: row.port.into(),
            part: Part::Switch(*group),
        };
    }
    match row.attached {
        Some(chip) if chip.rect.contains(at) => body(chip.thing),
        _ => body(row.port.into()),
    }
}

/// Returns the thing under a spot, whatever part of it.
pub(crate) fn thing_at(layout: &Layout, at: Pos2, zoom: f32) -> Option<ThingId> {
    hit(layout, at, zoom, &[]).map(|hit| hit.thing)
}

/// Returns where the ring of a thing is, if it has one.
pub(super) fn handle(layout: &Layout, thing: ThingId) -> Option<Pos2> {
    let rect = layout.rect(thing)?;
    let left = pos2(rect.min.x, rect.center().y);
    let right = pos2(rect.max.x, rect.center().y);
    // What belongs to a gateway has its ring at the wall of the box, where lines arrive.
    let at_wall = || {
        let (gateway, _) = layout.row_of(thing)?;
        Some(pos2(gateway.rect.min.x, rect.center().y))
    };
    match thing {
        ThingId::Channel(_) => Some(left),
        ThingId::Unit(_) => Some(pos2(rect.max.x, rect.min.y + 22.0)),
        ThingId::Radio(_) | ThingId::Telephone(_) | ThingId::Headset(_) => {
            at_wall().or(Some(right))
        }
        ThingId::Port(_) => at_wall(),
        ThingId::Gateway(_) => Some(pos2(rect.min.x, rect.min.y + 24.0)),
        ThingId::Site(_) => Some(right),
        _ => None,
    }
}

/// Returns the thing that moves when a thing is dragged.
pub(crate) fn moves_with(s: &Scenario, phase: &Phase, thing: ThingId) -> Option<ThingId> {
    Some(match thing {
        ThingId::Unit(_)
        | ThingId::Agency(_)
        | ThingId::Channel(_)
        | ThingId::System(_)
        | ThingId::Gateway(_)
        | ThingId::Site(_) => thing,
        ThingId::Port(port) => port.gateway.into(),
        ThingId::TalkGroup(group) => group.gateway.into(),
        ThingId::Radio(id) => match phase.port_of_radio(id) {
            Some(port) => port.gateway.into(),
            None => s.radios.get(id)?.held_by.map_or(thing, ThingId::from),
        },
        ThingId::Telephone(id) => {
            match (phase.port_of_telephone(id), s.telephones.get(id)?.held_by) {
                (Some(port), _) => port.gateway.into(),
                (None, unit) => unit.map_or(thing, ThingId::from),
            }
        }
        ThingId::Headset(id) => match (phase.port_of_headset(id), s.headsets.get(id)?.held_by) {
            (Some(port), _) => port.gateway.into(),
            (None, unit) => unit.map_or(thing, ThingId::from),
        },
        ThingId::Tie(_)
        | ThingId::Phase(_)
        | ThingId::Cable(_)
        | ThingId::Need(_)
        | ThingId::Stock(_)
        | ThingId::Agreement(_) => return None,
    })
}

/// Returns who speaks when a thing is held.
pub(crate) fn party_of(s: &Scenario, phase: &Phase, thing: ThingId) -> Option<Party> {
    match thing {
        ThingId::Unit(id) => s.units.contains(id).then_some(Party::Unit(id)),
        ThingId::Radio(id) => {
            // Nobody talks at a donor.
            if Scenario::is_donor(phase, id) {
                return None;
            }
            s.radios.get(id)?.held_by.map(Party::Unit)
        }
        ThingId::Telephone(id) => Some(
            s.telephones
                .get(id)?
                .held_by
                .map_or(Party::Telephone(id), Party::Unit),
        ),
        ThingId::Headset(id) => Some(
            s.headsets
                .get(id)?
                .held_by
                .map_or(Party::Headset(id), Party::Unit),
        ),
        _ => None,
    }
}

/// Returns what a connection dropped on a thing is made with: the thing, or what it is part of.
///
/// A radio at a port stands for the port, a radio in a card for its unit, a port for its gateway.
pub(super) fn target_of(layout: &Layout, targets: &Targets, thing: ThingId) -> ThingId {
    let is_open = |thing: &ThingId| matches!(targets.get(thing), Some(Ok(_)));
    if is_open(&thing) {
        return thing;
    }
    let port = match layout.stand(thing) {
        Some(Stand::Plugged(..)) => layout.row_of(thing).map(|(_, row)| row.port.into()),
        _ => None,
    };
    let card = match layout.stand(thing) {
        Some(Stand::Chip(..)) => layout.card_of(thing).map(|card| card.id.into()),
        _ => None,
    };
    let gateway = match thing {
        ThingId::Port(port) => Some(ThingId::from(port.gateway)),
        _ => None,
    };
    [port, card, gateway]
        .into_iter()
        .flatten()
        .find(is_open)
        .or(port)
        .unwrap_or(thing)
}

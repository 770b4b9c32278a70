//! What putting copies and ready-made things on the board means: where they land, and what the thing
//! below them makes of them.
//!
//! The answer is edits and what to select; nothing is changed here and nothing is drawn.

use std::collections::BTreeSet;

use egui::{Pos2, Vec2, vec2};

use crate::format::excerpt::Excerpt;
use crate::layout::{Folded, Layout, Overlay, is_block, place_of};
use crate::library::{Source, cable_for, put};
use crate::model::connect::connect;
use crate::model::graft::{Bed, Cutting, Grafted, Sharing, duplicate, graft};
use crate::model::{Edit, PhaseId, Place, PortKind, PortRef, Scenario, ThingId};

use super::Shelf;

/// How far a copy stands from its original.
const BESIDE: Vec2 = vec2(32.0, 32.0);

/// Tells what adding a ready-made thing does.
///
/// # Errors
///
/// The reason in a sentence, when it is not there or the gate refuses it.
pub(crate) fn add_ready(
    ground: &Ground<'_>,
    own: &Excerpt,
    source: Source,
    at: Option<Pos2>,
    on: Option<ThingId>,
) -> Result<Landed, String> {
    let s = ground.s;
    let mut grafted = put(source, Some(own), s, ground.phase)?;
    let things = grafted.asked.clone();
    let name = |after: &Scenario| match things.as_slice() {
        [one] => format!("Add {}", after.name(*one)),
        several => format!("Add {} things", several.len()),
    };
    let joined = match (things.as_slice(), on) {
        ([thing], Some(on)) => join(ground, &grafted.edits, *thing, on),
        _ => Vec::new(),
    };
    let is_joined = !joined.is_empty();
    grafted.edits.extend(joined);
    let edits = if is_joined {
        grafted.edits
    } else {
        landed(ground, grafted, at)
    };
    let after = s.apply(&edits).map_err(|e| e.to_string())?;
    Ok(Landed {
        label: name(&after),
        edits,
        things,
    })
}

/// Edits that add several things, and what to select then.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Landed {
    /// Name of the step.
    pub label: String,
    /// The edits.
    pub edits: Vec<Edit>,
    /// The new things.
    pub things: Vec<ThingId>,
}

/// The board that things land on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Ground<'a> {
    /// The scenario.
    pub s: &'a Scenario,
    /// The phase shown.
    pub phase: PhaseId,
    /// Where everything stands.
    pub layout: &'a Layout,
}

/// Tells what pasting an excerpt does.
pub(crate) fn paste(ground: &Ground<'_>, excerpt: &Excerpt, at: Option<Pos2>) -> Landed {
    let cutting = Cutting {
        origin: &excerpt.scenario,
        phase: excerpt.phase,
        things: &excerpt.chosen,
        attached: true,
    };
    let bed = Bed {
        phase: ground.phase,
        shift: Place::default(),
        sharing: Sharing::Companions,
        same: false,
    };
    let mut grafted = graft(&cutting, ground.s, &bed);
    grafted.edits.retain(|e| !matches!(e, Edit::Place { .. }));
    let things = grafted.asked.clone();
    Landed {
        label: of_several("Paste", things.len()),
        edits: landed(ground, grafted, at),
        things,
    }
}

/// Tells what duplicating things does: each copy beside its original.
pub(crate) fn doubled(ground: &Ground<'_>, things: &BTreeSet<ThingId>) -> Landed {
    let mut grafted = duplicate(ground.s, ground.phase, things, Place::default());
    grafted.edits.retain(|e| !matches!(e, Edit::Place { .. }));
    let spots: Vec<(ThingId, Pos2)> = grafted
        .became
        .iter()
        .filter(|(thing, copy)| things.contains(thing) && grafted.fresh.contains(copy))
        // What nobody placed by hand goes where the board puts its kind.
        .filter(|(thing, _)| ground.s.places.contains_key(thing))
        .filter_map(|(thing, copy)| Some((*copy, ground.layout.rect(*thing)?.min + BESIDE)))
        .collect();
    // A copy of a unit stands below it in its agency; what stands there makes room.
    let below = |copy: &ThingId| {
        let mut pairs = grafted.became.iter();
        let (original, _) = pairs.find(|(_, became)| *became == copy)?;
        match original {
            ThingId::Unit(unit) => ground.layout.below(*unit),
            _ => None,
        }
    };
    let (inside, beside): (Vec<_>, Vec<_>) = spots
        .into_iter()
        .map(|(copy, spot)| (copy, spot, below(&copy)))
        .partition(|(_, _, below)| below.is_some());
    let beside: Vec<(ThingId, Pos2)> = beside.into_iter().map(|(c, spot, _)| (c, spot)).collect();
    let things = grafted.asked.clone();
    let mut edits = at_spots(ground, grafted.edits, &beside);
    edits.extend(inside.into_iter().filter_map(|(thing, _, below)| {
        let place = Some(place_of(below?));
        Some(Edit::Place { thing, place })
    }));
    Landed {
        label: of_several("Duplicate", things.len()),
        edits,
        things,
    }
}

fn of_several(what: &str, n: usize) -> String {
    match n {
        1 => format!("{what} one thing"),
        n => format!("{what} {n} things"),
    }
}

/// Puts what stands by itself at a spot, one below the other; what belongs to something stays there.
fn landed(ground: &Ground<'_>, grafted: Grafted, at: Option<Pos2>) -> Vec<Edit> {
    let Some(at) = at else {
        return grafted.edits;
    };
    let Ok(after) = ground.s.apply(&grafted.edits) else {
        return grafted.edits;
    };
    let alone = grafted
        .asked
        .iter()
        .filter(|thing| grafted.fresh.contains(thing) && stands_alone(&after, **thing));
    let spots: Vec<(ThingId, Pos2)> = alone
        .zip(0_u16..)
        .map(|(thing, n)| (*thing, at + BESIDE * f32::from(n)))
        .collect();
    at_spots(ground, grafted.edits, &spots)
}

/// Tells whether a thing stands on the board by itself and not inside another.
fn stands_alone(s: &Scenario, thing: ThingId) -> bool {
    match thing {
        ThingId::Unit(id) => s.units.get(id).is_some_and(|u| u.agency.is_none()),
        ThingId::Radio(id) => s.radios.get(id).is_some_and(|r| r.held_by.is_none()),
        ThingId::Telephone(id) => s.telephones.get(id).is_some_and(|t| t.held_by.is_none()),
        ThingId::Headset(id) => s.headsets.get(id).is_some_and(|h| h.held_by.is_none()),
        other => is_block(other),
    }
}

/// Adds places for some new things, where there is room, and holds the others where they are.
fn at_spots(ground: &Ground<'_>, mut edits: Vec<Edit>, spots: &[(ThingId, Pos2)]) -> Vec<Edit> {
    for (thing, spot) in spots {
        let Ok(after) = ground.s.apply(&edits) else {
            break;
        };
        let layout = Layout::folded(&after, ground.phase, &Overlay::default(), &Folded::new());
        let Some(rect) = layout.rect(*thing) else {
            continue;
        };
        if is_block(*thing) {
            edits.extend(ground.layout.pins(ground.s));
        }
        edits.push(Edit::Place {
            thing: *thing,
            place: Some(ground.layout.free_place(*spot, rect.size())),
        });
    }
    edits
}

/// Joins a new thing with what it was dropped on, if the two can be joined.
fn join(ground: &Ground<'_>, added: &[Edit], thing: ThingId, on: ThingId) -> Vec<Edit> {
    let s = ground.s;
    let Ok(with_thing) = s.apply(added) else {
        return Vec::new();
    };
    let shelf = Shelf {
        s,
        phase: ground.phase,
        layout: ground.layout,
        at: None,
        on: Some(on),
    };
    // A box takes it at its first free port of the kind.
    let kind = match thing {
        ThingId::Radio(_) => Some(PortKind::Radio),
        ThingId::Telephone(_) => Some(PortKind::Telephone),
        ThingId::Headset(_) => Some(PortKind::Headset),
        _ => None,
    };
    let port: Option<PortRef> = kind.and_then(|kind| shelf.port_here(kind));
    let mut edits = Vec::new();
    let target = match port {
        Some(port) => {
            if let ThingId::Radio(id) = thing
                && let Some(radio) = with_thing.radios.get(id)
                && let Some(socket) = s.port(port)
            {
                edits.extend(cable_for(&with_thing, &radio.connector, &socket.connector));
            }
            ThingId::from(port)
        }
        // Dropped on what a unit holds, it is meant for the unit.
        None if kind.is_some() => shelf.unit_here().map_or(on, ThingId::from),
        None => on,
    };
    let Ok(ready) = with_thing.apply(&edits) else {
        return Vec::new();
    };
    match connect(&ready, ground.phase, thing, target) {
        Ok(connection) => {
            edits.extend(connection.edits);
            edits
        }
        Err(_reason) => Vec::new(),
    }
}

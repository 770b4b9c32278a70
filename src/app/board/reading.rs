//! The order in which the keys walk the board: people first, then the air, then the gear, each frame
//! from top to bottom and its members with what they carry.

use std::collections::BTreeMap;

use egui::Rect;

use crate::layout::{FrameRole, Layout};
use crate::model::{Scenario, ThingId};

/// Lists everything the keys stop at, in reading order, each thing once.
pub(super) fn order(layout: &Layout, s: &Scenario) -> Vec<ThingId> {
    let mut members: BTreeMap<Option<ThingId>, Vec<(Rect, ThingId)>> = BTreeMap::new();
    let mut carried: BTreeMap<ThingId, Vec<ThingId>> = BTreeMap::new();
    for card in &layout.cards {
        let agency = s.units.get(card.id).and_then(|u| u.agency);
        let of = members.entry(agency.map(ThingId::from)).or_default();
        of.push((card.rect, card.id.into()));
        let chips = card.chips.iter().map(|c| c.thing);
        carried.insert(card.id.into(), chips.collect());
    }
    for pill in &layout.pills {
        let system = s.channels.get(pill.id).map(|c| c.system.into());
        let of = members.entry(system).or_default();
        of.push((pill.rect, pill.id.into()));
    }
    let mut boxes: Vec<(Rect, ThingId)> = Vec::new();
    for gateway in &layout.boxes {
        boxes.push((gateway.rect, gateway.id.into()));
        let rows = gateway.rows.iter().flat_map(|row| {
            let plugged = row.attached.map(|c| c.thing);
            [ThingId::from(row.port)].into_iter().chain(plugged)
        });
        carried.insert(gateway.id.into(), rows.collect());
    }
    let mut out = Vec::new();
    for role in [FrameRole::Agency, FrameRole::NoAgency, FrameRole::System] {
        let frames = layout.frames().filter(|f| f.role == role);
        let mut frames: Vec<(Rect, Option<ThingId>)> = frames.map(|f| (f.rect, f.thing)).collect();
        sort(&mut frames);
        for (_, frame) in frames {
            out.extend(frame);
            walk(
                &mut out,
                members.remove(&frame).unwrap_or_default(),
                &carried,
            );
        }
    }
    // Members of frames that are not drawn, because they lie too far apart.
    for (frame, of) in std::mem::take(&mut members) {
        out.extend(frame.filter(|f| layout.rect(*f).is_some()));
        walk(&mut out, of, &carried);
    }
    walk(&mut out, boxes, &carried);
    let loose = layout.loose.iter().map(|c| (c.rect, c.thing)).collect();
    walk(&mut out, loose, &carried);
    let mut seen = std::collections::BTreeSet::new();
    out.retain(|thing| seen.insert(*thing));
    out
}

fn walk(
    out: &mut Vec<ThingId>,
    mut things: Vec<(Rect, ThingId)>,
    carried: &BTreeMap<ThingId, Vec<ThingId>>,
) {
    sort(&mut things);
    for (_, thing) in things {
        out.push(thing);
        out.extend(carried.get(&thing).into_iter().flatten().copied());
    }
}

/// Column by column, each from top to bottom.
fn sort<T>(things: &mut [(Rect, T)]) {
    things.sort_by(|(a, _), (b, _)| {
        let column = |r: &Rect| (r.min.x / 64.0).round();
        column(a)
            .total_cmp(&column(b))
            .then(a.min.y.total_cmp(&b.min.y))
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::files;
    use crate::layout::Overlay;

    #[test]
    fn everything_is_walked_once_people_before_air_before_gear() {
        let s = files::first_scenario();
        let phase = s.phases.first().unwrap();
        let layout = Layout::of(&s, phase.id, &Overlay::new());
        let order = order(&layout, &s);
        let place = |thing: ThingId| order.iter().position(|t| *t == thing);
        for (thing, _) in layout.things() {
            if !matches!(thing, ThingId::TalkGroup(_)) {
                assert!(place(thing).is_some(), "{thing:?} is reached");
            }
        }
        let units = s.units.ids().filter_map(|u| place(u.into())).max();
        let channels: Vec<usize> = s.channels.ids().filter_map(|c| place(c.into())).collect();
        let boxes = s.gateways.ids().filter_map(|g| place(g.into())).min();
        let (first, last) = (
            channels.iter().min().copied(),
            channels.iter().max().copied(),
        );
        assert!(units < first && last < boxes);
        for unit in s.units.iter() {
            let at = place(unit.id.into()).unwrap();
            let agency = unit.agency.and_then(|a| place(a.into()));
            assert!(
                agency.is_none_or(|a| a < at),
                "the frame before its members"
            );
        }
    }
}

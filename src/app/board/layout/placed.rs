//! Things with a place of their own, and what adapts to them: frames, sites, the level of columns.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Rect, Vec2, pos2, vec2};

use super::columns::Sheet;
use super::flow::framed;
use super::size::{CARD_W, CHIP_H, FRAME_GAP, FRAME_HEAD, FRAME_PAD, GAP, GUTTER};
use super::{Chip, FrameRole, GatewayBox, GroupFrame, Layout, UnitCard, is_spare, snap};
use crate::model::{SystemId, ThingId, UnitId};

impl Sheet<'_> {
    /// Centres the three columns on each other, leaving out frames with a place of their own.
    pub(super) fn level(&self, layout: &mut Layout) {
        let is_placed = |thing: Option<ThingId>| thing.is_some_and(|t| self.place(t).is_some());
        let mut placed_units: BTreeSet<UnitId> = BTreeSet::new();
        for unit in self.s.units.iter() {
            if is_placed(unit.agency.map(ThingId::from)) {
                placed_units.insert(unit.id);
            }
        }
        let is_unit_side = |role| role != FrameRole::System;
        let extent = |rects: &mut dyn Iterator<Item = Rect>| {
            rects.fold(Rect::NOTHING, Rect::union).max.y.max(0.0)
        };
        let free = |f: &&GroupFrame| !is_placed(f.thing);
        let units = extent(
            &mut layout
                .frames
                .iter()
                .filter(free)
                .filter(|f| is_unit_side(f.role))
                .map(|f| f.rect),
        );
        let channels = extent(
            &mut layout
                .frames
                .iter()
                .filter(free)
                .filter(|f| !is_unit_side(f.role))
                .map(|f| f.rect),
        );
        let gateways = extent(&mut layout.boxes.iter().map(|b| b.rect));
        let tallest = units.max(channels).max(gateways);
        let drop = |height: f32| snap(pos2(0.0, (tallest - height) / 2.0)).to_vec2();
        let (du, dc, dg) = (drop(units), drop(channels), drop(gateways));
        let systems: BTreeSet<SystemId> = self
            .s
            .systems
            .ids()
            .filter(|id| !is_placed(Some((*id).into())))
            .collect();
        for frame in &mut layout.frames {
            if !is_placed(frame.thing) {
                let by = if is_unit_side(frame.role) { du } else { dc };
                frame.rect = frame.rect.translate(by);
            }
        }
        for card in &mut layout.cards {
            if !placed_units.contains(&card.id) {
                move_card(card, du);
            }
        }
        for pill in &mut layout.pills {
            let system = self.s.channels.get(pill.id).map(|c| c.system);
            if system.is_some_and(|system| systems.contains(&system)) {
                pill.rect = pill.rect.translate(dc);
            }
        }
        for gateway in &mut layout.boxes {
            move_box(gateway, dg);
        }
        for chip in &mut layout.loose {
            chip.rect = chip.rect.translate(du);
        }
    }

    pub(super) fn put_placed(&self, layout: &mut Layout) {
        for card in &mut layout.cards {
            if let Some(at) = self.place(card.id.into()) {
                let by = at - card.rect.min;
                move_card(card, by);
                card.apart = true;
            }
        }
        let shown: BTreeSet<UnitId> = layout.cards.iter().map(|c| c.id).collect();
        for unit in self.s.units.iter().filter(|u| !shown.contains(&u.id)) {
            if let Some(at) = self.place(unit.id.into()) {
                layout.cards.push(self.card(unit, at, true));
            }
        }
        for pill in &mut layout.pills {
            if let Some(at) = self.place(pill.id.into()) {
                pill.rect = Rect::from_min_size(at, pill.rect.size());
            }
        }
        for gateway in &mut layout.boxes {
            if let Some(at) = self.place(gateway.id.into()) {
                let by = at - gateway.rect.min;
                move_box(gateway, by);
            }
        }
        for chip in &mut layout.loose {
            if let Some(at) = self.place(chip.thing) {
                chip.rect = Rect::from_min_size(at, chip.rect.size());
            }
        }
        let is_free = |thing: ThingId| match thing {
            ThingId::Radio(id) => self
                .s
                .radios
                .get(id)
                .is_some_and(|r| is_spare(self.phase, r)),
            ThingId::Telephone(id) => {
                self.phase.port_of_telephone(id).is_none()
                    && self
                        .s
                        .telephones
                        .get(id)
                        .is_some_and(|t| t.held_by.is_none())
            }
            ThingId::Headset(id) => {
                self.phase.port_of_headset(id).is_none()
                    && self.s.headsets.get(id).is_some_and(|h| h.held_by.is_none())
            }
            _ => false,
        };
        let placed: BTreeSet<ThingId> = self
            .s
            .places
            .keys()
            .chain(self.overlay.keys())
            .copied()
            .filter(|thing| is_free(*thing))
            .collect();
        for thing in placed {
            if let Some(at) = self.place(thing)
                && layout.loose.iter().all(|c| c.thing != thing)
            {
                layout.loose.push(Chip {
                    thing,
                    rect: Rect::from_min_size(at, vec2(CARD_W, CHIP_H)),
                });
            }
        }
    }

    /// Sites stand below the gateways, wherever those stand.
    pub(super) fn sites(&self, layout: &mut Layout) {
        let around = layout
            .boxes
            .iter()
            .map(|b| b.rect)
            .chain(layout.pills.iter().map(|p| p.rect))
            .fold(Rect::NOTHING, Rect::union);
        let left = layout
            .boxes
            .iter()
            .map(|b| b.rect.min.x)
            .fold(f32::MAX, f32::min);
        let mut at = match (around.is_positive(), left < f32::MAX) {
            (true, true) => pos2(
                left,
                layout
                    .boxes
                    .iter()
                    .map(|b| b.rect.max.y)
                    .fold(f32::MIN, f32::max)
                    + FRAME_GAP,
            ),
            (true, false) => pos2(around.max.x + GUTTER, around.min.y),
            (false, _) => pos2(framed(CARD_W) + GUTTER, 0.0),
        };
        for site in self.s.sites.iter() {
            let spot = self.place(site.id.into()).unwrap_or(at);
            let rect = Rect::from_min_size(spot, vec2(CARD_W, CHIP_H));
            if spot == at {
                at.y = rect.max.y + GAP;
            }
            layout.loose.push(Chip {
                thing: site.id.into(),
                rect,
            });
        }
    }

    /// A frame of which every member was put somewhere stands around them instead of in its column.
    pub(super) fn gather(&self, layout: &mut Layout) {
        let mut members: BTreeMap<ThingId, Vec<Rect>> = BTreeMap::new();
        let mut in_column: BTreeSet<ThingId> = BTreeSet::new();
        let mut add = |frame: ThingId, thing: ThingId, rect: Rect| {
            members.entry(frame).or_default().push(rect);
            if self.place(thing).is_none() {
                in_column.insert(frame);
            }
        };
        for card in &layout.cards {
            if let Some(agency) = self.s.units.get(card.id).and_then(|u| u.agency) {
                add(agency.into(), card.id.into(), card.rect);
            }
        }
        for pill in &layout.pills {
            if let Some(channel) = self.s.channels.get(pill.id) {
                add(channel.system.into(), pill.id.into(), pill.rect);
            }
        }
        let mut lost = BTreeSet::new();
        for frame in &mut layout.frames {
            let Some(thing) = frame.thing else { continue };
            if in_column.contains(&thing) {
                continue;
            }
            let Some(rects) = members.get(&thing) else {
                continue;
            };
            let around = rects.iter().fold(Rect::NOTHING, |all, r| all.union(*r));
            let own: f32 = rects.iter().map(Rect::area).sum();
            // Around members that lie far apart a frame would only hide the others.
            if around.area() > own * 2.5 + 20_000.0 {
                lost.insert(thing);
            }
            frame.rect = Rect::from_min_max(
                around.min - vec2(FRAME_PAD, FRAME_HEAD),
                around.max + vec2(FRAME_PAD, FRAME_PAD),
            );
        }
        layout
            .frames
            .retain(|f| f.thing.is_none_or(|thing| !lost.contains(&thing)));
        for card in &mut layout.cards {
            if let Some(agency) = self.s.units.get(card.id).and_then(|u| u.agency) {
                let thing = agency.into();
                card.apart &= in_column.contains(&thing) || lost.contains(&thing);
            }
        }
    }
}

fn move_card(card: &mut UnitCard, by: Vec2) {
    card.rect = card.rect.translate(by);
    card.mic = card.mic.translate(by);
    for chip in &mut card.chips {
        chip.rect = chip.rect.translate(by);
    }
}

fn move_box(gateway: &mut GatewayBox, by: Vec2) {
    gateway.rect = gateway.rect.translate(by);
    for row in &mut gateway.rows {
        row.rect = row.rect.translate(by);
        if let Some(chip) = &mut row.attached {
            chip.rect = chip.rect.translate(by);
        }
        for (_, cell) in &mut row.cells {
            *cell = cell.translate(by);
        }
    }
    for lane in &mut gateway.lanes {
        lane.x += by.x;
        lane.y.0 += by.y;
        lane.y.1 += by.y;
        lane.label = lane.label.translate(by);
    }
}

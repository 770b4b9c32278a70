//! Flowing things into columns, and putting those with a place where they belong.

use std::collections::{BTreeMap, BTreeSet};

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use super::size::{
    BETWEEN, CARD_HEAD, CARD_W, CELL_W, CHIP_GAP, CHIP_H, COLUMN, FRAME_GAP, FRAME_HEAD, FRAME_PAD, GAP,
    GATEWAY_HEAD, GUTTER, LANE_HEAD, LANE_W, PAD, PILL_H, PILL_W, ROW_H, ROW_LEFT,
};
use super::{
    Chip, FrameRole, GatewayBox, GroupFrame, Lane, Layout, Overlay, Pill, Row, UnitCard, is_spare,
    size, snap, spot_of,
};
use crate::model::{
    Attachment, ChannelId, Gateway, Phase, PortRef, Scenario, SystemId, ThingId, Unit, UnitId,
};

/// Where a column of frames is to stand.
#[derive(Clone, Copy)]
enum Growth {
    /// New columns open to the left.
    Left,
    /// New columns open to the right.
    Right,
}

/// Fills a layout with all things and their places.
pub(super) fn fill(layout: &mut Layout, s: &Scenario, phase: &Phase, overlay: &Overlay) {
    let sheet = Sheet { s, phase, overlay };
    sheet.units(layout);
    sheet.channels(layout);
    sheet.gateways(layout);
    sheet.level(layout);
    sheet.put_placed(layout);
    sheet.gather(layout);
    sheet.sites(layout);
}

struct Sheet<'a> {
    s: &'a Scenario,
    phase: &'a Phase,
    overlay: &'a Overlay,
}

/// Width of a frame around cards or pills of a width.
fn framed(width: f32) -> f32 {
    width + 2.0 * FRAME_PAD
}

impl Sheet<'_> {
    fn place(&self, thing: ThingId) -> Option<Pos2> {
        self.overlay
            .get(&thing)
            .or_else(|| self.s.places.get(&thing))
            .map(|p| spot_of(*p))
    }

    /// Lists what a unit carries: radios that are no donors, telephones, headsets.
    fn carried(&self, unit: UnitId) -> Vec<ThingId> {
        let radios = self
            .s
            .radios_of(unit)
            .filter(|r| self.phase.port_of_radio(r.id).is_none())
            .map(|r| r.id.into());
        let telephones = self
            .s
            .telephones
            .iter()
            .filter(|t| t.held_by == Some(unit))
            .map(|t| t.id.into());
        let headsets = self
            .s
            .headsets
            .iter()
            .filter(|h| h.held_by == Some(unit))
            .map(|h| h.id.into());
        radios.chain(telephones).chain(headsets).collect()
    }

    fn card(&self, unit: &Unit, at: Pos2, apart: bool) -> UnitCard {
        let carried = self.carried(unit.id);
        let rect = Rect::from_min_size(at, size::card(carried.len()));
        let chips = carried
            .into_iter()
            .enumerate()
            .map(|(i, thing)| Chip {
                thing,
                rect: Rect::from_min_size(
                    at + vec2(PAD, CARD_HEAD + i as f32 * (CHIP_H + CHIP_GAP)),
                    vec2(CARD_W - 2.0 * PAD, CHIP_H),
                ),
            })
            .collect();
        let mic = Rect::from_center_size(
            pos2(rect.max.x - 24.0, rect.min.y + CARD_HEAD / 2.0),
            Vec2::splat(30.0),
        );
        UnitCard {
            id: unit.id,
            rect,
            mic,
            chips,
            apart,
        }
    }

    fn units(&self, layout: &mut Layout) {
        let mut blocks: Vec<(GroupFrame, Vec<&Unit>, Vec<ThingId>)> = Vec::new();
        let frame = |thing, role| GroupFrame {
            thing,
            role,
            rect: Rect::NOTHING,
        };
        for agency in self.s.agencies.iter() {
            let units = self
                .s
                .units
                .iter()
                .filter(|u| u.agency == Some(agency.id))
                .collect();
            blocks.push((
                frame(Some(agency.id.into()), FrameRole::Agency),
                units,
                Vec::new(),
            ));
        }
        let alone: Vec<&Unit> = self
            .s
            .units
            .iter()
            .filter(|u| u.agency.is_none() && self.place(u.id.into()).is_none())
            .collect();
        if !alone.is_empty() {
            blocks.push((frame(None, FrameRole::NoAgency), alone, Vec::new()));
        }
        let spare = self.spare();
        if !spare.is_empty() {
            blocks.push((frame(None, FrameRole::Spare), Vec::new(), spare));
        }
        let inner: Vec<Vec<Rect>> = blocks
            .iter()
            .map(|(_, units, spare)| {
                let cards = units
                    .iter()
                    .map(|u| size::card(self.carried(u.id).len()))
                    .chain(spare.iter().map(|_| vec2(CARD_W, CHIP_H)));
                slots(&cards.collect::<Vec<Vec2>>())
            })
            .collect();
        let sizes: Vec<Vec2> = inner.iter().map(|slots| frame_size(slots, CARD_W)).collect();
        let spots = flow(&sizes, Growth::Left);
        for (i, (mut frame, units, spare)) in blocks.into_iter().enumerate() {
            let (Some(size), Some(spot), Some(slots)) = (sizes.get(i), spots.get(i), inner.get(i))
            else {
                continue;
            };
            // Columns grow to the left of a common right edge.
            let spot = *spot + vec2(framed(CARD_W), 0.0);
            let origin = frame
                .thing
                .and_then(|thing| self.place(thing))
                .unwrap_or(spot);
            frame.rect = Rect::from_min_size(origin, *size);
            let corner = origin + vec2(FRAME_PAD, FRAME_HEAD);
            let mut slots = slots.iter();
            for unit in units {
                let at = slots.next().map_or(corner, |s| corner + s.min.to_vec2());
                layout.cards.push(self.card(unit, at, false));
            }
            for thing in spare {
                let at = slots.next().map_or(corner, |s| corner + s.min.to_vec2());
                let rect = Rect::from_min_size(at, vec2(CARD_W, CHIP_H));
                layout.loose.push(Chip { thing, rect });
            }
            layout.frames.push(frame);
        }
    }

    /// Lists gear that nobody holds, no port has and nobody has put anywhere.
    fn spare(&self) -> Vec<ThingId> {
        let radios = self
            .s
            .radios
            .iter()
            .filter(|r| is_spare(self.phase, r))
            .map(|r| ThingId::from(r.id));
        let telephones = self
            .s
            .telephones
            .iter()
            .filter(|t| t.held_by.is_none() && self.phase.port_of_telephone(t.id).is_none())
            .map(|t| t.id.into());
        let headsets = self
            .s
            .headsets
            .iter()
            .filter(|h| h.held_by.is_none() && self.phase.port_of_headset(h.id).is_none())
            .map(|h| h.id.into());
        radios
            .chain(telephones)
            .chain(headsets)
            .filter(|thing| self.place(*thing).is_none())
            .collect()
    }

    /// Mean height of the radios that have a channel selected, for ordering; `None` for nobody.
    fn users(&self, layout: &Layout) -> BTreeMap<ChannelId, f32> {
        let mut sums: BTreeMap<ChannelId, (f32, f32)> = BTreeMap::new();
        for chip in layout.cards.iter().flat_map(|c| &c.chips) {
            if let ThingId::Radio(id) = chip.thing
                && let Some(radio) = self.s.radios.get(id)
                && let Some(channel) = self.s.selected_channel(self.phase, radio)
            {
                let sum = sums.entry(channel).or_default();
                sum.0 += chip.rect.center().y;
                sum.1 += 1.0;
            }
        }
        sums.into_iter().map(|(c, (y, n))| (c, y / n)).collect()
    }

    fn channels(&self, layout: &mut Layout) {
        let users = self.users(layout);
        let turns: BTreeMap<ChannelId, usize> =
            self.s.channels.ids().enumerate().map(|(i, c)| (c, i)).collect();
        let mut systems: Vec<(SystemId, Vec<ChannelId>, f32)> = self
            .s
            .systems
            .iter()
            .map(|system| {
                let mut channels: Vec<ChannelId> = self
                    .s
                    .channels
                    .iter()
                    .filter(|c| c.system == system.id)
                    .map(|c| c.id)
                    .collect();
                let height = |c: &ChannelId| users.get(c).copied();
                channels.sort_by(|a, b| {
                    let (a, b) = (height(a), height(b));
                    a.unwrap_or(f32::MAX).total_cmp(&b.unwrap_or(f32::MAX))
                });
                let used: Vec<f32> = channels.iter().filter_map(height).collect();
                let mean = if used.is_empty() {
                    f32::MAX
                } else {
                    used.iter().sum::<f32>() / used.len() as f32
                };
                (system.id, channels, mean)
            })
            .collect();
        systems.sort_by(|a, b| a.2.total_cmp(&b.2));
        let inner: Vec<Vec<Rect>> = systems
            .iter()
            .map(|(_, channels, _)| slots(&vec![vec2(PILL_W, PILL_H); channels.len()]))
            .collect();
        let sizes: Vec<Vec2> = inner.iter().map(|slots| frame_size(slots, PILL_W)).collect();
        let spots = flow(&sizes, Growth::Right);
        let shift = vec2(framed(CARD_W) + GUTTER, 0.0);
        for (i, (system, channels, _)) in systems.into_iter().enumerate() {
            let (Some(size), Some(spot), Some(slots)) = (sizes.get(i), spots.get(i), inner.get(i))
            else {
                continue;
            };
            let origin = self.place(system.into()).unwrap_or(*spot + shift);
            layout.frames.push(GroupFrame {
                thing: Some(system.into()),
                role: FrameRole::System,
                rect: Rect::from_min_size(origin, *size),
            });
            let corner = origin + vec2(FRAME_PAD, FRAME_HEAD);
            for (id, slot) in channels.into_iter().zip(slots) {
                layout.pills.push(Pill {
                    id,
                    rect: slot.translate(corner.to_vec2()),
                    turn: turns.get(&id).copied().unwrap_or(0),
                });
            }
        }
    }

    fn gateways(&self, layout: &mut Layout) {
        let left = layout
            .pills
            .iter()
            .map(|p| p.rect.max.x + FRAME_PAD)
            .fold(framed(CARD_W) + GUTTER, f32::max)
            + GUTTER;
        let sizes: Vec<Vec2> = self.s.gateways.iter().map(size::gateway).collect();
        let spots = flow(&sizes, Growth::Right);
        for (gateway, spot) in self.s.gateways.iter().zip(spots) {
            layout
                .boxes
                .push(self.gateway_box(gateway, spot + vec2(left, 0.0)));
        }
    }

    /// Sites stand below the gateways, wherever those stand.
    fn sites(&self, layout: &mut Layout) {
        let around = layout
            .boxes
            .iter()
            .map(|b| b.rect)
            .chain(layout.pills.iter().map(|p| p.rect))
            .fold(Rect::NOTHING, Rect::union);
        let left = layout.boxes.iter().map(|b| b.rect.min.x).fold(f32::MAX, f32::min);
        let mut at = match (around.is_positive(), left < f32::MAX) {
            (true, true) => pos2(
                left,
                layout.boxes.iter().map(|b| b.rect.max.y).fold(f32::MIN, f32::max) + FRAME_GAP,
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

    fn gateway_box(&self, g: &Gateway, at: Pos2) -> GatewayBox {
        let rect = Rect::from_min_size(at, size::gateway(g));
        let top = rect.min.y + GATEWAY_HEAD + LANE_HEAD;
        let cells_left = rect.min.x + PAD + ROW_LEFT;
        let lanes_left = cells_left + (g.talk_groups.len() as f32 + 1.0) * CELL_W + 20.0;
        let rows = g
            .ports
            .iter()
            .enumerate()
            .map(|(i, port)| {
                let port = PortRef {
                    gateway: g.id,
                    port: port.number,
                };
                let y = top + i as f32 * ROW_H;
                let row = Rect::from_min_max(
                    pos2(rect.min.x + PAD, y),
                    pos2(rect.max.x - PAD, y + ROW_H),
                );
                let cell = |i: usize| {
                    Rect::from_min_size(
                        pos2(cells_left + i as f32 * CELL_W, y + (ROW_H - 24.0) / 2.0),
                        vec2(CELL_W, 24.0),
                    )
                };
                let mut cells = vec![(None, cell(0))];
                for (i, group) in g.talk_groups.iter().enumerate() {
                    cells.push((Some(group.number), cell(i + 1)));
                }
                let attached = self.phase.attachments.get(&port).map(|a| Chip {
                    thing: match a {
                        Attachment::Radio { radio, .. } => (*radio).into(),
                        Attachment::Telephone(id) => (*id).into(),
                        Attachment::Headset(id) => (*id).into(),
                        Attachment::Tie(id) => (*id).into(),
                    },
                    rect: Rect::from_min_max(
                        pos2(row.min.x + 54.0, y + 2.0),
                        pos2(cells_left - 8.0, y + ROW_H - 2.0),
                    ),
                });
                Row {
                    port,
                    rect: row,
                    attached,
                    cells,
                    group: self.phase.group_of(port).map(|g| g.group),
                }
            })
            .collect();
        let lanes = g
            .talk_group_refs()
            .enumerate()
            .map(|(i, group)| {
                let x = lanes_left + (i as f32 + 0.5) * LANE_W;
                Lane {
                    group,
                    x,
                    y: (top - 8.0, rect.max.y - PAD),
                    label: Rect::from_center_size(
                        pos2(x, top - LANE_HEAD / 2.0 - 2.0),
                        Vec2::splat(22.0),
                    ),
                }
            })
            .collect();
        GatewayBox {
            id: g.id,
            rect,
            rows,
            lanes,
        }
    }

    /// Centres the three columns on each other, leaving out frames with a place of their own.
    fn level(&self, layout: &mut Layout) {
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

    fn put_placed(&self, layout: &mut Layout) {
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
            ThingId::Radio(id) => self.s.radios.get(id).is_some_and(|r| is_spare(self.phase, r)),
            ThingId::Telephone(id) => {
                self.phase.port_of_telephone(id).is_none()
                    && self.s.telephones.get(id).is_some_and(|t| t.held_by.is_none())
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
}

impl Sheet<'_> {
    /// A frame of which every member was put somewhere stands around them instead of in its column.
    fn gather(&self, layout: &mut Layout) {
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

/// Stacks cards into as many columns as keep a frame from growing too high.
fn slots(sizes: &[Vec2]) -> Vec<Rect> {
    let total: f32 = sizes.iter().map(|s| s.y + GAP).sum();
    let columns = (total / COLUMN).ceil().max(1.0);
    let target = total / columns;
    let width = sizes.iter().map(|s| s.x).fold(0.0, f32::max);
    let mut at = Pos2::ZERO;
    let mut out = Vec::with_capacity(sizes.len());
    for size in sizes {
        if at.y > 0.0 && at.y + size.y / 2.0 > target {
            at = pos2(at.x + width + BETWEEN, 0.0);
        }
        out.push(Rect::from_min_size(at, *size));
        at.y += size.y + GAP;
    }
    out
}

/// Returns the size of a frame around its slots; an empty one is as wide as a card.
fn frame_size(slots: &[Rect], least: f32) -> Vec2 {
    let inner = slots
        .iter()
        .fold(Rect::from_min_size(Pos2::ZERO, vec2(least, 0.0)), |all, r| {
            all.union(*r)
        });
    inner.size() + vec2(2.0 * FRAME_PAD, FRAME_HEAD + FRAME_PAD)
}

/// Stacks blocks into columns of about the same height and returns where each stands.
///
/// Columns that grow to the right begin at zero; those that grow to the left end there.
fn flow(sizes: &[Vec2], growth: Growth) -> Vec<Pos2> {
    let total: f32 = sizes.iter().map(|s| s.y + FRAME_GAP).sum();
    let columns = (total / COLUMN).ceil().max(1.0);
    let target = total / columns;
    let (mut column, mut y) = (0, 0.0);
    let mut tops: Vec<(usize, f32)> = Vec::with_capacity(sizes.len());
    let mut widths: Vec<f32> = vec![0.0];
    for size in sizes {
        if y > 0.0 && y + size.y / 2.0 > target {
            column += 1;
            y = 0.0;
            widths.push(0.0);
        }
        if let Some(width) = widths.last_mut() {
            *width = width.max(size.x);
        }
        tops.push((column, y));
        y += size.y + FRAME_GAP;
    }
    tops.into_iter()
        .zip(sizes)
        .map(|((column, y), size)| {
            let before: f32 = widths.iter().take(column).map(|w| w + BETWEEN).sum();
            match growth {
                Growth::Left => pos2(-before - size.x, y),
                Growth::Right => pos2(before, y),
            }
        })
        .collect()
}

//! Flowing things into columns, and putting those with a place where they belong.

use std::collections::{BTreeMap, BTreeSet};

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::flow::{Growth, flow_size, frame_size, framed, settle, slots};
use super::placed::{gather, site_frames};
use super::size::{
    CARD_HEAD, CARD_W, CELL_W, CHIP_GAP, CHIP_H, COLUMNS, FRAME_HEAD, FRAME_PAD, GATEWAY_HEAD,
    GUTTER, INNER, LANE_HEAD, LANE_W, PAD, PILL_H, PILL_W, ROW_H, ROW_LEFT, VIEW,
};
use super::{
    Chip, Folded, FrameRole, GatewayBox, GroupFrame, Lane, Layout, Overlay, Pill, Row, UnitCard,
    is_spare, size, spot_of,
};
use crate::model::{
    AgencyId, Attachment, ChannelId, Gateway, Phase, PortRef, RadioId, Scenario, SystemId, ThingId,
    Unit, UnitId,
};

/// Fills a layout with all things and their places.
pub(super) fn fill(
    layout: &mut Layout,
    s: &Scenario,
    phase: &Phase,
    overlay: &Overlay,
    folded: &Folded,
) {
    let mut sheet = Sheet {
        s,
        phase,
        overlay,
        folded,
        most: 0.0,
        carried: carried(s, phase),
        units: BTreeMap::new(),
        channels: BTreeMap::new(),
    };
    for unit in s.units.iter() {
        sheet.units.entry(unit.agency).or_default().push(unit);
    }
    for channel in s.channels.iter() {
        let of_system = sheet.channels.entry(channel.system).or_default();
        of_system.push(channel.id);
    }
    sheet.most = sheet.best_height();
    sheet.units(layout);
    sheet.channels(layout);
    sheet.gateways(layout);
    sheet.put_placed(layout);
    gather(layout);
    sheet.sites(layout);
    site_frames(layout, s);
}

pub(super) struct Sheet<'a> {
    pub(super) s: &'a Scenario,
    pub(super) phase: &'a Phase,
    pub(super) overlay: &'a Overlay,
    /// Agencies and systems of which only a chip stands.
    pub(super) folded: &'a Folded,
    /// Height at which columns break.
    most: f32,
    /// What each unit carries.
    carried: BTreeMap<UnitId, Vec<ThingId>>,
    /// The units of each agency.
    units: BTreeMap<Option<AgencyId>, Vec<&'a Unit>>,
    /// The channels of each system.
    channels: BTreeMap<SystemId, Vec<ChannelId>>,
}

/// Lists what every unit carries: radios that are no donors, telephones, headsets.
pub(super) fn carried(s: &Scenario, phase: &Phase) -> BTreeMap<UnitId, Vec<ThingId>> {
    let donors: BTreeSet<RadioId> = phase
        .attachments
        .values()
        .filter_map(|a| match a {
            Attachment::Radio { radio, .. } => Some(*radio),
            Attachment::Telephone(_) | Attachment::Headset(_) | Attachment::Tie(_) => None,
        })
        .collect();
    let mut carried: BTreeMap<UnitId, Vec<ThingId>> = BTreeMap::new();
    let radios = s
        .radios
        .iter()
        .filter(|r| !donors.contains(&r.id))
        .map(|r| (r.held_by, ThingId::from(r.id)));
    let telephones = s.telephones.iter().map(|t| (t.held_by, t.id.into()));
    let headsets = s.headsets.iter().map(|h| (h.held_by, h.id.into()));
    for (unit, thing) in radios.chain(telephones).chain(headsets) {
        if let Some(unit) = unit {
            carried.entry(unit).or_default().push(thing);
        }
    }
    carried
}

impl Sheet<'_> {
    /// Returns the height of columns at which everything is seen largest in a window.
    fn best_height(&self) -> f32 {
        let frames = |groups: &mut dyn Iterator<Item = Vec<Vec2>>, least: f32, most: f32| {
            let sizes: Vec<Vec2> = groups
                .map(|cards| frame_size(&slots(&cards, INNER), least))
                .collect();
            flow_size(&sizes, most)
        };
        let card = |u: &Unit| size::card(self.carried(u.id).len());
        let agencies: Vec<Vec<Vec2>> = self
            .s
            .agencies
            .ids()
            .map(Some)
            .chain([None])
            .map(|agency| self.units_of(agency).iter().map(|u| card(u)).collect())
            .collect();
        let systems: Vec<Vec<Vec2>> = self
            .s
            .systems
            .ids()
            .map(|system| vec![vec2(PILL_W, PILL_H); self.channels_of(system).len()])
            .collect();
        let boxes: Vec<Vec2> = self.s.gateways.iter().map(size::gateway).collect();
        let shown = |most: f32| {
            let parts = [
                frames(&mut agencies.iter().cloned(), CARD_W, most),
                frames(&mut systems.iter().cloned(), PILL_W, most),
                flow_size(&boxes, most),
            ];
            let width: f32 = parts.iter().map(|p| p.x).sum::<f32>() + 2.0 * GUTTER;
            let height = parts.iter().map(|p| p.y).fold(1.0, f32::max);
            (VIEW.x / width).min(VIEW.y / height).min(1.0)
        };
        COLUMNS
            .into_iter()
            .map(|most| (most, shown(most)))
            .reduce(|best, next| if next.1 > best.1 { next } else { best })
            .map_or(COLUMNS[0], |(most, _)| most)
    }

    /// Tells whether the members of an agency or system are shown one by one.
    pub(super) fn is_shown<T: Into<ThingId>>(&self, of: Option<T>) -> bool {
        of.is_none_or(|thing| !self.folded.contains(&thing.into()))
    }

    pub(super) fn place(&self, thing: ThingId) -> Option<Pos2> {
        self.overlay
            .get(&thing)
            .or_else(|| self.s.places.get(&thing))
            .map(|p| spot_of(*p))
    }

    /// Returns what a unit carries: radios that are no donors, telephones, headsets.
    fn carried(&self, unit: UnitId) -> &[ThingId] {
        self.carried.get(&unit).map_or(&[], Vec::as_slice)
    }

    /// Lists the units of an agency that is not collapsed.
    fn units_of(&self, agency: Option<AgencyId>) -> &[&Unit] {
        if !self.is_shown(agency) {
            return &[];
        }
        self.units.get(&agency).map_or(&[], Vec::as_slice)
    }

    /// Lists the channels of a system that is not collapsed.
    fn channels_of(&self, system: SystemId) -> &[ChannelId] {
        if !self.is_shown(Some(system)) {
            return &[];
        }
        self.channels.get(&system).map_or(&[], Vec::as_slice)
    }

    pub(super) fn card(&self, unit: &Unit, at: Pos2, home: Option<u32>) -> UnitCard {
        let carried = self.carried(unit.id);
        let rect = Rect::from_min_size(at, size::card(carried.len()));
        let chips = carried
            .iter()
            .enumerate()
            .map(|(i, thing)| Chip {
                thing: *thing,
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
            apart: false,
            home,
            is_placed: false,
        }
    }

    fn units(&self, layout: &mut Layout) {
        let mut blocks: Vec<(GroupFrame, Vec<&Unit>, Vec<ThingId>)> = Vec::new();
        let frame = |thing, role| GroupFrame {
            thing,
            role,
            rect: Rect::NOTHING,
            slot: Rect::NOTHING,
            is_lost: false,
        };
        for agency in self.s.agencies.iter() {
            blocks.push((
                frame(Some(agency.id.into()), FrameRole::Agency),
                self.units_of(Some(agency.id)).to_vec(),
                Vec::new(),
            ));
        }
        let alone: Vec<&Unit> = self
            .units_of(None)
            .iter()
            .copied()
            .filter(|u| self.place(u.id.into()).is_none())
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
                slots(&cards.collect::<Vec<Vec2>>(), INNER)
            })
            .collect();
        let sizes: Vec<Vec2> = inner
            .iter()
            .map(|slots| frame_size(slots, CARD_W))
            .collect();
        let places: Vec<Option<Pos2>> = blocks
            .iter()
            .map(|(frame, _, _)| self.place(frame.thing?))
            .collect();
        let spots = settle(&sizes, &places, self.most, Growth::Left);
        for (i, (mut frame, units, spare)) in blocks.into_iter().enumerate() {
            let (Some(size), Some(spot), Some(slots)) = (sizes.get(i), spots.get(i), inner.get(i))
            else {
                continue;
            };
            let origin = *spot;
            frame.slot = Rect::from_min_size(origin, *size);
            frame.rect = frame.slot;
            let home = frame.thing.map(|_| layout.frames.len() as u32);
            let corner = origin + vec2(FRAME_PAD, FRAME_HEAD);
            let mut slots = slots.iter();
            for unit in units {
                let at = slots.next().map_or(corner, |s| corner + s.min.to_vec2());
                layout.cards.push(self.card(unit, at, home));
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
    ///
    /// By what radios have selected of their own, not by what a phase says: channels that changed
    /// places with every switch of a knob would be hard to follow.
    fn users(&self, layout: &Layout) -> BTreeMap<ChannelId, f32> {
        let mut sums: BTreeMap<ChannelId, (f32, f32)> = BTreeMap::new();
        for chip in layout.cards.iter().flat_map(|c| &c.chips) {
            if let ThingId::Radio(id) = chip.thing
                && let Some(radio) = self.s.radios.get(id)
                && let Some(channel) = radio.selected
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
        let turns: BTreeMap<ChannelId, usize> = self
            .s
            .channels
            .ids()
            .enumerate()
            .map(|(i, c)| (c, i))
            .collect();
        let mut systems: Vec<(SystemId, Vec<ChannelId>, f32)> = self
            .s
            .systems
            .iter()
            .map(|system| {
                let mut channels = self.channels_of(system.id).to_vec();
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
            .map(|(_, channels, _)| slots(&vec![vec2(PILL_W, PILL_H); channels.len()], INNER))
            .collect();
        let sizes: Vec<Vec2> = inner
            .iter()
            .map(|slots| frame_size(slots, PILL_W))
            .collect();
        let places: Vec<Option<Pos2>> = systems
            .iter()
            .map(|(system, _, _)| self.place((*system).into()))
            .collect();
        let spots = settle(&sizes, &places, self.most, Growth::Right(GUTTER));
        for (i, (system, channels, _)) in systems.into_iter().enumerate() {
            let (Some(size), Some(spot), Some(slots)) = (sizes.get(i), spots.get(i), inner.get(i))
            else {
                continue;
            };
            let origin = *spot;
            let home = layout.frames.len() as u32;
            let slot = Rect::from_min_size(origin, *size);
            layout.frames.push(GroupFrame {
                thing: Some(system.into()),
                role: FrameRole::System,
                rect: slot,
                slot,
                is_lost: false,
            });
            let corner = origin + vec2(FRAME_PAD, FRAME_HEAD);
            for (id, slot) in channels.into_iter().zip(slots) {
                layout.pills.push(Pill {
                    id,
                    rect: slot.translate(corner.to_vec2()),
                    turn: turns.get(&id).copied().unwrap_or(0),
                    home,
                    is_placed: false,
                });
            }
        }
    }

    fn gateways(&self, layout: &mut Layout) {
        let left = layout
            .frames
            .iter()
            .filter(|f| f.role == FrameRole::System)
            .map(|f| f.rect.max.x)
            .fold(GUTTER + framed(PILL_W), f32::max)
            + GUTTER;
        let sizes: Vec<Vec2> = self.s.gateways.iter().map(size::gateway).collect();
        let places: Vec<Option<Pos2>> = self
            .s
            .gateways
            .ids()
            .map(|g| self.place(g.into()))
            .collect();
        let spots = settle(&sizes, &places, self.most, Growth::Right(left));
        for (gateway, spot) in self.s.gateways.iter().zip(spots) {
            layout.boxes.push(self.gateway_box(gateway, spot));
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
}

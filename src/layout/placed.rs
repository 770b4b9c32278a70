//! Things with a place of their own, and what adapts to them: frames, sites, the level of columns.

use std::collections::BTreeSet;

use emath::{Rect, pos2, vec2};

use super::columns::Sheet;
use super::flow::framed;
use super::size::{CARD_W, CHIP_H, FRAME_GAP, FRAME_HEAD, FRAME_PAD, GAP, GUTTER};
use super::{Chip, FrameRole, Layout, UnitCard, is_spare};
use crate::model::{Scenario, SiteId, ThingId, UnitId};

impl Sheet<'_> {
    pub(super) fn put_placed(&self, layout: &mut Layout) {
        for card in &mut layout.cards {
            if let Some(at) = self.place(card.id.into()) {
                let by = at - card.rect.min;
                card.shift(by);
                card.is_placed = true;
            }
        }
        let shown: BTreeSet<UnitId> = layout.cards.iter().map(|c| c.id).collect();
        let missing = |u: &&crate::model::Unit| !shown.contains(&u.id) && self.is_shown(u.agency);
        for unit in self.s.units.iter().filter(missing) {
            if let Some(at) = self.place(unit.id.into()) {
                layout.cards.push(UnitCard {
                    is_placed: true,
                    ..self.card(unit, at, None)
                });
            }
        }
        for pill in &mut layout.pills {
            if let Some(at) = self.place(pill.id.into()) {
                pill.rect = Rect::from_min_size(at, pill.rect.size());
                pill.is_placed = true;
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
}

/// A frame of which every member was put somewhere stands around them instead of in its column.
pub(super) fn gather(layout: &mut Layout) {
    #[derive(Clone, Copy)]
    struct Members {
        around: Rect,
        area: f32,
        in_column: bool,
    }
    let none = Members {
        around: Rect::NOTHING,
        area: 0.0,
        in_column: false,
    };
    let mut members = vec![none; layout.frames.len()];
    let cards = layout.cards.iter().map(|c| (c.home, c.rect, c.is_placed));
    let pills = layout.pills.iter();
    let pills = pills.map(|p| (Some(p.home), p.rect, p.is_placed));
    for (home, rect, is_placed) in cards.chain(pills) {
        if let Some(of) = home.and_then(|home| members.get_mut(home as usize)) {
            of.around = of.around.union(rect);
            of.area += rect.area();
            of.in_column |= !is_placed;
        }
    }
    for (frame, of) in layout.frames.iter_mut().zip(&members) {
        frame.is_lost = false;
        frame.rect = frame.slot;
        if of.in_column || !of.around.is_positive() {
            continue;
        }
        // Around members that lie far apart a frame would only hide the others.
        frame.is_lost = of.around.area() > of.area * 2.5 + 20_000.0;
        frame.rect = Rect::from_min_max(
            of.around.min - vec2(FRAME_PAD, FRAME_HEAD),
            of.around.max + vec2(FRAME_PAD, FRAME_PAD),
        );
    }
    for card in &mut layout.cards {
        let has_frame = card.home.is_some_and(|home| {
            let home = home as usize;
            let in_column = members.get(home).is_some_and(|of| of.in_column);
            let is_lost = layout.frames.get(home).is_some_and(|f| f.is_lost);
            !in_column && !is_lost
        });
        card.apart = card.is_placed && !has_frame;
    }
}

/// A site whose gateways stand together with its chip, and nothing else among them, has a frame.
///
/// Those frames come last, since the numbers of the others are written down elsewhere.
pub(super) fn site_frames(layout: &mut Layout, s: &Scenario) {
    layout.frames.retain(|f| f.role != FrameRole::Site);
    let boxes = layout.boxes.iter();
    let boxes: Vec<(Option<SiteId>, Rect)> = boxes
        .map(|b| (s.gateways.get(b.id).and_then(|g| g.site), b.rect))
        .collect();
    for site in s.sites.iter() {
        let is_here = |at: Option<SiteId>| at == Some(site.id);
        let here = boxes.iter().filter(|(at, _)| is_here(*at));
        let mut own: Vec<Rect> = here.map(|(_, rect)| *rect).collect();
        if own.is_empty() {
            continue;
        }
        let chip = layout.loose.iter().find(|c| c.thing == site.id.into());
        own.extend(chip.map(|c| c.rect));
        let around = own.iter().copied().fold(Rect::NOTHING, Rect::union);
        let frame = Rect::from_min_max(
            around.min - vec2(FRAME_PAD, FRAME_HEAD),
            around.max + vec2(FRAME_PAD, FRAME_PAD),
        );
        let covered: f32 = own.iter().map(Rect::area).sum();
        let others = boxes
            .iter()
            .filter(|(at, _)| !is_here(*at))
            .map(|(_, rect)| *rect)
            .chain(layout.frames().map(|f| f.rect));
        if around.area() > covered * 1.8 || others.into_iter().any(|r| r.intersects(frame)) {
            continue;
        }
        layout.frames.push(super::GroupFrame {
            thing: Some(site.id.into()),
            role: FrameRole::Site,
            rect: frame,
            slot: frame,
            is_lost: false,
        });
    }
}

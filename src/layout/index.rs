//! Finding things in a layout: by themselves, by a spot, by a stretch of the board, by the ends of a
//! line.

use emath::{Pos2, Rect};

use super::{GatewayBox, Layout, Line, LineKind, Row, UnitCard};
use crate::model::ThingId;

/// What stands on the board by itself, by its number in its list of the layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Piece {
    /// A gateway.
    Box(u32),
    /// A channel.
    Pill(u32),
    /// Loose gear or a site.
    Loose(u32),
    /// A unit.
    Card(u32),
}

/// Where a thing stands: a frame, a piece, or a part of a piece by its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// A frame.
    Frame(u32),
    /// A piece.
    Whole(Piece),
    /// What a unit carries, in its card.
    Chip(u32, u32),
    /// A talk group, in its box.
    Lane(u32, u32),
    /// A port, in its box.
    Row(u32, u32),
    /// What is plugged into a port, in its box.
    Plugged(u32, u32),
}

impl Layout {
    /// Returns where a thing stands, if it stands on the board; where its chip does, if it is inside.
    pub fn rect(&self, thing: ThingId) -> Option<Rect> {
        let stand = self.stand(thing);
        self.rect_of(stand.or_else(|| self.stand(self.shown(thing)))?)
    }

    /// Walks all things with their places.
    pub fn things(&self) -> impl Iterator<Item = (ThingId, Rect)> + '_ {
        let stands = self.stands.iter();
        stands.filter_map(|(thing, stand)| Some((*thing, self.rect_of(*stand)?)))
    }

    /// Returns how a thing stands on the board.
    pub fn stand(&self, thing: ThingId) -> Option<Stand> {
        let place = self.stands.binary_search_by_key(&thing, |(t, _)| *t).ok()?;
        self.stands.get(place).map(|(_, stand)| *stand)
    }

    /// Returns the card that a unit is, or in which a thing is carried.
    pub fn card_of(&self, thing: ThingId) -> Option<&UnitCard> {
        match self.stand(thing)? {
            Stand::Whole(Piece::Card(card)) | Stand::Chip(card, _) => self.cards.get(card as usize),
            _ => None,
        }
    }

    /// Returns the row of a port or of what is plugged into it, with its box.
    pub fn row_of(&self, thing: ThingId) -> Option<(&GatewayBox, &Row)> {
        match self.stand(thing)? {
            Stand::Row(b, row) | Stand::Plugged(b, row) => {
                let b = self.boxes.get(b as usize)?;
                Some((b, b.rows.get(row as usize)?))
            }
            _ => None,
        }
    }

    /// Returns the turn of a channel among all, which gives its colour.
    pub fn turn(&self, channel: ThingId) -> Option<usize> {
        match self.stand(channel)? {
            Stand::Whole(Piece::Pill(pill)) => self.pills.get(pill as usize).map(|p| p.turn),
            _ => None,
        }
    }

    /// Returns the uppermost piece under a spot.
    pub fn piece_at(&self, at: Pos2) -> Option<Piece> {
        let here = self.grid.at(at).iter().copied();
        here.filter(|piece| self.piece_rect(*piece).is_some_and(|r| r.contains(at)))
            .max()
    }

    /// Lists the pieces that meet a stretch of the board: boxes, pills, loose gear, cards, each kind
    /// in its order.
    pub fn pieces_in(&self, stretch: Rect) -> Vec<Piece> {
        let mut all = self.grid.within(stretch);
        all.retain(|piece| {
            self.piece_rect(*piece)
                .is_some_and(|r| r.intersects(stretch))
        });
        all
    }

    /// Walks the lines whose boxes meet a stretch of the board, in their order.
    pub fn lines_in(&self, stretch: Rect) -> impl Iterator<Item = &Line> {
        let around = self.around_lines.iter().zip(&self.lines);
        around
            .filter(move |(around, _)| around.intersects(stretch))
            .map(|(_, line)| line)
    }

    /// Returns where a piece stands.
    pub fn piece_rect(&self, piece: Piece) -> Option<Rect> {
        match piece {
            Piece::Box(i) => self.boxes.get(i as usize).map(|b| b.rect),
            Piece::Pill(i) => self.pills.get(i as usize).map(|p| p.rect),
            Piece::Loose(i) => self.loose.get(i as usize).map(|c| c.rect),
            Piece::Card(i) => self.cards.get(i as usize).map(|c| c.rect),
        }
    }

    /// Lists the things in a piece, itself first.
    pub fn things_of(&self, piece: Piece) -> Vec<ThingId> {
        let mut things = Vec::new();
        self.each_thing_of(piece, |thing| things.push(thing));
        things
    }

    /// Walks the things in a piece, itself first.
    pub fn each_thing_of(&self, piece: Piece, mut each: impl FnMut(ThingId)) {
        match piece {
            Piece::Box(i) => {
                if let Some(b) = self.boxes.get(i as usize) {
                    each(b.id.into());
                    b.lanes.iter().for_each(|lane| each(lane.group.into()));
                    for row in &b.rows {
                        each(row.port.into());
                        row.attached.iter().for_each(|chip| each(chip.thing));
                    }
                }
            }
            Piece::Card(i) => {
                if let Some(card) = self.cards.get(i as usize) {
                    each(card.id.into());
                    card.chips.iter().for_each(|chip| each(chip.thing));
                }
            }
            Piece::Pill(i) => {
                if let Some(pill) = self.pills.get(i as usize) {
                    each(pill.id.into());
                }
            }
            Piece::Loose(i) => {
                if let Some(chip) = self.loose.get(i as usize) {
                    each(chip.thing);
                }
            }
        }
    }

    /// Counts a piece with all that is in it.
    pub fn weight(&self, piece: Piece) -> usize {
        match piece {
            Piece::Box(i) => self.boxes.get(i as usize).map_or(0, |b| {
                let plugged = b.rows.iter().filter(|row| row.attached.is_some()).count();
                1 + b.rows.len() + plugged + b.lanes.len()
            }),
            Piece::Card(i) => self.cards.get(i as usize).map_or(0, |c| 1 + c.chips.len()),
            Piece::Pill(_) | Piece::Loose(_) => 1,
        }
    }

    /// Returns the line between two things other than one that somebody holds, and whether it runs
    /// from the first to the second.
    pub fn line(&self, from: ThingId, to: ThingId) -> Option<(&Line, bool)> {
        let by_ends = self.by_ends.get_or_init(|| {
            let lines = self.lines.iter().enumerate();
            let mut all: Vec<_> = lines
                .filter(|(_, line)| line.kind != LineKind::Held)
                .map(|(i, line)| (line.from, line.to, i as u32))
                .collect();
            all.sort_unstable();
            all
        });
        let find = |a: ThingId, b: ThingId| {
            let first = by_ends.partition_point(|(x, y, _)| (*x, *y) < (a, b));
            let (x, y, i) = *by_ends.get(first)?;
            ((x, y) == (a, b)).then(|| self.lines.get(i as usize))?
        };
        let there = find(from, to).map(|line| (line, true));
        there.or_else(|| find(to, from).map(|line| (line, false)))
    }

    fn rect_of(&self, stand: Stand) -> Option<Rect> {
        match stand {
            Stand::Frame(i) => {
                let frame = self.frames.get(i as usize)?;
                (!frame.is_lost).then_some(frame.rect)
            }
            Stand::Whole(piece) => self.piece_rect(piece),
            Stand::Chip(card, chip) => {
                let chips = &self.cards.get(card as usize)?.chips;
                chips.get(chip as usize).map(|c| c.rect)
            }
            Stand::Lane(b, lane) => {
                let lanes = &self.boxes.get(b as usize)?.lanes;
                lanes.get(lane as usize).map(|l| l.label)
            }
            Stand::Row(b, row) => {
                let rows = &self.boxes.get(b as usize)?.rows;
                rows.get(row as usize).map(|r| r.rect)
            }
            Stand::Plugged(b, row) => {
                let rows = &self.boxes.get(b as usize)?.rows;
                rows.get(row as usize)?.attached.map(|c| c.rect)
            }
        }
    }

    /// Notes where each thing stands.
    pub(super) fn index(&mut self) {
        let mut all: Vec<(ThingId, Stand)> = Vec::new();
        for (i, frame) in (0..).zip(&self.frames) {
            all.extend(frame.thing.map(|thing| (thing, Stand::Frame(i))));
        }
        for (i, chip) in (0..).zip(&self.loose) {
            all.push((chip.thing, Stand::Whole(Piece::Loose(i))));
        }
        for (i, card) in (0..).zip(&self.cards) {
            all.push((card.id.into(), Stand::Whole(Piece::Card(i))));
            let chips = (0..).zip(&card.chips);
            all.extend(chips.map(|(j, chip)| (chip.thing, Stand::Chip(i, j))));
        }
        for (i, pill) in (0..).zip(&self.pills) {
            all.push((pill.id.into(), Stand::Whole(Piece::Pill(i))));
        }
        for (i, b) in (0..).zip(&self.boxes) {
            all.push((b.id.into(), Stand::Whole(Piece::Box(i))));
            let lanes = (0..).zip(&b.lanes);
            all.extend(lanes.map(|(j, lane)| (lane.group.into(), Stand::Lane(i, j))));
            for (j, row) in (0..).zip(&b.rows) {
                all.push((row.port.into(), Stand::Row(i, j)));
                all.extend(row.attached.map(|c| (c.thing, Stand::Plugged(i, j))));
            }
        }
        all.sort_by_key(|(thing, _)| *thing);
        // What is plugged in stands at its port first of all, and that was noted last.
        all.dedup_by(|next, kept| {
            let is_same = next.0 == kept.0;
            if is_same {
                *kept = *next;
            }
            is_same
        });
        self.stands = all;
        for piece in self.pieces() {
            if let Some(rect) = self.piece_rect(piece) {
                self.grid.put(piece, rect);
            }
        }
    }

    fn pieces(&self) -> impl Iterator<Item = Piece> + use<> {
        let boxes = (0..self.boxes.len() as u32).map(Piece::Box);
        let pills = (0..self.pills.len() as u32).map(Piece::Pill);
        let loose = (0..self.loose.len() as u32).map(Piece::Loose);
        let cards = (0..self.cards.len() as u32).map(Piece::Card);
        boxes.chain(pills).chain(loose).chain(cards)
    }
}

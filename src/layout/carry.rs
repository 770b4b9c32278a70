//! Moving the dragged things of a layout, without laying everything out again.
//!
//! While a drag lasts, what is not dragged stands still: other lines keep their way, channels keep
//! their order. The layout made when the drag ends may settle those.

use emath::{Rect, Vec2};

use super::placed::{gather, site_frames};
use super::{Layout, Overlay, Piece, Stand, next_stamp, spot_of};
use crate::model::{Scenario, ThingId};

/// What moved when a layout's stamp became what it is. Frames may have moved as well.
#[derive(Debug, Clone, Default)]
pub struct Moves {
    /// The stamp the layout had before.
    pub since: u64,
    /// Pieces; one may be named twice.
    pub pieces: Vec<Piece>,
    /// Lines, by their number.
    pub lines: Vec<u32>,
}

impl Layout {
    /// Moves what stands elsewhere in `to` than in `from`; `false`, and nothing done, when everything
    /// has to be laid out again.
    ///
    /// Complexity: linear in what moves and its lines, and a look at every piece and line.
    pub fn carry(&mut self, s: &Scenario, from: &Overlay, to: &Overlay) -> bool {
        // A chip stands for much that would move along.
        if !self.folds.is_empty() {
            return false;
        }
        let mut moves: Vec<(Stand, Vec2)> = Vec::new();
        // Both are in the order of things.
        let mut before = from.iter().peekable();
        for (thing, place) in to {
            let was = before.next_if(|(other, _)| *other == thing);
            if was.is_some_and(|(_, was)| was == place) {
                continue;
            }
            let Some((stand, rect)) = self.free(s, *thing, was.is_none()) else {
                return false;
            };
            moves.push((stand, spot_of(*place) - rect.min));
        }
        // Something is no longer carried: it is still ahead, or held up all that came after it.
        if before.next().is_some() {
            return false;
        }
        let mut moved = Moved::of(self);
        for (stand, by) in moves {
            self.shift(&mut moved, stand, by);
        }
        self.settle(s, moved);
        true
    }

    /// Returns how a thing stands that can be moved without anything else moving.
    fn free(&self, s: &Scenario, thing: ThingId, is_new: bool) -> Option<(Stand, Rect)> {
        let stand = self.stand(thing)?;
        let is_free = !is_new
            || s.places.contains_key(&thing)
            || match stand {
                // They leave a gap where they stood; everything else that flows closes up.
                Stand::Whole(Piece::Card(i)) => self.cards.get(i as usize)?.home.is_some(),
                Stand::Whole(Piece::Pill(_)) => true,
                _ => false,
            };
        let rect = match stand {
            // A frame around its members is as they are; what moves is its place in the column.
            Stand::Frame(i) => self.frames.get(i as usize)?.slot,
            Stand::Whole(piece) => self.piece_rect(piece)?,
            _ => return None,
        };
        is_free.then_some((stand, rect))
    }

    fn shift(&mut self, moved: &mut Moved, stand: Stand, by: Vec2) {
        match stand {
            Stand::Whole(piece) => {
                match piece {
                    Piece::Card(i) => {
                        if let Some(card) = self.cards.get_mut(i as usize) {
                            card.is_placed = true;
                        }
                    }
                    Piece::Pill(i) => {
                        if let Some(pill) = self.pills.get_mut(i as usize) {
                            pill.is_placed = true;
                        }
                    }
                    Piece::Box(_) | Piece::Loose(_) => {}
                }
                self.shift_piece(moved, piece, by);
            }
            Stand::Frame(i) => {
                if let Some(frame) = self.frames.get_mut(i as usize) {
                    frame.slot = frame.slot.translate(by);
                }
                let cards = (0..).zip(&self.cards);
                let cards = cards.filter(|(_, c)| c.home == Some(i) && !c.is_placed);
                let pills = (0..).zip(&self.pills);
                let pills = pills.filter(|(_, p)| p.home == i && !p.is_placed);
                let members: Vec<Piece> = cards
                    .map(|(n, _)| Piece::Card(n))
                    .chain(pills.map(|(n, _)| Piece::Pill(n)))
                    .collect();
                for piece in members {
                    self.shift_piece(moved, piece, by);
                }
            }
            Stand::Chip(..) | Stand::Lane(..) | Stand::Row(..) | Stand::Plugged(..) => {}
        }
    }

    fn shift_piece(&mut self, moved: &mut Moved, piece: Piece, by: Vec2) {
        let Some(before) = self.piece_rect(piece) else {
            return;
        };
        match piece {
            Piece::Card(i) => {
                if let Some(card) = self.cards.get_mut(i as usize) {
                    card.shift(by);
                }
            }
            Piece::Pill(i) => {
                if let Some(pill) = self.pills.get_mut(i as usize) {
                    pill.shift(by);
                }
            }
            Piece::Loose(i) => {
                if let Some(chip) = self.loose.get_mut(i as usize) {
                    chip.shift(by);
                }
            }
            Piece::Box(i) => {
                if let Some(gateway) = self.boxes.get_mut(i as usize) {
                    gateway.shift(by);
                }
            }
        }
        moved.note(piece);
        self.grid.carry(piece, before, before.translate(by));
    }

    /// Brings along what follows from where the pieces stand now.
    fn settle(&mut self, s: &Scenario, moved: Moved) {
        gather(self);
        site_frames(self, s);
        let columns = std::mem::take(&mut self.columns);
        let mut lines = std::mem::take(&mut self.lines);
        let mut around = std::mem::take(&mut self.around_lines);
        let mut again = std::mem::take(&mut self.last.lines);
        again.clear();
        for ((i, line), around) in (0..).zip(&mut lines).zip(&mut around) {
            if line.pieces.iter().flatten().any(|p| moved.has(*p)) {
                line.draw_again(self, &columns);
                self.moved_lines += usize::from(!line.has_moved);
                line.has_moved = true;
                *around = line.bounds;
                again.push(i);
            }
        }
        self.lines = lines;
        self.around_lines = around;
        self.columns = columns;
        self.bound();
        self.last = Moves {
            since: self.stamp,
            pieces: moved.pieces,
            lines: again,
        };
        self.stamp = next_stamp();
    }
}

/// Which pieces have moved.
struct Moved {
    boxes: Vec<bool>,
    pills: Vec<bool>,
    loose: Vec<bool>,
    cards: Vec<bool>,
    pieces: Vec<Piece>,
}

impl Moved {
    fn of(layout: &Layout) -> Self {
        Self {
            boxes: vec![false; layout.boxes.len()],
            pills: vec![false; layout.pills.len()],
            loose: vec![false; layout.loose.len()],
            cards: vec![false; layout.cards.len()],
            pieces: Vec::new(),
        }
    }

    fn note(&mut self, piece: Piece) {
        self.pieces.push(piece);
        let (flags, i) = match piece {
            Piece::Box(i) => (&mut self.boxes, i),
            Piece::Pill(i) => (&mut self.pills, i),
            Piece::Loose(i) => (&mut self.loose, i),
            Piece::Card(i) => (&mut self.cards, i),
        };
        if let Some(flag) = flags.get_mut(i as usize) {
            *flag = true;
        }
    }

    fn has(&self, piece: Piece) -> bool {
        let (flags, i) = match piece {
            Piece::Box(i) => (&self.boxes, i),
            Piece::Pill(i) => (&self.pills, i),
            Piece::Loose(i) => (&self.loose, i),
            Piece::Card(i) => (&self.cards, i),
        };
        flags.get(i as usize).copied().unwrap_or(false)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::place_of;
    use crate::samples::{Size, generate};

    #[test]
    fn carried_things_stand_where_a_new_layout_puts_them() {
        let scenario = generate(Size::for_units(90), 4);
        let phase = scenario.phases.first().expect("a phase").id;
        let start = Layout::of(&scenario, phase, &Overlay::new());
        let mut overlay: Overlay = start
            .pins(&scenario)
            .into_iter()
            .filter_map(|edit| match edit {
                crate::model::Edit::Place { thing, place } => Some((thing, place?)),
                _ => None,
            })
            .collect();
        let mut layout = Layout::of(&scenario, phase, &overlay);
        let things: Vec<ThingId> = start.things().map(|(thing, _)| thing).collect();
        let mut seed = 9_u64;
        let mut random = |below: usize| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as usize % below
        };
        let mut carried = 0;
        for _ in 0..400 {
            let before = overlay.clone();
            for _ in 0..=random(4) {
                let thing = things[random(things.len())];
                if matches!(
                    thing,
                    ThingId::Unit(_) | ThingId::Channel(_) | ThingId::Gateway(_)
                ) {
                    let (x, y) = (random(6_000) as f32, random(3_000) as f32);
                    overlay.insert(thing, place_of(emath::pos2(x, y)));
                }
            }
            if overlay == before {
                continue;
            }
            assert!(layout.carry(&scenario, &before, &overlay));
            carried += 1;
            let fresh = Layout::of(&scenario, phase, &overlay);
            assert!(layout.things().eq(fresh.things()));
            assert!(layout.frames().eq(fresh.frames()));
            assert_eq!(layout.cards, fresh.cards);
            assert_eq!(layout.boxes, fresh.boxes);
            assert_eq!(layout.bounds, fresh.bounds);
            let around = layout.lines.iter().map(|line| line.bounds);
            assert!(layout.around_lines.iter().copied().eq(around));
            for (ours, theirs) in layout.lines.iter().zip(&fresh.lines) {
                assert_eq!((ours.from, ours.to), (theirs.from, theirs.to));
                let ends = [ours.ends(), theirs.ends()].map(|e| e.expect("it has ends"));
                // Only the fan at the pill may differ.
                assert_eq!(ends[0].0, ends[1].0);
                assert!(ends[0].1.distance(ends[1].1) < 25.0);
            }
            for at in layout.cards.iter().map(|c| c.rect.center()) {
                assert_eq!(layout.piece_at(at), fresh.piece_at(at));
            }
        }
        assert!(carried > 100, "{carried}");
    }

    #[test]
    fn what_flows_into_a_gap_is_laid_out_again() {
        let scenario = generate(Size::for_units(30), 4);
        let phase = scenario.phases.first().expect("a phase").id;
        let none = Overlay::new();
        let mut layout = Layout::of(&scenario, phase, &none);
        let gateway = scenario.gateways.ids().next().expect("a gateway").into();
        let stamp = layout.stamp;
        let overlay = Overlay::from([(gateway, place_of(emath::pos2(0.0, 0.0)))]);
        assert!(!layout.carry(&scenario, &none, &overlay), "others follow");
        assert!(!layout.carry(&scenario, &overlay, &none), "it goes back");
        assert_eq!(layout.stamp, stamp, "nothing was done");
    }
}

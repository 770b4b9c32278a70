//! Which pieces stand where, by squares of the board, so that nobody has to look at all of them.

use std::collections::BTreeMap;

use emath::{Pos2, Rect};

use super::Piece;

/// Side of a square, in board points: a few cards are in each.
const SIDE: f32 = 512.0;

/// The pieces that meet each square.
#[derive(Debug, Clone, Default)]
pub(super) struct Grid(BTreeMap<(i32, i32), Vec<Piece>>);

impl Grid {
    /// Notes a piece.
    pub(super) fn put(&mut self, piece: Piece, rect: Rect) {
        for square in squares(rect) {
            self.0.entry(square).or_default().push(piece);
        }
    }

    /// Notes that a piece has gone from one place to another.
    pub(super) fn carry(&mut self, piece: Piece, from: Rect, to: Rect) {
        if corners(from) == corners(to) {
            return;
        }
        for square in squares(from) {
            if let Some(here) = self.0.get_mut(&square) {
                here.retain(|other| *other != piece);
            }
        }
        self.put(piece, to);
    }

    /// Lists what meets the square of a spot, in no order.
    pub(super) fn at(&self, at: Pos2) -> &[Piece] {
        self.0.get(&square(at)).map_or(&[], Vec::as_slice)
    }

    /// Lists what meets the squares of a stretch, each piece once, in order.
    pub(super) fn within(&self, stretch: Rect) -> Vec<Piece> {
        let ((left, top), (right, bottom)) = corners(stretch);
        if left > right {
            return Vec::new();
        }
        let rows = self.0.range((left, i32::MIN)..=(right, i32::MAX));
        let mut all: Vec<Piece> = rows
            .filter(|((_, y), _)| (top..=bottom).contains(y))
            .flat_map(|(_, here)| here)
            .copied()
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

fn square(at: Pos2) -> (i32, i32) {
    ((at.x / SIDE).floor() as i32, (at.y / SIDE).floor() as i32)
}

fn corners(rect: Rect) -> ((i32, i32), (i32, i32)) {
    (square(rect.min), square(rect.max))
}

fn squares(rect: Rect) -> impl Iterator<Item = (i32, i32)> {
    let ((left, top), (right, bottom)) = corners(rect);
    (left..=right).flat_map(move |x| (top..=bottom).map(move |y| (x, y)))
}

#[cfg(test)]
mod tests {
    use emath::{pos2, vec2};

    use super::*;

    #[test]
    fn a_piece_is_found_where_it_is_and_no_longer_where_it_was() {
        let mut grid = Grid::default();
        let wide = Rect::from_min_size(pos2(-600.0, -20.0), vec2(1400.0, 40.0));
        grid.put(Piece::Card(1), wide);
        grid.put(Piece::Pill(0), wide.translate(vec2(0.0, 900.0)));
        assert_eq!(grid.at(pos2(-590.0, 10.0)), [Piece::Card(1)]);
        assert_eq!(grid.at(pos2(700.0, -10.0)), [Piece::Card(1)]);
        assert_eq!(grid.within(wide), [Piece::Card(1)]);
        let far = wide.translate(vec2(5_000.0, 0.0));
        grid.carry(Piece::Card(1), wide, far);
        assert_eq!(grid.at(pos2(-590.0, 10.0)), []);
        assert_eq!(grid.within(far), [Piece::Card(1)]);
        let all = Rect::from_min_max(pos2(-1e4, -1e4), pos2(1e4, 1e4));
        assert_eq!(grid.within(all), [Piece::Pill(0), Piece::Card(1)]);
    }
}

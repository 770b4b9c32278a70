//! Stacking blocks into columns. Pure arithmetic; nothing here knows a thing.

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::size::{BETWEEN, FRAME_GAP, FRAME_HEAD, FRAME_PAD, GAP};
use super::snap;

/// Where a column of frames is to stand.
#[derive(Clone, Copy)]
pub(super) enum Growth {
    /// The first column ends at zero, new ones open to its left.
    Left,
    /// The first column begins there, new ones open to its right.
    Right(f32),
}

/// Width of a frame around cards or pills of a width.
pub(super) fn framed(width: f32) -> f32 {
    width + 2.0 * FRAME_PAD
}

/// Stacks cards into as many columns as keep a frame from growing too high.
pub(super) fn slots(sizes: &[Vec2], most: f32) -> Vec<Rect> {
    let total: f32 = sizes.iter().map(|s| s.y + GAP).sum();
    let columns = (total / most).ceil().max(1.0);
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
pub(super) fn frame_size(slots: &[Rect], least: f32) -> Vec2 {
    let inner = slots.iter().fold(
        Rect::from_min_size(Pos2::ZERO, vec2(least, 0.0)),
        |all, r| all.union(*r),
    );
    inner.size() + vec2(2.0 * FRAME_PAD, FRAME_HEAD + FRAME_PAD)
}

/// Returns where each block stands: the placed ones at their places, the others in columns.
///
/// As soon as one block of a class was placed, the others no longer flow; those without a place
/// stand below the placed ones, so that nothing that stands moves.
pub(super) fn settle(
    sizes: &[Vec2],
    places: &[Option<Pos2>],
    most: f32,
    growth: Growth,
) -> Vec<Pos2> {
    let placed: Vec<Rect> = places
        .iter()
        .zip(sizes)
        .filter_map(|(place, size)| Some(Rect::from_min_size((*place)?, *size)))
        .collect();
    if placed.is_empty() {
        return flow(sizes, most, growth);
    }
    let around = placed.into_iter().fold(Rect::NOTHING, Rect::union);
    let mut below = pos2(around.min.x, around.max.y + FRAME_GAP);
    sizes
        .iter()
        .zip(places)
        .map(|(size, place)| {
            place.unwrap_or_else(|| {
                let at = below;
                below.y += size.y + FRAME_GAP;
                at
            })
        })
        .collect()
}

/// Stacks blocks into columns of about the same height and returns where each stands.
///
/// Every column is centred on height zero, so that what happens in one moves no other.
fn flow(sizes: &[Vec2], most: f32, growth: Growth) -> Vec<Pos2> {
    let total: f32 = sizes.iter().map(|s| s.y + FRAME_GAP).sum();
    let columns = (total / most).ceil().max(1.0);
    let target = total / columns;
    let mut tops: Vec<(usize, f32)> = Vec::with_capacity(sizes.len());
    let mut extents: Vec<Vec2> = vec![Vec2::ZERO];
    for size in sizes {
        let mut y = extents.last().map_or(0.0, |e| e.y);
        if y > 0.0 && y + FRAME_GAP + size.y / 2.0 > target {
            extents.push(Vec2::ZERO);
            y = 0.0;
        }
        let top = if y > 0.0 { y + FRAME_GAP } else { 0.0 };
        tops.push((extents.len() - 1, top));
        if let Some(extent) = extents.last_mut() {
            *extent = vec2(extent.x.max(size.x), top + size.y);
        }
    }
    tops.into_iter()
        .zip(sizes)
        .map(|((column, top), size)| {
            let before: f32 = extents.iter().take(column).map(|e| e.x + BETWEEN).sum();
            let height = extents.get(column).map_or(0.0, |e| e.y);
            let y = snap(pos2(0.0, top - height / 2.0)).y;
            match growth {
                Growth::Left => pos2(-before - size.x, y),
                Growth::Right(left) => pos2(left + before, y),
            }
        })
        .collect()
}

/// Returns the size of all columns that a flow makes.
pub(super) fn flow_size(sizes: &[Vec2], most: f32) -> Vec2 {
    let around = flow(sizes, most, Growth::Right(0.0))
        .into_iter()
        .zip(sizes)
        .fold(Rect::NOTHING, |all, (at, size)| {
            all.union(Rect::from_min_size(at, *size))
        });
    if around.is_positive() {
        around.size()
    } else {
        Vec2::ZERO
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_placed_block_moves_no_other_and_a_new_one_goes_below() {
        let sizes = [vec2(100.0, 80.0); 3];
        let places = [Some(pos2(8.0, 16.0)), Some(pos2(300.0, 400.0)), None];
        let spots = settle(&sizes, &places, 800.0, Growth::Left);
        assert_eq!(spots[0], pos2(8.0, 16.0));
        assert_eq!(spots[1], pos2(300.0, 400.0));
        assert!(spots[2].y >= 480.0, "below all that stands");
    }

    #[test]
    fn columns_are_about_even_and_never_overlap() {
        let sizes: Vec<Vec2> = (0..17)
            .map(|i| vec2(100.0, 60.0 + 40.0 * (i % 4) as f32))
            .collect();
        for growth in [Growth::Left, Growth::Right(40.0)] {
            let spots = flow(&sizes, 700.0, growth);
            let rects: Vec<Rect> = spots
                .iter()
                .zip(&sizes)
                .map(|(at, size)| Rect::from_min_size(*at, *size))
                .collect();
            for (i, a) in rects.iter().enumerate() {
                assert!(a.max.y < 500.0 && a.min.y > -500.0);
                for b in rects.iter().skip(i + 1) {
                    assert!(!a.intersects(*b), "{a:?} and {b:?}");
                }
            }
        }
    }
}

//! Stacking blocks into columns. Pure arithmetic; nothing here knows a thing.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use super::size::{BETWEEN, FRAME_GAP, FRAME_HEAD, FRAME_PAD, GAP};

/// Where a column of frames is to stand.
#[derive(Clone, Copy)]
pub(super) enum Growth {
    /// New columns open to the left.
    Left,
    /// New columns open to the right.
    Right,
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

/// Stacks blocks into columns of about the same height and returns where each stands.
///
/// Columns that grow to the right begin at zero; those that grow to the left end there.
pub(super) fn flow(sizes: &[Vec2], most: f32, growth: Growth) -> Vec<Pos2> {
    let total: f32 = sizes.iter().map(|s| s.y + FRAME_GAP).sum();
    let columns = (total / most).ceil().max(1.0);
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

/// Returns the size of all columns that a flow makes.
pub(super) fn flow_size(sizes: &[Vec2], most: f32) -> Vec2 {
    flow(sizes, most, Growth::Right)
        .into_iter()
        .zip(sizes)
        .fold(Vec2::ZERO, |all, (at, size)| all.max(at.to_vec2() + *size))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_about_even_and_never_overlap() {
        let sizes: Vec<Vec2> = (0..17)
            .map(|i| vec2(100.0, 60.0 + 40.0 * (i % 4) as f32))
            .collect();
        for growth in [Growth::Left, Growth::Right] {
            let spots = flow(&sizes, 700.0, growth);
            let rects: Vec<Rect> = spots
                .iter()
                .zip(&sizes)
                .map(|(at, size)| Rect::from_min_size(*at, *size))
                .collect();
            for (i, a) in rects.iter().enumerate() {
                assert!(a.max.y < 1000.0);
                for b in rects.iter().skip(i + 1) {
                    assert!(!a.intersects(*b), "{a:?} and {b:?}");
                }
            }
        }
    }
}

//! A box to tick, drawn and never typed, so that it looks the same in every viewer.

use emath::{Rect, pos2};

use super::ink::{Ink, Pen, Tint};

/// Side of a box as a share of the size of the text beside it.
pub const SIDE: f32 = 0.9;

/// Draws a box, ticked or to be ticked.
pub fn tick_ink(square: Rect, is_ticked: bool) -> Vec<Ink> {
    let mut inks = vec![Ink::rect(
        square,
        Some(Tint::WHITE),
        Some(Pen::new(Tint::BLACK, 0.9)),
    )];
    if is_ticked {
        let at = |x: f32, y: f32| {
            pos2(
                square.min.x + square.width() * x,
                square.min.y + square.height() * y,
            )
        };
        let points = [at(0.18, 0.52), at(0.42, 0.78), at(0.86, 0.18)];
        inks.push(Ink::through(
            &points,
            Pen::new(Tint::BLACK, square.width() * 0.16),
        ));
    }
    inks
}

//! How channels and talk groups are told apart: by dashes on a black-and-white printer, by colour besides.
//!
//! Colours are dark enough to be read as text on white.

use crate::paperwork::set::ink::{Pen, Tint};

/// Colours of channels and talk groups, by turns.
const TINTS: [Tint; 7] = [
    Tint(0, 84, 150),
    Tint(168, 56, 0),
    Tint(0, 104, 68),
    Tint(122, 36, 126),
    Tint(96, 80, 0),
    Tint(160, 20, 56),
    Tint(0, 98, 112),
];

/// Drawn and left out, in widths of the line; as many as have no common divisor with the colours.
const DASHES: [Option<(f32, f32)>; 5] = [
    None,
    Some((5.0, 2.0)),
    Some((1.2, 1.4)),
    Some((10.0, 2.5)),
    Some((2.6, 2.6)),
];

/// Returns the colour of a channel by its turn.
pub(super) fn channel_tint(turn: usize) -> Tint {
    TINTS
        .get(turn % TINTS.len())
        .copied()
        .unwrap_or(Tint::BLACK)
}

/// Returns the line of a channel by its turn, of a width in points.
pub(super) fn channel_pen(turn: usize, width: f32) -> Pen {
    let pen = Pen::new(channel_tint(turn), width);
    match DASHES.get(turn % DASHES.len()).copied().flatten() {
        Some((on, off)) => pen.dashed(on * width, off * width),
        None => pen,
    }
}

/// Returns the colour of a talk group by its number.
pub(super) fn bus_tint(number: u8) -> Tint {
    channel_tint(usize::from(number).saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn many_channels_differ_in_colour_or_dashes() {
        let look = |turn: usize| {
            let pen = channel_pen(turn, 1.0);
            format!("{:?} {:?}", pen.tint, pen.dash)
        };
        let looks: BTreeSet<String> = (0..35).map(look).collect();
        assert_eq!(looks.len(), 35);
        let dashes = |turn| channel_pen(turn, 1.0).dash;
        assert!((0..34).all(|turn| dashes(turn) != dashes(turn + 1)));
    }

    #[test]
    fn every_colour_is_dark_enough_to_be_read_on_white() {
        // Contrast by WCAG 2.2, from the relative luminance.
        let light = |part: u8| {
            let c = f64::from(part) / 255.0;
            if c <= 0.04045 {
                c / 12.92
            } else {
                ((c + 0.055) / 1.055).powf(2.4)
            }
        };
        for Tint(r, g, b) in TINTS {
            let luminance = 0.2126 * light(r) + 0.7152 * light(g) + 0.0722 * light(b);
            assert!(1.05 / (luminance + 0.05) > 4.5, "{r} {g} {b}");
        }
    }
}

//! Sizes on the board, in board points; all on a grid of eight where it matters.

use emath::{Vec2, vec2};

use crate::model::Gateway;

/// Step of the grid to which moved things snap.
pub const SNAP: f32 = 8.0;
/// Width of a unit's card.
pub const CARD_W: f32 = 240.0;
/// Height of a card's head.
pub(super) const CARD_HEAD: f32 = 42.0;
/// Height of a chip.
pub const CHIP_H: f32 = 28.0;
/// Gap between chips.
pub(super) const CHIP_GAP: f32 = 4.0;
/// Width of a channel's pill.
pub const PILL_W: f32 = 224.0;
/// Height of a channel's pill.
pub(super) const PILL_H: f32 = 44.0;
/// Height of a port's row.
pub(super) const ROW_H: f32 = 34.0;
/// Height of a gateway's head, above the labels of the talk groups.
pub const GATEWAY_HEAD: f32 = 48.0;
/// Height of the strip with the labels of the talk groups.
pub(super) const LANE_HEAD: f32 = 32.0;
/// Width from one bus to the next.
pub(super) const LANE_W: f32 = 26.0;
/// Width of one position of a switch.
pub(super) const CELL_W: f32 = 24.0;
/// Width of number, sign and name in a port's row.
pub(super) const ROW_LEFT: f32 = 240.0;
/// Inner margin of cards and boxes.
pub(super) const PAD: f32 = 8.0;
/// Inner margin of frames.
pub(super) const FRAME_PAD: f32 = 12.0;
/// Height of a frame's head.
pub(super) const FRAME_HEAD: f32 = 32.0;
/// Gap between cards in a frame.
pub(super) const GAP: f32 = 10.0;
/// Gap between frames.
pub(super) const FRAME_GAP: f32 = 24.0;
/// Gap between columns, for the lines.
pub(super) const GUTTER: f32 = 120.0;
/// Radius of the ring from which a connection is dragged.
pub const HANDLE: f32 = 6.0;
/// Heights at which columns may break; the one that shows the most is taken.
pub(super) const COLUMNS: [f32; 8] = [
    800.0, 1000.0, 1250.0, 1500.0, 1900.0, 2500.0, 3500.0, 6000.0,
];
/// Height at which the cards inside one frame break into another column.
pub(super) const INNER: f32 = 1100.0;
/// The window a layout is made for, when heights are compared.
pub(super) const VIEW: Vec2 = vec2(1040.0, 800.0);
/// Gap between neighbouring columns of one kind.
pub(super) const BETWEEN: f32 = 40.0;

/// Returns the size of a unit's card that carries so many things.
pub(super) fn card(chips: usize) -> Vec2 {
    let chips = chips as f32;
    let below = if chips > 0.0 {
        chips * (CHIP_H + CHIP_GAP) + PAD - CHIP_GAP
    } else {
        0.0
    };
    vec2(CARD_W, CARD_HEAD + below)
}

/// Returns the size of a gateway's box.
pub(super) fn gateway(g: &Gateway) -> Vec2 {
    let groups = g.talk_groups.len() as f32;
    vec2(
        PAD + ROW_LEFT + (groups + 1.0) * CELL_W + 20.0 + groups * LANE_W + PAD,
        GATEWAY_HEAD + LANE_HEAD + g.ports.len().max(1) as f32 * ROW_H + PAD,
    )
}

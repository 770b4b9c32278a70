//! Signs as ink: how one sounds to another, and what kind of gear something is. No two share a shape.

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use crate::model::{PortKind, ThingId};
use crate::paperwork::set::ink::{Ink, Pen, Step, Tint};
use crate::picture::sounds::Sound;

/// Draws the sign for how one sounds to another, around a middle.
pub fn sound(sound: Sound, at: Pos2, radius: f32) -> Vec<Ink> {
    let black = Some(Tint::BLACK);
    let pen = Pen::new(Tint::BLACK, radius * 0.26);
    let corner = |x: f32, y: f32| at + vec2(x, y) * radius;
    let ring = || Ink::circle(at, radius * 0.87, None, Some(pen));
    match sound {
        Sound::Heard => vec![Ink::circle(at, radius, black, None)],
        Sound::OneWay => {
            let corners = [corner(-0.8, -1.0), corner(1.0, 0.0), corner(-0.8, 1.0)];
            vec![Ink::polygon(&corners, black, None)]
        }
        // The half that comes first is missing.
        Sound::Clipped => vec![later_half(at, radius), ring()],
        Sound::ByScan => vec![Ink::circle(at, radius * 0.4, black, None), ring()],
        Sound::Late => {
            let hands = [corner(0.0, -0.62), at, corner(0.5, 0.32)];
            vec![Ink::through(&hands, pen), ring()]
        }
        Sound::InClear => {
            let corners = [
                corner(0.0, -1.15),
                corner(1.15, 0.0),
                corner(0.0, 1.15),
                corner(-1.15, 0.0),
            ];
            vec![Ink::polygon(&corners, black, None)]
        }
        Sound::Silent => {
            let arm = Vec2::new(radius * 0.3, 0.0);
            let thin = Pen::new(Tint::RULE, radius * 0.2);
            vec![Ink::rule(at - arm, at + arm, thin)]
        }
    }
}

/// The right half of a disc.
fn later_half(at: Pos2, radius: f32) -> Ink {
    // A quarter circle by one cubic, off by less than a thousandth of its radius.
    let handle = radius * 0.552_284_8;
    let (top, right, foot) = (
        at - vec2(0.0, radius),
        at + vec2(radius, 0.0),
        at + vec2(0.0, radius),
    );
    Ink::Shape {
        steps: vec![
            Step::Move(top),
            Step::Curve(top + vec2(handle, 0.0), right - vec2(0.0, handle), right),
            Step::Curve(right + vec2(0.0, handle), foot + vec2(handle, 0.0), foot),
            Step::Close,
        ],
        fill: Some(Tint::BLACK),
        pen: None,
    }
}

/// Returns how the frame of a cell is drawn that a need is about: in dashes where it keeps two apart.
pub(super) fn frame_pen(cell: f32, is_apart: bool) -> Pen {
    let pen = Pen::new(Tint::BLACK, cell * 0.08);
    if is_apart {
        pen.dashed(cell * 0.16, cell * 0.1)
    } else {
        pen
    }
}

/// Draws a cross over a sign: a need asks for what is not so.
pub(super) fn unmet(at: Pos2, radius: f32) -> Vec<Ink> {
    let pen = Pen::new(Tint(160, 20, 56), radius * 0.3);
    let (a, b) = (Vec2::splat(radius), vec2(radius, -radius));
    vec![
        Ink::rule(at - a, at + a, pen),
        Ink::rule(at - b, at + b, pen),
    ]
}

/// What kind of gear something is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gear {
    Radio,
    Telephone,
    Headset,
    Wire,
    Ip,
    Site,
    Other,
}

impl Gear {
    /// Returns the kind of a thing.
    pub(super) const fn of(thing: ThingId) -> Self {
        match thing {
            ThingId::Radio(_) => Self::Radio,
            ThingId::Telephone(_) => Self::Telephone,
            ThingId::Headset(_) => Self::Headset,
            ThingId::Tie(_) => Self::Wire,
            ThingId::Site(_) => Self::Site,
            _ => Self::Other,
        }
    }

    /// Returns the kind a port is built for.
    pub(super) const fn of_port(kind: PortKind) -> Self {
        match kind {
            PortKind::Radio => Self::Radio,
            PortKind::Telephone => Self::Telephone,
            PortKind::Headset => Self::Headset,
            PortKind::Wire => Self::Wire,
            PortKind::Ip => Self::Ip,
        }
    }
}

/// Draws the sign of a kind of gear, around a middle.
pub(super) fn gear(gear: Gear, at: Pos2, radius: f32) -> Vec<Ink> {
    let pen = Pen::new(Tint::BLACK, (radius * 0.18).max(0.25));
    let spot = |x: f32, y: f32| at + vec2(x, y) * radius;
    let rect = |l: f32, t: f32, r: f32, b: f32| Rect::from_min_max(spot(l, t), spot(r, b));
    let box_of = |r: Rect, fill| Ink::rounded(r, radius * 0.18, fill, Some(pen));
    match gear {
        Gear::Radio => vec![
            box_of(rect(-0.55, -0.35, 0.55, 1.0), Some(Tint::WHITE)),
            Ink::rule(spot(-0.35, -0.35), spot(-0.35, -1.0), pen),
            Ink::rule(spot(-0.25, 0.05), spot(0.25, 0.05), pen),
        ],
        Gear::Telephone => vec![
            box_of(rect(-0.6, -1.0, 0.6, 1.0), Some(Tint::WHITE)),
            Ink::circle(spot(0.0, 0.6), radius * 0.14, Some(Tint::BLACK), None),
            Ink::rect(rect(-0.35, -0.7, 0.35, 0.2), Some(Tint::SHADE), None),
        ],
        Gear::Headset => vec![
            Ink::curves(
                &[[
                    spot(-0.8, 0.2),
                    spot(-0.8, -1.2),
                    spot(0.8, -1.2),
                    spot(0.8, 0.2),
                ]],
                pen,
            ),
            box_of(rect(-1.0, 0.1, -0.55, 0.9), Some(Tint::BLACK)),
            box_of(rect(0.55, 0.1, 1.0, 0.9), Some(Tint::BLACK)),
        ],
        Gear::Wire => vec![
            Ink::rule(spot(-0.6, 0.0), spot(0.6, 0.0), pen),
            Ink::circle(spot(-0.75, 0.0), radius * 0.24, Some(Tint::BLACK), None),
            Ink::circle(spot(0.75, 0.0), radius * 0.24, Some(Tint::BLACK), None),
        ],
        Gear::Ip => vec![
            box_of(rect(-0.9, -0.6, -0.2, 0.1), Some(Tint::WHITE)),
            box_of(rect(0.2, -0.1, 0.9, 0.6), Some(Tint::WHITE)),
            Ink::rule(spot(-0.2, -0.2), spot(0.2, 0.2), pen),
        ],
        Gear::Site => {
            let corners = [spot(0.0, 1.0), spot(-0.6, -0.3), spot(0.6, -0.3)];
            vec![
                Ink::polygon(&corners, Some(Tint::BLACK), None),
                Ink::circle(spot(0.0, -0.4), radius * 0.6, Some(Tint::BLACK), None),
                Ink::circle(spot(0.0, -0.4), radius * 0.22, Some(Tint::WHITE), None),
            ]
        }
        Gear::Other => vec![Ink::circle(at, radius * 0.6, None, Some(pen))],
    }
}

/// Draws a position of a switch: filled where the switch stands, a ring where it does not.
pub(super) fn position(at: Pos2, radius: f32, is_on: bool) -> Ink {
    let thin = Pen::new(Tint::RULE, (radius * 0.12).max(0.2));
    if is_on {
        Ink::circle(at, radius, Some(Tint::BLACK), None)
    } else {
        Ink::circle(at, radius, Some(Tint::WHITE), Some(thin))
    }
}

/// Draws a sample of a line through a box.
pub(super) fn sample(room: Rect, pen: Pen) -> Ink {
    let y = room.center().y;
    Ink::rule(pos2(room.min.x, y), pos2(room.max.x, y), pen)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_sounds_and_no_two_kinds_of_gear_look_alike() {
        let sounds = Sound::ALL.map(|s| sound(s, Pos2::ZERO, 5.0));
        let kinds = [
            Gear::Radio,
            Gear::Telephone,
            Gear::Headset,
            Gear::Wire,
            Gear::Ip,
            Gear::Site,
            Gear::Other,
        ];
        let gears = kinds.map(|kind| gear(kind, Pos2::ZERO, 5.0));
        let all: Vec<&Vec<Ink>> = sounds.iter().chain(&gears).collect();
        for (i, one) in all.iter().enumerate() {
            assert!(all.iter().skip(i + 1).all(|other| other != one), "{one:?}");
            let around = one
                .iter()
                .fold(Rect::NOTHING, |r, ink| r.union(ink.bounds()));
            assert!(
                around.width() <= 12.0 && around.height() <= 12.0,
                "{around:?}"
            );
        }
    }
}

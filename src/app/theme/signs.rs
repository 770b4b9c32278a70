//! The signs: small drawings in one line weight, so that no font has to hold them.
//!
//! A sign is data on a grid of 24 by 24; `sign_shapes` holds the data, this file draws it.

use egui::epaint::CubicBezierShape;
use egui::{Color32, Painter, Pos2, Shape, Stroke, pos2};

use super::sign_shapes::marks;

/// Every sign there is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Sign {
    Logo,
    Undo,
    Redo,
    Tick,
    Cross,
    Stops,
    Warns,
    Notes,
    Ear,
    EarCrossed,
    Mic,
    Lock,
    LockOpen,
    Loop,
    ClippedFront,
    Scan,
    Radio,
    Telephone,
    Headset,
    Gateway,
    Channel,
    System,
    Agency,
    Unit,
    Site,
    Cable,
    Wire,
    Ip,
    Need,
    Phase,
    Sun,
    Moon,
    Plus,
    Minus,
    Fit,
    ChevronRight,
    ChevronDown,
    Trash,
    ArrowRight,
    None,
    Search,
    Stock,
    Paper,
    Path,
    Calculator,
    Collide,
    Broken,
    OutOfService,
    Later,
    ChevronLeft,
}

impl Sign {
    /// Every sign.
    #[cfg(test)]
    pub(crate) const ALL: [Self; 50] = [
        Self::Logo,
        Self::Undo,
        Self::Redo,
        Self::Tick,
        Self::Cross,
        Self::Stops,
        Self::Warns,
        Self::Notes,
        Self::Ear,
        Self::EarCrossed,
        Self::Mic,
        Self::Lock,
        Self::LockOpen,
        Self::Loop,
        Self::ClippedFront,
        Self::Scan,
        Self::Radio,
        Self::Telephone,
        Self::Headset,
        Self::Gateway,
        Self::Channel,
        Self::System,
        Self::Agency,
        Self::Unit,
        Self::Site,
        Self::Cable,
        Self::Wire,
        Self::Ip,
        Self::Need,
        Self::Phase,
        Self::Sun,
        Self::Moon,
        Self::Plus,
        Self::Minus,
        Self::Fit,
        Self::ChevronRight,
        Self::ChevronDown,
        Self::Trash,
        Self::ArrowRight,
        Self::None,
        Self::Search,
        Self::Stock,
        Self::Paper,
        Self::Path,
        Self::Calculator,
        Self::Collide,
        Self::Broken,
        Self::OutOfService,
        Self::Later,
        Self::ChevronLeft,
    ];
}

/// One stroke or spot of a sign, on the grid of 24.
#[derive(Debug, Clone, Copy)]
pub(super) enum Mark {
    /// Straight lines through the points.
    Line(&'static [(f32, f32)]),
    /// A closed outline through the points.
    Closed(&'static [(f32, f32)]),
    /// A cubic curve.
    Curve([(f32, f32); 4]),
    /// A circle, its centre and radius.
    Ring((f32, f32), f32),
    /// A filled circle.
    Spot((f32, f32), f32),
    /// Part of a circle: centre, radius, start and end in turns clockwise from the right.
    Arc((f32, f32), f32, f32, f32),
}

/// Draws a sign in a square of `size` points around `centre`.
pub(crate) fn paint_sign(painter: &Painter, sign: Sign, centre: Pos2, size: f32, colour: Color32) {
    if size < 3.0 {
        return;
    }
    let scale = size / 24.0;
    let at =
        |(x, y): (f32, f32)| pos2(centre.x + (x - 12.0) * scale, centre.y + (y - 12.0) * scale);
    let stroke = Stroke::new((1.9 * scale).max(1.1), colour);
    for mark in marks(sign) {
        match *mark {
            Mark::Line(points) => {
                painter.add(Shape::line(points.iter().map(|p| at(*p)).collect(), stroke));
            }
            Mark::Closed(points) => {
                painter.add(Shape::closed_line(
                    points.iter().map(|p| at(*p)).collect(),
                    stroke,
                ));
            }
            Mark::Curve(points) => {
                painter.add(CubicBezierShape::from_points_stroke(
                    points.map(at),
                    false,
                    Color32::TRANSPARENT,
                    stroke,
                ));
            }
            Mark::Ring(centre, radius) => {
                painter.circle_stroke(at(centre), radius * scale, stroke);
            }
            Mark::Spot(centre, radius) => {
                painter.circle_filled(at(centre), radius * scale, colour);
            }
            Mark::Arc(centre, radius, from, to) => {
                let steps = 14;
                let points = (0..=steps)
                    .map(|i| {
                        let turn = from + (to - from) * i as f32 / steps as f32;
                        let angle = turn * std::f32::consts::TAU;
                        at((
                            centre.0 + radius * angle.cos(),
                            centre.1 + radius * angle.sin(),
                        ))
                    })
                    .collect();
                painter.add(Shape::line(points, stroke));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_has_a_drawing_inside_its_square() {
        for sign in Sign::ALL {
            let marks = marks(sign);
            assert!(!marks.is_empty(), "{sign:?}");
            for mark in marks {
                let points: Vec<(f32, f32)> = match mark {
                    Mark::Line(points) | Mark::Closed(points) => points.to_vec(),
                    Mark::Curve(points) => points.to_vec(),
                    Mark::Ring((x, y), r) | Mark::Spot((x, y), r) | Mark::Arc((x, y), r, _, _) => {
                        vec![(x - r, y - r), (x + r, y + r)]
                    }
                };
                for (x, y) in points {
                    assert!(
                        (-1.0..=25.0).contains(&x) && (-1.0..=25.0).contains(&y),
                        "{sign:?} leaves its square at {x}, {y}"
                    );
                }
            }
        }
    }
}

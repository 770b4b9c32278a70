//! What is drawn on a page: text, shapes and pictures, in points right of and below its corner.
//!
//! One point is 1/72 inch. Nothing here knows a file format or what a page is about.

use std::sync::Arc;

use emath::{Pos2, Rect, pos2};

use super::face::{Face, Line};
use super::logo::Logo;

/// How far letters reach above the base line, as a share of the size.
///
/// Source: the capital and ascender heights of the faces that come along.
const ABOVE: f32 = 0.76;
/// How far letters reach below it.
const BELOW: f32 = 0.24;

/// A colour of ink, red, green and blue from 0 to 255.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tint(pub u8, pub u8, pub u8);

impl Tint {
    /// Text and rules.
    pub const BLACK: Self = Self(0, 0, 0);
    /// The paper.
    pub const WHITE: Self = Self(255, 255, 255);
    /// Words that explain others; dark enough for a bad copier.
    pub const SOFT: Self = Self(70, 70, 70);
    /// Thin rules.
    pub const RULE: Self = Self(110, 110, 110);
    /// Behind the head of a table.
    pub const SHADE: Self = Self(228, 228, 228);
    /// Behind every second row.
    pub const PALE: Self = Self(245, 245, 245);
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub tint: Tint,
    /// Width, in points.
    pub width: f32,
    /// Drawn and left out by turns, in points; drawn throughout when `None`.
    pub dash: Option<(f32, f32)>,
}

impl Pen {
    /// A whole line.
    pub const fn new(tint: Tint, width: f32) -> Self {
        Self {
            tint,
            width,
            dash: None,
        }
    }

    /// The same with gaps.
    #[must_use]
    pub const fn dashed(self, on: f32, off: f32) -> Self {
        Self {
            dash: Some((on, off)),
            ..self
        }
    }
}

/// One step of an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Begins anew somewhere.
    Move(Pos2),
    /// A straight line.
    Line(Pos2),
    /// A cubic curve by two handles.
    Curve(Pos2, Pos2, Pos2),
    /// Back to where it began.
    Close,
}

/// Something drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Ink {
    /// A line of text.
    Text(Text),
    /// An outline, filled, drawn or both.
    Shape {
        /// The outline.
        steps: Vec<Step>,
        /// What it is filled with.
        fill: Option<Tint>,
        /// How its line is drawn.
        pen: Option<Pen>,
    },
    /// A picture brought along.
    Picture {
        /// Where, filled wholly.
        rect: Rect,
        /// The picture.
        logo: Arc<Logo>,
    },
}

/// A line of text.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    /// The left end of its base line.
    pub at: Pos2,
    /// Regular or bold.
    pub face: Face,
    /// Size, in points.
    pub size: f32,
    /// Colour.
    pub tint: Tint,
    /// The letters.
    pub line: Arc<Line>,
    /// Reads upward: turned by a quarter, against the clock, about `at`.
    pub is_turned: bool,
}

impl Text {
    /// Returns its width along the base line, in points.
    pub fn width(&self) -> f32 {
        self.line.width(self.size)
    }

    /// Returns the box around it, from the highest letters to the lowest, in points.
    pub fn bounds(&self) -> Rect {
        let (above, below) = (self.size * ABOVE, self.size * BELOW);
        let Pos2 { x, y } = self.at;
        if self.is_turned {
            return Rect::from_min_max(pos2(x - above, y - self.width()), pos2(x + below, y));
        }
        Rect::from_min_max(pos2(x, y - above), pos2(x + self.width(), y + below))
    }
}

impl Ink {
    /// A straight line.
    pub fn rule(from: Pos2, to: Pos2, pen: Pen) -> Self {
        Self::Shape {
            steps: vec![Step::Move(from), Step::Line(to)],
            fill: None,
            pen: Some(pen),
        }
    }

    /// A rectangle.
    pub fn rect(rect: Rect, fill: Option<Tint>, pen: Option<Pen>) -> Self {
        let steps = vec![
            Step::Move(rect.min),
            Step::Line(pos2(rect.max.x, rect.min.y)),
            Step::Line(rect.max),
            Step::Line(pos2(rect.min.x, rect.max.y)),
            Step::Close,
        ];
        Self::Shape { steps, fill, pen }
    }

    /// A rectangle with round corners.
    pub fn rounded(rect: Rect, radius: f32, fill: Option<Tint>, pen: Option<Pen>) -> Self {
        // A quarter circle by one cubic, off by less than a thousandth of its radius.
        const HANDLE: f32 = 0.552_284_8;
        let r = radius.min(rect.width() / 2.0).min(rect.height() / 2.0);
        let k = r * (1.0 - HANDLE);
        let (l, t, ri, b) = (rect.min.x, rect.min.y, rect.max.x, rect.max.y);
        let steps = vec![
            Step::Move(pos2(l + r, t)),
            Step::Line(pos2(ri - r, t)),
            Step::Curve(pos2(ri - k, t), pos2(ri, t + k), pos2(ri, t + r)),
            Step::Line(pos2(ri, b - r)),
            Step::Curve(pos2(ri, b - k), pos2(ri - k, b), pos2(ri - r, b)),
            Step::Line(pos2(l + r, b)),
            Step::Curve(pos2(l + k, b), pos2(l, b - k), pos2(l, b - r)),
            Step::Line(pos2(l, t + r)),
            Step::Curve(pos2(l, t + k), pos2(l + k, t), pos2(l + r, t)),
            Step::Close,
        ];
        Self::Shape { steps, fill, pen }
    }

    /// A circle.
    pub fn circle(centre: Pos2, radius: f32, fill: Option<Tint>, pen: Option<Pen>) -> Self {
        let around = Rect::from_center_size(centre, emath::Vec2::splat(radius * 2.0));
        Self::rounded(around, radius, fill, pen)
    }

    /// An outline with straight sides.
    pub fn polygon(corners: &[Pos2], fill: Option<Tint>, pen: Option<Pen>) -> Self {
        let steps = corners.iter().enumerate().map(|(i, at)| match i {
            0 => Step::Move(*at),
            _ => Step::Line(*at),
        });
        Self::Shape {
            steps: steps.chain([Step::Close]).collect(),
            fill,
            pen,
        }
    }

    /// A line along curves, each beginning where the one before ends.
    pub fn curves(curves: &[[Pos2; 4]], pen: Pen) -> Self {
        let first = curves.first().map(|[a, ..]| Step::Move(*a));
        let rest = curves.iter().map(|[_, b, c, d]| Step::Curve(*b, *c, *d));
        Self::Shape {
            steps: first.into_iter().chain(rest).collect(),
            fill: None,
            pen: Some(pen),
        }
    }

    /// Returns the box around it, in points; for a curve around its handles too.
    pub fn bounds(&self) -> Rect {
        match self {
            Self::Text(text) => text.bounds(),
            Self::Picture { rect, .. } => *rect,
            Self::Shape { steps, pen, .. } => {
                let points = steps.iter().flat_map(|step| match *step {
                    Step::Move(p) | Step::Line(p) => vec![p],
                    Step::Curve(a, b, p) => vec![a, b, p],
                    Step::Close => Vec::new(),
                });
                let around = points.fold(Rect::NOTHING, |all, p| all.union(Rect::from_pos(p)));
                around.expand(pen.map_or(0.0, |pen| pen.width / 2.0))
            }
        }
    }

    /// A line through several points.
    pub fn through(points: &[Pos2], pen: Pen) -> Self {
        let steps = points
            .iter()
            .enumerate()
            .map(|(i, at)| match i {
                0 => Step::Move(*at),
                _ => Step::Line(*at),
            })
            .collect();
        Self::Shape {
            steps,
            fill: None,
            pen: Some(pen),
        }
    }
}

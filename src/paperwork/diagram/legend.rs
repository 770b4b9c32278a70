//! The legend of a drawing: signs with their words, in columns of one width.

use std::sync::Arc;

use emath::{Rect, Vec2, pos2, vec2};

use crate::paperwork::set::composer::{Pad, leading};
use crate::paperwork::set::face::{Face, Faces, Line};
use crate::paperwork::set::ink::{Ink, Tint};

/// Draws a sign into a box.
type Sign = Box<dyn Fn(Rect) -> Vec<Ink>>;

/// Signs with their words.
#[derive(Default)]
pub(super) struct Legend {
    entries: Vec<(Option<Sign>, String)>,
    paragraph: String,
}

/// Sizes of a legend, in points.
struct Sizes {
    letters: f32,
    sign: Vec2,
    gap: f32,
    column: f32,
}

impl Sizes {
    fn of(unit: f32) -> Self {
        Self {
            letters: 7.4 * unit,
            sign: vec2(17.0, 9.0) * unit,
            gap: 4.0 * unit,
            column: 158.0 * unit,
        }
    }
}

struct Laid {
    sign: Rect,
    lines: Vec<Arc<Line>>,
    at: emath::Pos2,
}

impl Legend {
    /// Adds a sign.
    pub(super) fn sign(
        &mut self,
        words: impl Into<String>,
        sign: impl Fn(Rect) -> Vec<Ink> + 'static,
    ) {
        self.entries.push((Some(Box::new(sign)), words.into()));
    }

    /// Adds words without a sign.
    pub(super) fn words(&mut self, words: impl Into<String>) {
        self.entries.push((None, words.into()));
    }

    /// Says something below the signs, over the whole width.
    pub(super) fn paragraph(&mut self, words: String) {
        self.paragraph = words;
    }

    /// Returns its height at a width, in points.
    pub(super) fn height(&self, faces: &Faces, width: f32, unit: f32) -> f32 {
        self.lay(faces, width, unit).1
    }

    /// Draws it from a corner on.
    pub(super) fn draw(&self, pad: &mut Pad<'_>, unit: f32) {
        let sizes = Sizes::of(unit);
        let (laid, _) = self.lay(pad.faces, pad.area.width(), unit);
        let signs = self.entries.iter().map(|(sign, _)| sign.as_ref());
        for (sign, laid) in signs.chain([None]).zip(laid) {
            let by = pad.area.min.to_vec2();
            if let Some(sign) = sign {
                pad.inks.extend(sign(laid.sign.translate(by)));
            }
            for (i, line) in laid.lines.into_iter().enumerate() {
                let at = laid.at + by + vec2(0.0, i as f32 * leading(sizes.letters));
                pad.line(at, Face::Regular, sizes.letters, Tint::BLACK, line);
            }
        }
    }

    fn lay(&self, faces: &Faces, width: f32, unit: f32) -> (Vec<Laid>, f32) {
        let sizes = Sizes::of(unit);
        let count = (width / sizes.column).floor().max(1.0);
        let column = width / count;
        let mut laid = Vec::new();
        let (mut y, mut deepest) = (0.0_f32, 0.0_f32);
        for (i, (sign, words)) in self.entries.iter().enumerate() {
            let place = i % count as usize;
            if place == 0 && i > 0 {
                y += deepest + sizes.gap * 0.5;
                deepest = 0.0;
            }
            let x = place as f32 * column;
            let indent = if sign.is_some() {
                sizes.sign.x + sizes.gap
            } else {
                0.0
            };
            let room = column - indent - sizes.gap * 2.0;
            let lines = faces.wrap(Face::Regular, words, sizes.letters, room);
            let height = lines.len() as f32 * leading(sizes.letters);
            deepest = deepest.max(height.max(sizes.sign.y));
            laid.push(Laid {
                sign: Rect::from_min_size(pos2(x, y), sizes.sign),
                at: pos2(x + indent, y),
                lines,
            });
        }
        let mut end = y + deepest;
        if !self.paragraph.is_empty() {
            let lines = faces.wrap(Face::Regular, &self.paragraph, sizes.letters, width);
            let height = lines.len() as f32 * leading(sizes.letters);
            let at = pos2(0.0, end + sizes.gap);
            end = at.y + height;
            laid.push(Laid {
                sign: Rect::NOTHING,
                lines,
                at,
            });
        }
        (laid, end)
    }
}

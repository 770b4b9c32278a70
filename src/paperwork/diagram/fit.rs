//! Texts brought into boxes: smaller and on more lines, and never cut while a letter can be drawn.

use std::sync::Arc;

use emath::{Pos2, Rect, Vec2, pos2};

use crate::paperwork::set::composer::{Pad, leading};
use crate::paperwork::set::face::{Face, Faces, Line};
use crate::paperwork::set::ink::Tint;

/// How a text may be set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Type {
    /// Regular or bold.
    pub(super) face: Face,
    /// Largest size, in points.
    pub(super) most: f32,
    /// Smallest size with words whole, in points; a text too long for it gets smaller still.
    pub(super) least: f32,
    /// Colour.
    pub(super) tint: Tint,
}

impl Type {
    /// For reading.
    pub(super) const fn plain(most: f32, least: f32) -> Self {
        Self {
            face: Face::Regular,
            most,
            least,
            tint: Tint::BLACK,
        }
    }

    /// For finding.
    pub(super) const fn bold(most: f32, least: f32) -> Self {
        Self {
            face: Face::Bold,
            ..Self::plain(most, least)
        }
    }

    /// The same for what explains.
    pub(super) const fn soft(self) -> Self {
        self.inked(Tint::SOFT)
    }

    /// The same in a colour.
    pub(super) const fn inked(self, tint: Tint) -> Self {
        Self { tint, ..self }
    }
}

/// Where a text stands in its box, across; down it stands in the middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Middle,
    Right,
}

/// A text in the size and the lines in which it fits.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    /// Size, in points.
    pub(super) size: f32,
    /// Lines, from the top.
    pub(super) lines: Vec<Arc<Line>>,
}

impl Fit {
    /// Returns the width of the widest line, in points.
    pub(super) fn width(&self) -> f32 {
        let widths = self.lines.iter().map(|line| line.width(self.size));
        widths.fold(0.0, f32::max)
    }

    /// Returns its height, in points.
    pub(super) fn height(&self) -> f32 {
        self.lines.len() as f32 * leading(self.size)
    }
}

/// Sizes tried between the largest and the smallest.
const STEPS: u8 = 8;

/// Letters smaller than this are no letters, in points; a text that needs them is cut.
const TINIEST: f32 = 0.5;

/// Finds the largest size in which a text fits a room with its words whole; below the smallest size words
/// are broken. Whoever draws the page says how small its letters are.
pub(super) fn fit(faces: &Faces, text: &str, room: Vec2, kind: Type) -> Fit {
    // A line is never higher than its box.
    let most = kind.most.min(room.y / leading(1.0)).max(0.1);
    let least = kind.least.min(most);
    for step in 0..=STEPS {
        let size = most + (least - most) * f32::from(step) / f32::from(STEPS);
        let is_narrow = |word: &str| faces.line(kind.face, word).width(size) <= room.x;
        let is_last = step == STEPS;
        if !is_last && !text.split_whitespace().all(is_narrow) {
            continue;
        }
        let lines = faces.wrap(kind.face, text, size, room.x);
        if lines.len() as f32 * leading(size) <= room.y + 0.01 {
            return Fit { size, lines };
        }
    }
    let mut size = least;
    loop {
        size *= 0.93;
        let lines = faces.wrap(kind.face, text, size, room.x);
        if lines.len() as f32 * leading(size) <= room.y + 0.01 {
            return Fit { size, lines };
        }
        if size < TINIEST {
            return cut(faces, text, room, kind.face, size, &lines);
        }
    }
}

/// Keeps the lines that fit; the last of them takes what it can of the rest.
fn cut(faces: &Faces, text: &str, room: Vec2, face: Face, size: f32, lines: &[Arc<Line>]) -> Fit {
    let count = ((room.y + 0.01) / leading(size)).floor().max(1.0) as usize;
    let mut kept: Vec<Arc<Line>> = lines.iter().take(count - 1).map(Arc::clone).collect();
    // Letters of the lines kept, without the spaces at which they were broken.
    let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).count();
    let mut over: usize = kept.iter().map(|line| letters(&line.text)).sum();
    let rest = text.char_indices().find(|(_, c)| {
        if c.is_whitespace() {
            return false;
        }
        let is_rest = over == 0;
        over = over.saturating_sub(1);
        is_rest
    });
    let rest = rest.and_then(|(at, _)| text.get(at..)).unwrap_or_default();
    kept.push(faces.cut(face, rest, size, room.x));
    Fit { size, lines: kept }
}

/// Writes a text into a box; returns its width, in points.
pub(super) fn write(pad: &mut Pad<'_>, room: Rect, kind: Type, side: Side, text: &str) -> f32 {
    if room.width() <= 0.0 || room.height() <= 0.0 || text.trim().is_empty() {
        return 0.0;
    }
    let fit = fit(pad.faces, text, room.size(), kind);
    put(pad, room, kind, side, &fit);
    fit.width()
}

/// Writes a text that fits into its box.
pub(super) fn put(pad: &mut Pad<'_>, room: Rect, kind: Type, side: Side, fit: &Fit) {
    let top = room.center().y - fit.height() / 2.0;
    for (i, line) in fit.lines.iter().enumerate() {
        // The last line is followed by another text.
        let is_last = i + 1 == fit.lines.len();
        let followed = is_last.then(|| pad.faces.before_another(kind.face, line));
        let line = followed.as_ref().unwrap_or(line);
        let y = top + i as f32 * leading(fit.size);
        let spare = room.width() - line.width(fit.size);
        let x = match side {
            Side::Left => room.min.x,
            Side::Middle => room.min.x + spare / 2.0,
            Side::Right => room.max.x - line.width(fit.size),
        };
        pad.line(pos2(x, y), kind.face, fit.size, kind.tint, Arc::clone(line));
    }
}

/// Writes a text that reads upward into a box, from its foot on or in its middle.
pub(super) fn write_upward(pad: &mut Pad<'_>, room: Rect, kind: Type, side: Side, text: &str) {
    if room.width() <= 0.0 || room.height() <= 0.0 || text.trim().is_empty() {
        return;
    }
    let fit = fit(pad.faces, text, room.size().yx(), kind);
    let left = room.center().x - fit.height() / 2.0;
    for (i, line) in fit.lines.iter().enumerate() {
        let spare = room.height() - line.width(fit.size);
        let spare = match side {
            Side::Left => 0.0,
            Side::Middle => spare / 2.0,
            Side::Right => spare,
        };
        let at = Pos2::new(left + i as f32 * leading(fit.size), room.max.y - spare);
        pad.turned(at, kind.face, fit.size, kind.tint, Arc::clone(line));
    }
}

#[cfg(test)]
mod tests {
    use emath::vec2;

    use super::*;

    const KIND: Type = Type::plain(10.0, 5.0);

    fn texts(fit: &Fit) -> Vec<&str> {
        fit.lines.iter().map(|l| l.text.trim_end()).collect()
    }

    #[test]
    fn a_text_gets_smaller_and_is_cut_only_where_no_letter_can_be_drawn() {
        let faces = Faces::default();
        let name = "Sedge River Authority";
        let wide = fit(&faces, name, vec2(400.0, 12.0), KIND);
        assert!((wide.size - 10.0).abs() < 1e-3, "{wide:?}");
        let narrow = fit(&faces, name, vec2(60.0, 14.0), KIND);
        assert!(narrow.size < 9.0, "{narrow:?}");
        assert_eq!(texts(&narrow).join(" "), name);
        let tiny = fit(&faces, name, vec2(30.0, 6.0), KIND);
        assert!(tiny.size < 5.0, "{tiny:?}");
        assert_eq!(texts(&tiny).join(" "), name);
        let none = fit(&faces, name, vec2(2.0, 0.5), KIND);
        assert!(texts(&none).concat().ends_with('\u{2026}'), "{none:?}");
    }

    #[test]
    fn what_is_set_never_leaves_its_box() {
        let faces = Faces::default();
        let words = "Fireground north of the railway, also for crews that arrive late";
        for text in [words, "x".repeat(200).as_str(), "short", "two words"] {
            for (w, h) in [(8.0, 6.0), (40.0, 9.0), (90.0, 30.0), (500.0, 2.0)] {
                let fit = fit(&faces, text, vec2(w, h), KIND);
                // The dots that stand for the rest may be wider than a very narrow box.
                assert!(fit.width() <= w.max(6.0) + 0.1, "{text} in {w}: {fit:?}");
                assert!(fit.height() <= h + 0.1, "{text} in {h}: {fit:?}");
            }
        }
    }

    #[test]
    fn the_last_line_goes_on_where_the_one_before_ended() {
        let faces = Faces::default();
        let text = "one two three four five six seven eight nine ten";
        let lines = faces.wrap(Face::Regular, text, 5.0, 40.0);
        let fit = cut(&faces, text, vec2(40.0, 12.5), Face::Regular, 5.0, &lines);
        let said = texts(&fit).join(" ");
        let said = said.trim_end_matches('\u{2026}').trim_end();
        assert!(text.starts_with(said), "{said}");
        assert_eq!(fit.lines.len(), 2);
    }
}

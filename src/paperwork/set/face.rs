//! The letters of the paper: two faces that come with the program, shaped and measured.
//!
//! What is measured here is drawn glyph by glyph everywhere, so that nothing can be wider on paper than
//! it was when lines were broken. Text runs from left to right; a word of another script is shaped
//! by itself.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

use rustybuzz::ttf_parser::Tag;
use rustybuzz::{Feature, UnicodeBuffer};

const REGULAR: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansCondensed.ttf");
const BOLD: &[u8] = include_bytes!("../../../assets/fonts/DejaVuSansCondensed-Bold.ttf");

/// What stands for a letter that no face has.
const STAND_IN: char = '\u{25a1}';

/// A face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Face {
    /// For reading.
    #[default]
    Regular,
    /// For finding.
    Bold,
}

impl Face {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Regular, Self::Bold];
    /// The family, as other programs know it.
    pub const FAMILY: &str = "DejaVu Sans Condensed";

    /// Returns the font file.
    pub const fn bytes(self) -> &'static [u8] {
        match self {
            Self::Regular => REGULAR,
            Self::Bold => BOLD,
        }
    }

    /// Tells whether the face has a letter; what is not drawn, such as a space, counts as had.
    pub fn has(self, letter: char) -> bool {
        if letter.is_control() || letter.is_whitespace() {
            return true;
        }
        let face = rustybuzz::ttf_parser::Face::parse(self.bytes(), 0);
        face.is_ok_and(|face| face.glyph_index(letter).is_some())
    }
}

/// A glyph on its line; lengths are shares of the size.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Its number in the face.
    pub id: u16,
    /// From it to the next.
    pub advance: f32,
    /// To the right of where it would stand.
    pub right: f32,
    /// Above where it would stand.
    pub up: f32,
    /// The letters it shows, as bytes of the line's text.
    pub range: Range<usize>,
}

/// A shaped line.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// What it says.
    pub text: String,
    /// How.
    pub glyphs: Vec<Glyph>,
    width: f32,
}

impl Line {
    /// Returns its width at a size, in points.
    pub fn width(&self, size: f32) -> f32 {
        self.width * size
    }

    /// Puts a space behind it that takes no width, for whoever reads the text of a page: the text goes
    /// on in the next line.
    fn goes_on(mut self, space: &Self) -> Arc<Self> {
        let width = self.width;
        if !self.text.is_empty() && !self.text.ends_with(' ') {
            self.append(space);
        }
        self.width = width;
        Arc::new(self)
    }

    fn append(&mut self, other: &Self) {
        let from = self.text.len();
        self.text.push_str(&other.text);
        self.glyphs.extend(other.glyphs.iter().map(|glyph| Glyph {
            range: glyph.range.start + from..glyph.range.end + from,
            ..glyph.clone()
        }));
        self.width += other.width;
    }
}

/// Both faces, ready to shape; what was shaped is kept.
pub struct Faces {
    fonts: [rustybuzz::Face<'static>; 2],
    words: RefCell<BTreeMap<(Face, String), Arc<Line>>>,
    missing: RefCell<BTreeSet<char>>,
}

impl Default for Faces {
    fn default() -> Self {
        let open = |face: Face| {
            rustybuzz::Face::from_slice(face.bytes(), 0)
                .expect("the fonts that come along are fonts")
        };
        Self {
            fonts: Face::ALL.map(open),
            words: RefCell::default(),
            missing: RefCell::default(),
        }
    }
}

impl std::fmt::Debug for Faces {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Faces").finish_non_exhaustive()
    }
}

impl Faces {
    /// Returns the letters met that no face has; a box stands for each on paper.
    pub fn missing(&self) -> BTreeSet<char> {
        self.missing.borrow().clone()
    }

    /// Shapes a text as one line.
    pub fn line(&self, face: Face, text: &str) -> Arc<Line> {
        let mut words = text.split_whitespace();
        let Some(first) = words.next() else {
            return Arc::default();
        };
        let mut whole = self.word(face, first).as_ref().clone();
        for word in words {
            whole.append(&self.word(face, " "));
            whole.append(&self.word(face, word));
        }
        Arc::new(whole)
    }

    /// Returns a line with a space behind it that takes no width: another text follows it on the page.
    pub fn before_another(&self, face: Face, line: &Line) -> Arc<Line> {
        line.clone().goes_on(&self.word(face, " "))
    }

    /// Breaks a text into lines no wider than a width, in points; never fewer than one line.
    ///
    /// Lines break at spaces, after the marks that join words, and inside a word only when it is
    /// wider than the line.
    pub fn wrap(&self, face: Face, text: &str, size: f32, width: f32) -> Vec<Arc<Line>> {
        let mut lines: Vec<Arc<Line>> = Vec::new();
        for paragraph in text.split('\n') {
            // A new paragraph of a cell is a new word as well.
            if let Some(last) = lines.pop() {
                let last = Line::clone(&last).goes_on(&self.word(face, " "));
                lines.push(last);
            }
            self.wrap_paragraph(face, paragraph, size, width, &mut lines);
        }
        lines
    }

    /// Shapes a text as one line made shorter until it fits a width, in points, with dots where it
    /// ends early.
    pub fn cut(&self, face: Face, text: &str, size: f32, width: f32) -> Arc<Line> {
        let whole = self.line(face, text);
        if whole.width(size) <= width {
            return whole;
        }
        let starts: Vec<usize> = text.trim().char_indices().map(|(at, _)| at).collect();
        let first = |letters: usize| {
            let end = starts.get(letters).copied().unwrap_or(text.trim().len());
            let short = text.trim().get(..end).unwrap_or_default().trim_end();
            self.line(face, &format!("{short}\u{2026}"))
        };
        // More letters are never narrower, so half of them can be ruled out at once.
        let (mut fits, mut too_many) = (0, starts.len());
        while fits + 1 < too_many {
            let middle = usize::midpoint(fits, too_many);
            if first(middle).width(size) <= width {
                fits = middle;
            } else {
                too_many = middle;
            }
        }
        first(fits)
    }

    fn wrap_paragraph(
        &self,
        face: Face,
        text: &str,
        size: f32,
        width: f32,
        lines: &mut Vec<Arc<Line>>,
    ) {
        // Rounding must not send a word that just fits to the next line.
        let most = (width / size).max(0.1) + 1e-3;
        let space = self.word(face, " ");
        let mut line = Line::default();
        for word in text.split_whitespace() {
            let gap = if line.text.is_empty() {
                0.0
            } else {
                space.width
            };
            let whole = self.word(face, word);
            if line.width + gap + whole.width <= most {
                if !line.text.is_empty() {
                    line.append(&space);
                }
                line.append(&whole);
                continue;
            }
            if whole.width <= most {
                lines.push(std::mem::take(&mut line).goes_on(&space));
                line.append(&whole);
                continue;
            }
            // Too wide for any line: as much as fits on this one, then on others.
            if !line.text.is_empty() {
                if line.width + gap + self.first_part(face, word).width <= most {
                    line.append(&space);
                } else {
                    lines.push(std::mem::take(&mut line).goes_on(&space));
                }
            }
            for part in parts(word) {
                let part = self.word(face, part);
                if line.width + part.width <= most {
                    line.append(&part);
                    continue;
                }
                if !line.text.is_empty() {
                    lines.push(Arc::new(std::mem::take(&mut line)));
                }
                for letter in part.text.split_inclusive(|_: char| true) {
                    let letter = self.word(face, letter);
                    if line.width + letter.width > most && !line.text.is_empty() {
                        lines.push(Arc::new(std::mem::take(&mut line)));
                    }
                    line.append(&letter);
                }
            }
        }
        lines.push(Arc::new(line));
    }

    fn first_part(&self, face: Face, word: &str) -> Arc<Line> {
        self.word(face, parts(word).next().unwrap_or_default())
    }

    /// Returns how far capital letters reach above the base line at a size, in points.
    pub fn cap_height(&self, face: Face, size: f32) -> f32 {
        let font = &self.fonts[face as usize];
        let units = f32::from(font.capital_height().unwrap_or(1493));
        units / font.units_per_em() as f32 * size
    }

    /// Walks the outline of a glyph, in units of which [`Faces::units`] make the size.
    pub fn outline(
        &self,
        face: Face,
        glyph: u16,
        to: &mut dyn rustybuzz::ttf_parser::OutlineBuilder,
    ) {
        let glyph = rustybuzz::ttf_parser::GlyphId(glyph);
        // A space has no outline, which is no failure.
        let _bounds = self.fonts[face as usize].outline_glyph(glyph, to);
    }

    /// Returns the units that make the size of a face.
    pub fn units(&self, face: Face) -> f32 {
        self.fonts[face as usize].units_per_em() as f32
    }

    fn word(&self, face: Face, text: &str) -> Arc<Line> {
        let key = (face, text.to_owned());
        if let Some(known) = self.words.borrow().get(&key) {
            return Arc::clone(known);
        }
        let line = Arc::new(self.shape(face, text));
        self.words.borrow_mut().insert(key, Arc::clone(&line));
        line
    }

    fn shape(&self, face: Face, text: &str) -> Line {
        let font = &self.fonts[face as usize];
        let text: String = text
            .chars()
            .filter(|c| !c.is_control())
            .map(|c| {
                if font.glyph_index(c).is_some() {
                    return c;
                }
                self.missing.borrow_mut().insert(c);
                STAND_IN
            })
            .collect();
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(&text);
        buffer.guess_segment_properties();
        // One glyph a letter, each as wide as the face says: then even a simple reader of the file
        // finds every word whole.
        let off = |tag: &[u8; 4]| Feature::new(Tag::from_bytes(tag), 0, ..);
        let plain = [off(b"liga"), off(b"kern")];
        let shaped = rustybuzz::shape(font, &plain, buffer);
        let units = font.units_per_em() as f32;
        let mut starts: Vec<usize> = shaped
            .glyph_infos()
            .iter()
            .map(|info| info.cluster as usize)
            .collect();
        starts.sort_unstable();
        let end_of = |start: usize| {
            let next = starts.partition_point(|s| *s <= start);
            starts.get(next).copied().unwrap_or(text.len())
        };
        let glyphs: Vec<Glyph> = shaped
            .glyph_infos()
            .iter()
            .zip(shaped.glyph_positions())
            .map(|(info, at)| Glyph {
                id: info.glyph_id as u16,
                advance: at.x_advance as f32 / units,
                right: at.x_offset as f32 / units,
                up: at.y_offset as f32 / units,
                range: info.cluster as usize..end_of(info.cluster as usize),
            })
            .collect();
        Line {
            width: glyphs.iter().map(|glyph| glyph.advance).sum(),
            text,
            glyphs,
        }
    }
}

/// Cuts a word after the marks that join its parts.
fn parts(word: &str) -> impl Iterator<Item = &str> {
    word.split_inclusive(['-', '/', ',', ';', ':', '_', '+', '\u{2013}'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(lines: &[Arc<Line>]) -> Vec<&str> {
        lines.iter().map(|l| l.text.trim_end()).collect()
    }

    #[test]
    fn a_wrapped_line_ends_with_a_space_that_takes_no_width() {
        let faces = Faces::default();
        let lines = faces.wrap(Face::Regular, "East donor 1, low-band", 10.0, 50.0);
        let said: String = lines.iter().map(|l| l.text.as_str()).collect();
        assert_eq!(said, "East donor 1, low-band");
        let first = lines.first().expect("a line");
        let alone = faces.line(Face::Regular, first.text.trim_end());
        assert!((first.width(10.0) - alone.width(10.0)).abs() < 1e-3);
    }

    #[test]
    fn a_line_breaks_at_spaces_and_never_gets_wider_than_asked() {
        let faces = Faces::default();
        let text = "Press, wait five tenths, then speak; say your agency first.";
        let lines = faces.wrap(Face::Regular, text, 10.0, 90.0);
        assert!(lines.len() > 2, "{lines:?}");
        assert!(lines.iter().all(|l| l.width(10.0) <= 90.1));
        assert_eq!(texts(&lines).join(" "), text);
    }

    #[test]
    fn a_word_wider_than_the_line_breaks_inside_and_loses_nothing() {
        let faces = Faces::default();
        let word = "Llanfair-pwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch";
        let lines = faces.wrap(Face::Bold, word, 9.0, 50.0);
        assert!(lines.iter().all(|l| l.width(9.0) <= 50.1), "{lines:?}");
        assert_eq!(texts(&lines).concat(), word);
        assert_eq!(texts(&lines).first(), Some(&"Llanfair-"));
    }

    #[test]
    fn a_letter_no_face_has_is_named_and_shown_as_a_box() {
        let faces = Faces::default();
        let line = faces.line(Face::Regular, "a\u{4e2d}b \u{2192} \u{2265}");
        assert_eq!(line.text, "a\u{25a1}b \u{2192} \u{2265}");
        assert_eq!(faces.missing(), BTreeSet::from(['\u{4e2d}']));
        assert!(line.glyphs.iter().all(|g| g.id != 0), "{line:?}");
    }

    #[test]
    fn a_text_is_cut_to_the_letters_that_fit() {
        let faces = Faces::default();
        let width = faces.line(Face::Regular, "Sedge River\u{2026}").width(9.0) + 0.01;
        let cut = faces.cut(Face::Regular, "Sedge River Authority", 9.0, width);
        assert_eq!(cut.text, "Sedge River\u{2026}");
        let whole = faces.cut(Face::Regular, "Sedge", 9.0, width);
        assert_eq!(whole.text, "Sedge");
        assert_eq!(faces.cut(Face::Bold, "Sedge", 9.0, 0.1).text, "\u{2026}");
    }

    #[test]
    fn an_empty_text_is_one_empty_line() {
        let faces = Faces::default();
        assert_eq!(faces.wrap(Face::Regular, " ", 9.0, 50.0).len(), 1);
    }
}

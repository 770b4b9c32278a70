//! A face with the outlines of some glyphs only, for a drawing that carries its own letters.
//!
//! Glyphs keep their numbers and letters their glyphs; the outlines of all others are left out.
//! Source: ISO/IEC 14496-22, Open Font Format, tables `glyf`, `loca`, `head` and the table directory.

use std::collections::{BTreeMap, BTreeSet};

use super::face::Face;

/// Tables a viewer asks for, in the order of their names.
const KEPT: [&[u8; 4]; 10] = [
    b"OS/2", b"cmap", b"cvt ", b"fpgm", b"gasp", b"head", b"hhea", b"hmtx", b"maxp", b"prep",
];
/// What a file's checksum and the adjustment in `head` make together.
const MAGIC: u32 = 0xb1b0_afba;

/// Returns a font file with these glyphs and those they are made of; `None` where the face is none of
/// outlines as the format has them, which the faces that come along are.
pub fn subset(face: Face, glyphs: &BTreeSet<u16>) -> Option<Vec<u8>> {
    let file = face.bytes();
    let tables = tables(file)?;
    let head = tables.get(b"head")?;
    let outlines = Outlines {
        glyf: tables.get(b"glyf")?,
        loca: tables.get(b"loca")?,
        is_long: short(head, 50)? == 1,
    };
    let count = short(tables.get(b"maxp")?, 4)?;
    let kept = outlines.with_parts(glyphs);
    let (mut glyf, mut loca) = (Vec::new(), Vec::new());
    for glyph in 0..count {
        loca.extend((glyf.len() as u32).to_be_bytes());
        if kept.contains(&glyph) {
            glyf.extend(outlines.of(glyph)?);
            pad(&mut glyf);
        }
    }
    loca.extend((glyf.len() as u32).to_be_bytes());
    let mut head = head.to_vec();
    head.get_mut(8..12)?.fill(0);
    head.get_mut(50..52)?.copy_from_slice(&[0, 1]);
    // Names of glyphs and of the face are of no use in a drawing.
    let mut post = tables.get(b"post")?.get(..32)?.to_vec();
    post.get_mut(..4)?.copy_from_slice(&[0, 3, 0, 0]);
    let mut made: BTreeMap<[u8; 4], Vec<u8>> = BTreeMap::new();
    for tag in KEPT {
        if let Some(table) = tables.get(tag) {
            made.insert(*tag, table.to_vec());
        }
    }
    made.insert(*b"head", head);
    made.insert(*b"glyf", glyf);
    made.insert(*b"loca", loca);
    made.insert(*b"post", post);
    made.insert(*b"name", vec![0, 0, 0, 0, 0, 6]);
    written(file, &made)
}

struct Outlines<'a> {
    glyf: &'a [u8],
    loca: &'a [u8],
    is_long: bool,
}

impl<'a> Outlines<'a> {
    /// Returns the outline of a glyph; empty for one that shows nothing.
    fn of(&self, glyph: u16) -> Option<&'a [u8]> {
        let glyph = usize::from(glyph);
        let at = |place: usize| -> Option<usize> {
            Some(if self.is_long {
                long(self.loca, place * 4)? as usize
            } else {
                usize::from(short(self.loca, place * 2)?) * 2
            })
        };
        self.glyf.get(at(glyph)?..at(glyph + 1)?)
    }

    /// Returns glyphs with all that they are put together from.
    fn with_parts(&self, glyphs: &BTreeSet<u16>) -> BTreeSet<u16> {
        // The first glyph stands for whatever a face lacks.
        let mut waiting: Vec<u16> = glyphs.iter().copied().chain([0]).collect();
        let mut all = BTreeSet::new();
        while let Some(glyph) = waiting.pop() {
            if all.insert(glyph) {
                waiting.extend(self.parts(glyph).unwrap_or_default());
            }
        }
        all
    }

    /// Lists the parts of a glyph that is put together from others.
    fn parts(&self, glyph: u16) -> Option<Vec<u16>> {
        const WORDS: u16 = 0x0001;
        const SCALE: u16 = 0x0008;
        const MORE: u16 = 0x0020;
        const TWO_SCALES: u16 = 0x0040;
        const FOUR_SCALES: u16 = 0x0080;
        let outline = self.of(glyph)?;
        let mut parts = Vec::new();
        // A number of contours below nothing says that it is put together.
        if short(outline, 0)? < 0x8000 {
            return Some(parts);
        }
        let mut at = 10;
        loop {
            let flags = short(outline, at)?;
            parts.push(short(outline, at + 2)?);
            at += 4 + if flags & WORDS == 0 { 2 } else { 4 };
            at += match flags {
                f if f & SCALE != 0 => 2,
                f if f & TWO_SCALES != 0 => 4,
                f if f & FOUR_SCALES != 0 => 8,
                _ => 0,
            };
            if flags & MORE == 0 {
                return Some(parts);
            }
        }
    }
}

fn tables(file: &[u8]) -> Option<BTreeMap<[u8; 4], &[u8]>> {
    let count = usize::from(short(file, 4)?);
    (0..count)
        .map(|i| {
            let record = 12 + i * 16;
            let tag: [u8; 4] = file.get(record..record + 4)?.try_into().ok()?;
            let from = long(file, record + 8)? as usize;
            let size = long(file, record + 12)? as usize;
            Some((tag, file.get(from..from + size)?))
        })
        .collect()
}

fn written(original: &[u8], tables: &BTreeMap<[u8; 4], Vec<u8>>) -> Option<Vec<u8>> {
    let count = tables.len() as u16;
    let steps = count.ilog2() as u16;
    let range = 16 << steps;
    let mut file = original.get(..4)?.to_vec();
    for word in [count, range, steps, count * 16 - range] {
        file.extend(word.to_be_bytes());
    }
    let mut at = 12 + tables.len() * 16;
    for (tag, table) in tables {
        file.extend(tag);
        for word in [sum(table), at as u32, table.len() as u32] {
            file.extend(word.to_be_bytes());
        }
        at += table.len().next_multiple_of(4);
    }
    let mut adjustment = 0;
    for (tag, table) in tables {
        if tag == b"head" {
            adjustment = file.len() + 8;
        }
        file.extend(table);
        pad(&mut file);
    }
    let whole = MAGIC.wrapping_sub(sum(&file));
    let place = file.get_mut(adjustment..adjustment + 4)?;
    place.copy_from_slice(&whole.to_be_bytes());
    Some(file)
}

fn pad(bytes: &mut Vec<u8>) {
    bytes.resize(bytes.len().next_multiple_of(4), 0);
}

/// Adds up a table as numbers of four bytes.
fn sum(table: &[u8]) -> u32 {
    table.chunks(4).fold(0, |sum: u32, chunk| {
        let mut four = [0; 4];
        for (to, from) in four.iter_mut().zip(chunk) {
            *to = *from;
        }
        sum.wrapping_add(u32::from_be_bytes(four))
    })
}

fn short(table: &[u8], at: usize) -> Option<u16> {
    Some(u16::from_be_bytes(table.get(at..at + 2)?.try_into().ok()?))
}

fn long(table: &[u8], at: usize) -> Option<u32> {
    Some(u32::from_be_bytes(table.get(at..at + 4)?.try_into().ok()?))
}

#[cfg(test)]
mod tests {
    use rustybuzz::ttf_parser::{self, GlyphId, OutlineBuilder};

    use super::*;

    /// The outline of a glyph as text.
    #[derive(Default)]
    struct Told(String);

    impl OutlineBuilder for Told {
        fn move_to(&mut self, x: f32, y: f32) {
            self.0.push_str(&format!("M{x} {y}"));
        }
        fn line_to(&mut self, x: f32, y: f32) {
            self.0.push_str(&format!("L{x} {y}"));
        }
        fn quad_to(&mut self, a: f32, b: f32, x: f32, y: f32) {
            self.0.push_str(&format!("Q{a} {b} {x} {y}"));
        }
        fn curve_to(&mut self, a: f32, b: f32, c: f32, d: f32, x: f32, y: f32) {
            self.0.push_str(&format!("C{a} {b} {c} {d} {x} {y}"));
        }
        fn close(&mut self) {
            self.0.push('Z');
        }
    }

    fn outline(face: &ttf_parser::Face<'_>, letter: char) -> String {
        let mut told = Told::default();
        let glyph = face.glyph_index(letter).unwrap_or(GlyphId(0));
        let _bounds = face.outline_glyph(glyph, &mut told);
        told.0
    }

    #[test]
    fn the_letters_asked_for_are_whole_and_the_others_are_gone() {
        for face in Face::ALL {
            let whole = ttf_parser::Face::parse(face.bytes(), 0).expect("a font");
            // The letter with an accent is put together from two others.
            let letters = ['A', 'g', '\u{c9}', '7'];
            let glyphs = letters.map(|l| whole.glyph_index(l).expect("it has it").0);
            let made = subset(face, &BTreeSet::from(glyphs)).expect("a font with outlines");
            assert!(made.len() < 90_000, "{} bytes", made.len());
            let part = ttf_parser::Face::parse(&made, 0).expect("still a font");
            for letter in letters {
                assert_eq!(outline(&part, letter), outline(&whole, letter), "{letter}");
                assert!(!outline(&whole, letter).is_empty());
            }
            assert_eq!(outline(&part, 'Q'), "");
            assert_eq!(sum(&made), MAGIC);
        }
    }
}

//! Lines of text as they were laid out, kept from frame to frame: a crowded board writes hundreds of names,
//! and most of them read the same in the next frame at the next scale.
//!
//! What is kept points into the image of all letters. When that is made anew, everything is laid out again.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::{Color32, FontFamily, FontId, Galley, Painter};

use crate::app::theme::{SEMIBOLD, laid_out, shortened_to};

/// Steps between two sizes of text, in window points: while the board is zoomed, most frames find their
/// text laid out.
const STEP: f32 = 0.5;
/// Most lines of text that are kept.
const MOST: usize = 4_000;

/// Whoever draws a text says its colour.
const INK: Color32 = Color32::PLACEHOLDER;

/// The weight of text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Weight {
    /// The plain face.
    Plain,
    /// The heavier face.
    Strong,
}

/// All that is kept.
#[derive(Debug, Default)]
pub(super) struct Texts {
    /// A text that egui keeps for as long as the image of all letters is the same.
    witness: Option<Arc<Galley>>,
    /// Counts the images of letters.
    letters: u64,
    kept: BTreeMap<Style, BTreeMap<String, Text>>,
    /// How many texts are kept, whole and shortened.
    count: usize,
}

/// How a text looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Style {
    /// Its size in steps.
    steps: u16,
    weight: Weight,
}

impl Style {
    /// Returns the style of a size in window points, on the nearest step.
    pub(super) fn new(size: f32, weight: Weight) -> Self {
        Self {
            steps: (size / STEP).round() as u16,
            weight,
        }
    }

    fn font(self) -> FontId {
        let family = match self.weight {
            Weight::Plain => FontFamily::Proportional,
            Weight::Strong => FontFamily::Name(SEMIBOLD.into()),
        };
        FontId::new(f32::from(self.steps) * STEP, family)
    }
}

#[derive(Debug)]
struct Text {
    whole: Arc<Galley>,
    /// Shortened to rooms in whole window points.
    short: BTreeMap<u16, Arc<Galley>>,
}

impl Texts {
    /// Forgets everything if the image of all letters was made anew; to be called once a frame.
    pub(super) fn begin(&mut self, painter: &Painter) {
        let font = FontId::proportional(12.0);
        let witness = laid_out(painter, "0".to_owned(), font, INK, f32::INFINITY);
        let is_same = self
            .witness
            .as_ref()
            .is_some_and(|last| Arc::ptr_eq(last, &witness));
        self.letters += u64::from(!is_same);
        if !is_same || self.count > MOST {
            self.kept.clear();
            self.count = 0;
        }
        self.witness = Some(witness);
    }

    /// Returns the number of the image of letters; what points into another is worth nothing.
    pub(super) fn letters(&self) -> u64 {
        self.letters
    }

    /// Returns one line of text, with dots in its middle where it does not fit a width in window points.
    pub(super) fn line(
        &mut self,
        painter: &Painter,
        text: &str,
        style: Style,
        width: f32,
    ) -> Arc<Galley> {
        let of_style = self.kept.entry(style).or_default();
        if !of_style.contains_key(text) {
            let whole = laid_out(painter, text.to_owned(), style.font(), INK, f32::INFINITY);
            self.count += 1;
            let short = BTreeMap::new();
            of_style.insert(text.to_owned(), Text { whole, short });
        }
        let Some(kept) = of_style.get_mut(text) else {
            return laid_out(painter, text.to_owned(), style.font(), INK, width);
        };
        if kept.whole.size().x <= width {
            return Arc::clone(&kept.whole);
        }
        let room = width.floor() as u16;
        let short = kept.short.entry(room).or_insert_with(|| {
            self.count += 1;
            let room = f32::from(room);
            shortened_to(painter, &kept.whole, style.font(), INK, room)
        });
        Arc::clone(short)
    }
}

#[cfg(test)]
mod tests {
    use egui::{Context, RawInput};

    use super::*;

    fn in_frame(ctx: &Context, mut show: impl FnMut(&Painter)) {
        let mut output = ctx.run_ui(RawInput::default(), |ui| show(ui.painter()));
        // Nobody draws it.
        output.textures_delta.clear();
    }

    fn said(galley: &Galley) -> String {
        let glyphs = galley.rows.iter().flat_map(|row| &row.row.glyphs);
        glyphs.map(|g| g.chr).collect()
    }

    fn style(size: f32) -> Style {
        Style::new(size, Weight::Plain)
    }

    #[test]
    fn a_text_is_laid_out_once_for_many_frames() {
        let ctx = Context::default();
        let mut texts = Texts::default();
        let mut seen: Vec<Arc<Galley>> = Vec::new();
        for _ in 0..4 {
            in_frame(&ctx, |painter| {
                texts.begin(painter);
                seen.push(texts.line(painter, "Engine 9", style(12.1), 200.0));
                seen.push(texts.line(painter, "Harrow Fire Department 12", style(12.0), 70.4));
            });
        }
        let (Some(whole), Some(short)) = (seen.first(), seen.get(1)) else {
            panic!("two were laid out");
        };
        assert_eq!(said(whole), "Engine 9");
        assert!(said(short).contains('…') && short.size().x <= 70.4);
        for pair in seen.chunks(2) {
            assert!(Arc::ptr_eq(&pair[0], whole) && Arc::ptr_eq(&pair[1], short));
        }
    }

    #[test]
    fn size_and_room_each_make_another_text() {
        let ctx = Context::default();
        let mut texts = Texts::default();
        in_frame(&ctx, |painter| {
            texts.begin(painter);
            let name = "Harrow Fire Department 12";
            let all = [
                texts.line(painter, name, style(12.0), 900.0),
                texts.line(painter, name, style(12.5), 900.0),
                texts.line(painter, name, style(12.0), 90.0),
                texts.line(painter, name, style(12.0), 60.0),
                texts.line(painter, "Harrow Fire Department 13", style(12.0), 900.0),
            ];
            assert_ne!(Style::new(12.0, Weight::Strong), style(12.0));
            for (i, a) in all.iter().enumerate() {
                for b in &all[i + 1..] {
                    assert!(!Arc::ptr_eq(a, b), "{} and {}", said(a), said(b));
                }
            }
        });
    }

    #[test]
    fn nothing_is_kept_beyond_a_bound_or_a_new_image_of_letters() {
        let ctx = Context::default();
        let mut texts = Texts::default();
        in_frame(&ctx, |painter| {
            texts.begin(painter);
            for i in 0..=MOST {
                texts.line(painter, &i.to_string(), style(12.0), 900.0);
            }
        });
        assert!(texts.count > MOST);
        in_frame(&ctx, |painter| {
            texts.begin(painter);
            assert_eq!((texts.count, texts.kept.len()), (0, 0));
            texts.line(painter, "Engine 9", style(12.0), 900.0);
            assert_eq!(texts.count, 1);
        });
        let mut fonts = egui::FontDefinitions::default();
        for faces in fonts.families.values_mut() {
            faces.reverse();
        }
        ctx.set_fonts(fonts);
        in_frame(&ctx, |painter| {
            texts.begin(painter);
            assert_eq!(texts.count, 0, "letters stand elsewhere in the new image");
        });
    }
}

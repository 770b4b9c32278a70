//! A page as dots: for PNG files and for looking at a page before it is printed.

use resvg::tiny_skia::{
    Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash,
    Transform,
};
use rustybuzz::ttf_parser::OutlineBuilder;

use super::face::Faces;
use super::ink::{Ink, Pen, Step, Text, Tint};
use super::sheet::Page;

/// Most dots along one side of a picture.
pub const MOST_DOTS: u32 = 16_000;

/// A page as dots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dots {
    /// Across.
    pub width: u32,
    /// Down.
    pub height: u32,
    /// Red, green, blue and opacity of each, row by row; all are opaque.
    pub rgba: Vec<u8>,
}

/// Draws a page at a number of dots for each point; 1 is 72 dots an inch.
///
/// # Errors
///
/// In a sentence: the picture would be larger than [`MOST_DOTS`] along a side.
pub fn dots(faces: &Faces, page: &Page, scale: f32) -> Result<Dots, String> {
    let pixmap = draw(faces, page, scale)?;
    Ok(Dots {
        width: pixmap.width(),
        height: pixmap.height(),
        rgba: pixmap.take(),
    })
}

/// Writes a page as a PNG file, at a number of dots for each point.
///
/// # Errors
///
/// As [`dots`].
pub fn write(faces: &Faces, page: &Page, scale: f32) -> Result<Vec<u8>, String> {
    draw(faces, page, scale)?
        .encode_png()
        .map_err(|error| error.to_string())
}

fn draw(faces: &Faces, page: &Page, scale: f32) -> Result<Pixmap, String> {
    let side = |points: f32| (points * scale).round().max(1.0) as u32;
    let (width, height) = (side(page.size.x), side(page.size.y));
    if width.max(height) > MOST_DOTS {
        return Err(format!(
            "{width} by {height} dots are more than {MOST_DOTS} along a side; choose a smaller paper"
        ));
    }
    let mut pixmap = Pixmap::new(width, height).ok_or("the page has no size")?;
    pixmap.fill(Color::WHITE);
    let to_dots = Transform::from_scale(scale, scale);
    for ink in page.items.iter().flat_map(|item| &item.inks) {
        match ink {
            Ink::Text(text) => draw_text(&mut pixmap, faces, text, to_dots),
            Ink::Shape { steps, fill, pen } => {
                if let Some(path) = path(steps) {
                    if let Some(tint) = fill {
                        pixmap.fill_path(&path, &paint(*tint), FillRule::Winding, to_dots, None);
                    }
                    if let Some(pen) = pen {
                        pixmap.stroke_path(&path, &paint(pen.tint), &stroke(*pen), to_dots, None);
                    }
                }
            }
            Ink::Picture { rect, logo } => {
                let size = logo.size();
                let place = to_dots
                    .pre_translate(rect.min.x, rect.min.y)
                    .pre_scale(rect.width() / size.x, rect.height() / size.y);
                resvg::render(logo.tree(), place, &mut pixmap.as_mut());
            }
        }
    }
    Ok(pixmap)
}

fn paint(tint: Tint) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(tint.0, tint.1, tint.2, 255);
    paint
}

fn stroke(pen: Pen) -> Stroke {
    Stroke {
        width: pen.width,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        dash: pen
            .dash
            .and_then(|(on, off)| StrokeDash::new(vec![on, off], 0.0)),
        ..Stroke::default()
    }
}

fn path(steps: &[Step]) -> Option<Path> {
    let mut path = PathBuilder::new();
    for step in steps {
        match *step {
            Step::Move(p) => path.move_to(p.x, p.y),
            Step::Line(p) => path.line_to(p.x, p.y),
            Step::Curve(a, b, p) => path.cubic_to(a.x, a.y, b.x, b.y, p.x, p.y),
            Step::Close => path.close(),
        }
    }
    path.finish()
}

struct Outline(PathBuilder);

impl OutlineBuilder for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.move_to(x, -y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line_to(x, -y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        self.0.quad_to(x1, -y1, x, -y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        self.0.cubic_to(x1, -y1, x2, -y2, x, -y);
    }
    fn close(&mut self) {
        self.0.close();
    }
}

fn draw_text(pixmap: &mut Pixmap, faces: &Faces, text: &Text, to_dots: Transform) {
    let em = text.size / faces.units(text.face);
    let paint = paint(text.tint);
    let base = to_dots.pre_translate(text.at.x, text.at.y);
    let base = if text.is_turned {
        // To the right becomes upward, and downward to the right.
        base.pre_concat(Transform::from_row(0.0, -1.0, 1.0, 0.0, 0.0, 0.0))
    } else {
        base
    };
    let mut x = 0.0;
    for glyph in &text.line.glyphs {
        let mut outline = Outline(PathBuilder::new());
        faces.outline(text.face, glyph.id, &mut outline);
        if let Some(path) = outline.0.finish() {
            let place = base
                .pre_translate(x + glyph.right * text.size, -glyph.up * text.size)
                .pre_scale(em, em);
            pixmap.fill_path(&path, &paint, FillRule::Winding, place, None);
        }
        x += glyph.advance * text.size;
    }
}

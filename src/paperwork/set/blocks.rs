//! The blocks pages are made of: headings, paragraphs, lists, labelled boxes of a form, drawings.

use emath::{Rect, Vec2, pos2, vec2};

use super::composer::{Composer, Pad, leading};
use super::face::Face;
use super::ink::{Ink, Pen, Tint};
use super::sheet::Role;

/// A labelled box of a form.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// The label printed in it.
    pub label: String,
    /// What is filled in; empty to be written in by hand.
    pub value: String,
    /// Its share of the width, against its neighbours'.
    pub share: f32,
}

impl Field {
    /// A box.
    pub fn new(label: &str, value: impl Into<String>, share: f32) -> Self {
        Self {
            label: label.to_owned(),
            value: value.into(),
            share,
        }
    }
}

/// Size of the label of a box.
const LABEL: f32 = 7.0;
/// Size of what is filled in.
const VALUE: f32 = 9.5;

impl Composer<'_> {
    /// Sets a heading, never at the foot of a page.
    pub fn heading(&mut self, level: u16, text: &str) {
        let size = match level {
            1 => 15.0,
            2 => 12.0,
            _ => 10.0,
        };
        self.heading_sized(level, text, size);
    }

    /// Sets a heading of a size.
    pub fn heading_sized(&mut self, level: u16, text: &str, size: f32) {
        self.need(leading(size) + 40.0);
        self.begin(Role::Heading(level, text.to_owned()));
        let mut pad = self.pad();
        let (at, width) = (pad.area.min, pad.area.width());
        let height = pad.wrapped(at, width, Face::Bold, size, Tint::BLACK, text);
        self.draw(pad.inks);
        self.end();
        self.y += height + size * 0.25;
    }

    /// Sets a paragraph.
    pub fn paragraph(&mut self, text: &str, face: Face, size: f32) {
        self.paragraph_in(text, face, size, Tint::BLACK, 0.0, None);
    }

    /// Sets a paragraph after a mark of its own, such as a number.
    pub fn marked(&mut self, mark: &str, text: &str, size: f32, indent: f32) {
        self.paragraph_in(text, Face::Regular, size, Tint::BLACK, indent, Some(mark));
    }

    /// Sets a paragraph line by line, over pages where it must.
    pub fn paragraph_in(
        &mut self,
        text: &str,
        face: Face,
        size: f32,
        tint: Tint,
        indent: f32,
        mark: Option<&str>,
    ) {
        let lines = self.faces.wrap(face, text, size, self.width() - indent);
        self.begin(Role::Paragraph);
        for (i, line) in lines.into_iter().enumerate() {
            self.need(leading(size));
            let mut pad = self.pad();
            let at = pad.area.min;
            if let Some(mark) = mark.filter(|_| i == 0) {
                pad.text(at, Face::Bold, size, tint, mark);
            }
            pad.line(pos2(at.x + indent, at.y), face, size, tint, line);
            let inks = pad.inks;
            if !inks.is_empty() {
                self.draw(inks);
            }
            self.y += leading(size);
        }
        self.end();
    }

    /// Sets a row of labelled boxes side by side, as high as the highest needs.
    pub fn fields(&mut self, fields: &[Field]) {
        let height = fields_height(self, fields);
        self.need(height);
        let rects = field_rects(self.pad().area, fields, height);
        for (field, rect) in fields.iter().zip(rects) {
            self.begin(Role::Paragraph);
            let mut pad = self.pad();
            field_ink(&mut pad, field, rect);
            self.draw(pad.inks);
            self.end();
        }
        self.y += height;
    }

    /// Sets a labelled box over the whole width for lines of text, over pages where it must; at least
    /// so high.
    pub fn text_box(&mut self, label: &str, lines: &[String], least: f32) {
        let size = 8.5;
        let width = self.width() - 8.0;
        let mut rest: Vec<_> = lines
            .iter()
            .flat_map(|line| self.faces.wrap(Face::Regular, line, size, width))
            .collect();
        rest.reverse();
        let mut is_first = true;
        self.need(least.min(120.0));
        while is_first || !rest.is_empty() {
            let high = leading(LABEL + 1.0) + 4.0;
            let fits = ((self.room() - high - 4.0) / leading(size))
                .floor()
                .max(0.0) as usize;
            if fits == 0 && !rest.is_empty() {
                self.next_page();
                continue;
            }
            let count = fits.min(rest.len());
            let height = (high + count as f32 * leading(size) + 4.0).max(least.min(self.room()));
            let mut pad = self.pad();
            let rect = Rect::from_min_size(pad.area.min, vec2(pad.area.width(), height));
            let label = if is_first {
                label.to_owned()
            } else {
                format!("{label} (continued)")
            };
            // The label is the heading of what is in the box.
            let mut head = Pad::new(self.faces, rect);
            let edge = Pen::new(Tint::BLACK, 0.75);
            head.inks.push(Ink::rect(rect, None, Some(edge)));
            let at = rect.min + vec2(4.0, 3.0);
            head.text(at, Face::Bold, LABEL + 1.0, Tint::BLACK, &label);
            if is_first {
                self.begin(Role::Heading(2, label));
                self.draw(head.inks);
                self.end();
            } else {
                self.artifact(head.inks);
            }
            for i in 0..count {
                if let Some(line) = rest.pop() {
                    let at = rect.min + vec2(4.0, high + i as f32 * leading(size));
                    pad.line(at, Face::Regular, size, Tint::BLACK, line);
                }
            }
            if !pad.inks.is_empty() {
                self.begin(Role::Paragraph);
                self.draw(pad.inks);
                self.end();
            }
            self.y += height;
            is_first = false;
            if !rest.is_empty() {
                self.next_page();
            }
        }
    }

    /// Sets a drawing that says in words what it shows; it is drawn within the size given.
    pub fn figure(&mut self, says: &str, size: Vec2, draw: impl FnOnce(&mut Pad<'_>)) {
        self.need(size.y);
        let area = Rect::from_min_size(pos2(self.left(), self.y), size);
        let mut pad = Pad::new(self.faces, area);
        draw(&mut pad);
        self.begin(Role::Figure(says.to_owned()));
        self.draw_saying(pad.inks, None);
        self.end();
        self.y += size.y;
    }
}

/// Returns how high a row of boxes is.
pub fn fields_height(composer: &Composer<'_>, fields: &[Field]) -> f32 {
    let width = composer.width();
    let whole: f32 = fields.iter().map(|f| f.share).sum();
    let lines = fields.iter().map(|field| {
        let width = width * field.share / whole - 8.0;
        let label = composer.faces.wrap(Face::Bold, &field.label, LABEL, width);
        let value = composer
            .faces
            .wrap(Face::Regular, &field.value, VALUE, width);
        label.len() as f32 * leading(LABEL) + value.len() as f32 * leading(VALUE)
    });
    lines.fold(0.0, f32::max) + 6.0
}

fn field_rects(area: Rect, fields: &[Field], height: f32) -> Vec<Rect> {
    let whole: f32 = fields.iter().map(|f| f.share).sum();
    let mut x = area.min.x;
    fields
        .iter()
        .map(|field| {
            let width = area.width() * field.share / whole;
            let rect = Rect::from_min_size(pos2(x, area.min.y), vec2(width, height));
            x += width;
            rect
        })
        .collect()
}

/// Draws boxes side by side outside the flow, as a running head; returns how high they are.
pub fn running_fields(pad: &mut Pad<'_>, fields: &[Field], height: f32) -> f32 {
    for (field, rect) in fields.iter().zip(field_rects(pad.area, fields, height)) {
        field_ink(pad, field, rect);
    }
    height
}

fn field_ink(pad: &mut Pad<'_>, field: &Field, rect: Rect) {
    pad.inks
        .push(Ink::rect(rect, None, Some(Pen::new(Tint::BLACK, 0.75))));
    let at = rect.min + vec2(4.0, 3.0);
    let width = rect.width() - 8.0;
    let down = pad.wrapped(at, width, Face::Bold, LABEL, Tint::BLACK, &field.label);
    pad.wrapped(
        at + vec2(0.0, down),
        width,
        Face::Regular,
        VALUE,
        Tint::BLACK,
        &field.value,
    );
}

//! Sets a document from top to bottom: keeps the page, the height reached and the open elements.
//!
//! What a block looks like is said in `blocks` and `table`; this file only knows where there is room.

use std::sync::Arc;

use emath::{Pos2, Rect, Vec2, pos2};

use super::face::{Face, Faces, Line};
use super::ink::{Ink, Text, Tint};
use super::sheet::{Child, Document, Element, Item, Page, Role};

/// What stands at the top of every page after the first; returns its height, in points.
pub type Running<'a> = Box<dyn Fn(&mut Pad<'_>) -> f32 + 'a>;

/// Sets one document.
pub struct Composer<'a> {
    /// The letters.
    pub faces: &'a Faces,
    size: Vec2,
    margin: Margin,
    pages: Vec<Page>,
    open: Vec<Element>,
    /// Down to where the page is full already.
    pub y: f32,
    running: Option<Running<'a>>,
}

/// The white around what is printed, in points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// Left and right.
    pub side: f32,
    /// Above.
    pub top: f32,
    /// Below, with the foot in it.
    pub bottom: f32,
}

/// Ink being laid down at a place.
pub struct Pad<'a> {
    /// The letters.
    pub faces: &'a Faces,
    /// Where it may draw.
    pub area: Rect,
    /// What was drawn.
    pub inks: Vec<Ink>,
}

impl<'a> Pad<'a> {
    /// Begins with nothing drawn.
    pub fn new(faces: &'a Faces, area: Rect) -> Self {
        Self {
            faces,
            area,
            inks: Vec::new(),
        }
    }

    /// Draws a text as one line, its top left at a place; returns how wide it is.
    pub fn text(&mut self, at: Pos2, face: Face, size: f32, tint: Tint, text: &str) -> f32 {
        let line = self.alone(face, text);
        let width = line.width(size);
        self.line(at, face, size, tint, line);
        width
    }

    /// Shapes a text that is whole on one line, so that it does not run into the next one for whoever
    /// reads the text of the page.
    fn alone(&self, face: Face, text: &str) -> Arc<Line> {
        let line = self.faces.line(face, text);
        self.faces.before_another(face, &line)
    }

    /// Draws a shaped line, its top left at a place.
    pub fn line(&mut self, at: Pos2, face: Face, size: f32, tint: Tint, line: Arc<Line>) {
        if line.text.is_empty() {
            return;
        }
        let at = pos2(at.x, at.y + ascent(size));
        self.inks.push(Ink::Text(Text {
            at,
            face,
            size,
            tint,
            line,
            is_turned: false,
        }));
    }

    /// Draws a shaped line that reads upward, its lower left corner at a place.
    pub fn turned(&mut self, at: Pos2, face: Face, size: f32, tint: Tint, line: Arc<Line>) {
        if line.text.is_empty() {
            return;
        }
        self.inks.push(Ink::Text(Text {
            at: pos2(at.x + ascent(size), at.y),
            face,
            size,
            tint,
            line,
            is_turned: true,
        }));
    }

    /// Draws a text broken to a width; returns how high it is.
    pub fn wrapped(
        &mut self,
        at: Pos2,
        width: f32,
        face: Face,
        size: f32,
        tint: Tint,
        text: &str,
    ) -> f32 {
        let mut lines = self.faces.wrap(face, text, size, width);
        let count = lines.len();
        if let Some(last) = lines.last_mut() {
            *last = self.faces.before_another(face, last);
        }
        for (i, line) in lines.into_iter().enumerate() {
            let at = pos2(at.x, at.y + i as f32 * leading(size));
            self.line(at, face, size, tint, line);
        }
        count as f32 * leading(size)
    }

    /// Draws a text as one line, its middle at a place across and its top at one down.
    pub fn centred(&mut self, at: Pos2, face: Face, size: f32, tint: Tint, text: &str) {
        let line = self.alone(face, text);
        let at = pos2(at.x - line.width(size) / 2.0, at.y);
        self.line(at, face, size, tint, line);
    }

    /// Draws a text as one line made shorter until it fits a width, with dots where it ends early.
    pub fn fitted(
        &mut self,
        at: Pos2,
        width: f32,
        face: Face,
        size: f32,
        tint: Tint,
        text: &str,
    ) -> f32 {
        let line = self.faces.cut(face, text, size, width);
        let line = self.faces.before_another(face, &line);
        let wide = line.width(size);
        self.line(at, face, size, tint, line);
        wide
    }
}

/// Returns how far the first base line is below the top of a text, in points.
pub fn ascent(size: f32) -> f32 {
    size * 0.95
}

/// Returns how far lines are apart, in points.
pub fn leading(size: f32) -> f32 {
    size * 1.2
}

impl<'a> Composer<'a> {
    /// Begins a document on an empty page.
    pub fn new(faces: &'a Faces, size: Vec2, margin: Margin) -> Self {
        let mut composer = Self {
            faces,
            size,
            margin,
            pages: Vec::new(),
            open: vec![Element {
                role: Role::Section,
                children: Vec::new(),
            }],
            y: margin.top,
            running: None,
        };
        composer.blank_page();
        composer
    }

    /// Says what stands at the top of every following page.
    pub fn set_running(&mut self, running: Option<Running<'a>>) {
        self.running = running;
    }

    /// Returns the left edge of what is printed.
    pub fn left(&self) -> f32 {
        self.margin.side
    }

    /// Returns the width of what is printed.
    pub fn width(&self) -> f32 {
        self.size.x - 2.0 * self.margin.side
    }

    /// Returns the height left on the page.
    pub fn room(&self) -> f32 {
        self.size.y - self.margin.bottom - self.y
    }

    /// Returns the height of what is printed on a page.
    pub fn room_of_a_page(&self) -> f32 {
        self.size.y - self.margin.bottom - self.margin.top
    }

    /// Returns the smallest letters on the last page, in points; `None` where it has none.
    pub fn smallest(&self) -> Option<f32> {
        let inks = self.pages.last()?.items.iter().flat_map(|i| &i.inks);
        let sizes = inks.filter_map(|ink| match ink {
            Ink::Text(text) => Some(text.size),
            Ink::Shape { .. } | Ink::Picture { .. } => None,
        });
        sizes.reduce(f32::min)
    }

    /// Returns how many pages there are.
    pub fn page_count(&self) -> usize {
        self.pages.len()
    }

    /// Returns a place to draw on that begins at the height reached and has the width of the page.
    pub fn pad(&self) -> Pad<'a> {
        let min = pos2(self.left(), self.y);
        let max = pos2(self.left() + self.width(), self.size.y - self.margin.bottom);
        Pad::new(self.faces, Rect::from_min_max(min, max))
    }

    /// Goes to a new page, with its running head.
    pub fn next_page(&mut self) {
        self.blank_page();
        if let Some(running) = self.running.take() {
            let mut pad = self.pad();
            let height = running(&mut pad);
            self.y += height;
            self.artifact(pad.inks);
            self.running = Some(running);
        }
    }

    /// Goes to a new page of another size.
    pub fn next_page_of(&mut self, size: Vec2) {
        self.size = size;
        self.next_page();
    }

    fn blank_page(&mut self) {
        self.pages.push(Page {
            size: self.size,
            items: Vec::new(),
        });
        self.y = self.margin.top;
    }

    /// Goes to a new page unless so much height is left.
    pub fn need(&mut self, height: f32) {
        if self.room() < height && self.y > self.margin.top + 1.0 {
            self.next_page();
        }
    }

    /// Leaves a gap.
    pub fn gap(&mut self, height: f32) {
        self.y += height;
    }

    /// Opens an element; what is drawn from here on is in it.
    pub fn begin(&mut self, role: Role) {
        self.open.push(Element {
            role,
            children: Vec::new(),
        });
    }

    /// Closes the element opened last.
    pub fn end(&mut self) {
        // The outermost one stays open until the document is finished.
        if self.open.len() > 1
            && let Some(element) = self.open.pop()
        {
            self.adopt(Child::Element(element));
        }
    }

    fn adopt(&mut self, child: Child) {
        if let Some(parent) = self.open.last_mut() {
            parent.children.push(child);
        }
    }

    /// Draws a part of the element that is open.
    pub fn draw(&mut self, inks: Vec<Ink>) {
        self.draw_saying(inks, None);
    }

    /// Draws a part of the element that is open, and says in words what the ink does not.
    pub fn draw_saying(&mut self, inks: Vec<Ink>, says: Option<String>) {
        let page = self.pages.len() - 1;
        let item = self.put(Item {
            is_artifact: false,
            says,
            inks,
        });
        self.adopt(Child::Item { page, item });
    }

    /// Draws what is no part of what the document says.
    pub fn artifact(&mut self, inks: Vec<Ink>) {
        if !inks.is_empty() {
            self.put(Item {
                is_artifact: true,
                says: None,
                inks,
            });
        }
    }

    fn put(&mut self, item: Item) -> usize {
        let Some(page) = self.pages.last_mut() else {
            return 0;
        };
        page.items.push(item);
        page.items.len() - 1
    }

    /// Finishes the document; the foot is drawn on every page, told the page and how many there are.
    pub fn finish(mut self, title: &str, foot: impl Fn(&mut Pad<'_>, usize, usize)) -> Document {
        while self.open.len() > 1 {
            self.end();
        }
        let count = self.pages.len();
        for (i, page) in self.pages.iter_mut().enumerate() {
            let top = page.size.y - self.margin.bottom + 6.0;
            let area = Rect::from_min_max(
                pos2(self.margin.side, top),
                pos2(page.size.x - self.margin.side, page.size.y),
            );
            let mut pad = Pad::new(self.faces, area);
            foot(&mut pad, i + 1, count);
            if !pad.inks.is_empty() {
                page.items.push(Item {
                    is_artifact: true,
                    says: None,
                    inks: pad.inks,
                });
            }
        }
        Document {
            title: title.to_owned(),
            pages: self.pages,
            tree: self.open,
            missing: self.faces.missing(),
        }
    }
}

impl std::fmt::Debug for Composer<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Composer")
            .field("pages", &self.pages.len())
            .field("y", &self.y)
            .finish_non_exhaustive()
    }
}

impl std::fmt::Debug for Pad<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pad")
            .field("area", &self.area)
            .finish_non_exhaustive()
    }
}

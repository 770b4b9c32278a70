//! What stands around a drawing: title, caution and page number, in sizes that grow with the paper.

use emath::{Pos2, Rect, Vec2, pos2, vec2};

use super::fit::{Side, Type, fit, put, write};
use super::legend::Legend;
use crate::paperwork::given::Given;
use crate::paperwork::on::{Letterhead, letterhead};
use crate::paperwork::period::Period;
use crate::paperwork::set::composer::{Composer, Margin, Pad, leading};
use crate::paperwork::set::face::Faces;
use crate::paperwork::set::ink::{Ink, Pen, Tint};
use crate::paperwork::set::sheet::{Document, Paper, Role};
use crate::picture::Picture;

/// What every drawing says at its foot.
pub const CAUTION: &str = "A plan is proved only on the air: test before relying on it";

/// Smallest letters that are read at arm's length, in points. Common practice, no source.
pub const READABLE: f32 = 5.0;
/// Height of the logo on a letter-size page, in points.
const LETTERHEAD: f32 = 26.0;

/// A drawing in the making.
pub(super) struct Sheet<'a> {
    composer: Composer<'a>,
    size: Vec2,
    /// How much larger letters are than on a letter-size page.
    pub(super) unit: f32,
    title: String,
    incident: String,
    foot: f32,
    given: Given,
}

/// Some ink that belongs together; its outline comes first, and nothing in it lies outside.
#[derive(Debug, Default)]
pub(super) struct Part {
    /// The ink.
    pub(super) inks: Vec<Ink>,
    /// What it says, where the ink is no text.
    pub(super) says: Option<String>,
}

impl From<Vec<Ink>> for Part {
    fn from(inks: Vec<Ink>) -> Self {
        Self { inks, says: None }
    }
}

impl<'a> Sheet<'a> {
    /// Begins a drawing with its first page, headed by what it shows.
    pub(super) fn new(
        faces: &'a Faces,
        picture: &Picture,
        size: Vec2,
        given: &Given,
        what: &str,
    ) -> Self {
        // Letters grow more slowly than the paper: a wall is read from nearer than its size.
        let unit = (size.x.min(size.y) / 612.0).powf(0.7).clamp(0.7, 4.0);
        let margin = Margin {
            side: 26.0 * unit,
            top: 22.0 * unit,
            bottom: 26.0 * unit,
        };
        let header = &picture.scenario().header;
        let incident = match header.incident.as_str() {
            "" => &header.title,
            incident => incident,
        };
        let (phase, period) = picture
            .phase()
            .map_or(("no phase", String::new()), |phase| {
                (
                    phase.name.as_str(),
                    format!(". {}", Period::of(phase).words()),
                )
            });
        let mut sheet = Self {
            composer: Composer::new(faces, size, margin),
            size,
            unit,
            title: format!("{what}: {phase}"),
            incident: format!("{incident}{period}"),
            foot: margin.bottom + 15.0 * unit,
            given: given.clone(),
        };
        sheet.head();
        sheet
    }

    /// Returns the letters.
    pub(super) fn faces(&self) -> &'a Faces {
        self.composer.faces
    }

    fn width(&self) -> f32 {
        self.composer.width()
    }

    /// The agency, then a heading in at most two lines.
    fn head(&mut self) {
        letterhead(&self.given, &mut self.composer, LETTERHEAD * self.unit);
        let (title, incident) = (self.title.clone(), self.incident.clone());
        self.composer.begin(Role::Heading(1, title.clone()));
        let title = self.line_of(Type::bold(15.0, 8.0), 2.0, &title);
        self.composer.draw(title);
        self.composer.end();
        self.composer.begin(Role::Paragraph);
        let incident = self.line_of(Type::plain(9.5, 6.0).soft(), 2.0, &incident);
        self.composer.draw(incident);
        self.composer.end();
        self.composer.gap(5.0 * self.unit);
    }

    /// Sets a text over the whole width in so many lines at most, and goes on below it.
    fn line_of(&mut self, kind: Type, lines: f32, text: &str) -> Vec<Ink> {
        let kind = Type {
            most: kind.most * self.unit,
            least: kind.least * self.unit,
            ..kind
        };
        let room = vec2(
            self.width(),
            lines * leading(kind.least) + leading(kind.most) * 0.2,
        );
        let room = vec2(room.x, room.y.max(leading(kind.most)));
        let fitted = fit(self.faces(), text, room, kind);
        let mut pad = self.composer.pad();
        let height = fitted.height();
        let place = Rect::from_min_size(pad.area.min, vec2(room.x, height));
        put(&mut pad, place, kind, Side::Left, &fitted);
        self.composer.y += height;
        pad.inks
    }

    /// Sets what this page is about, as a heading.
    pub(super) fn subject(&mut self, text: &str) {
        self.composer.begin(Role::Heading(2, text.to_owned()));
        let inks = self.line_of(Type::bold(11.5, 7.0), 2.0, text);
        self.composer.draw(inks);
        self.composer.end();
        self.composer.gap(4.0 * self.unit);
    }

    /// Sets what a part of this page is about, as a heading in a box.
    pub(super) fn subject_at(&mut self, room: Rect, text: &str) {
        let mut pad = Pad::new(self.composer.faces, room);
        let most = room.height() / leading(1.0);
        let kind = Type::bold(most, most * 0.5);
        write(&mut pad, room, kind, Side::Left, text);
        self.composer.begin(Role::Heading(2, text.to_owned()));
        self.composer.draw(pad.inks);
        self.composer.end();
    }

    /// Sets a sentence about the drawing.
    pub(super) fn note(&mut self, text: &str) {
        self.composer.begin(Role::Paragraph);
        let inks = self.line_of(Type::plain(8.0, 6.5), 3.0, text);
        self.composer.draw(inks);
        self.composer.end();
        self.composer.gap(4.0 * self.unit);
    }

    /// Ends the page and goes to the next, with the same title.
    pub(super) fn next_page(&mut self) {
        self.caution();
        self.composer.next_page();
        let pad = self.composer.pad();
        if let Some(head) = Letterhead::of(&self.given, &pad, LETTERHEAD * self.unit) {
            let logo = head.logo.map(|(ink, _)| ink);
            self.composer
                .artifact(logo.into_iter().chain(head.name).collect());
            self.composer.y += head.height;
        }
        let (title, incident) = (self.title.clone(), self.incident.clone());
        let title = self.line_of(Type::bold(15.0, 8.0), 2.0, &title);
        let incident = self.line_of(Type::plain(9.5, 6.0).soft(), 2.0, &incident);
        self.composer.artifact(title);
        self.composer.artifact(incident);
        self.composer.gap(5.0 * self.unit);
    }

    /// What every page says at its foot: the caution, and how small its letters are where they are
    /// smaller than can be read.
    fn caution(&mut self) {
        let kind = Type::bold(8.5 * self.unit, 5.0);
        let smallest = self.composer.smallest().unwrap_or(READABLE);
        let small = if smallest < READABLE {
            small_letters(smallest, self.size)
        } else {
            String::new()
        };
        let top = self.size.y - self.foot + 3.0 * self.unit;
        let room = Rect::from_min_size(
            pos2(self.composer.left(), top),
            vec2(self.width(), leading(kind.most)),
        );
        let mut pad = Pad::new(self.composer.faces, room);
        let words = format!("{CAUTION}. {small}");
        let words = words.trim_end().trim_end_matches('.');
        write(&mut pad, room, kind, Side::Left, words);
        self.composer.begin(Role::Paragraph);
        self.composer.draw(pad.inks);
        self.composer.end();
    }

    /// Returns the part of the page that is free, above the caution.
    pub(super) fn free(&self) -> Rect {
        let min = pos2(self.composer.left(), self.composer.y);
        let max = pos2(min.x + self.width(), self.size.y - self.foot);
        Rect::from_min_max(min, max.max(min + Vec2::splat(1.0)))
    }

    /// Takes the legend off the foot of what is free; returns what is left.
    pub(super) fn legend_below(&mut self, legend: &Legend) -> Rect {
        let free = self.free();
        let height = legend.height(self.faces(), free.width(), self.unit);
        let top = (free.max.y - height).max(free.min.y);
        let place = Rect::from_min_max(pos2(free.min.x, top), free.max);
        self.legend_at(legend, place);
        let gap = 8.0 * self.unit;
        let rule = Ink::rule(
            pos2(free.min.x, top - gap / 2.0),
            pos2(free.max.x, top - gap / 2.0),
            Pen::new(Tint::RULE, 0.4 * self.unit),
        );
        self.composer.artifact(vec![rule]);
        Rect::from_min_max(
            free.min,
            pos2(free.max.x, (top - gap).max(free.min.y + 1.0)),
        )
    }

    /// Draws the legend at a place.
    pub(super) fn legend_at(&mut self, legend: &Legend, place: Rect) {
        let mut pad = Pad::new(self.composer.faces, place);
        let mut unit = self.unit;
        while legend.height(self.composer.faces, place.width(), unit) > place.height() + 0.1
            && unit > 0.3
        {
            unit *= 0.96;
        }
        legend.draw(&mut pad, unit);
        self.composer.begin(Role::Paragraph);
        self.composer.draw(pad.inks);
        self.composer.end();
    }

    /// Sets a drawing that says in words what it shows.
    pub(super) fn figure(&mut self, says: String, parts: Vec<Part>) {
        self.composer.begin(Role::Figure(says));
        for part in parts {
            if !part.inks.is_empty() {
                self.composer.draw_saying(part.inks, part.says);
            }
        }
        self.composer.end();
    }

    /// Sets a sentence in place of a drawing that has nothing to show.
    pub(super) fn nothing(&mut self, text: &str) {
        let free = self.free();
        let room = Rect::from_min_size(
            free.min,
            vec2(free.width(), free.height().min(60.0 * self.unit)),
        );
        let edge = Pen::new(Tint::RULE, 0.7 * self.unit).dashed(4.0 * self.unit, 3.0 * self.unit);
        let mut pad = Pad::new(self.composer.faces, room);
        pad.inks.push(Ink::rect(room, None, Some(edge)));
        let kind = Type::plain(11.0 * self.unit, 6.0 * self.unit);
        write(
            &mut pad,
            room.shrink(8.0 * self.unit),
            kind,
            Side::Middle,
            text,
        );
        self.figure(text.to_owned(), vec![pad.inks.into()]);
    }

    /// Ends the drawing.
    pub(super) fn finish(mut self) -> Document {
        self.caution();
        let (title, unit) = (self.title.clone(), self.unit);
        self.composer.finish(&title, |pad, page, pages| {
            let words = format!("{title} \u{b7} page {page} of {pages}");
            let kind = Type::plain(7.0 * unit, 4.0).soft();
            let room =
                Rect::from_min_size(pad.area.min, vec2(pad.area.width(), leading(kind.most)));
            write(pad, room, kind, Side::Left, &words);
        })
    }
}

/// Says how small the letters of a page are, and on which paper all could be read.
fn small_letters(smallest: f32, size: Vec2) -> String {
    let times = READABLE / smallest;
    let large = Paper::ALL.into_iter().find(|paper| {
        let paper = paper.lying();
        (paper.x / size.max_elem()).min(paper.y / size.min_elem()) >= times
    });
    let take = large.map_or_else(
        || "zoom in on a screen to read them".to_owned(),
        |paper| format!("all can be read on {} or larger", paper.name()),
    );
    format!("Letters here go down to {smallest:.1} points; {take}")
}

impl std::fmt::Debug for Sheet<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sheet")
            .field("title", &self.title)
            .finish_non_exhaustive()
    }
}

/// Where one drawing's points come to lie on the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Map {
    from: Pos2,
    to: Pos2,
    /// Points on the page for one of the drawing.
    pub(super) scale: f32,
}

impl Map {
    /// Brings a stretch into a room as large as it fits, up to a scale, in the middle across and at the
    /// top.
    pub(super) fn filling(stretch: Rect, room: Rect, most: f32) -> Self {
        let fits = (room.size() / stretch.size().max(Vec2::splat(1.0))).min_elem();
        let scale = fits.min(most);
        let spare = room.size() - stretch.size() * scale;
        Self {
            from: stretch.min,
            to: room.min + vec2(spare.x / 2.0, spare.y / 2.0),
            scale,
        }
    }

    /// Returns where a point lies.
    pub(super) fn at(&self, at: Pos2) -> Pos2 {
        self.to + (at - self.from) * self.scale
    }

    /// Returns where a rectangle lies.
    pub(super) fn rect(&self, rect: Rect) -> Rect {
        Rect::from_min_max(self.at(rect.min), self.at(rect.max))
    }
}

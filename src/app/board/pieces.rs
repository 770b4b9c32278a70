//! Cards, channels, gateways and loose gear in full, as they were last drawn: a crowded board shows some hundred
//! of them, and from one frame to the next nearly all of them look the same.
//!
//! A piece is drawn around its own corner and then put on the pixel where its corner is. So how it looks
//! follows from what it shows and from the scale, never from where it stands: moving the camera or the
//! piece only puts its ink elsewhere. Shapes are kept as triangles; text and filled circles lie in the
//! image of letters, which may grow in the middle of a frame, and are kept as they are.

use std::collections::BTreeMap;
use std::sync::Arc;

use egui::emath::GuiRounding as _;
use egui::epaint::{CircleShape, Tessellator, TextShape};
use egui::{Color32, Mesh, Painter, Pos2, Rect, Shape};

use super::cards;
use super::draw::{Scene, Seen};
use super::gateways;
use super::hit::Hit;
use super::pen::{Pen, Strength};
use crate::app::theme::Tokens;
use crate::layout::{Layout, Piece};
use crate::model::{Party, PhaseId, Scenario};
use crate::picture::Picture;

/// Most pieces that are kept while they are out of view.
const MOST: usize = 1_200;

/// All that is kept.
#[derive(Debug, Default)]
pub(super) struct Pieces {
    of: Option<Of>,
    kept: BTreeMap<Piece, Kept>,
    /// Counts the frames.
    frame: u64,
    /// How many pieces were drawn anew in the last frame.
    renewed: usize,
}

/// What all pieces follow from.
#[derive(Debug, Clone)]
struct Of {
    scenario: Arc<Scenario>,
    picture: Arc<Picture>,
    phase: PhaseId,
    /// The layout as it was made: what is in a piece, and in which colour.
    made: u64,
    tokens: &'static Tokens,
    zoom: f32,
    pixels: f32,
    /// The image of letters.
    letters: u64,
    /// Who talks, first and second.
    talkers: [Option<Party>; 2],
    is_marked: bool,
}

impl Of {
    fn now(pen: &Pen, scene: &Scene<'_>) -> Self {
        Self {
            scenario: Arc::clone(scene.scenario),
            picture: Arc::clone(scene.picture),
            phase: scene.phase.id,
            made: scene.layout.made,
            tokens: pen.t,
            zoom: pen.camera.zoom,
            pixels: pen.painter().pixels_per_point(),
            letters: pen.letters(),
            talkers: scene.talkers(),
            is_marked: scene.is_marked(),
        }
    }

    fn is_at(&self, zoom: f32) -> bool {
        self.zoom.to_bits() == zoom.to_bits()
    }
}

impl PartialEq for Of {
    /// The same snapshots, not such that happen to be equal.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.scenario, &other.scenario)
            && Arc::ptr_eq(&self.picture, &other.picture)
            && std::ptr::eq(self.tokens, other.tokens)
            && self.phase == other.phase
            && self.made == other.made
            && self.is_at(other.zoom)
            && self.pixels.to_bits() == other.pixels.to_bits()
            && self.letters == other.letters
            && self.talkers == other.talkers
            && self.is_marked == other.is_marked
    }
}

/// A piece as it was last drawn.
#[derive(Debug)]
struct Kept {
    look: Look,
    inks: Vec<Ink>,
    /// The pixel its corner was put on.
    corner: Option<Pos2>,
    /// The frame it was last drawn in.
    frame: u64,
}

/// What a single piece follows from.
#[derive(Debug, PartialEq)]
struct Look {
    hovered: Option<Hit>,
    /// A card that stands apart says its agency.
    is_apart: bool,
    /// Each thing in it.
    things: Vec<Seen>,
}

impl Look {
    fn now(scene: &Scene<'_>, piece: Piece) -> Self {
        let mut look = Self {
            hovered: None,
            is_apart: is_apart(scene.layout, piece),
            things: Vec::new(),
        };
        scene.layout.each_thing_of(piece, |thing| {
            look.things.push(scene.seen(thing));
            let hovered = scene.hovered.filter(|hit| hit.thing == thing);
            look.hovered = look.hovered.or(hovered);
        });
        look
    }

    /// Tells whether the piece looks the same now; as `now`, but nothing is made for it.
    fn is_now(&self, scene: &Scene<'_>, piece: Piece) -> bool {
        let mut known = self.things.iter();
        let mut is_same = true;
        let mut hovered: Option<Hit> = None;
        scene.layout.each_thing_of(piece, |thing| {
            is_same = is_same && known.next() == Some(&scene.seen(thing));
            hovered = hovered.or(scene.hovered.filter(|hit| hit.thing == thing));
        });
        is_same && hovered == self.hovered && is_apart(scene.layout, piece) == self.is_apart
    }
}

fn is_apart(layout: &Layout, piece: Piece) -> bool {
    match piece {
        Piece::Card(i) => layout.cards.get(i as usize).is_some_and(|card| card.apart),
        Piece::Box(_) | Piece::Pill(_) | Piece::Loose(_) => false,
    }
}

/// Something drawn, with where it is from the corner of its piece.
#[derive(Debug)]
enum Ink {
    /// Shapes, as triangles.
    Mesh(Arc<Mesh>, Vec<Pos2>),
    Text(TextShape, Pos2),
    Spot(CircleShape, Pos2),
}

impl Ink {
    /// Puts it where the corner of its piece is.
    fn put(&mut self, corner: Pos2) {
        let by = corner.to_vec2();
        match self {
            Self::Mesh(mesh, corners) => {
                let vertices = &mut Arc::make_mut(mesh).vertices;
                for (vertex, at) in vertices.iter_mut().zip(corners) {
                    vertex.pos = *at + by;
                }
            }
            Self::Text(text, at) => text.pos = *at + by,
            Self::Spot(spot, at) => spot.center = *at + by,
        }
    }

    fn shape(&self) -> Shape {
        match self {
            Self::Mesh(mesh, _) => Shape::Mesh(Arc::clone(mesh)),
            Self::Text(text, _) => Shape::Text(text.clone()),
            Self::Spot(spot, _) => Shape::Circle(*spot),
        }
    }
}

impl Pieces {
    /// Draws pieces, one above the other.
    pub(super) fn draw(&mut self, pen: &Pen, scene: &Scene<'_>, pieces: &[Piece]) {
        let of = Of::now(pen, scene);
        let was = self.of.replace(of.clone());
        // While the scale changes from frame to frame nothing is worth keeping.
        let is_passing = was.as_ref().is_some_and(|was| !was.is_at(of.zoom));
        if was.as_ref() != Some(&of) {
            self.kept.clear();
        }
        self.frame += 1;
        self.renewed = 0;
        pen.set(Strength::Full);
        let pixels = pen.painter().pixels_per_point();
        let mut press: Option<Press> = None;
        for piece in pieces {
            let Some(rect) = scene.layout.piece_rect(*piece) else {
                continue;
            };
            let corner = pen.camera.out(rect.min).round_to_pixels(pixels);
            if is_passing {
                pen.around(corner, |pen| one(pen, scene, *piece, rect));
                continue;
            }
            self.renew(pen, scene, (*piece, rect), &mut press);
            let Some(kept) = self.kept.get_mut(piece) else {
                continue;
            };
            kept.frame = self.frame;
            if kept.corner != Some(corner) {
                kept.corner = Some(corner);
                kept.inks.iter_mut().for_each(|ink| ink.put(corner));
            }
            pen.painter().extend(kept.inks.iter().map(Ink::shape));
        }
        if self.kept.len() > MOST {
            let frame = self.frame;
            self.kept.retain(|_, kept| kept.frame == frame);
        }
    }

    /// Draws a piece anew if it looks otherwise than it did.
    fn renew(
        &mut self,
        pen: &Pen,
        scene: &Scene<'_>,
        (piece, rect): (Piece, Rect),
        press: &mut Option<Press>,
    ) {
        // While a phase changes, the knobs of gateways are on their way.
        let is_moving = scene.glide.is_some() && matches!(piece, Piece::Box(_));
        let is_same = |kept: &Kept| !is_moving && kept.look.is_now(scene, piece);
        if self.kept.get(&piece).is_some_and(is_same) {
            return;
        }
        self.renewed += 1;
        let drawn = pen.aside(|pen| one(pen, scene, piece, rect));
        let press = press.get_or_insert_with(|| Press::new(pen.painter()));
        let kept = Kept {
            look: Look::now(scene, piece),
            inks: press.inks(drawn),
            corner: None,
            frame: self.frame,
        };
        self.kept.insert(piece, kept);
    }

    /// Returns all that was drawn in the last frame, piece by piece.
    #[cfg(test)]
    pub(super) fn drawn(&self) -> Vec<(Piece, Vec<Shape>)> {
        let last = self
            .kept
            .iter()
            .filter(|(_, kept)| kept.frame == self.frame);
        last.map(|(piece, kept)| (*piece, kept.inks.iter().map(Ink::shape).collect()))
            .collect()
    }

    /// Returns how many of them were drawn anew.
    #[cfg(test)]
    pub(super) fn renewed(&self) -> usize {
        self.renewed
    }
}

/// Draws a piece as if its corner were the corner of the board.
fn one(pen: &Pen, scene: &Scene<'_>, piece: Piece, rect: Rect) {
    let layout = scene.layout;
    let by = -rect.min.to_vec2();
    match piece {
        Piece::Pill(i) => {
            if let Some(pill) = layout.pills.get(i as usize) {
                cards::pill(pen, scene, &pill.moved(by));
            }
        }
        Piece::Box(i) => {
            if let Some(gateway) = layout.boxes.get(i as usize) {
                gateways::gateway(pen, scene, &gateway.moved(by));
            }
        }
        Piece::Loose(i) => {
            if let Some(chip) = layout.loose.get(i as usize) {
                cards::loose(pen, scene, &chip.moved(by));
            }
        }
        Piece::Card(i) => {
            if let Some(card) = layout.cards.get(i as usize) {
                cards::unit(pen, scene, &card.moved(by));
            }
        }
    }
}

/// Makes triangles of shapes, as the toolkit does at the end of a frame.
struct Press {
    tessellator: Tessellator,
    pixels: f32,
}

impl Press {
    fn new(painter: &Painter) -> Self {
        let options = painter.ctx().tessellation_options(|options| *options);
        let pixels = painter.pixels_per_point();
        // Nothing that lies in the image of letters is pressed, so neither its size nor its discs count.
        let tessellator = Tessellator::new(pixels, options, [1, 1], Vec::new());
        Self {
            tessellator,
            pixels,
        }
    }

    fn inks(&mut self, drawn: Vec<Shape>) -> Vec<Ink> {
        let mut inks = Vec::new();
        let mut mesh = Mesh::default();
        for shape in drawn {
            let ink = match shape {
                Shape::Text(mut text) => {
                    text.pos = text.pos.round_to_pixels(self.pixels);
                    let at = text.pos;
                    Ink::Text(text, at)
                }
                Shape::Circle(spot) if spot.fill != Color32::TRANSPARENT => {
                    Ink::Spot(spot, spot.center)
                }
                other => {
                    self.tessellator.tessellate_shape(other, &mut mesh);
                    continue;
                }
            };
            inks.extend(pressed(&mut mesh));
            inks.push(ink);
        }
        inks.extend(pressed(&mut mesh));
        inks
    }
}

/// Takes what has gathered in a mesh.
fn pressed(mesh: &mut Mesh) -> Option<Ink> {
    if mesh.is_empty() {
        return None;
    }
    let mesh = std::mem::take(mesh);
    let corners = mesh.vertices.iter().map(|vertex| vertex.pos).collect();
    Some(Ink::Mesh(Arc::new(mesh), corners))
}

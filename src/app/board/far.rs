//! The board from far away: plain shapes in one mesh, names only for frames and gateways.
//!
//! The mesh is kept in board points for as long as nothing in it changes, and only put where the
//! camera is; every corner is made once for many frames.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;
use std::sync::Arc;

use egui::{Color32, Mesh, Pos2, Rect, Shape, Vec2, pos2, vec2};

use super::camera::Camera;
use super::draw::Scene;
use super::obstacle::Asked;
use super::pen::{Pen, Strength, Weight};
use super::sheet::Corner;
use crate::app::theme::Tokens;
use crate::layout::{GatewayBox, Line, Piece, Stand, UnitCard};
use crate::model::{Party, ThingId};
use crate::picture::Picture;

/// Scale from which on the bars of radios are wide enough to be seen.
const BARS: f32 = 0.1;

/// The far board as it was last drawn.
#[derive(Debug, Default)]
pub(super) struct Far {
    key: Option<Key>,
    /// The layout as it was when the corners were put down.
    stamp: u64,
    corners: Vec<Corner>,
    spans: Spans,
    /// The corners in the window, ready to be drawn again.
    mesh: Arc<Mesh>,
    /// Where the camera was.
    camera: Option<Camera>,
}

/// All that the shapes and colours follow from.
#[derive(Debug)]
struct Key {
    /// Who hears whom.
    picture: Arc<Picture>,
    /// The layout as it was made; what only moved keeps its colours.
    made: u64,
    tokens: &'static Tokens,
    bars: bool,
    selection: BTreeSet<ThingId>,
    /// Who talks, first and second.
    talkers: [Option<Party>; 2],
    /// What a question is about.
    asked: Option<BTreeSet<ThingId>>,
    connects: Option<ThingId>,
}

/// Where the corners of each thing begin.
#[derive(Debug, Default)]
struct Spans {
    /// How many corners are those of frames, which come first.
    frames: usize,
    lines: Vec<usize>,
    cards: Vec<usize>,
    /// Selected cards, which are drawn once more above the others.
    selected: BTreeMap<u32, usize>,
    pills: Vec<usize>,
    boxes: Vec<usize>,
    loose: Vec<usize>,
}

impl Far {
    /// Draws everything as plain shapes.
    pub(super) fn draw(&mut self, pen: &Pen, scene: &Scene<'_>) {
        let bars = pen.camera.zoom >= BARS;
        let asked = scene.asked.as_ref().map(Asked::things);
        let is_same = self.key.as_ref().is_some_and(|key| {
            key.made == scene.layout.made
                && std::ptr::eq(key.tokens, pen.t)
                && key.bars == bars
                && Arc::ptr_eq(&key.picture, scene.picture)
                && key.talkers == scene.talkers()
                && key.asked.as_ref() == asked
                && key.connects == scene.connects()
                && key.selection == *scene.selection
        });
        let before = std::mem::replace(&mut self.stamp, scene.layout.stamp);
        let has_moved = before != self.stamp;
        // What moved is known only against the frame before.
        let is_next = scene.layout.last.since == before;
        if is_same && has_moved && is_next {
            self.move_corners(pen, scene, bars);
        } else if !is_same || has_moved {
            self.key = Some(Key {
                picture: Arc::clone(scene.picture),
                made: scene.layout.made,
                tokens: pen.t,
                bars,
                selection: scene.selection.clone(),
                talkers: scene.talkers(),
                asked: asked.cloned(),
                connects: scene.connects(),
            });
            self.make(pen, scene, bars);
        }
        if self.camera != Some(pen.camera) {
            self.camera = Some(pen.camera);
            self.put(&pen.camera, 0..self.corners.len());
        }
        pen.painter().add(Shape::Mesh(Arc::clone(&self.mesh)));
        names(pen, scene);
    }

    /// Puts corners where the camera has them.
    fn put(&mut self, camera: &Camera, which: Range<usize>) {
        let origin = camera.out(Pos2::ZERO).to_vec2();
        let mesh = Arc::make_mut(&mut self.mesh);
        // Slices, side by side: so several corners are put at once.
        let corners = self.corners.get(which.clone()).unwrap_or_default();
        let vertices = mesh.vertices.get_mut(which).unwrap_or_default();
        for (vertex, corner) in vertices.iter_mut().zip(corners) {
            vertex.pos = (corner.at.to_vec2() * camera.zoom + origin + corner.off).to_pos2();
        }
    }

    /// Returns the mesh as it was last drawn.
    #[cfg(test)]
    pub(super) fn mesh(&self) -> &Mesh {
        &self.mesh
    }

    fn make(&mut self, pen: &Pen, scene: &Scene<'_>, bars: bool) {
        self.corners.clear();
        let mesh = Arc::make_mut(&mut self.mesh);
        mesh.clear();
        let layout = scene.layout;
        let quads = layout.lines.len() + layout.cards.len() * 4 + layout.boxes.len() * 8;
        mesh.vertices.reserve(quads * 4);
        mesh.indices.reserve(quads * 6);
        self.corners.reserve(quads * 4);
        let mut drawing = Drawing {
            corners: &mut self.corners,
            into: To::Mesh(mesh),
            scene,
            t: pen.t,
            bars,
        };
        self.spans = drawing.all();
        self.camera = None;
    }

    /// Puts the corners down again of what moved last; everything is made again only if a frame is lost or
    /// found.
    fn move_corners(&mut self, pen: &Pen, scene: &Scene<'_>, bars: bool) {
        let frames = scene.layout.frames().count() * 4;
        if frames != self.spans.frames {
            self.make(pen, scene, bars);
            return;
        }
        let mut changed = Vec::new();
        let mut drawing = Drawing {
            corners: &mut self.corners,
            into: To::Place(0),
            scene,
            t: pen.t,
            bars,
        };
        drawing.frames();
        changed.push(0..frames);
        for i in &scene.layout.last.lines {
            let line = scene.layout.lines.get(*i as usize);
            if let (Some(line), Some(first)) = (line, self.spans.lines.get(*i as usize)) {
                changed.push(drawing.again(*first, |drawing| drawing.line(line)));
            }
        }
        for piece in &scene.layout.last.pieces {
            if let Some(first) = self.spans.of(*piece) {
                changed.push(drawing.again(first, |drawing| drawing.piece(*piece)));
            }
            if let Piece::Card(i) = piece
                && let Some(first) = self.spans.selected.get(i)
            {
                changed.push(drawing.again(*first, |drawing| drawing.selected(*i)));
            }
        }
        // Where the camera has moved as well, all corners are put anyway.
        if self.camera == Some(pen.camera) {
            for which in changed {
                self.put(&pen.camera, which);
            }
        }
    }
}

impl Spans {
    /// Returns where the corners of a piece begin.
    fn of(&self, piece: Piece) -> Option<usize> {
        let (all, i) = match piece {
            Piece::Box(i) => (&self.boxes, i),
            Piece::Pill(i) => (&self.pills, i),
            Piece::Loose(i) => (&self.loose, i),
            Piece::Card(i) => (&self.cards, i),
        };
        all.get(i as usize).copied()
    }
}

/// Where shapes go.
enum To<'a> {
    /// To the end of the corners, with their colours.
    Mesh(&'a mut Mesh),
    /// Over the corners that were put down from here on; colours stay.
    Place(usize),
}

struct Drawing<'a> {
    corners: &'a mut Vec<Corner>,
    into: To<'a>,
    scene: &'a Scene<'a>,
    t: &'static Tokens,
    bars: bool,
}

impl Drawing<'_> {
    /// Draws everything, and returns where the corners of each thing begin.
    fn all(&mut self) -> Spans {
        let (scene, layout) = (self.scene, self.scene.layout);
        let mut spans = Spans::default();
        self.frames();
        spans.frames = self.corners.len();
        for line in &layout.lines {
            spans.lines.push(self.corners.len());
            self.line(line);
        }
        for card in &layout.cards {
            spans.cards.push(self.corners.len());
            self.card(card);
        }
        for thing in scene.selection {
            if let Some(Stand::Whole(Piece::Card(i))) = layout.stand(*thing) {
                spans.selected.insert(i, self.corners.len());
                self.selected(i);
            }
        }
        for i in 0..layout.pills.len() {
            spans.pills.push(self.corners.len());
            self.piece(Piece::Pill(i as u32));
        }
        for i in 0..layout.boxes.len() {
            spans.boxes.push(self.corners.len());
            self.piece(Piece::Box(i as u32));
        }
        for i in 0..layout.loose.len() {
            spans.loose.push(self.corners.len());
            self.piece(Piece::Loose(i as u32));
        }
        spans
    }

    /// Draws something over the corners it had; returns which those are.
    fn again(&mut self, first: usize, draw: impl FnOnce(&mut Self)) -> Range<usize> {
        self.into = To::Place(first);
        draw(self);
        match self.into {
            To::Place(end) => first..end,
            To::Mesh(_) => first..first,
        }
    }

    fn frames(&mut self) {
        let t = self.t;
        for frame in self.scene.layout.frames() {
            self.rect(frame.rect, || t.group);
        }
    }

    fn line(&mut self, line: &Line) {
        let (t, scene) = (self.t, self.scene);
        let share = if scene.talk.is_some() { 0.2 } else { 0.7 };
        if let Some((a, b)) = line.ends() {
            let colour = || line.channel.map_or(t.faint, |c| scene.channel_colour(c));
            self.strip(a, b, || colour().gamma_multiply(share));
        }
    }

    fn piece(&mut self, piece: Piece) {
        let (t, scene, layout) = (self.t, self.scene, self.scene.layout);
        match piece {
            Piece::Card(i) => {
                if let Some(card) = layout.cards.get(i as usize) {
                    self.card(card);
                }
            }
            Piece::Pill(i) => {
                if let Some(pill) = layout.pills.get(i as usize) {
                    self.rect(pill.rect, || {
                        fade(scene, pill.id.into(), t.channel(pill.turn))
                    });
                }
            }
            Piece::Box(i) => {
                if let Some(gateway) = layout.boxes.get(i as usize) {
                    self.gateway(gateway);
                }
            }
            Piece::Loose(i) => {
                if let Some(chip) = layout.loose.get(i as usize) {
                    self.rect(chip.rect, || fade(scene, chip.thing, t.card));
                }
            }
        }
    }

    /// Draws a card that is selected, above the others and with an edge.
    fn selected(&mut self, card: u32) {
        let t = self.t;
        if let Some(card) = self.scene.layout.cards.get(card as usize) {
            self.rect(card.rect.expand(6.0), || t.accent.ink);
            self.card(card);
        }
    }

    fn card(&mut self, card: &UnitCard) {
        let (t, scene) = (self.t, self.scene);
        let thing = ThingId::from(card.id);
        self.rect(card.rect, || {
            let party = Party::Unit(card.id);
            let is_heard = scene.talk.is_some_and(|t| t.hearers.contains_key(&party));
            fade(scene, thing, if is_heard { t.good.ink } else { t.card })
        });
        if !self.bars {
            return;
        }
        for chip in &card.chips {
            let ThingId::Radio(id) = chip.thing else {
                continue;
            };
            let bar = Rect::from_min_size(chip.rect.min, vec2(8.0, chip.rect.height()));
            self.rect(bar, || {
                let radio = scene.scenario.radios.get(id);
                let channel = radio.and_then(|r| scene.scenario.selected_channel(scene.phase, r));
                // The bar of a radio on no channel cannot be seen.
                let colour = channel.map_or(Color32::TRANSPARENT, |c| scene.channel_colour(c));
                fade(scene, thing, colour)
            });
        }
    }

    fn gateway(&mut self, gateway: &GatewayBox) {
        let (t, scene) = (self.t, self.scene);
        self.rect(gateway.rect, || t.card);
        for lane in &gateway.lanes {
            let bus =
                Rect::from_min_max(pos2(lane.x - 4.0, lane.y.0), pos2(lane.x + 4.0, lane.y.1));
            self.rect(bus, || {
                fade(scene, lane.group.into(), t.bus(lane.group.group))
            });
        }
    }

    fn rect(&mut self, r: Rect, colour: impl FnOnce() -> Color32) {
        let corners = [
            r.left_top(),
            r.right_top(),
            r.left_bottom(),
            r.right_bottom(),
        ];
        self.quad(corners, [Vec2::ZERO; 4], colour);
    }

    /// A line as a thin strip, as wide in the window at every scale.
    fn strip(&mut self, a: Pos2, b: Pos2, colour: impl FnOnce() -> Color32) {
        let along = (b - a).normalized();
        let side = vec2(-along.y, along.x) * 0.6;
        self.quad([a, a, b, b], [side, -side, side, -side], colour);
    }

    fn quad(&mut self, at: [Pos2; 4], off: [Vec2; 4], colour: impl FnOnce() -> Color32) {
        let corners = at.into_iter().zip(off);
        let corners = corners.map(|(at, off)| Corner { at, off });
        match &mut self.into {
            To::Mesh(mesh) => {
                let first = self.corners.len() as u32;
                self.corners.extend(corners);
                let colour = colour();
                for _ in 0..4 {
                    mesh.colored_vertex(Pos2::ZERO, colour);
                }
                mesh.add_triangle(first, first + 1, first + 2);
                mesh.add_triangle(first + 1, first + 2, first + 3);
            }
            To::Place(next) => {
                let here = self.corners.get_mut(*next..*next + 4);
                for (place, corner) in here.into_iter().flatten().zip(corners) {
                    *place = corner;
                }
                *next += 4;
            }
        }
    }
}

fn fade(scene: &Scene<'_>, thing: ThingId, colour: Color32) -> Color32 {
    match scene.strength(thing) {
        Strength::Dim => colour.gamma_multiply(0.25),
        Strength::Half | Strength::Full => colour,
    }
}

fn names(pen: &Pen, scene: &Scene<'_>) {
    let t = pen.t;
    let zoom = pen.camera.zoom;
    let size = 12.0 / zoom;
    for frame in scene.layout.frames() {
        // A name only where it fits.
        if pen.z(frame.rect.width()) < 50.0 || !pen.sees(frame.rect) {
            continue;
        }
        if let Some(thing) = frame.thing {
            let at = frame.rect.min + vec2(0.0, -9.0 / zoom);
            let name = scene.scenario.name(thing);
            pen.text(at, &name, size, Weight::Strong, t.soft, frame.rect.width());
        }
    }
    for gateway in &scene.layout.boxes {
        if pen.z(gateway.rect.width()) > 50.0
            && pen.sees(gateway.rect)
            && let Some(g) = scene.scenario.gateways.get(gateway.id)
        {
            let at = gateway.rect.min + vec2(0.0, -9.0 / zoom);
            pen.text(
                at,
                &g.name,
                size,
                Weight::Strong,
                t.soft,
                gateway.rect.width(),
            );
        }
    }
}

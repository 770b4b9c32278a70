//! The board from far away: plain shapes in one mesh, names only for frames and gateways.
//!
//! The mesh is kept in board points for as long as nothing in it changes, and only put where the
//! camera is; every corner is made once for many frames.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{Color32, Mesh, Pos2, Rect, Shape, Vec2, pos2, vec2};

use super::camera::Camera;
use super::draw::Scene;
use super::obstacle::Asked;
use super::pen::{Pen, Strength, Weight};
use crate::app::theme::Tokens;
use crate::layout::{GatewayBox, Piece, Stand, UnitCard};
use crate::model::{Party, ThingId};

/// Scale from which on the bars of radios are wide enough to be seen.
const BARS: f32 = 0.1;

/// The far board as it was last drawn.
#[derive(Debug, Default)]
pub(super) struct Far {
    key: Option<Key>,
    /// The layout as it was when the corners were put down.
    stamp: u64,
    corners: Vec<Corner>,
    /// The corners in the window, ready to be drawn again.
    mesh: Arc<Mesh>,
    /// Where the camera was.
    camera: Option<Camera>,
}

/// All that the shapes and colours follow from.
#[derive(Debug)]
struct Key {
    /// The layout as it was made; what only moved keeps its colours.
    made: u64,
    tokens: &'static Tokens,
    bars: bool,
    selection: BTreeSet<ThingId>,
    talker: Option<Party>,
    /// Who talks at the same time.
    second: Option<Party>,
    /// What a question is about.
    asked: Option<BTreeSet<ThingId>>,
    connects: Option<ThingId>,
}

/// A corner: on the board, and how far it stands off in window points.
#[derive(Debug, Clone, Copy)]
struct Corner {
    at: Pos2,
    off: Vec2,
}

impl Far {
    /// Draws everything as plain shapes.
    pub(super) fn draw(&mut self, pen: &Pen, scene: &Scene<'_>) {
        let bars = pen.camera.zoom >= BARS;
        let second = scene.over.map(|(talk, _)| talk.party);
        let asked = scene.asked.as_ref().map(Asked::things);
        let is_same = self.key.as_ref().is_some_and(|key| {
            key.made == scene.layout.made
                && std::ptr::eq(key.tokens, pen.t)
                && key.bars == bars
                && key.talker == scene.talk.map(|talk| talk.party)
                && key.second == second
                && key.asked.as_ref() == asked
                && key.connects == scene.connects()
                && key.selection == *scene.selection
        });
        let has_moved = self.stamp != scene.layout.stamp;
        self.stamp = scene.layout.stamp;
        if is_same && has_moved {
            self.move_corners(pen, scene, bars);
        } else if !is_same {
            self.key = Some(Key {
                made: scene.layout.made,
                tokens: pen.t,
                bars,
                selection: scene.selection.clone(),
                talker: scene.talk.map(|talk| talk.party),
                second,
                asked: asked.cloned(),
                connects: scene.connects(),
            });
            self.make(pen, scene, bars);
        }
        if self.camera != Some(pen.camera) {
            self.camera = Some(pen.camera);
            let origin = pen.camera.out(Pos2::ZERO).to_vec2();
            let zoom = pen.camera.zoom;
            let mesh = Arc::make_mut(&mut self.mesh);
            for (vertex, corner) in mesh.vertices.iter_mut().zip(&self.corners) {
                vertex.pos = (corner.at.to_vec2() * zoom + origin + corner.off).to_pos2();
            }
        }
        pen.painter().add(Shape::Mesh(Arc::clone(&self.mesh)));
        names(pen, scene);
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
        let mut sheet = Sheet {
            corners: &mut self.corners,
            mesh: Some(mesh),
            pen,
            scene,
            bars,
        };
        sheet.all();
        self.camera = None;
    }

    /// Puts the corners where things have moved to; everything is made again only if there are more or
    /// fewer than before, as when a frame is lost.
    fn move_corners(&mut self, pen: &Pen, scene: &Scene<'_>, bars: bool) {
        let before = self.corners.len();
        self.corners.clear();
        let mut sheet = Sheet {
            corners: &mut self.corners,
            mesh: None,
            pen,
            scene,
            bars,
        };
        sheet.all();
        self.camera = None;
        if self.corners.len() != before {
            self.make(pen, scene, bars);
        }
    }
}

struct Sheet<'a> {
    corners: &'a mut Vec<Corner>,
    /// Where colours go; `None` when only the corners are put down again.
    mesh: Option<&'a mut Mesh>,
    pen: &'a Pen,
    scene: &'a Scene<'a>,
    bars: bool,
}

impl Sheet<'_> {
    fn all(&mut self) {
        let (t, scene, layout) = (self.pen.t, self.scene, self.scene.layout);
        for frame in layout.frames() {
            self.rect(frame.rect, || t.group);
        }
        let share = if scene.talk.is_some() { 0.2 } else { 0.7 };
        for line in &layout.lines {
            if let Some((a, b)) = line.ends() {
                let colour = || line.channel.map_or(t.faint, |c| scene.channel_colour(c));
                self.strip(a, b, || colour().gamma_multiply(share));
            }
        }
        for card in &layout.cards {
            self.card(card);
        }
        for thing in scene.selection {
            if let Some(Stand::Whole(Piece::Card(i))) = layout.stand(*thing)
                && let Some(card) = layout.cards.get(i as usize)
            {
                self.rect(card.rect.expand(6.0), || t.accent.ink);
                self.card(card);
            }
        }
        for pill in &layout.pills {
            self.rect(pill.rect, || {
                fade(scene, pill.id.into(), t.channel(pill.turn))
            });
        }
        for gateway in &layout.boxes {
            self.gateway(gateway);
        }
        for chip in &layout.loose {
            self.rect(chip.rect, || fade(scene, chip.thing, t.card));
        }
    }

    fn card(&mut self, card: &UnitCard) {
        let (t, scene) = (self.pen.t, self.scene);
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
        let (t, scene) = (self.pen.t, self.scene);
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
        let first = self.corners.len() as u32;
        let corners = at.into_iter().zip(off);
        self.corners
            .extend(corners.map(|(at, off)| Corner { at, off }));
        let Some(mesh) = &mut self.mesh else { return };
        let colour = colour();
        for _ in 0..4 {
            mesh.colored_vertex(Pos2::ZERO, colour);
        }
        mesh.add_triangle(first, first + 1, first + 2);
        mesh.add_triangle(first + 1, first + 2, first + 3);
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

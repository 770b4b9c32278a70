//! The board from far away: plain shapes in one mesh, names only for frames and gateways.
//!
//! The mesh is kept in board points for as long as nothing in it changes, and only put where the
//! camera is; every corner is made once for many frames.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{Color32, Mesh, Pos2, Rect, Shape, Vec2, pos2, vec2};

use super::camera::Camera;
use super::draw::Scene;
use super::layout::{GatewayBox, Piece, Stand, UnitCard};
use super::pen::{Pen, Strength, Weight};
use crate::model::{Party, ThingId};

/// Scale from which on the bars of radios are wide enough to be seen.
const BARS: f32 = 0.1;

/// The far board as it was last drawn.
#[derive(Debug, Default)]
pub(super) struct Far {
    key: Option<Key>,
    corners: Vec<Corner>,
    /// The corners in the window, ready to be drawn again.
    mesh: Arc<Mesh>,
    /// Where the camera was.
    camera: Option<Camera>,
}

/// All that the shapes and colours follow from.
#[derive(Debug, Clone, PartialEq)]
struct Key {
    stamp: u64,
    dark: bool,
    bars: bool,
    selection: BTreeSet<ThingId>,
    talker: Option<Party>,
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
        let is_same = self.key.as_ref().is_some_and(|key| {
            key.stamp == scene.layout.stamp
                && key.dark == pen.t.dark
                && key.bars == bars
                && key.talker == scene.talk.map(|talk| talk.party)
                && key.connects == scene.connects()
                && key.selection == *scene.selection
        });
        if !is_same {
            self.key = Some(Key {
                stamp: scene.layout.stamp,
                dark: pen.t.dark,
                bars,
                selection: scene.selection.clone(),
                talker: scene.talk.map(|talk| talk.party),
                connects: scene.connects(),
            });
            self.make(pen, scene, bars);
            self.camera = None;
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
            mesh,
            pen,
            scene,
            bars,
        };
        sheet.all();
    }
}

struct Sheet<'a> {
    corners: &'a mut Vec<Corner>,
    mesh: &'a mut Mesh,
    pen: &'a Pen,
    scene: &'a Scene<'a>,
    bars: bool,
}

impl Sheet<'_> {
    fn all(&mut self) {
        let (t, scene, layout) = (self.pen.t, self.scene, self.scene.layout);
        for frame in layout.frames() {
            self.rect(frame.rect, t.group);
        }
        let share = if scene.talk.is_some() { 0.2 } else { 0.7 };
        for line in &layout.lines {
            if let Some((a, b)) = line.ends() {
                let colour = line.channel.map_or(t.faint, |c| scene.channel_colour(c));
                self.strip(a, b, colour.gamma_multiply(share));
            }
        }
        for card in &layout.cards {
            self.card(card);
        }
        for thing in scene.selection {
            if let Some(Stand::Whole(Piece::Card(i))) = layout.stand(*thing)
                && let Some(card) = layout.cards.get(i as usize)
            {
                self.rect(card.rect.expand(6.0), t.accent.ink);
                self.card(card);
            }
        }
        for pill in &layout.pills {
            let colour = self.fade(pill.id.into(), t.channel(pill.turn));
            self.rect(pill.rect, colour);
        }
        for gateway in &layout.boxes {
            self.gateway(gateway);
        }
        for chip in &layout.loose {
            let colour = self.fade(chip.thing, t.card);
            self.rect(chip.rect, colour);
        }
    }

    fn card(&mut self, card: &UnitCard) {
        let (t, scene) = (self.pen.t, self.scene);
        let thing = ThingId::from(card.id);
        let is_heard = scene
            .talk
            .is_some_and(|talk| talk.hearers.contains_key(&Party::Unit(card.id)));
        let ground = if is_heard { t.good.ink } else { t.card };
        let ground = self.fade(thing, ground);
        self.rect(card.rect, ground);
        if !self.bars {
            return;
        }
        for chip in &card.chips {
            if let ThingId::Radio(id) = chip.thing
                && let Some(radio) = scene.scenario.radios.get(id)
                && let Some(channel) = scene.scenario.selected_channel(scene.phase, radio)
            {
                let bar = Rect::from_min_size(chip.rect.min, vec2(8.0, chip.rect.height()));
                let colour = self.fade(thing, scene.channel_colour(channel));
                self.rect(bar, colour);
            }
        }
    }

    fn gateway(&mut self, gateway: &GatewayBox) {
        let t = self.pen.t;
        self.rect(gateway.rect, t.card);
        for lane in &gateway.lanes {
            let bus =
                Rect::from_min_max(pos2(lane.x - 4.0, lane.y.0), pos2(lane.x + 4.0, lane.y.1));
            let colour = self.fade(lane.group.into(), t.bus(lane.group.group));
            self.rect(bus, colour);
        }
    }

    fn fade(&self, thing: ThingId, colour: Color32) -> Color32 {
        match self.scene.strength(thing) {
            Strength::Dim => colour.gamma_multiply(0.25),
            Strength::Half | Strength::Full => colour,
        }
    }

    fn rect(&mut self, r: Rect, colour: Color32) {
        let corners = [
            r.left_top(),
            r.right_top(),
            r.left_bottom(),
            r.right_bottom(),
        ];
        self.quad(corners, [Vec2::ZERO; 4], colour);
    }

    /// A line as a thin strip, as wide in the window at every scale.
    fn strip(&mut self, a: Pos2, b: Pos2, colour: Color32) {
        let along = (b - a).normalized();
        let side = vec2(-along.y, along.x) * 0.6;
        self.quad([a, a, b, b], [side, -side, side, -side], colour);
    }

    fn quad(&mut self, at: [Pos2; 4], off: [Vec2; 4], colour: Color32) {
        let first = self.mesh.vertices.len() as u32;
        for (at, off) in at.into_iter().zip(off) {
            self.corners.push(Corner { at, off });
            self.mesh.colored_vertex(Pos2::ZERO, colour);
        }
        self.mesh.add_triangle(first, first + 1, first + 2);
        self.mesh.add_triangle(first + 1, first + 2, first + 3);
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

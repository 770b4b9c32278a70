//! Drawing the lines between things: all in two meshes, dashes and ends by themselves.
//!
//! Calm lines are kept while nothing they follow from changes. Above them lie those of what is selected or
//! under the pointer, and those that have moved since the layout was made: few, and made again each time.
//! Both reach beyond the view, so that most moves of the camera only put them elsewhere.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{Color32, Rect, Shape};

use super::camera::Camera;
use super::draw::Scene;
use super::hit::{Hit, Part};
use super::lit::Lit;
use super::pen::{Pen, Strength, flatten, line_width};
use super::sheet::Sheet;
use super::strands::{Ground, Ink, Strands};
use crate::app::theme::Tokens;
use crate::layout::{Line, LineKind, Piece};
use crate::model::ThingId;

/// Most lines in view that are drawn with soft edges and apart from each other.
const FINE: usize = 400;
/// How far the ground of the lines reaches beyond the view on each side, as a share of it.
const BEYOND: f32 = 0.2;
/// By how much the scale may change before lines are halved and dashed anew.
const SCALE: f32 = 1.25;

/// The lines as they were last drawn, for as long as nothing changes that they follow from.
#[derive(Debug, Default)]
pub(super) struct Woven {
    /// What both meshes follow from.
    of: Option<Of>,
    /// The layout as it was made, and how many of its lines have moved since.
    calm_of: Option<(u64, usize)>,
    calm: Sheet,
    keen_of: Option<KeenOf>,
    keen: Sheet,
    /// Some line is keen.
    any_keen: bool,
    /// The lines that are drawn by themselves, by their number.
    held: Vec<usize>,
}

/// What both meshes follow from beside the layout.
#[derive(Debug, Clone, Copy)]
struct Of {
    ground: Ground,
    is_fine: bool,
    tokens: &'static Tokens,
}

/// What the mesh of keen and moved lines follows from.
#[derive(Debug)]
struct KeenOf {
    stamp: u64,
    hovered: Option<ThingId>,
    selection: BTreeSet<ThingId>,
}

impl Ground {
    fn around(camera: &Camera) -> Self {
        let seen = camera.seen();
        Self {
            stretch: seen.expand2(seen.size() * BEYOND),
            zoom: camera.zoom,
        }
    }

    /// Tells whether all that is in view is on it, at about its scale.
    fn serves(&self, camera: &Camera) -> bool {
        let scale = camera.zoom / self.zoom;
        let seen = camera.seen().expand(8.0 / camera.zoom);
        (1.0 / SCALE..=SCALE).contains(&scale) && self.stretch.contains_rect(seen)
    }
}

impl Of {
    fn is_of(&self, pen: &Pen, is_fine: bool) -> bool {
        std::ptr::eq(self.tokens, pen.t)
            && self.is_fine == is_fine
            && self.ground.serves(&pen.camera)
    }
}

impl KeenOf {
    fn is_of(&self, scene: &Scene<'_>) -> bool {
        self.stamp == scene.layout.stamp
            && self.hovered == hovered(scene)
            && self.selection == *scene.selection
    }
}

impl Woven {
    /// Returns the meshes as they were last drawn: the calm lines, then those above them.
    #[cfg(test)]
    pub(super) fn meshes(&self) -> [egui::Mesh; 2] {
        [&self.calm, &self.keen].map(|sheet| egui::Mesh::clone(sheet.mesh()))
    }

    /// Returns what the lines are drawn on.
    #[cfg(test)]
    pub(super) fn ground(&self) -> Option<Ground> {
        self.of.map(|of| of.ground)
    }

    /// Forgets the meshes, but not what they are drawn on.
    #[cfg(test)]
    pub(super) fn forget(&mut self) {
        let of = self.of;
        *self = Self::default();
        self.of = of;
    }

    /// Makes again what no longer fits, and puts all where the camera is.
    fn weave(&mut self, pen: &Pen, scene: &Scene<'_>, is_fine: bool) {
        let kept = self.of.filter(|of| of.is_of(pen, is_fine));
        let of = kept.unwrap_or_else(|| Of {
            ground: Ground::around(&pen.camera),
            is_fine,
            tokens: pen.t,
        });
        if kept.is_none() {
            self.of = Some(of);
            (self.calm_of, self.keen_of) = (None, None);
        }
        let layout = scene.layout;
        let calm_of = (layout.made, layout.moved_lines);
        if self.calm_of != Some(calm_of) {
            self.calm_of = Some(calm_of);
            self.weave_calm(pen, scene, of);
        }
        if !self.keen_of.as_ref().is_some_and(|key| key.is_of(scene)) {
            self.keen_of = Some(KeenOf {
                stamp: layout.stamp,
                hovered: hovered(scene),
                selection: scene.selection.clone(),
            });
            self.weave_keen(pen, scene, of);
        }
        self.calm.put(&pen.camera);
        self.keen.put(&pen.camera);
    }

    fn weave_calm(&mut self, pen: &Pen, scene: &Scene<'_>, of: Of) {
        let mut strands = Strands::new(of.ground, of.is_fine);
        let still = scene.layout.lines_in(of.ground.stretch);
        for line in still.filter(|line| !line.has_moved) {
            strand(pen, scene, &mut strands, line, CALM);
        }
        self.calm = strands.sheet();
        let lines = scene.layout.lines.iter().enumerate();
        let held = lines.filter(|(_, line)| line.kind == LineKind::Held);
        self.held = held.map(|(i, _)| i).collect();
    }

    fn weave_keen(&mut self, pen: &Pen, scene: &Scene<'_>, of: Of) {
        let mut strands = Strands::new(of.ground, of.is_fine);
        let lit = Lit::of(scene);
        let mut keen: Vec<&Line> = Vec::new();
        if lit.is_some() || scene.layout.moved_lines > 0 {
            for line in scene.layout.lines_in(of.ground.stretch) {
                if lit.as_ref().is_some_and(|lit| lit.is_lit(line)) {
                    keen.push(line);
                } else if line.has_moved {
                    strand(pen, scene, &mut strands, line, CALM);
                }
            }
        }
        for line in &keen {
            strand(pen, scene, &mut strands, line, KEEN);
        }
        self.any_keen = !keen.is_empty();
        self.keen = strands.sheet();
    }
}

/// How wide a line is and how much of its ink it has.
type Look = (f32, f32);

const CALM: Look = (2.0, 0.72);
const KEEN: Look = (3.2, 1.0);

/// Draws the lines in view; those of what is selected or under the pointer above the others.
pub(super) fn lines(pen: &Pen, scene: &Scene<'_>, woven: &mut Woven) {
    let layout = scene.layout;
    let seen = pen.camera.seen().expand(4.0);
    let strength = match (scene.talk, scene.targets) {
        (None, None) if !scene.needs && scene.asked.is_none() => Strength::Full,
        _ => Strength::Dim,
    };
    pen.set(strength);
    let is_fine = layout.lines_in(seen).take(FINE + 1).count() <= FINE;
    woven.weave(pen, scene, is_fine);
    for sheet in [&woven.calm, &woven.keen] {
        pen.painter().add(Shape::Mesh(Arc::clone(sheet.mesh())));
    }
    held(pen, scene, woven, seen);
    if is_fine {
        let free = layout.lines_in(seen).filter(|l| l.kind != LineKind::Held);
        for line in free {
            let ends = line.ends().map(|(a, b)| [a, b]);
            for end in ends.into_iter().flatten().filter(|e| seen.contains(*e)) {
                pen.spot(end, 3.2, ink(pen, scene, line, 0.72));
            }
        }
    }
    pen.set(Strength::Full);
}

/// Draws the lines from what somebody holds to its port, in dashes.
fn held(pen: &Pen, scene: &Scene<'_>, woven: &Woven, seen: Rect) {
    let width = if woven.any_keen { 2.4 } else { 2.0 };
    let width = pen.line_width(width) * 0.8;
    for i in &woven.held {
        let line = scene.layout.lines.get(*i);
        if let Some(line) = line.filter(|line| line.bounds.intersects(seen)) {
            for curve in &line.curves {
                pen.dashes(&flatten(*curve), width, 6.0, pen.t.faint);
            }
        }
    }
}

/// Returns what under the pointer makes its lines keen.
fn hovered(scene: &Scene<'_>) -> Option<ThingId> {
    let is_shown = |hit: &Hit| hit.part != Part::Mic;
    scene.hovered.filter(is_shown).map(|hit| hit.thing)
}

/// Returns how the line of a channel is dashed.
fn dashes(pen: &Pen, scene: &Scene<'_>, line: &Line) -> &'static [f32] {
    turn(scene, line).map_or(&[], |turn| pen.t.dashes(turn))
}

/// Returns the turn of the channel a line leads to.
fn turn(scene: &Scene<'_>, line: &Line) -> Option<usize> {
    match (line.kind, line.pieces[1]) {
        (LineKind::Tuned | LineKind::Donor, Some(Piece::Pill(i))) => {
            scene.layout.pills.get(i as usize).map(|pill| pill.turn)
        }
        _ => None,
    }
}

fn ink(pen: &Pen, scene: &Scene<'_>, line: &Line, share: f32) -> Color32 {
    match line.kind {
        LineKind::Tuned | LineKind::Donor => turn(scene, line)
            .map_or(pen.t.soft, |turn| pen.t.channel(turn))
            .gamma_multiply(share),
        LineKind::Tie => pen.t.soft,
        LineKind::Held => pen.t.faint,
    }
}

/// Adds a line; held ones are drawn by themselves.
fn strand(pen: &Pen, scene: &Scene<'_>, strands: &mut Strands, line: &Line, look: Look) {
    if line.kind == LineKind::Held {
        return;
    }
    let (width, share) = look;
    let width = line_width(width * pen.t.weight, strands.ground().zoom);
    // A thin edge in the ground's colour keeps crossing lines apart.
    let edge = Ink {
        width: width + 2.5,
        colour: pen.t.canvas,
    };
    let ink = Ink {
        width,
        colour: ink(pen, scene, line, share),
    };
    let edge = strands.is_soft().then_some(edge);
    strands.line(&line.curves, edge, ink, dashes(pen, scene, line));
}

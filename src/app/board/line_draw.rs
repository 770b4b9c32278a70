//! Drawing the lines between things: all in one mesh, dashes and ends by themselves.

use std::collections::BTreeSet;
use std::sync::Arc;

use egui::{Color32, Mesh, Rect, Shape};

use super::camera::Camera;
use super::draw::Scene;
use super::hit::Hit;
use super::pen::{Pen, Strength, flatten};
use super::strands::{Ink, Strands};
use crate::app::theme::Tokens;
use crate::layout::{Line, LineKind, Piece};
use crate::model::ThingId;

/// Most lines in view that are drawn with soft edges and apart from each other.
const FINE: usize = 400;

/// The mesh of the lines as they were last drawn, for as long as nothing changes that it follows from.
#[derive(Debug, Default)]
pub(super) struct Woven {
    key: Option<Key>,
    mesh: Arc<Mesh>,
}

/// All that the mesh follows from.
#[derive(Debug)]
struct Key {
    stamp: u64,
    camera: Camera,
    view: Rect,
    tokens: &'static Tokens,
    hovered: Option<Hit>,
    selection: BTreeSet<ThingId>,
}

impl Woven {
    fn is_of(&self, pen: &Pen, scene: &Scene<'_>) -> bool {
        self.key.as_ref().is_some_and(|key| {
            key.stamp == scene.layout.stamp
                && key.camera == pen.camera
                && key.view == pen.painter().clip_rect()
                && std::ptr::eq(key.tokens, pen.t)
                && key.hovered == scene.hovered
                && key.selection == *scene.selection
        })
    }

    fn keep(&mut self, pen: &Pen, scene: &Scene<'_>, mesh: Mesh) {
        self.mesh = Arc::new(mesh);
        self.key = Some(Key {
            stamp: scene.layout.stamp,
            camera: pen.camera,
            view: pen.painter().clip_rect(),
            tokens: pen.t,
            hovered: scene.hovered,
            selection: scene.selection.clone(),
        });
    }
}

/// Draws the lines in view; those of what is selected or under the pointer above the others.
pub(super) fn lines(pen: &Pen, scene: &Scene<'_>, woven: &mut Woven) {
    let seen = pen.camera.seen().expand(4.0);
    let (keen, calm): (Vec<&Line>, Vec<&Line>) = scene
        .layout
        .lines_in(seen)
        .partition(|line| is_of_interest(scene, line));
    let strength = match (scene.talk, scene.targets) {
        (None, None) if !scene.needs && scene.asked.is_none() => Strength::Full,
        _ => Strength::Dim,
    };
    pen.set(strength);
    let is_fine = keen.len() + calm.len() <= FINE;
    if !woven.is_of(pen, scene) {
        let view = pen.painter().clip_rect();
        let mut strands = Strands::new(pen.camera, view, is_fine);
        for line in &calm {
            strand(pen, scene, &mut strands, line, 2.0, 0.72);
        }
        for line in &keen {
            strand(pen, scene, &mut strands, line, 3.2, 1.0);
        }
        woven.keep(pen, scene, strands.mesh());
    }
    pen.painter().add(Shape::Mesh(Arc::clone(&woven.mesh)));
    for line in calm.iter().chain(&keen) {
        let width = if keen.is_empty() { 2.0 } else { 2.4 };
        if line.kind == LineKind::Held {
            for curve in &line.curves {
                let width = pen.line_width(width) * 0.8;
                pen.dashes(&flatten(*curve), width, 6.0, pen.t.faint);
            }
        } else if let (true, Some((a, b))) = (is_fine, line.ends()) {
            for end in [a, b].into_iter().filter(|end| seen.contains(*end)) {
                pen.spot(end, 3.2, ink(pen, scene, line, 0.72));
            }
        }
    }
    pen.set(Strength::Full);
}

fn is_of_interest(scene: &Scene<'_>, line: &Line) -> bool {
    if scene.hovered.is_none() && scene.selection.is_empty() {
        return false;
    }
    let is_lit = |thing: ThingId| scene.is_hovered(thing) || scene.is_selected(thing);
    let holder = match (line.kind, line.pieces[0], line.from) {
        (_, Some(Piece::Card(i)), _) => {
            let card = scene.layout.cards.get(i as usize);
            card.map(|card| ThingId::from(card.id))
        }
        (LineKind::Donor, _, ThingId::Radio(id)) => {
            let radio = scene.scenario.radios.get(id);
            radio.and_then(|r| r.held_by).map(ThingId::from)
        }
        _ => None,
    };
    is_lit(line.from) || is_lit(line.to) || holder.is_some_and(is_lit)
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

/// Adds a line; dashed ones are drawn by themselves.
fn strand(
    pen: &Pen,
    scene: &Scene<'_>,
    strands: &mut Strands,
    line: &Line,
    width: f32,
    share: f32,
) {
    if line.kind == LineKind::Held {
        return;
    }
    let width = pen.line_width(width);
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

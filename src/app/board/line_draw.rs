//! Drawing the lines between things: all in one mesh, dashes and ends by themselves.

use egui::Color32;

use super::draw::Scene;
use super::layout::{Line, LineKind, Piece};
use super::pen::{Pen, Strength, flatten};
use super::strands::{Ink, Strands};
use crate::model::ThingId;

/// Most lines in view that are drawn with soft edges and apart from each other.
const FINE: usize = 400;

/// Draws the lines in view; those of what is selected or under the pointer above the others.
pub(super) fn lines(pen: &Pen, scene: &Scene<'_>) {
    let seen = pen.camera.seen().expand(4.0);
    let all = &scene.layout.lines;
    let (keen, calm): (Vec<&Line>, Vec<&Line>) = all
        .iter()
        .filter(|line| line.bounds.intersects(seen))
        .partition(|line| is_of_interest(scene, line));
    let strength = match (scene.talk, scene.targets) {
        (None, None) if !scene.needs && scene.asked.is_none() => Strength::Full,
        _ => Strength::Dim,
    };
    pen.set(strength);
    let is_fine = keen.len() + calm.len() <= FINE;
    let view = pen.painter().clip_rect();
    let mut strands = Strands::new(pen.camera, view, is_fine);
    for line in &calm {
        strand(pen, scene, &mut strands, line, 2.0, 0.72);
    }
    for line in &keen {
        strand(pen, scene, &mut strands, line, 3.2, 1.0);
    }
    pen.painter().add(strands.mesh());
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

fn ink(pen: &Pen, scene: &Scene<'_>, line: &Line, share: f32) -> Color32 {
    match line.kind {
        LineKind::Tuned | LineKind::Donor => {
            let pill = match line.pieces[1] {
                Some(Piece::Pill(i)) => scene.layout.pills.get(i as usize),
                _ => None,
            };
            pill.map_or(pen.t.soft, |pill| pen.t.channel(pill.turn))
                .gamma_multiply(share)
        }
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
    for ink in [edge, ink]
        .into_iter()
        .skip(usize::from(!strands.is_soft()))
    {
        for curve in &line.curves {
            strands.curve(*curve, ink);
        }
    }
}

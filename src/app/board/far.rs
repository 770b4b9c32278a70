//! The board from far away: plain shapes in one mesh, names only for frames and gateways.

use egui::{Mesh, Pos2, Rect, pos2, vec2};

use super::draw::Scene;
use super::pen::{Pen, Strength, Weight};
use crate::model::ThingId;

/// Draws everything in view as plain shapes.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>) {
    let t = pen.t;
    let layout = scene.layout;
    let mut mesh = Mesh::default();
    let rect = |mesh: &mut Mesh, r: Rect, colour| {
        if pen.sees(r) {
            mesh.add_colored_rect(pen.camera.rect(r), colour);
        }
    };
    let fade = |thing: ThingId, colour: egui::Color32| match scene.strength(thing) {
        Strength::Dim => colour.gamma_multiply(0.25),
        Strength::Half | Strength::Full => colour,
    };
    for frame in &layout.frames {
        rect(&mut mesh, frame.rect, t.group);
    }
    for line in &layout.lines {
        if pen.sees(line.bounds()) {
            let colour = line.channel.map_or(t.faint, |c| scene.channel_colour(c));
            let colour = if scene.talk.is_some() {
                colour.gamma_multiply(0.2)
            } else {
                colour.gamma_multiply(0.7)
            };
            if let Some((a, b)) = line.ends() {
                strip(&mut mesh, pen.camera.out(a), pen.camera.out(b), colour);
            }
        }
    }
    for card in &layout.cards {
        let thing = ThingId::from(card.id);
        let heard = scene.talk.is_some_and(|talk| {
            talk.hearers
                .contains_key(&crate::model::Party::Unit(card.id))
        });
        let ground = if heard { t.good.ink } else { t.card };
        rect(&mut mesh, card.rect, fade(thing, ground));
        if scene.is_selected(thing) {
            rect(&mut mesh, card.rect.expand(6.0), t.accent.ink);
            rect(&mut mesh, card.rect, ground);
        }
        for chip in &card.chips {
            let bar = Rect::from_min_size(chip.rect.min, vec2(8.0, chip.rect.height()));
            if let ThingId::Radio(id) = chip.thing
                && let Some(radio) = scene.scenario.radios.get(id)
                && let Some(channel) = scene.scenario.selected_channel(scene.phase, radio)
            {
                rect(&mut mesh, bar, fade(thing, scene.channel_colour(channel)));
            }
        }
    }
    for pill in &layout.pills {
        rect(
            &mut mesh,
            pill.rect,
            fade(pill.id.into(), scene.channel_colour(pill.id)),
        );
    }
    for gateway in &layout.boxes {
        rect(&mut mesh, gateway.rect, t.card);
        for lane in &gateway.lanes {
            let bus =
                Rect::from_min_max(pos2(lane.x - 4.0, lane.y.0), pos2(lane.x + 4.0, lane.y.1));
            rect(
                &mut mesh,
                bus,
                fade(lane.group.into(), t.bus(lane.group.group)),
            );
        }
    }
    for chip in &layout.loose {
        rect(&mut mesh, chip.rect, fade(chip.thing, t.card));
    }
    pen.painter().add(mesh);
    names(pen, scene);
}

fn names(pen: &Pen, scene: &Scene<'_>) {
    let t = pen.t;
    let zoom = pen.camera.zoom;
    let size = 12.0 / zoom;
    for frame in &scene.layout.frames {
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

/// A line as a thin strip of two triangles.
fn strip(mesh: &mut Mesh, a: Pos2, b: Pos2, colour: egui::Color32) {
    let along = (b - a).normalized();
    let side = vec2(-along.y, along.x) * 0.6;
    let first = mesh.vertices.len() as u32;
    for p in [a + side, a - side, b + side, b - side] {
        mesh.colored_vertex(p, colour);
    }
    mesh.add_triangle(first, first + 1, first + 2);
    mesh.add_triangle(first + 1, first + 2, first + 3);
}

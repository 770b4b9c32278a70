//! How a collapsed agency or system looks: one chip with what is inside, its worst finding, and
//! whether anybody in it hears.

use egui::pos2;

use super::draw::Scene;
use super::pen::{Pen, Strength, Weight};
use crate::app::theme::Sign;
use crate::layout::Fold;
use crate::model::{Party, ThingId};

/// Size of the name; where it could not be read, a short one is written larger.
const SMALL: f32 = 13.5;

/// Draws every chip in view.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>) {
    for fold in scene.layout.folds.iter().filter(|f| pen.sees(f.rect)) {
        chip(pen, scene, fold);
    }
    pen.set(Strength::Full);
}

/// Who in it hears, while somebody talks.
struct Ears {
    hear: usize,
    talks: bool,
    arrived: bool,
}

fn ears(scene: &Scene<'_>, fold: &Fold) -> Option<Ears> {
    let talk = scene.talk?;
    let hear = |unit: &&crate::model::UnitId| talk.hearers.contains_key(&Party::Unit(**unit));
    Some(Ears {
        hear: fold.units.iter().filter(hear).count(),
        talks: fold.inside().any(|t| t == ThingId::from(talk.party)),
        arrived: fold.inside().any(|t| scene.has_arrived(t)),
    })
}

fn chip(pen: &Pen, scene: &Scene<'_>, fold: &Fold) {
    let t = pen.t;
    let rect = fold.rect;
    let ears = ears(scene, fold);
    pen.set(match &ears {
        Some(ears) if ears.arrived || ears.talks || ears.hear > 0 => Strength::Full,
        Some(_) => Strength::Half,
        None => scene.strength(fold.thing),
    });
    pen.shadow(rect, 12.0);
    let (width, edge) = match &ears {
        Some(ears) if ears.talks => (2.5, t.accent.ink),
        Some(ears) if ears.arrived => (2.5, t.good.ink),
        _ if scene.is_selected(fold.thing) => (2.0, t.accent.ink),
        _ if scene.is_hovered(fold.thing) => (1.5, t.soft),
        _ => (1.0, t.card_edge),
    };
    // A second edge behind the first: a pile of things, not one.
    pen.plate(rect, 12.0, t.card, width, edge);
    pen.path(
        &[
            pos2(rect.min.x + 12.0, rect.max.y + 3.0),
            pos2(rect.max.x - 12.0, rect.max.y + 3.0),
        ],
        pen.line_width(1.4),
        edge,
    );
    let all: Vec<ThingId> = fold.inside().chain([fold.thing]).collect();
    if pen.z(SMALL) < 8.0 {
        small(pen, scene, fold, ears.as_ref());
        scene.mark_at(pen, &all, rect.min + egui::vec2(2.0, 2.0));
        return;
    }
    let is_system = matches!(fold.thing, ThingId::System(_));
    let sign = if is_system {
        Sign::System
    } else {
        Sign::Agency
    };
    pen.sign(pos2(rect.min.x + 22.0, rect.center().y), sign, 18.0, t.soft);
    let left = rect.min.x + 40.0;
    let room = rect.width() - 40.0 - 34.0;
    pen.text(
        pos2(left, rect.min.y + 15.0),
        &scene.scenario.name(fold.thing),
        SMALL,
        Weight::Strong,
        t.text,
        room,
    );
    let (words, ink, weight) = match &ears {
        Some(ears) if ears.talks => ("talks".to_owned(), t.accent.ink, Weight::Strong),
        Some(ears) if ears.hear > 0 => (
            format!("{} of {} hear", ears.hear, fold.units.len()),
            t.good.ink,
            Weight::Strong,
        ),
        Some(_) if !fold.units.is_empty() => ("nobody hears".to_owned(), t.soft, Weight::Strong),
        _ => (fold.contents(), t.faint, Weight::Plain),
    };
    pen.text(
        pos2(left, rect.min.y + 32.0),
        &words,
        11.5,
        weight,
        ink,
        room,
    );
    let right = pos2(rect.max.x - 20.0, rect.center().y);
    match &ears {
        Some(ears) if ears.talks => pen.sign(right, Sign::Mic, 17.0, t.accent.ink),
        Some(ears) if ears.hear > 0 => pen.sign(right, Sign::Ear, 17.0, t.good.ink),
        Some(_) if !fold.units.is_empty() => pen.sign(right, Sign::EarCrossed, 17.0, t.soft),
        _ => pen.sign(right, Sign::ChevronRight, 14.0, t.faint),
    }
    scene.mark_at(pen, &all, rect.min + egui::vec2(2.0, 2.0));
}

/// From further away only a short name, as large as can be read.
fn small(pen: &Pen, scene: &Scene<'_>, fold: &Fold, ears: Option<&Ears>) {
    let s = scene.scenario;
    let short = match fold.thing {
        ThingId::Agency(id) => s.agencies.get(id).map(|a| a.short.clone()),
        _ => None,
    };
    let name = short
        .filter(|name| !name.is_empty())
        .unwrap_or_else(|| s.name(fold.thing));
    let words = match ears {
        Some(ears) if ears.hear > 0 => format!("{name} {}/{}", ears.hear, fold.units.len()),
        None if !fold.units.is_empty() => format!("{name} · {}", fold.units.len()),
        _ => name,
    };
    let zoom = pen.camera.zoom;
    let ink = match ears {
        Some(ears) if ears.talks => pen.t.accent.ink,
        Some(ears) if ears.hear > 0 => pen.t.good.ink,
        _ => pen.t.text,
    };
    // No larger than the chip is high.
    let size = (10.0 / zoom).min(fold.rect.height() * 0.8);
    let left = 10.0 / zoom;
    pen.text(
        pos2(fold.rect.min.x + left, fold.rect.center().y),
        &words,
        size,
        Weight::Strong,
        ink,
        fold.rect.width() - left - 4.0 / zoom,
    );
}

//! Small labels along a lit path: how late the message is by now and what was cut off its front, and
//! where two messages meet. They stand beside the things and never over one another.

use std::collections::BTreeMap;

use egui::{Color32, Pos2, Rect, pos2, vec2};

use super::draw::Scene;
use super::hit::handle;
use super::pen::{Pen, Strength, Weight};
use super::talk::TalkView;
use crate::app::theme::Sign;
use crate::app::words::seconds;
use crate::hearing::Place;
use crate::layout::GatewayBox;
use crate::model::ThingId;

/// Height of a label on the board.
const HEIGHT: f32 = 19.0;
/// Size of its letters.
const LETTERS: f32 = 11.5;
/// How much larger than on the board at most they are drawn on a board that is far away.
const LARGEST: f32 = 1.5;

/// One label: the thing it is about, its sign, its words and their colour.
pub(super) struct Label {
    pub(super) thing: ThingId,
    pub(super) sign: Option<Sign>,
    pub(super) words: String,
    pub(super) ink: Color32,
}

/// Draws the labels of what the message has reached, and of where two meet.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>, talk: &TalkView) {
    pen.set(Strength::Full);
    let mut labels = Vec::new();
    if let Some((_, both)) = scene.over {
        for meeting in &both.meetings {
            labels.push(meeting_label(pen, meeting.place));
        }
    } else {
        labels.extend(delays(pen, scene, talk));
    }
    place(pen, scene, labels);
}

/// Draws labels beside their things, none over another.
pub(super) fn place(pen: &Pen, scene: &Scene<'_>, labels: Vec<Label>) {
    pen.set(Strength::Full);
    let mut taken: Vec<Rect> = Vec::new();
    // Labels stay readable on a board that is far away.
    let scale = (1.0 / pen.camera.zoom).clamp(1.0, LARGEST);
    for label in labels {
        let Some(rect) = scene.layout.rect(label.thing) else {
            continue;
        };
        let (height, letters) = (HEIGHT * scale, LETTERS * scale);
        let sign = if label.sign.is_some() { 18.0 } else { 0.0 };
        let words = pen.width_of(&label.words, letters, Weight::Strong);
        let width = words + (16.0 + sign) * scale;
        let wall = handle(scene.layout, label.thing);
        let view = pen.camera.seen();
        let spot = free_spot((rect, wall), vec2(width, height), &taken, (scene, view));
        taken.push(spot);
        pen.fill(spot, height / 2.0, pen.t.panel);
        pen.outline(spot, height / 2.0, 1.4, label.ink);
        if let Some(sign) = label.sign {
            let at = pos2(spot.min.x + 14.0 * scale, spot.center().y);
            pen.sign(at, sign, 14.0 * scale, label.ink);
        }
        pen.text(
            pos2(spot.min.x + (8.0 + sign) * scale, spot.center().y),
            &label.words,
            letters,
            Weight::Strong,
            label.ink,
            width,
        );
    }
}

/// The delay so far at each thing that adds one, and what was cut off there.
fn delays(pen: &Pen, scene: &Scene<'_>, talk: &TalkView) -> Vec<Label> {
    let mut late: BTreeMap<ThingId, (u32, u32)> = BTreeMap::new();
    for path in &talk.paths {
        let (mut delay, mut lost) = (0_u32, 0_u32);
        for step in &path.steps {
            delay = delay.saturating_add(step.delay_ms);
            lost = lost.saturating_add(step.clipped_ms);
            if step.delay_ms > 0 || step.clipped_ms > 0 {
                let known = late.entry(step.at).or_insert((delay, lost));
                *known = (*known).min((delay, lost));
            }
        }
    }
    late.into_iter()
        .filter(|(thing, _)| scene.has_arrived(*thing))
        .map(|(thing, (delay, lost))| {
            if lost > 0 {
                Label {
                    thing,
                    sign: Some(Sign::ClippedFront),
                    words: format!("{}, first {} lost", seconds(delay), seconds(lost)),
                    ink: pen.t.warns.ink,
                }
            } else {
                Label {
                    thing,
                    sign: Some(Sign::Later),
                    words: seconds(delay),
                    ink: pen.t.soft,
                }
            }
        })
        .collect()
}

fn meeting_label(pen: &Pen, place: Place) -> Label {
    let t = pen.t;
    let (thing, sign, words, ink): (ThingId, _, _, _) = match place {
        Place::Channel { channel, .. } => (channel.into(), Sign::Collide, "garbled", t.stops.ink),
        Place::Busy(channel) => (channel.into(), Sign::Collide, "busy", t.stops.ink),
        Place::Deaf(port) => (
            port.into(),
            Sign::EarCrossed,
            "sends the first",
            t.warns.ink,
        ),
        Place::Held(port) => (
            port.into(),
            Sign::EarCrossed,
            "takes in the first",
            t.warns.ink,
        ),
        Place::TalkGroup(group) => (group.into(), Sign::Ear, "mixed", t.notes.ink),
    };
    Label {
        thing,
        sign: Some(sign),
        words: words.to_owned(),
        ink,
    }
}

/// Finds a spot beside a thing: over no other label, and over as little else as can be.
///
/// What is part of a gateway has its labels outside the wall of the box, where its line arrives.
fn free_spot(
    (rect, wall): (Rect, Option<Pos2>),
    size: egui::Vec2,
    taken: &[Rect],
    (scene, view): (&Scene<'_>, Rect),
) -> Rect {
    let (middle, gap) = (rect.center(), 4.0);
    let half = size / 2.0;
    let is_inside = |b: &GatewayBox| b.rect.contains_rect(rect) && b.rect != rect;
    let mut spots: Vec<Pos2> = Vec::new();
    if let Some(wall) = wall.filter(|_| scene.layout.boxes.iter().any(is_inside)) {
        for step in 0..3 {
            let x = wall.x - half.x - gap - step as f32 * (size.x + gap);
            spots.push(pos2(x, wall.y));
        }
    }
    spots.extend([
        pos2(rect.max.x - half.x, rect.min.y - half.y + 6.0),
        pos2(rect.min.x + half.x, rect.min.y - half.y + 6.0),
        pos2(rect.max.x - half.x, rect.max.y + half.y - 6.0),
        pos2(rect.min.x + half.x, rect.max.y + half.y - 6.0),
        pos2(rect.min.x - half.x - gap, middle.y),
        pos2(rect.max.x + half.x + gap, middle.y),
    ]);
    // Where all is taken, further down in steps.
    for step in 1..8 {
        let y = rect.max.y + half.y + step as f32 * (size.y + 2.0);
        spots.push(pos2(middle.x, y));
    }
    let covered = |r: Rect| -> f32 {
        let area = |other: Rect| {
            let both = r.intersect(other);
            if both.is_positive() { both.area() } else { 0.0 }
        };
        // Labels of neighbouring rows may touch.
        let labels: f32 = taken.iter().map(|other| area(other.shrink(1.0))).sum();
        let unseen = if view.contains_rect(r) { 0.0 } else { 1e6 };
        let cards: f32 = scene
            .layout
            .cards
            .iter()
            .map(|c| c.rect)
            .chain(scene.layout.pills.iter().map(|p| p.rect))
            .chain(scene.layout.boxes.iter().map(|b| b.rect))
            .filter(|other| *other != rect)
            .map(area)
            .sum();
        unseen + labels * 1000.0 + cards
    };
    spots
        .into_iter()
        .map(|at| Rect::from_center_size(at, size))
        .min_by(|a, b| covered(*a).total_cmp(&covered(*b)))
        .unwrap_or_else(|| Rect::from_center_size(middle, size))
}

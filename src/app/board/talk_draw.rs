//! The message on its way, drawn over the board.

use egui::{Color32, Pos2, pos2, vec2};

use super::draw::Scene;
use super::pen::{Pen, Strength, flatten};
use super::talk::{Leg, TalkView};
use crate::app::theme::Sign;
use crate::layout::Layout;
use crate::model::{PortRef, ThingId};

/// Draws the hops up to where the message is at `now`, with a pulse at its front.
pub(super) fn path(pen: &Pen, scene: &Scene<'_>, talk: &TalkView, now: f32) {
    pen.set(Strength::Full);
    let t = pen.t;
    for leg in &talk.legs {
        let (start, end) = leg.time;
        if now < start {
            continue;
        }
        let points = points(scene.layout, leg);
        let [_, _, ..] = points.as_slice() else {
            continue;
        };
        let share = ((now - start) / (end - start).max(0.01)).clamp(0.0, 1.0);
        let (lit, front) = cut(&points, share);
        let colour = match (leg.from, leg.to) {
            (ThingId::TalkGroup(group), _) | (_, ThingId::TalkGroup(group)) => t.bus(group.group),
            _ => colour(scene, leg).unwrap_or(t.accent.ink),
        };
        if leg.by_scan {
            pen.dashes(&lit, pen.line_width(3.0), 7.0, colour);
        } else {
            pen.path(&lit, pen.line_width(9.0), colour.gamma_multiply(0.22));
            pen.path(&lit, pen.line_width(3.6), colour);
        }
        if share < 1.0 {
            pen.spot(front, 9.0, colour.gamma_multiply(0.3));
            pen.spot(front, 5.0, colour);
            pen.spot(front, 2.2, t.card);
        }
    }
    for (radio, sending) in &talk.sends {
        let leg = talk
            .legs
            .iter()
            .find(|l| l.from == *radio && l.to == sending.channel);
        if let Some(leg) = leg.filter(|l| now >= l.time.0) {
            let points = points(scene.layout, leg);
            // Near the speaker's radio, but near the channel for donors, which stand close together.
            let is_donor = layout_is_donor(scene, *radio);
            let (_, middle) = cut(&points, if is_donor { 0.86 } else { 0.28 });
            let (sign, pair) = if sending.encrypted {
                (Sign::Lock, t.good)
            } else {
                (Sign::LockOpen, t.notes)
            };
            pen.spot(middle, 11.0, t.card);
            pen.ring(middle, 11.0, 1.4, pair.ink);
            pen.sign(middle, sign, 14.0, pair.ink);
        }
    }
    speaker(pen, scene, talk, now);
}

fn layout_is_donor(scene: &Scene<'_>, radio: ThingId) -> bool {
    matches!(radio, ThingId::Radio(id) if scene.phase.port_of_radio(id).is_some())
}

/// Rings that spread from the one who talks.
fn speaker(pen: &Pen, scene: &Scene<'_>, talk: &TalkView, now: f32) {
    let speaker = ThingId::from(talk.party);
    let card = scene.layout.card_of(speaker);
    let Some(card) = card.filter(|card| ThingId::from(card.id) == speaker) else {
        return;
    };
    let phase = (now / 0.9).min(1.0);
    for k in 0..2 {
        let spread = (phase - k as f32 * 0.25).clamp(0.0, 1.0);
        pen.ring(
            card.mic.center(),
            14.0 + 10.0 * spread,
            1.6,
            pen.t.accent.ink.gamma_multiply(0.7 * (1.0 - 0.6 * spread)),
        );
    }
}

fn colour(scene: &Scene<'_>, leg: &Leg) -> Option<Color32> {
    let of = |thing: ThingId| match thing {
        ThingId::Channel(id) => Some(scene.channel_colour(id)),
        _ => None,
    };
    of(leg.from).or_else(|| of(leg.to))
}

/// Returns the drawn way of a hop.
pub(super) fn points(layout: &Layout, leg: &Leg) -> Vec<Pos2> {
    match (leg.from, leg.to) {
        (ThingId::Port(port), ThingId::TalkGroup(_)) => join(layout, port).unwrap_or_default(),
        (ThingId::TalkGroup(_), ThingId::Port(port)) => {
            let out = join(layout, port).unwrap_or_default();
            let entry = match leg.before {
                Some(ThingId::Port(before)) => join(layout, before),
                _ => None,
            };
            let mut points = Vec::new();
            points.extend(entry.and_then(|e| e.last().copied()));
            points.extend(out.into_iter().rev());
            points
        }
        (from, to) => {
            // What stands in the same card or row needs no line.
            if let (Some(a), Some(b)) = (layout.rect(from), layout.rect(to))
                && (a.contains_rect(b) || b.contains_rect(a))
            {
                return Vec::new();
            }
            let known = layout.line(from, to).map(|(line, is_there)| {
                if is_there {
                    line.curves.clone()
                } else {
                    line.turned()
                }
            });
            known
                .or_else(|| fresh(layout, from, to).map(|c| vec![c]))
                .into_iter()
                .flatten()
                .flat_map(flatten)
                .collect()
        }
    }
}

/// The join of a port with its bus, from the switch to the bus.
fn join(layout: &Layout, port: PortRef) -> Option<Vec<Pos2>> {
    let (gateway, row) = layout.row_of(port.into())?;
    let lane = gateway
        .lanes
        .iter()
        .find(|l| Some(l.group.group) == row.group)?;
    let y = row.rect.center().y;
    let from = row.cells.last()?.1.max.x;
    Some(vec![pos2(from, y), pos2(lane.x, y)])
}

/// A curve between two things that no line joins, such as a scanned channel and its listener.
fn fresh(layout: &Layout, from: ThingId, to: ThingId) -> Option<[Pos2; 4]> {
    let (a, b) = (layout.rect(from)?, layout.rect(to)?);
    let to_right = a.center().x < b.center().x;
    let (p, q) = if to_right {
        (pos2(a.max.x, a.center().y), pos2(b.min.x, b.center().y))
    } else {
        (pos2(a.min.x, a.center().y), pos2(b.max.x, b.center().y))
    };
    let reach = vec2((q.x - p.x) * 0.5, 0.0);
    Some([p, p + reach, q - reach, q])
}

/// Cuts a way at a share of its length; returns the first part and the spot of the cut.
fn cut(points: &[Pos2], share: f32) -> (Vec<Pos2>, Pos2) {
    let length: f32 = points.windows(2).map(|w| w[0].distance(w[1])).sum();
    let mut left = length * share;
    let mut out = Vec::with_capacity(points.len());
    let Some(first) = points.first() else {
        return (out, Pos2::ZERO);
    };
    out.push(*first);
    for pair in points.windows(2) {
        let [a, b] = pair else { continue };
        let piece = a.distance(*b);
        if piece <= left {
            left -= piece;
            out.push(*b);
        } else {
            let at = a.lerp(*b, left / piece.max(0.001));
            out.push(at);
            return (out, at);
        }
    }
    let last = out.last().copied().unwrap_or(*first);
    (out, last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_is_cut_at_its_share() {
        let points = [pos2(0.0, 0.0), pos2(10.0, 0.0), pos2(10.0, 10.0)];
        let (part, front) = cut(&points, 0.75);
        assert_eq!(front, pos2(10.0, 5.0));
        assert_eq!(part.len(), 3);
        let (all, end) = cut(&points, 1.0);
        assert_eq!((all.len(), end), (3, pos2(10.0, 10.0)));
    }
}

//! How one pair is shown, alike in every view: a shape, a colour and words for what the picture says of
//! it. Must not decide what is true of a pair.

use egui::epaint::Mesh;
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::theme::{Pair, Tokens};
use super::words::seconds;
use crate::picture::sounds::{Asked, Facts, Sound};

/// Returns the colours of a word.
pub(super) fn colours(t: &Tokens, sound: Sound) -> Pair {
    match sound {
        Sound::Heard => t.good,
        Sound::ByScan | Sound::OneWay => t.notes,
        Sound::Clipped | Sound::Late => t.warns,
        Sound::InClear => t.stops,
        Sound::Silent => Pair {
            ink: t.faint,
            ground: t.sunken,
        },
    }
}

/// Says what a word means, for a legend.
pub(super) fn meaning(sound: Sound) -> &'static str {
    match sound {
        Sound::Heard => "Heard, and nothing is wrong with it",
        Sound::OneWay => "Heard, and the hearer has no way back",
        Sound::Clipped => "Heard without the start of the message",
        Sound::ByScan => "Heard by scanning only, so no answer is sure",
        Sound::Late => "Heard later than a need accepts, or than planning should allow",
        Sound::InClear => {
            "Heard in clear where a need must stay encrypted, or where it begins encrypted"
        }
        Sound::Silent => "Not heard at all",
    }
}

/// Draws the shape of a word; no two words share one.
pub(super) fn paint(painter: &Painter, t: &Tokens, sound: Sound, at: Pos2, radius: f32) {
    let ink = colours(t, sound).ink;
    let stroke = Stroke::new((radius * 0.26).clamp(1.2, 2.2), ink);
    let corner = |x: f32, y: f32| at + radius * vec2(x, y);
    match sound {
        Sound::Heard => {
            painter.circle_filled(at, radius, ink);
        }
        Sound::OneWay => {
            let points = vec![corner(-0.8, -1.0), corner(1.0, 0.0), corner(-0.8, 1.0)];
            painter.add(Shape::convex_polygon(points, ink, Stroke::NONE));
        }
        Sound::Clipped => {
            // The half that comes first is missing.
            let half = (0..=12).map(|i| {
                let angle = std::f32::consts::PI * (i as f32 / 12.0 - 0.5);
                at + radius * Vec2::angled(angle)
            });
            painter.add(Shape::convex_polygon(half.collect(), ink, Stroke::NONE));
            painter.circle_stroke(at, radius, stroke);
        }
        Sound::ByScan => {
            painter.circle_stroke(at, radius, stroke);
            painter.circle_filled(at, radius * 0.42, ink);
        }
        Sound::Late => {
            painter.circle_stroke(at, radius, stroke);
            painter.line_segment([corner(0.0, -0.6), at], stroke);
            painter.line_segment([at, corner(0.5, 0.3)], stroke);
        }
        Sound::InClear => {
            let points = vec![
                corner(0.0, -1.15),
                corner(1.15, 0.0),
                corner(0.0, 1.15),
                corner(-1.15, 0.0),
            ];
            painter.add(Shape::convex_polygon(points, ink, Stroke::NONE));
        }
        Sound::Silent => {
            let thin = Stroke::new(1.1, ink.gamma_multiply(0.55));
            painter.circle_stroke(at, (radius - 1.0).max(1.0), thin);
        }
    }
}

/// Draws a cross: a need asks for what is not heard.
pub(super) fn paint_unmet(painter: &Painter, t: &Tokens, at: Pos2, radius: f32) {
    let stroke = Stroke::new((radius * 0.32).clamp(1.4, 2.6), t.stops.ink);
    let arm = radius * 0.75;
    painter.line_segment([at - Vec2::splat(arm), at + Vec2::splat(arm)], stroke);
    painter.line_segment([at + vec2(-arm, arm), at + vec2(arm, -arm)], stroke);
}

/// Draws a frame: a need keeps apart what is heard.
pub(super) fn paint_joined(painter: &Painter, t: &Tokens, cell: Rect) {
    let line = Stroke::new(1.6, t.stops.ink);
    painter.rect_filled(cell, 3.0, t.stops.ground);
    painter.rect_stroke(cell, 3.0, line, egui::StrokeKind::Inside);
}

/// Adds the shape of a word to a mesh, for cells of a few points; returns nothing for silence.
pub(super) fn tiny(mesh: &mut Mesh, sound: Sound, cell: Rect, ink: Color32) {
    let middle = cell.center();
    let part = match sound {
        Sound::Silent => return,
        Sound::Heard => cell,
        Sound::Clipped => Rect::from_min_max(pos2(middle.x, cell.min.y), cell.max),
        Sound::Late => Rect::from_min_max(pos2(cell.min.x, middle.y), cell.max),
        Sound::ByScan => Rect::from_center_size(middle, cell.size() * 0.5),
        Sound::OneWay => {
            polygon(
                mesh,
                ink,
                &[cell.left_top(), cell.right_center(), cell.left_bottom()],
            );
            return;
        }
        Sound::InClear => {
            let corners = [
                cell.center_top(),
                cell.right_center(),
                cell.center_bottom(),
                cell.left_center(),
            ];
            polygon(mesh, ink, &corners);
            return;
        }
    };
    mesh.add_colored_rect(part, ink);
}

fn polygon(mesh: &mut Mesh, ink: Color32, points: &[Pos2]) {
    let first = mesh.vertices.len() as u32;
    for point in points {
        mesh.colored_vertex(*point, ink);
    }
    for i in 1..points.len().saturating_sub(1) as u32 {
        mesh.add_triangle(first, first + i, first + i + 1);
    }
}

/// Says all that is true of a pair, as "Engine 1 to Patrol 2: heard after 0.45 s, late".
pub(super) fn sentence((from, to): (&str, &str), facts: &Facts, asked: Asked) -> String {
    let Some(arrival) = facts.arrival else {
        return format!("{from} to {to}: not heard");
    };
    let mut said = if arrival.delay_ms < 5 {
        format!("{from} to {to}: heard at once")
    } else {
        format!("{from} to {to}: heard after {}", seconds(arrival.delay_ms))
    };
    for word in facts.words(asked) {
        let more = match word {
            Sound::Heard | Sound::Silent => continue,
            Sound::InClear if facts.opened => ", begins encrypted and ends in clear".to_owned(),
            Sound::InClear => ", in clear".to_owned(),
            Sound::Late => format!(", late, since {} is accepted", seconds(asked.limit_ms)),
            Sound::ByScan => ", by scan only".to_owned(),
            Sound::Clipped => format!(", first {} lost", seconds(arrival.clipped_ms)),
            Sound::OneWay => ", with no way back".to_owned(),
        };
        said.push_str(&more);
    }
    said
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hearing::Arrival;

    #[test]
    fn a_sentence_names_all_that_is_true() {
        let arrival = Arrival {
            by_scan: true,
            delay_ms: 450,
            clipped_ms: 120,
            codec_passes: 1,
            encrypted: false,
        };
        let facts = Facts {
            arrival: Some(arrival),
            one_way: true,
            opened: false,
        };
        let asked = Asked {
            encrypted: true,
            limit_ms: 300,
        };
        assert_eq!(
            sentence(("Engine 1", "Patrol 2"), &facts, asked),
            "Engine 1 to Patrol 2: heard after 0.45 s, in clear, late, since 0.30 s is accepted, \
             by scan only, first 0.12 s lost, with no way back"
        );
        let silent = Facts {
            arrival: None,
            ..facts
        };
        assert_eq!(sentence(("A", "B"), &silent, asked), "A to B: not heard");
    }

    #[test]
    fn every_word_but_silence_has_a_tiny_shape_of_its_own() {
        let cell = Rect::from_min_size(pos2(8.0, 4.0), Vec2::splat(8.0));
        let mut seen: Vec<Vec<Pos2>> = Vec::new();
        for sound in Sound::ALL {
            let mut mesh = Mesh::default();
            tiny(&mut mesh, sound, cell, Color32::WHITE);
            let points: Vec<Pos2> = mesh.vertices.iter().map(|v| v.pos).collect();
            assert_eq!(points.is_empty(), sound == Sound::Silent, "{sound:?}");
            assert!(!seen.contains(&points), "{sound:?} looks like another");
            seen.push(points);
        }
    }
}

//! Where dragged things come to rest: at the edges and middles of their neighbours, else on the grid.
//! Pure arithmetic; the pointer's work calls it, the drawing shows the guides.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use crate::layout::SNAP;

/// How near an edge must be to draw a thing to it, in window points.
const REACH: f32 = 7.0;
/// How far away a neighbour may stand, in board points.
const NEIGHBOUR: f32 = 1_200.0;

/// A line along which something dragged lies level with a neighbour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Guide {
    /// Its two ends.
    pub ends: [Pos2; 2],
}

/// Returns by how much a dragged rectangle is moved further to rest well, and the guides to show.
///
/// `rect` is where the pointer has it, `others` are those it may lie level with.
pub(crate) fn settle(rect: Rect, others: &[Rect], zoom: f32) -> (Vec2, Vec<Guide>) {
    let reach = REACH / zoom;
    let near: Vec<&Rect> = others
        .iter()
        .filter(|r| r.expand(NEIGHBOUR).intersects(rect))
        .collect();
    let across = best(
        [rect.min.x, rect.center().x, rect.max.x],
        &near,
        reach,
        |r| [r.min.x, r.center().x, r.max.x],
    );
    let down = best(
        [rect.min.y, rect.center().y, rect.max.y],
        &near,
        reach,
        |r| [r.min.y, r.center().y, r.max.y],
    );
    let by = vec2(
        across.map_or_else(|| to_grid(rect.min.x), |(by, _, _)| by),
        down.map_or_else(|| to_grid(rect.min.y), |(by, _, _)| by),
    );
    let rest = rect.translate(by);
    let mut guides = Vec::new();
    if let Some((_, x, other)) = across {
        let both = rest.union(*other);
        guides.push(Guide {
            ends: [pos2(x, both.min.y - 12.0), pos2(x, both.max.y + 12.0)],
        });
    }
    if let Some((_, y, other)) = down {
        let both = rest.union(*other);
        guides.push(Guide {
            ends: [pos2(both.min.x - 12.0, y), pos2(both.max.x + 12.0, y)],
        });
    }
    (by, guides)
}

/// Finds the smallest move that puts one of three lines on one of a neighbour's three: like to like.
fn best<'a>(
    own: [f32; 3],
    others: &[&'a Rect],
    reach: f32,
    lines: impl Fn(&Rect) -> [f32; 3],
) -> Option<(f32, f32, &'a Rect)> {
    let mut found: Option<(f32, f32, &Rect)> = None;
    for other in others {
        for (mine, theirs) in own.into_iter().zip(lines(other)) {
            let by = theirs - mine;
            if by.abs() > reach || found.is_some_and(|(b, _, _)| by.abs() >= b.abs()) {
                continue;
            }
            // Saved places are whole numbers: what cannot be met exactly is left to the grid.
            if by.fract().abs() < 0.01 || mine.fract() != 0.0 {
                found = Some((by, theirs, other));
            }
        }
    }
    found
}

fn to_grid(at: f32) -> f32 {
    (at / SNAP).round() * SNAP - at
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(x: f32, y: f32) -> Rect {
        Rect::from_min_size(pos2(x, y), vec2(100.0, 40.0))
    }

    #[test]
    fn a_near_edge_draws_and_shows_its_guide() {
        let (by, guides) = settle(card(205.0, 303.0), &[card(200.0, 100.0)], 1.0);
        assert_eq!(
            by,
            vec2(-5.0, 1.0),
            "level with the neighbour, and on the grid"
        );
        assert_eq!(guides.len(), 1);
        let [a, b] = guides[0].ends;
        assert_eq!((a.x, b.x), (200.0, 200.0));
        assert!(a.y < 100.0 && b.y > 340.0, "the guide joins both");
    }

    #[test]
    fn without_neighbours_the_grid_rules() {
        let (by, guides) = settle(card(205.0, 303.0), &[], 1.0);
        let at = pos2(205.0, 303.0) + by;
        assert_eq!((at.x.rem_euclid(SNAP), at.y.rem_euclid(SNAP)), (0.0, 0.0));
        assert!(guides.is_empty());
    }

    #[test]
    fn reach_is_the_same_on_the_screen_at_any_scale() {
        let other = [card(200.0, 100.0)];
        let guides = |zoom| settle(card(220.0, 300.0), &other, zoom).1.len();
        assert_eq!(guides(1.0), 0);
        assert_eq!(guides(0.25), 1);
    }
}

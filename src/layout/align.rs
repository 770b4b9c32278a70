//! Lining things up and spacing them out. Pure arithmetic on rectangles.

use emath::{Pos2, Rect};

use crate::model::ThingId;

/// Along which edge or middle things are lined up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// The left edges.
    Left,
    /// The right edges.
    Right,
    /// The upper edges.
    Top,
    /// The lower edges.
    Bottom,
    /// The middles, one above the other.
    Centre,
    /// The middles, side by side.
    Middle,
}

/// Returns where each thing's upper left corner goes so that all lie along the edge of them all.
pub fn align(things: &[(ThingId, Rect)], edge: Edge) -> Vec<(ThingId, Pos2)> {
    let around = around(things);
    things
        .iter()
        .map(|(thing, rect)| {
            let mut at = rect.min;
            match edge {
                Edge::Left => at.x = around.min.x,
                Edge::Right => at.x = around.max.x - rect.width(),
                Edge::Top => at.y = around.min.y,
                Edge::Bottom => at.y = around.max.y - rect.height(),
                Edge::Centre => at.x = around.center().x - rect.width() / 2.0,
                Edge::Middle => at.y = around.center().y - rect.height() / 2.0,
            }
            (*thing, at)
        })
        .collect()
}

/// Returns where each thing's upper left corner goes so that the gaps between them are equal; the
/// first and the last stay. `down` spaces from top to bottom, else from left to right.
pub fn distribute(things: &[(ThingId, Rect)], down: bool) -> Vec<(ThingId, Pos2)> {
    let start = |r: &Rect| if down { r.min.y } else { r.min.x };
    let length = |r: &Rect| if down { r.height() } else { r.width() };
    let mut sorted = things.to_vec();
    sorted.sort_by(|a, b| start(&a.1).total_cmp(&start(&b.1)));
    let (Some((_, first)), Some((_, last))) = (sorted.first(), sorted.last()) else {
        return Vec::new();
    };
    let inside: f32 = sorted.iter().map(|(_, r)| length(r)).sum();
    let room = start(last) + length(last) - start(first) - inside;
    let gap = room / (sorted.len() as f32 - 1.0).max(1.0);
    let mut at = start(first);
    sorted
        .iter()
        .map(|(thing, rect)| {
            let mut corner = rect.min;
            if down {
                corner.y = at;
            } else {
                corner.x = at;
            }
            at += length(rect) + gap;
            (*thing, corner)
        })
        .collect()
}

fn around(things: &[(ThingId, Rect)]) -> Rect {
    things
        .iter()
        .fold(Rect::NOTHING, |all, (_, rect)| all.union(*rect))
}

#[cfg(test)]
mod tests {
    use emath::{pos2, vec2};

    use super::*;
    use crate::model::UnitId;

    fn three() -> Vec<(ThingId, Rect)> {
        [
            (1, pos2(0.0, 10.0), vec2(100.0, 40.0)),
            (2, pos2(400.0, 200.0), vec2(60.0, 20.0)),
            (3, pos2(130.0, -30.0), vec2(200.0, 80.0)),
        ]
        .map(|(id, at, size)| (UnitId(id).into(), Rect::from_min_size(at, size)))
        .to_vec()
    }

    fn moved(to: &[(ThingId, Pos2)]) -> Vec<Rect> {
        let size = |thing: &ThingId| three().iter().find(|t| t.0 == *thing).unwrap().1.size();
        to.iter()
            .map(|(thing, at)| Rect::from_min_size(*at, size(thing)))
            .collect()
    }

    #[test]
    fn edges_and_middles_line_up_and_the_other_way_stays() {
        type Of = fn(&Rect) -> f32;
        let cases: [(Edge, Of, f32, Of); 6] = [
            (Edge::Left, |r| r.min.x, 0.0, |r| r.min.y),
            (Edge::Right, |r| r.max.x, 460.0, |r| r.min.y),
            (Edge::Top, |r| r.min.y, -30.0, |r| r.min.x),
            (Edge::Bottom, |r| r.max.y, 220.0, |r| r.min.x),
            (Edge::Centre, |r| r.center().x, 230.0, |r| r.min.y),
            (Edge::Middle, |r| r.center().y, 95.0, |r| r.min.x),
        ];
        for (edge, along, wanted, across) in cases {
            let rects = moved(&align(&three(), edge));
            for (rect, (_, before)) in rects.iter().zip(three()) {
                assert!((along(rect) - wanted).abs() < 0.01, "{edge:?}");
                let off = across(rect) - across(&before);
                assert!(off.abs() < 0.01, "{edge:?}");
            }
        }
    }

    #[test]
    fn gaps_become_equal_and_the_outer_two_stay() {
        let across = moved(&distribute(&three(), false));
        let gaps: Vec<f32> = across.windows(2).map(|w| w[1].min.x - w[0].max.x).collect();
        assert_eq!(gaps, [50.0, 50.0]);
        assert_eq!((across[0].min.x, across[2].max.x), (0.0, 460.0));
        let down = moved(&distribute(&three(), true));
        let gaps: Vec<f32> = down.windows(2).map(|w| w[1].min.y - w[0].max.y).collect();
        assert!((gaps[0] - gaps[1]).abs() < 0.01);
        assert_eq!((down[0].min.y, down[2].max.y), (-30.0, 220.0));
        assert!(distribute(&[], true).is_empty());
    }
}

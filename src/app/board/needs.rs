//! Needs as lines between those who must reach each other, or must be kept apart: met or not, by sign and
//! by dashes.

use std::collections::BTreeSet;

use egui::{Pos2, pos2};

use super::draw::Scene;
use super::pen::{Pen, Strength, flatten, sample};
use crate::app::theme::Sign;
use crate::hearing::Hearing;
use crate::model::{Party, ThingId, Way};

/// Draws a line for each pair that must reach each other.
pub(super) fn draw(pen: &Pen, scene: &Scene<'_>, hearing: &Hearing) {
    pen.set(Strength::Full);
    let mut pairs: BTreeSet<(Party, Party, bool, bool)> = BTreeSet::new();
    for need in scene.scenario.needs.iter() {
        let both = need.way != Way::ListenOnly;
        let apart = need.keeps_apart();
        for from in &need.from {
            for to in need.to.iter().filter(|to| *to != from) {
                let (a, b) = if both && to < from {
                    (to, from)
                } else {
                    (from, to)
                };
                pairs.insert((*a, *b, both, apart));
            }
        }
    }
    // With people selected, only what they need is drawn.
    let chosen = |p: &Party| scene.is_selected((*p).into());
    let some = pairs.iter().any(|(a, b, ..)| chosen(a) || chosen(b));
    if some {
        pairs.retain(|(a, b, ..)| chosen(a) || chosen(b));
    }
    for (from, to, both, apart) in pairs {
        let there = hearing.arrival(from, to).is_some() != apart;
        let back = !both || hearing.arrival(to, from).is_some() != apart;
        let line = Line {
            ends: if both { 2 } else { 1 },
            met: there && back,
            apart,
        };
        draw_line(pen, scene, (from, to), line);
    }
}

/// What a line says.
#[derive(Clone, Copy)]
struct Line {
    /// How many of its ends are to hear.
    ends: usize,
    /// It is as asked.
    met: bool,
    /// The two are to be kept apart.
    apart: bool,
}

fn draw_line(pen: &Pen, scene: &Scene<'_>, (from, to): (Party, Party), line: Line) {
    let Line { ends, met, apart } = line;
    let t = pen.t;
    let spot = |party: Party| -> Option<Pos2> {
        let rect = scene.layout.rect(ThingId::from(party))?;
        Some(pos2(rect.min.x + 6.0, rect.center().y))
    };
    let (Some(a), Some(b)) = (spot(from), spot(to)) else {
        return;
    };
    // The bow goes to the left, where no radio line runs.
    let bow = 40.0 + (a.y - b.y).abs() * 0.22;
    let left = a.x.min(b.x) - bow;
    let curve = [a, pos2(left, a.y), pos2(left, b.y), b];
    let pair = if met { t.good } else { t.stops };
    // Whole lines join, whether they should or not.
    if met && !apart {
        pen.curve(curve, pen.line_width(1.6), pair.ink.gamma_multiply(0.8));
    } else {
        pen.dashes(&flatten(curve), pen.line_width(1.8), 6.0, pair.ink);
    }
    pen.spot(b, 4.0, pair.ink);
    if ends > 1 {
        pen.spot(a, 4.0, pair.ink);
    }
    let middle = sample(curve, 0.5);
    pen.spot(middle, 8.0, pair.ground);
    pen.ring(middle, 8.0, 1.2, pair.ink);
    let sign = match (met, apart) {
        (true, true) => Sign::EarCrossed,
        (true, false) => Sign::Tick,
        (false, _) => Sign::Cross,
    };
    pen.sign(middle, sign, 10.0, pair.ink);
}

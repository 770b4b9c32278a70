//! The drawing of a plan.

use std::collections::BTreeSet;

use egui::{
    Align2, Color32, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2,
};

use super::scale::Scale;
use super::{Spot, metres, short};
use crate::app::theme::{Sign, Tokens, paint_sign, semibold};
use crate::model::PortRef;
use crate::picture::exposure::keep_m;
use crate::picture::site::{Desense, apart_m};

/// Pairs with too little isolation that are drawn; a list names them all.
const MOST_PAIRS: usize = 12;
/// Pairs up to which each has its words on the plan; with more only those of the antenna looked at.
const FEW_PAIRS: usize = 4;
/// Distances drawn from one antenna, the nearest first.
const MOST_SPACINGS: usize = 10;

/// What of a plan is drawn beside antennas, rings and the scale.
#[derive(Debug, Clone, Copy, Default)]
pub(in crate::app) struct Look<'a> {
    /// The large plan: with grid, names and pairs that are too little isolated.
    pub large: bool,
    /// The antenna whose distances are written, by its place in the list.
    pub keen: Option<usize>,
    /// Too strong signals at receivers.
    pub desense: &'a [Desense],
    /// Signals of the mixing product chosen, with their coefficients; empty where none is.
    pub terms: &'a [(i8, PortRef)],
    /// The donor whose receiver that product falls on.
    pub hit: Option<PortRef>,
}

/// Draws a plan.
///
/// `names` gives the words beside each antenna, in the order of `spots`.
pub(in crate::app) fn draw(
    painter: &Painter,
    t: &Tokens,
    (rect, scale): (Rect, Scale),
    spots: &[Spot<'_>],
    names: &[String],
    look: Look<'_>,
) {
    let plan = Plan {
        painter,
        t,
        rect,
        scale,
        spots,
        look,
    };
    painter.rect_filled(rect, 8.0, t.sunken);
    if look.large {
        plan.grid();
    }
    for spot in spots {
        plan.rings(spot);
    }
    if look.large {
        plan.pairs();
    }
    plan.product();
    if let Some(keen) = look.keen.and_then(|i| spots.iter().find(|s| s.index == i)) {
        plan.spacings(keen);
        plan.ring_words(keen);
    }
    plan.antennas(names);
    plan.key();
}

struct Plan<'a> {
    painter: &'a Painter,
    t: &'a Tokens,
    rect: Rect,
    scale: Scale,
    spots: &'a [Spot<'a>],
    look: Look<'a>,
}

impl Plan<'_> {
    fn at(&self, spot: &Spot<'_>) -> Pos2 {
        let antenna = &spot.antenna;
        self.scale.at(self.rect, (antenna.east_m, antenna.north_m))
    }

    fn of_port(&self, port: PortRef) -> Option<&Spot<'_>> {
        self.spots.iter().find(|s| s.port() == Some(port))
    }

    fn grid(&self) {
        let Some(step) = self.scale.grid_m(34.0) else {
            return;
        };
        let (low, high) = (
            self.scale.ground(self.rect, self.rect.left_bottom()),
            self.scale.ground(self.rect, self.rect.right_top()),
        );
        let line = |value: f64| {
            let is_mark = value.abs() < step / 2.0;
            let ink = if is_mark {
                self.t.faint
            } else {
                self.t.panel_edge
            };
            Stroke::new(1.0, ink.gamma_multiply(if is_mark { 0.6 } else { 1.0 }))
        };
        let mut east = (low.0 / step).ceil() * step;
        while east <= high.0 {
            let x = self.scale.at(self.rect, (east, 0.0)).x;
            self.painter.vline(x, self.rect.y_range(), line(east));
            east += step;
        }
        let mut north = (low.1 / step).ceil() * step;
        while north <= high.1 {
            let y = self.scale.at(self.rect, (0.0, north)).y;
            self.painter.hline(self.rect.x_range(), y, line(north));
            north += step;
        }
    }

    /// The public limit dashed, the occupational one solid.
    fn rings(&self, spot: &Spot<'_>) {
        let Some(ring) = spot.ring else { return };
        let centre = self.at(spot);
        let points = |metres: f64| (metres * self.scale.points) as f32;
        let (public, occupational) = (points(ring.public_m), points(ring.occupational_m));
        let ground = self.t.warns.ink.gamma_multiply(0.10);
        self.painter.circle_filled(centre, public, ground);
        dashed(self.painter, centre, public, self.t.warns.ink);
        let edge = Stroke::new(1.5, self.t.stops.ink);
        self.painter.circle_stroke(centre, occupational, edge);
    }

    fn ring_words(&self, spot: &Spot<'_>) {
        let Some(ring) = spot.ring.filter(|_| self.look.large) else {
            return;
        };
        let centre = self.at(spot);
        // Both stand clear of the larger ring and of the name below the antenna.
        let radius = ((ring.public_m * self.scale.points) as f32).max(20.0);
        let write = |metres: f64, words: &str, ink: Color32, up: bool| {
            let by = if up { -radius - 9.0 } else { radius + 12.0 };
            let words = format!("{words} {:.2} m", keep_m(metres));
            self.tag(centre + vec2(0.0, by), &words, ink);
        };
        write(ring.public_m, "public", self.t.warns.ink, true);
        write(ring.occupational_m, "occupational", self.t.stops.ink, false);
    }

    /// Writes on a ground of its own, so that lines below do not cross the letters.
    fn tag(&self, at: Pos2, words: &str, ink: Color32) {
        let font = FontId::proportional(11.5);
        let galley = self.painter.layout_no_wrap(words.to_owned(), font, ink);
        let rect = Rect::from_center_size(at, galley.size() + vec2(8.0, 2.0));
        let fill = self.t.panel.gamma_multiply(0.92);
        self.painter.rect_filled(rect, 4.0, fill);
        self.painter.galley(rect.min + vec2(4.0, 1.0), galley, ink);
    }

    /// Transmitters too strong at a receiver beside them.
    fn pairs(&self) {
        let ink = self.t.stops.ink;
        let mut signs = Vec::new();
        let mut drawn: BTreeSet<(usize, usize)> = BTreeSet::new();
        for d in self.look.desense {
            let (Some(from), Some(to)) = (self.of_port(d.from), self.of_port(d.to)) else {
                continue;
            };
            let pair = (from.index.min(to.index), from.index.max(to.index));
            if drawn.len() >= MOST_PAIRS || !drawn.insert(pair) {
                continue;
            }
            let is_keen = |i: usize| i == from.index || i == to.index;
            // Beside the antenna looked at, the other pairs step back.
            let (strength, has_words) = match self.look.keen {
                Some(keen) if is_keen(keen) => (0.9, true),
                Some(_) => (0.3, false),
                None => (0.85, self.look.desense.len() <= FEW_PAIRS),
            };
            // Bowed upward, so that pairs in one line keep apart.
            let points = bow(self.at(from), self.at(to), -0.3);
            let stroke = Stroke::new(1.6, ink.gamma_multiply(strength));
            self.painter
                .extend(Shape::dashed_line(&points, stroke, 2.5, 3.5));
            if let Some(middle) = points.get(points.len() / 2) {
                let words = has_words.then(|| format!("{} dB missing", short(d.missing.0)));
                signs.push((*middle, strength, words));
            }
        }
        // Signs and words come after all lines, which would cross them.
        for (at, strength, words) in signs {
            if let Some(words) = words {
                self.tag(at, &words, ink);
            } else {
                self.painter.circle_filled(at, 8.0, self.t.sunken);
                let ink = ink.gamma_multiply(strength);
                paint_sign(self.painter, Sign::Warns, at, 14.0, ink);
            }
        }
    }

    fn spacings(&self, keen: &Spot<'_>) {
        let mut others: Vec<(f64, &Spot<'_>)> = self
            .spots
            .iter()
            .filter(|s| s.index != keen.index)
            .map(|s| (apart_m(&keen.antenna, &s.antenna), s))
            .collect();
        others.sort_by(|a, b| a.0.total_cmp(&b.0));
        others.truncate(MOST_SPACINGS);
        let from = self.at(keen);
        let stroke = Stroke::new(1.4, self.t.accent.ink);
        for (_, other) in &others {
            self.painter.line_segment([from, self.at(other)], stroke);
        }
        // The words come after all lines, which would cross them.
        for (apart_m, other) in others {
            let words = metres(apart_m);
            let spot = from.lerp(self.at(other), 0.62);
            self.tag(spot, &words, self.t.accent.ink);
        }
    }

    /// The signals of a product, and the receiver it falls on.
    fn product(&self) {
        let receiver = self.look.hit.and_then(|port| self.of_port(port));
        for (_, port) in self.look.terms {
            let Some(spot) = self.of_port(*port) else {
                continue;
            };
            let at = self.at(spot);
            if let Some(to) = receiver {
                self.arrow(at, self.at(to));
            }
            self.halo(at, self.t.accent.ink);
        }
        if let Some(to) = receiver {
            self.halo(self.at(to), self.t.stops.ink);
        }
    }

    /// An arrow that bows downward, so that arrows along one line keep apart.
    fn arrow(&self, from: Pos2, to: Pos2) {
        let stroke = Stroke::new(2.0, self.t.accent.ink);
        let points = bow(from, to, 0.22);
        // It ends at the edge of the halo.
        let shaft: Vec<Pos2> = points
            .into_iter()
            .filter(|p| p.distance(from) > 13.0 && p.distance(to) > 15.0)
            .collect();
        let (Some(before), Some(tip)) = (shaft.iter().rev().nth(1), shaft.last()) else {
            return;
        };
        let back = (*before - *tip).normalized() * 10.0;
        for side in [back + back.rot90() * 0.5, back - back.rot90() * 0.5] {
            self.painter.line_segment([*tip, *tip + side], stroke);
        }
        self.painter.add(Shape::line(shaft, stroke));
    }

    fn halo(&self, at: Pos2, ink: Color32) {
        self.painter
            .circle_filled(at, 13.0, ink.gamma_multiply(0.25));
        self.painter.circle_stroke(at, 13.0, Stroke::new(2.0, ink));
    }

    fn antennas(&self, names: &[String]) {
        let t = self.t;
        // Names stand clear of antennas and of each other; the ones without room keep their number.
        let mut taken: Vec<Rect> = self
            .spots
            .iter()
            .map(|s| Rect::from_center_size(self.at(s), Vec2::splat(13.0)))
            .collect();
        for (spot, name) in self.spots.iter().zip(names) {
            let centre = self.at(spot);
            let sends = spot.set.is_some_and(|s| s.transmits);
            let ink = if spot.set.is_some() { t.text } else { t.faint };
            if sends {
                self.painter.circle_filled(centre, 5.0, ink);
            } else {
                self.painter.circle_filled(centre, 5.0, t.card);
                self.painter
                    .circle_stroke(centre, 4.5, Stroke::new(1.6, ink));
            }
            if self.look.keen == Some(spot.index) {
                let stroke = Stroke::new(2.0, t.accent.ink);
                self.painter.circle_stroke(centre, 9.0, stroke);
            }
            let number = spot.port().map(|p| p.port.to_string()).unwrap_or_default();
            let full = if self.look.large { name } else { &number };
            self.name(centre, full, &number, &mut taken, ink);
        }
    }

    fn name(&self, at: Pos2, full: &str, number: &str, taken: &mut Vec<Rect>, ink: Color32) {
        for (words, must) in [(full, false), (number, true)] {
            if words.is_empty() {
                continue;
            }
            let galley = self
                .painter
                .layout_no_wrap(words.to_owned(), semibold(12.0), ink);
            let size = galley.size();
            // Below first: what joins antennas bows upward.
            let places = [
                at + vec2(-size.x / 2.0, 8.0),
                at + vec2(9.0, -size.y / 2.0),
                at + vec2(-9.0 - size.x, -size.y / 2.0),
                at + vec2(-size.x / 2.0, -9.0 - size.y),
            ];
            let free = places.iter().find(|p| {
                let rect = Rect::from_min_size(**p, size);
                self.rect.contains_rect(rect) && !taken.iter().any(|r| r.intersects(rect))
            });
            let place = match (free, must) {
                (Some(place), _) => *place,
                (None, true) => at + vec2(7.0, -size.y),
                (None, false) => continue,
            };
            let rect = Rect::from_min_size(place, size);
            taken.push(rect);
            let ground = self.t.sunken.gamma_multiply(0.75);
            self.painter
                .rect_filled(rect.expand2(vec2(2.0, 0.0)), 3.0, ground);
            self.painter.galley(place, galley, ink);
            return;
        }
    }

    /// The scale, and what the circles mean.
    fn key(&self) {
        let (painter, t, rect) = (self.painter, self.t, self.rect);
        let font = FontId::proportional(11.5);
        let y = rect.max.y - 12.0;
        let strip = Rect::from_min_max(pos2(rect.min.x, rect.max.y - 24.0), rect.max);
        painter.rect_filled(strip, 8.0, t.sunken.gamma_multiply(0.85));
        let mut x = rect.min.x + 12.0;
        let write = |x: f32, words: &str| {
            let at = pos2(x, y);
            let drawn = painter.text(at, Align2::LEFT_CENTER, words, font.clone(), t.soft);
            drawn.max.x
        };
        if let Some(metres) = self.scale.bar_m(rect.width() / 4.0) {
            let end = x + (metres * self.scale.points) as f32;
            painter.hline(x..=end, y, Stroke::new(2.0, t.soft));
            for x in [x, end] {
                painter.vline(x, y - 4.0..=y + 4.0, Stroke::new(1.5, t.soft));
            }
            x = write(end + 6.0, &format!("{} m", short(metres))) + 16.0;
        }
        let line = [pos2(x, y), pos2(x + 18.0, y)];
        let stroke = Stroke::new(1.6, t.warns.ink);
        painter.extend(Shape::dashed_line(&line, stroke, 5.0, 3.0));
        x = write(x + 23.0, "public") + 14.0;
        painter.hline(x..=x + 18.0, y, Stroke::new(1.6, t.stops.ink));
        x = write(x + 23.0, "occupational") + 14.0;
        if self.look.large && !self.look.desense.is_empty() {
            let line = [pos2(x, y), pos2(x + 18.0, y)];
            let stroke = Stroke::new(1.6, t.stops.ink);
            painter.extend(Shape::dashed_line(&line, stroke, 2.5, 3.5));
            x = write(x + 23.0, "isolation missing") + 14.0;
        }
        if let Some(step) = self.scale.grid_m(34.0).filter(|_| self.look.large) {
            write(x, &format!("grid {} m", short(step)));
        }
        let north = pos2(rect.max.x - 14.0, rect.min.y + 20.0);
        painter.text(north, Align2::CENTER_CENTER, "N", semibold(12.0), t.soft);
        let stem = Stroke::new(1.4, t.soft);
        painter.arrow(north + vec2(0.0, -7.0), vec2(0.0, -9.0), stem);
        painter.rect_stroke(
            rect,
            8.0,
            Stroke::new(1.0, t.panel_edge),
            StrokeKind::Inside,
        );
    }
}

/// Returns points of a curve between two spots that bows by a share of their distance, downward where
/// that is above zero.
fn bow(from: Pos2, to: Pos2, share: f32) -> Vec<Pos2> {
    /// Pieces of the curve; even, so that one point is in its middle.
    const PIECES: u8 = 40;
    let by = vec2(0.0, share * from.distance(to));
    let points = (0..=PIECES).map(|i| {
        let along = f32::from(i) / f32::from(PIECES);
        from.lerp(to, along) + by * (4.0 * along * (1.0 - along))
    });
    points.collect()
}

fn dashed(painter: &Painter, centre: Pos2, radius: f32, ink: Color32) {
    let points: Vec<Pos2> = (0..=64)
        .map(|i| centre + radius * Vec2::angled(i as f32 * std::f32::consts::TAU / 64.0))
        .collect();
    painter.extend(Shape::dashed_line(&points, Stroke::new(1.5, ink), 5.0, 3.5));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bow_keeps_its_ends_and_is_highest_in_the_middle() {
        let (from, to) = (pos2(0.0, 50.0), pos2(100.0, 50.0));
        let points = bow(from, to, -0.3);
        assert_eq!(points.first(), Some(&from));
        assert_eq!(points.last(), Some(&to));
        let middle = points.get(points.len() / 2).copied().unwrap();
        assert!(middle.distance(pos2(50.0, 20.0)) < 1e-3, "{middle:?}");
    }
}

//! How metres of a site lie on the screen.

use egui::{Pos2, Rect, vec2};

use super::Spot;

/// Fewest and most points for a metre.
const POINTS: (f64, f64) = (0.02, 600.0);
/// Space kept free at the edges, in points.
const MARGIN: (f32, f32) = (22.0, 30.0);
/// Lengths a scale bar or a grid may have, in metres.
const LENGTHS: [f64; 14] = [
    0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1_000.0, 2_000.0, 5_000.0, 10_000.0,
];

/// What is in the middle, and how large a metre is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::app) struct Scale {
    /// The spot in the middle, in metres east and north of the site's mark.
    pub middle: (f64, f64),
    /// Points for a metre.
    pub points: f64,
}

impl Scale {
    /// Brings every antenna into view with its larger ring, and a metre around.
    pub(in crate::app) fn fit(rect: Rect, spots: &[Spot<'_>]) -> Self {
        if spots.is_empty() {
            return Self {
                middle: (0.0, 0.0),
                points: 20.0,
            };
        }
        let mut low = (f64::MAX, f64::MAX);
        let mut high = (f64::MIN, f64::MIN);
        for spot in spots {
            let around = spot.ring.map_or(0.0, |r| r.public_m) + 1.0;
            let (east, north) = (spot.antenna.east_m, spot.antenna.north_m);
            low = (low.0.min(east - around), low.1.min(north - around));
            high = (high.0.max(east + around), high.1.max(north + around));
        }
        let room = (
            f64::from((rect.width() - 2.0 * MARGIN.0).max(20.0)),
            f64::from((rect.height() - 2.0 * MARGIN.1).max(20.0)),
        );
        let points = (room.0 / (high.0 - low.0).max(0.1)).min(room.1 / (high.1 - low.1).max(0.1));
        Self {
            middle: (f64::midpoint(low.0, high.0), f64::midpoint(low.1, high.1)),
            points: points.clamp(POINTS.0, POINTS.1),
        }
    }

    /// Returns where a position lies, north up.
    pub(in crate::app) fn at(&self, rect: Rect, (east, north): (f64, f64)) -> Pos2 {
        rect.center()
            + vec2(
                ((east - self.middle.0) * self.points) as f32,
                ((self.middle.1 - north) * self.points) as f32,
            )
    }

    /// Returns the position that lies at a spot, in metres east and north.
    pub(in crate::app) fn ground(&self, rect: Rect, at: Pos2) -> (f64, f64) {
        let d = at - rect.center();
        (
            self.middle.0 + f64::from(d.x) / self.points,
            self.middle.1 - f64::from(d.y) / self.points,
        )
    }

    /// Makes metres larger or smaller around a spot, which stays where it is.
    pub(in crate::app) fn zoom(&mut self, rect: Rect, at: Pos2, factor: f64) {
        let fixed = self.ground(rect, at);
        self.points = (self.points * factor).clamp(POINTS.0, POINTS.1);
        let now = self.ground(rect, at);
        self.middle.0 += fixed.0 - now.0;
        self.middle.1 += fixed.1 - now.1;
    }

    /// Returns it with metres larger or smaller around the middle.
    pub(in crate::app) fn closer(mut self, rect: Rect, factor: f64) -> Self {
        self.zoom(rect, rect.center(), factor);
        self
    }

    /// Moves the plan by points of the screen.
    pub(in crate::app) fn pan(&mut self, by: egui::Vec2) {
        self.middle.0 -= f64::from(by.x) / self.points;
        self.middle.1 += f64::from(by.y) / self.points;
    }

    /// Returns the longest round length of at most some points, in metres.
    pub(super) fn bar_m(&self, most: f32) -> Option<f64> {
        let fits = |m: &&f64| **m * self.points <= f64::from(most);
        LENGTHS.iter().rev().find(fits).copied()
    }

    /// Returns the shortest round length of at least some points, in metres.
    pub(super) fn grid_m(&self, least: f32) -> Option<f64> {
        let fits = |m: &&f64| **m * self.points >= f64::from(least);
        LENGTHS.iter().find(fits).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Antenna, GatewayId, PortRef};
    use crate::picture::exposure::Ring;
    use egui::pos2;

    fn rect() -> Rect {
        Rect::from_min_size(pos2(100.0, 50.0), vec2(600.0, 400.0))
    }

    fn spot(ring: Option<&Ring>, east_m: f64, north_m: f64) -> Spot<'_> {
        let antenna = Antenna {
            name: String::new(),
            radio: None,
            height_m: 2.0,
            east_m,
            north_m,
            gain_dbi: 0.0,
        };
        Spot {
            index: 0,
            antenna,
            set: None,
            ring,
        }
    }

    #[test]
    fn everything_fits_with_its_rings() {
        let ring = Ring {
            port: PortRef {
                gateway: GatewayId(1),
                port: 1,
            },
            duty: 0.5,
            eirp_w: 10.0,
            public_m: 5.0,
            occupational_m: 2.0,
            assumed: false,
        };
        let all = [spot(Some(&ring), 0.0, 0.0), spot(None, 20.0, -3.0)];
        let scale = Scale::fit(rect(), &all);
        for (east, north) in [(-5.0, 5.0), (5.0, -5.0), (20.0, -3.0)] {
            assert!(rect().contains(scale.at(rect(), (east, north))));
        }
        // East is to the right, north is up.
        let (a, b) = (scale.at(rect(), (0.0, 0.0)), scale.at(rect(), (1.0, 1.0)));
        assert!(b.x > a.x && b.y < a.y);
        // A metre is as long across as up: the plan is to scale.
        assert!(((b.x - a.x) - (a.y - b.y)).abs() < 1e-3);
    }

    #[test]
    fn a_spot_on_the_screen_and_its_position_answer_each_other() {
        let mut scale = Scale::fit(rect(), &[spot(None, 3.0, 4.0), spot(None, -7.0, 1.5)]);
        let at = scale.at(rect(), (3.0, 4.0));
        let back = scale.ground(rect(), at);
        assert!((back.0 - 3.0).abs() < 1e-3 && (back.1 - 4.0).abs() < 1e-3);
        scale.zoom(rect(), at, 1.7);
        assert!(scale.at(rect(), (3.0, 4.0)).distance(at) < 1e-2);
        scale.pan(vec2(10.0, -4.0));
        let moved = scale.at(rect(), (3.0, 4.0));
        assert!((moved - at - vec2(10.0, -4.0)).length() < 1e-2);
    }

    #[test]
    fn bar_and_grid_have_round_lengths() {
        let scale = Scale {
            middle: (0.0, 0.0),
            points: 12.0,
        };
        assert_eq!(scale.bar_m(130.0), Some(10.0));
        assert_eq!(scale.grid_m(40.0), Some(5.0));
    }
}

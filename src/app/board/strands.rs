//! The lines of the near board, all in one mesh: cheaper by far than a shape for each curve.
//!
//! A curve is halved until its pieces are straight or off the ground, so that a long line of which a
//! little is seen costs little.

use egui::{Color32, Mesh, Pos2, Rect, Vec2};

use super::sheet::{Corner, Sheet};

/// How far a straight piece may stray from its curve, in window points.
const STRAY: f32 = 0.2;
/// Most times a curve is halved.
const HALVES: u8 = 8;

/// The stretch of the board that lines are drawn on, and the scale at which they are halved, dashed and
/// given their width.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Ground {
    /// In board points.
    pub(super) stretch: Rect,
    /// Window points for one board point.
    pub(super) zoom: f32,
}

/// Lines in the making.
pub(super) struct Strands {
    mesh: Mesh,
    corners: Vec<Corner>,
    ground: Ground,
    /// The ground in its own points: from its corner, at its scale.
    view: Rect,
    /// Edges fade out over a window point; in a crowd nobody would see it.
    is_soft: bool,
    /// The way of the line being added, in the ground's points.
    way: Vec<Spot>,
}

/// A spot on the way of a line.
#[derive(Clone, Copy)]
struct Spot {
    at: Pos2,
    /// Where the line leads there, of length 1.
    along: Vec2,
    /// Nothing is drawn from the spot before to this one.
    begins: bool,
}

/// A line's ink: its width in window points, and its colour.
#[derive(Clone, Copy)]
pub(super) struct Ink {
    pub(super) width: f32,
    pub(super) colour: Color32,
}

impl Strands {
    pub(super) fn new(ground: Ground, is_soft: bool) -> Self {
        let size = ground.stretch.size() * ground.zoom;
        Self {
            mesh: Mesh::default(),
            corners: Vec::new(),
            ground,
            view: Rect::from_min_size(Pos2::ZERO, size),
            is_soft,
            way: Vec::new(),
        }
    }

    /// Returns what the lines are drawn on.
    pub(super) fn ground(&self) -> Ground {
        self.ground
    }

    /// Tells whether lines are drawn with soft edges.
    pub(super) fn is_soft(&self) -> bool {
        self.is_soft
    }

    /// Adds the curves of a line in its ink, above an edge where one is given; `dashes` are lengths drawn
    /// and left out by turns, in window points.
    pub(super) fn line(
        &mut self,
        curves: &[[Pos2; 4]],
        edge: Option<Ink>,
        ink: Ink,
        dashes: &[f32],
    ) {
        self.way.clear();
        let Ground { stretch, zoom } = self.ground;
        for curve in curves {
            let begins = self.way.len();
            let here = curve.map(|p| ((p - stretch.min) * zoom).to_pos2());
            self.trace(here, begins, HALVES);
        }
        if let Some(edge) = edge {
            self.draw(edge);
        }
        if !dashes.is_empty() {
            self.way = dashed(&self.way, dashes);
        }
        self.draw(ink);
    }

    /// Returns all that was added.
    pub(super) fn sheet(self) -> Sheet {
        let Ground { stretch, zoom } = self.ground;
        Sheet::new(self.mesh, self.corners, (stretch.min, zoom))
    }

    /// Notes the way of a curve; `begins` is how many spots there were before it.
    fn trace(&mut self, curve: [Pos2; 4], begins: usize, halves: u8) {
        if !self.sees(curve) {
            return;
        }
        if halves == 0 || is_straight(curve) {
            self.piece(curve, begins);
            return;
        }
        let (first, second) = halved(curve);
        self.trace(first, begins, halves - 1);
        self.trace(second, begins, halves - 1);
    }

    fn sees(&self, [a, b, c, d]: [Pos2; 4]) -> bool {
        let Rect { min, max } = self.view;
        let left = a.x.min(b.x).min(c.x.min(d.x));
        let right = a.x.max(b.x).max(c.x.max(d.x));
        let top = a.y.min(b.y).min(c.y.min(d.y));
        let bottom = a.y.max(b.y).max(c.y.max(d.y));
        left <= max.x && right >= min.x && top <= max.y && bottom >= min.y
    }

    fn piece(&mut self, [a, b, c, d]: [Pos2; 4], begins: usize) {
        let is_joined = self.way.len() > begins && self.way.last().is_some_and(|s| s.at == a);
        if !is_joined {
            self.way.push(Spot {
                at: a,
                along: towards([b - a, c - a, d - a]),
                begins: true,
            });
        }
        self.way.push(Spot {
            at: d,
            along: towards([d - c, d - b, d - a]),
            begins: false,
        });
    }

    /// Draws the way that was noted.
    fn draw(&mut self, ink: Ink) {
        let across = if self.is_soft { 3 } else { 1 };
        let mut before = 0;
        for i in 0..self.way.len() {
            let Some(spot) = self.way.get(i).copied() else {
                return;
            };
            let here = self.corners(spot.at, spot.along, ink);
            if !spot.begins {
                for k in 0..across {
                    let (p, q) = (before + k, here + k);
                    self.mesh.add_triangle(p, p + 1, q);
                    self.mesh.add_triangle(p + 1, q, q + 1);
                }
            }
            before = here;
        }
    }

    /// Adds the corners across a line at a spot; returns the number of the first.
    fn corners(&mut self, at: Pos2, along: Vec2, ink: Ink) -> u32 {
        let first = self.mesh.vertices.len() as u32;
        let side = along.rot90();
        let half = ink.width / 2.0;
        if self.is_soft {
            let (inner, outer) = ((half - 0.5).max(0.0), half + 0.5);
            let clear = Color32::TRANSPARENT;
            self.corner(at, side * outer, clear);
            self.corner(at, side * inner, ink.colour);
            self.corner(at, side * -inner, ink.colour);
            self.corner(at, side * -outer, clear);
        } else {
            self.corner(at, side * half, ink.colour);
            self.corner(at, side * -half, ink.colour);
        }
        first
    }

    fn corner(&mut self, at: Pos2, off: Vec2, colour: Color32) {
        self.corners.push(Corner { at, off });
        self.mesh.colored_vertex(at, colour);
    }
}

/// Cuts a way into dashes.
fn dashed(way: &[Spot], dashes: &[f32]) -> Vec<Spot> {
    let mut cut = Vec::with_capacity(way.len() * 2);
    let mut turn = 0;
    let mut left = dashes.first().copied().unwrap_or(f32::INFINITY);
    let mut last: Option<Spot> = None;
    for spot in way {
        let Some(from) = last.filter(|_| !spot.begins) else {
            // Every way in view begins with a dash.
            (turn, left) = (0, dashes.first().copied().unwrap_or(f32::INFINITY));
            cut.push(*spot);
            last = Some(*spot);
            continue;
        };
        let length = from.at.distance(spot.at);
        let mut gone = 0.0;
        while length - gone > left {
            gone += left;
            let at = from.at.lerp(spot.at, gone / length);
            cut.push(Spot {
                at,
                along: spot.along,
                begins: turn % 2 == 1,
            });
            turn = (turn + 1) % dashes.len();
            left = dashes.get(turn).copied().unwrap_or(1.0).max(0.5);
        }
        left -= length - gone;
        if turn % 2 == 0 {
            cut.push(*spot);
        }
        last = Some(*spot);
    }
    cut
}

/// Returns the direction of the first way that leads anywhere.
fn towards(ways: [Vec2; 3]) -> Vec2 {
    let far = ways.into_iter().find(|way| way.length_sq() > 1e-3);
    far.map_or(Vec2::RIGHT, |way| way / way.length_sq().sqrt())
}

/// Tells whether a curve strays from the way between its ends by less than anybody sees.
fn is_straight([a, b, c, d]: [Pos2; 4]) -> bool {
    let along = d - a;
    let square = along.length_sq();
    if square < 1.0 {
        return (b - a).length() + (c - b).length() + (d - c).length() < 2.0;
    }
    let reach = STRAY * square.sqrt();
    // Distances are multiplied by the length of the way: nothing has to be divided.
    let is_near = |p: Pos2| {
        let way = p - a;
        let forward = way.dot(along);
        let aside = way.x * along.y - way.y * along.x;
        // What turns back before or behind the ends is bent as well.
        aside.abs() <= reach && -forward <= reach && forward - square <= reach
    };
    is_near(b) && is_near(c)
}

fn halved([a, b, c, d]: [Pos2; 4]) -> ([Pos2; 4], [Pos2; 4]) {
    let mid = |p: Pos2, q: Pos2| p.lerp(q, 0.5);
    let (ab, bc, cd) = (mid(a, b), mid(b, c), mid(c, d));
    let (abc, bcd) = (mid(ab, bc), mid(bc, cd));
    let middle = mid(abc, bcd);
    ([a, ab, abc, middle], [middle, bcd, cd, d])
}

#[cfg(test)]
mod tests {
    use egui::{pos2, vec2};

    use super::*;
    use crate::app::board::camera::Camera;
    use crate::app::board::pen::sample;

    fn strands(view: Rect, curve: [Pos2; 4], is_soft: bool) -> Mesh {
        with_dashes(view, curve, is_soft, &[])
    }

    fn with_dashes(view: Rect, curve: [Pos2; 4], is_soft: bool, dashes: &[f32]) -> Mesh {
        let ground = Ground {
            stretch: view,
            zoom: 1.0,
        };
        let mut strands = Strands::new(ground, is_soft);
        let ink = Ink {
            width: 2.0,
            colour: Color32::RED,
        };
        strands.line(&[curve], None, ink, dashes);
        let camera = Camera {
            shift: Vec2::ZERO,
            zoom: 1.0,
            view: Rect::from_min_size(Pos2::ZERO, view.size()),
        };
        let mut sheet = strands.sheet();
        sheet.put(&camera);
        Mesh::clone(sheet.mesh())
    }

    #[test]
    fn every_corner_lies_beside_the_curve_and_the_whole_curve_is_covered() {
        let view = Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        let curve = [
            pos2(10.0, 20.0),
            pos2(300.0, 20.0),
            pos2(200.0, 500.0),
            pos2(700.0, 500.0),
        ];
        let samples: Vec<Pos2> = (0..=2_000).map(|i| sample(curve, i as f32 / 2e3)).collect();
        for is_soft in [false, true] {
            let mesh = strands(view, curve, is_soft);
            assert!(mesh.is_valid());
            for vertex in &mesh.vertices {
                let near = samples.iter().map(|s| s.distance(vertex.pos));
                let near = near.fold(f32::MAX, f32::min);
                assert!(near < 1.9, "{near} away");
            }
            for s in &samples {
                let near = mesh.vertices.iter().map(|v| v.pos.distance(*s));
                assert!(near.fold(f32::MAX, f32::min) < 40.0, "no gap");
            }
        }
    }

    #[test]
    fn dashes_are_as_long_as_they_say_and_leave_gaps() {
        let view = Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        let along = [0.0, 30.0, 60.0, 90.0].map(|x| pos2(x, 50.0));
        let mesh = with_dashes(view, along, false, &[10.0, 5.0, 2.0, 5.0]);
        let drawn: Vec<(i32, i32)> = mesh
            .indices
            .chunks(6)
            .map(|two| {
                let xs = two.iter().filter_map(|i| mesh.vertices.get(*i as usize));
                let xs: Vec<i32> = xs.map(|v| v.pos.x.round() as i32).collect();
                let ends = (xs.iter().min(), xs.iter().max());
                (*ends.0.expect("corners"), *ends.1.expect("corners"))
            })
            .collect();
        let expected = [
            (0, 10),
            (15, 17),
            (22, 32),
            (37, 39),
            (44, 54),
            (59, 61),
            (66, 76),
            (81, 83),
            (88, 90),
        ];
        assert_eq!(drawn, expected);
    }

    #[test]
    fn what_is_out_of_view_costs_nothing_and_a_straight_line_little() {
        let view = Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        let along = |y: f32| [-9e3, -3e3, 3e3, 9e3].map(|x| pos2(x, y));
        assert!(strands(view, along(-50.0), true).is_empty());
        assert_eq!(strands(view, along(50.0), false).vertices.len(), 4);
    }
}

//! The lines of the near board, all in one mesh: cheaper by far than a shape for each curve.
//!
//! A curve is halved until its pieces are straight or out of view, so that a long line of which a
//! little is seen costs little.

use egui::{Color32, Mesh, Pos2, Rect, Vec2};

use super::camera::Camera;

/// How far a straight piece may stray from its curve, in window points.
const STRAY: f32 = 0.2;
/// Most times a curve is halved.
const HALVES: u8 = 8;

/// Lines in the making.
pub(super) struct Strands {
    mesh: Mesh,
    camera: Camera,
    view: Rect,
    /// Edges fade out over a window point; in a crowd nobody would see it.
    is_soft: bool,
    /// Where the last piece ended, and the number of its last corner.
    last: Option<(Pos2, u32)>,
}

/// A line's ink: its width in window points, and its colour.
#[derive(Clone, Copy)]
pub(super) struct Ink {
    pub(super) width: f32,
    pub(super) colour: Color32,
}

impl Strands {
    pub(super) fn new(camera: Camera, view: Rect, is_soft: bool) -> Self {
        Self {
            mesh: Mesh::default(),
            camera,
            view: view.expand(4.0),
            is_soft,
            last: None,
        }
    }

    /// Tells whether lines are drawn with soft edges.
    pub(super) fn is_soft(&self) -> bool {
        self.is_soft
    }

    /// Adds a curve of the board.
    pub(super) fn curve(&mut self, curve: [Pos2; 4], ink: Ink) {
        self.last = None;
        self.trace(curve.map(|p| self.camera.out(p)), ink, HALVES);
    }

    /// Returns all that was added.
    pub(super) fn mesh(self) -> Mesh {
        self.mesh
    }

    fn trace(&mut self, curve: [Pos2; 4], ink: Ink, halves: u8) {
        if !self.view.intersects(Rect::from_points(&curve)) {
            return;
        }
        if halves == 0 || is_straight(curve) {
            self.piece(curve, ink);
            return;
        }
        let (first, second) = halved(curve);
        self.trace(first, ink, halves - 1);
        self.trace(second, ink, halves - 1);
    }

    fn piece(&mut self, [a, b, c, d]: [Pos2; 4], ink: Ink) {
        let start = match self.last {
            Some((at, corner)) if at == a => corner,
            _ => self.corners(a, towards([b - a, c - a, d - a]), ink),
        };
        let end = self.corners(d, towards([d - c, d - b, d - a]), ink);
        self.last = Some((d, end));
        let across = if self.is_soft { 3 } else { 1 };
        for i in 0..across {
            let (p, q) = (start + i, end + i);
            self.mesh.add_triangle(p, p + 1, q);
            self.mesh.add_triangle(p + 1, q, q + 1);
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
            self.mesh.colored_vertex(at + side * outer, clear);
            self.mesh.colored_vertex(at + side * inner, ink.colour);
            self.mesh.colored_vertex(at - side * inner, ink.colour);
            self.mesh.colored_vertex(at - side * outer, clear);
        } else {
            self.mesh.colored_vertex(at + side * half, ink.colour);
            self.mesh.colored_vertex(at - side * half, ink.colour);
        }
        first
    }
}

/// Returns the direction of the first way that leads anywhere.
fn towards(ways: [Vec2; 3]) -> Vec2 {
    ways.into_iter()
        .find(|way| way.length_sq() > 1e-3)
        .map_or(Vec2::RIGHT, Vec2::normalized)
}

fn is_straight([a, b, c, d]: [Pos2; 4]) -> bool {
    let along = d - a;
    let length = along.length();
    if length < 1.0 {
        return (b - a).length() + (c - b).length() + (d - c).length() < 2.0;
    }
    let off = |p: Pos2| {
        let way = p - a;
        let forward = way.dot(along) / length;
        // What turns back before or behind the ends is bent as well.
        let beyond = (-forward).max(forward - length);
        ((way.x * along.y - way.y * along.x) / length)
            .abs()
            .max(beyond)
    };
    off(b) <= STRAY && off(c) <= STRAY
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

    use super::super::pen::sample;
    use super::*;

    fn strands(view: Rect, curve: [Pos2; 4], is_soft: bool) -> Mesh {
        let camera = Camera {
            shift: Vec2::ZERO,
            zoom: 1.0,
            view: Rect::from_min_size(Pos2::ZERO, view.size()),
        };
        let mut strands = Strands::new(camera, view, is_soft);
        let ink = Ink {
            width: 2.0,
            colour: Color32::RED,
        };
        strands.curve(curve, ink);
        strands.mesh()
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
    fn what_is_out_of_view_costs_nothing_and_a_straight_line_little() {
        let view = Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0));
        let along = |y: f32| [-9e3, -3e3, 3e3, 9e3].map(|x| pos2(x, y));
        assert!(strands(view, along(-50.0), true).is_empty());
        assert_eq!(strands(view, along(50.0), false).vertices.len(), 4);
    }
}

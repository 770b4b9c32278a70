//! A mesh that stays where it is on the board while the camera moves: its corners are kept in board points and
//! put into the window again, which takes far less than making them.

use std::sync::Arc;

use egui::{Mesh, Pos2, Vec2};

use super::camera::Camera;

/// A corner: on the board, and how far it stands off in window points, at every scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Corner {
    /// In the points of what it belongs to.
    pub(super) at: Pos2,
    /// In window points.
    pub(super) off: Vec2,
}

/// A mesh with its corners.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    mesh: Arc<Mesh>,
    corners: Vec<Corner>,
    /// Where the corners are counted from, on the board, and how many of their points are a board point.
    from: (Pos2, f32),
    /// Where the camera was when the corners were put into the window.
    camera: Option<Camera>,
}

impl Sheet {
    /// Keeps a mesh with a corner for each of its vertices, which are counted from a spot of the board at a
    /// scale.
    pub(super) fn new(mesh: Mesh, corners: Vec<Corner>, from: (Pos2, f32)) -> Self {
        Self {
            mesh: Arc::new(mesh),
            corners,
            from,
            camera: None,
        }
    }

    /// Puts the mesh where the camera has it.
    pub(super) fn put(&mut self, camera: &Camera) {
        if self.camera == Some(*camera) {
            return;
        }
        self.camera = Some(*camera);
        let (from, zoom) = self.from;
        let origin = camera.out(from).to_vec2();
        let scale = camera.zoom / zoom;
        let mesh = Arc::make_mut(&mut self.mesh);
        for (vertex, corner) in mesh.vertices.iter_mut().zip(&self.corners) {
            vertex.pos = (corner.at.to_vec2() * scale + origin + corner.off).to_pos2();
        }
    }

    /// Returns the mesh as it was last put.
    pub(super) fn mesh(&self) -> &Arc<Mesh> {
        &self.mesh
    }
}

#[cfg(test)]
mod tests {
    use egui::{Color32, Rect, pos2, vec2};

    use super::*;

    #[test]
    fn a_corner_goes_with_the_board_and_what_it_stands_off_stays() {
        let mut mesh = Mesh::default();
        mesh.colored_vertex(Pos2::ZERO, Color32::RED);
        let corner = Corner {
            at: pos2(30.0, 40.0),
            off: vec2(0.0, 1.5),
        };
        let mut sheet = Sheet::new(mesh, vec![corner], (pos2(100.0, 200.0), 2.0));
        for (zoom, shift) in [(1.0, 0.0), (0.5, 7.0), (2.0, -300.0)] {
            let camera = Camera {
                shift: vec2(shift, 3.0),
                zoom,
                view: Rect::from_min_size(pos2(10.0, 20.0), vec2(800.0, 600.0)),
            };
            sheet.put(&camera);
            // 30 and 40 at twice the scale are 15 and 20 board points.
            let expected = camera.out(pos2(115.0, 220.0)) + vec2(0.0, 1.5);
            let vertex = sheet.mesh().vertices[0];
            assert!(vertex.pos.distance(expected) < 1e-3);
            assert_eq!(vertex.color, Color32::RED);
        }
    }
}

//! How the board lies in the window: a shift and a scale, by hand.

use egui::{Pos2, Rect, Vec2, vec2};

/// Smallest scale.
const LEAST: f32 = 0.08;
/// Largest scale.
const MOST: f32 = 3.0;

/// Shift and scale of the board within its part of the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Camera {
    /// Window spot of the board's origin, from the corner of the board's part of the window.
    pub shift: Vec2,
    /// Window points for one board point.
    pub zoom: f32,
    /// The board's part of the window.
    pub view: Rect,
}

impl Default for Camera {
    fn default() -> Self {
        Self {
            shift: vec2(40.0, 40.0),
            zoom: 1.0,
            view: Rect::from_min_size(Pos2::ZERO, vec2(800.0, 600.0)),
        }
    }
}

impl Camera {
    /// Turns a board spot into a window spot.
    pub(crate) fn out(&self, at: Pos2) -> Pos2 {
        self.view.min + self.shift + at.to_vec2() * self.zoom
    }

    /// Turns a window spot into a board spot.
    pub(crate) fn board_spot(&self, at: Pos2) -> Pos2 {
        ((at - self.view.min - self.shift) / self.zoom).to_pos2()
    }

    /// Turns a board rectangle into a window rectangle.
    pub(crate) fn rect(&self, r: Rect) -> Rect {
        Rect::from_min_max(self.out(r.min), self.out(r.max))
    }

    /// Returns the part of the board that is in view.
    pub(crate) fn seen(&self) -> Rect {
        Rect::from_min_max(
            self.board_spot(self.view.min),
            self.board_spot(self.view.max),
        )
    }

    /// Changes the scale around a window spot, which stays where it is.
    pub(crate) fn zoom_at(&mut self, at: Pos2, factor: f32) {
        let fixed = self.board_spot(at);
        self.zoom = (self.zoom * factor).clamp(LEAST, MOST);
        self.shift = at - self.view.min - fixed.to_vec2() * self.zoom;
    }

    /// Brings a board rectangle into view, with a margin, no larger than `most`.
    pub(crate) fn fit(&mut self, r: Rect, most: f32) {
        if !r.is_positive() || !self.view.is_positive() {
            return;
        }
        // Room for the tools in the corners, and for the strip while somebody talks.
        let (margin_x, margin_y) = (32.0, 66.0);
        let room = vec2(
            (self.view.width() - 2.0 * margin_x).max(80.0),
            (self.view.height() - 2.0 * margin_y).max(80.0),
        );
        self.zoom = (room.x / r.width())
            .min(room.y / r.height())
            .clamp(LEAST, most);
        let middle = self.view.size() / 2.0;
        self.shift = middle - r.center().to_vec2() * self.zoom;
    }
}

#[cfg(test)]
mod tests {
    use egui::pos2;

    use super::*;

    fn camera() -> Camera {
        Camera {
            view: Rect::from_min_size(pos2(100.0, 50.0), vec2(800.0, 600.0)),
            ..Camera::default()
        }
    }

    #[test]
    fn zooming_keeps_the_spot_under_the_pointer() {
        let mut camera = camera();
        let pointer = pos2(333.0, 222.0);
        let before = camera.board_spot(pointer);
        camera.zoom_at(pointer, 1.7);
        assert!((camera.board_spot(pointer) - before).length() < 0.01);
        assert!((camera.zoom - 1.7).abs() < 1e-4);
    }

    #[test]
    fn fitting_shows_everything() {
        let mut camera = camera();
        let all = Rect::from_min_max(pos2(-500.0, -300.0), pos2(2500.0, 900.0));
        camera.fit(all, 1.0);
        assert!(camera.view.contains_rect(camera.rect(all)));
        let before = camera;
        camera.fit(Rect::NOTHING, 1.0);
        assert_eq!(camera, before);
    }
}

//! The drawing tool of the board: everything in board points, scaled on the way out.

use std::cell::{Cell, RefCell};
use std::sync::Arc;

use egui::epaint::{CubicBezierShape, RectShape};
use egui::{
    Color32, CornerRadius, Galley, Id, LayerId, Order, Painter, Pos2, Rect, Shape, Stroke,
    StrokeKind, Vec2, vec2,
};

use super::camera::Camera;
pub(super) use super::texts::Weight;
use super::texts::{Style, Texts};
use crate::app::theme::{Sign, Tokens, paint_sign};

/// Text below this size in window points is not drawn.
const READABLE: f32 = 4.5;
/// Scale from which on shadows are drawn.
const SHADOWS: f32 = 0.5;
/// How visible things are that somebody's talk does not concern.
const DIM: f32 = 0.2;
/// How visible those are that do not hear.
const HALF: f32 = 0.55;

/// How strongly something is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Strength {
    /// As always.
    Full,
    /// Not concerned, but to be read.
    Half,
    /// Not concerned.
    Dim,
}

/// A painter with the camera and the colours.
pub(super) struct Pen {
    full: Painter,
    half: Painter,
    dim: Painter,
    strength: Cell<Strength>,
    texts: RefCell<Texts>,
    pub(super) camera: Camera,
    pub(super) t: &'static Tokens,
}

impl Pen {
    /// Takes a painter, the camera, the colours and the texts of the frames before.
    pub(super) fn new(
        painter: Painter,
        camera: Camera,
        t: &'static Tokens,
        mut texts: Texts,
    ) -> Self {
        texts.begin(&painter);
        Self::with(painter, camera, t, texts)
    }

    fn with(painter: Painter, camera: Camera, t: &'static Tokens, texts: Texts) -> Self {
        let faded = |by: f32| {
            let mut p = painter.clone();
            p.set_opacity(by);
            p
        };
        Self {
            half: faded(HALF),
            dim: faded(DIM),
            full: painter,
            strength: Cell::new(Strength::Full),
            texts: RefCell::new(texts),
            camera,
            t,
        }
    }

    /// Returns the texts, for the next frame.
    pub(super) fn into_texts(self) -> Texts {
        self.texts.into_inner()
    }

    /// Returns the number of the image of letters that texts point into.
    pub(super) fn letters(&self) -> u64 {
        self.texts.borrow().letters()
    }

    /// Lets something be drawn beside the window, at the same scale but around the corner of the board, and
    /// returns its shapes.
    pub(super) fn aside(&self, draw: impl FnOnce(&Self)) -> Vec<Shape> {
        let ctx = self.full.ctx();
        let layer = LayerId::new(Order::Background, Id::unique("board aside"));
        let painter = Painter::new(ctx.clone(), layer, Rect::EVERYTHING);
        self.elsewhere(painter, Vec2::ZERO, draw);
        let drawn = ctx.graphics_mut(|all| std::mem::take(all.entry(layer)));
        drawn.all_entries().map(|s| s.shape.clone()).collect()
    }

    /// Lets something be drawn at the same scale, with the corner of the board at a spot of the window.
    pub(super) fn around(&self, corner: Pos2, draw: impl FnOnce(&Self)) {
        self.elsewhere(self.full.clone(), corner.to_vec2(), draw);
    }

    fn elsewhere(&self, painter: Painter, shift: Vec2, draw: impl FnOnce(&Self)) {
        let camera = Camera {
            shift,
            zoom: self.camera.zoom,
            view: Rect::ZERO,
        };
        let pen = Self::with(painter, camera, self.t, self.texts.take());
        draw(&pen);
        self.texts.replace(pen.into_texts());
    }

    /// Sets how strongly the next things are drawn.
    pub(super) fn set(&self, strength: Strength) {
        self.strength.set(strength);
    }

    /// Returns the painter of the strength set.
    pub(super) fn painter(&self) -> &Painter {
        match self.strength.get() {
            Strength::Full => &self.full,
            Strength::Half => &self.half,
            Strength::Dim => &self.dim,
        }
    }

    pub(super) fn z(&self, length: f32) -> f32 {
        length * self.camera.zoom
    }

    fn radius(&self, radius: f32) -> CornerRadius {
        CornerRadius::same(self.z(radius).round().clamp(0.0, 120.0) as u8)
    }

    /// Fills a rounded rectangle.
    pub(super) fn fill(&self, r: Rect, radius: f32, colour: Color32) {
        self.painter()
            .rect_filled(self.camera.rect(r), self.radius(radius), colour);
    }

    /// Outlines a rounded rectangle; the width is in window points.
    pub(super) fn outline(&self, r: Rect, radius: f32, width: f32, colour: Color32) {
        self.painter().rect_stroke(
            self.camera.rect(r),
            self.radius(radius),
            Stroke::new(width, colour),
            StrokeKind::Inside,
        );
    }

    /// Fills and outlines a rounded rectangle at once, which takes less than one after the other.
    pub(super) fn plate(&self, r: Rect, radius: f32, fill: Color32, width: f32, edge: Color32) {
        self.painter().add(RectShape::new(
            self.camera.rect(r),
            self.radius(radius),
            fill,
            Stroke::new(width, edge),
            StrokeKind::Inside,
        ));
    }

    /// Draws a soft shadow under a rounded rectangle, where it is wide enough to be seen.
    pub(super) fn shadow(&self, r: Rect, radius: f32) {
        if self.camera.zoom < SHADOWS {
            return;
        }
        let shadow = egui::Shadow {
            offset: [0, self.z(2.0).clamp(0.0, 8.0) as i8],
            blur: self.z(8.0).clamp(0.0, 30.0) as u8,
            spread: 0,
            color: self.t.shadow,
        };
        self.painter()
            .add(shadow.as_shape(self.camera.rect(r), self.radius(radius)));
    }

    /// Writes one line of text, with dots in its middle where it is wider than a width; returns the width it took.
    ///
    /// `at` is the left end at half height.
    pub(super) fn text(
        &self,
        at: Pos2,
        text: &str,
        size: f32,
        weight: Weight,
        colour: Color32,
        width: f32,
    ) -> f32 {
        let Some(galley) = self.galley(text, size, weight, width) else {
            return 0.0;
        };
        let taken = galley.size().x / self.camera.zoom;
        let spot = self.camera.out(at) - vec2(0.0, galley.size().y / 2.0);
        self.painter().galley(spot, galley, colour);
        taken
    }

    /// Returns how wide a line of text is on the board, at the scale it is drawn at now.
    pub(super) fn width_of(&self, text: &str, size: f32, weight: Weight) -> f32 {
        self.galley(text, size, weight, f32::INFINITY)
            .map_or(0.0, |galley| galley.size().x / self.camera.zoom)
    }

    /// Writes one line of text around its middle.
    pub(super) fn text_mid(
        &self,
        at: Pos2,
        text: &str,
        size: f32,
        weight: Weight,
        colour: Color32,
    ) {
        if let Some(galley) = self.galley(text, size, weight, f32::INFINITY) {
            let spot = self.camera.out(at) - galley.size() / 2.0;
            self.painter().galley(spot, galley, colour);
        }
    }

    /// Writes one line of text that ends at a spot; returns the width it took.
    pub(super) fn text_right(
        &self,
        at: Pos2,
        text: &str,
        size: f32,
        weight: Weight,
        colour: Color32,
        width: f32,
    ) -> f32 {
        let Some(galley) = self.galley(text, size, weight, width) else {
            return 0.0;
        };
        let taken = galley.size().x / self.camera.zoom;
        let spot = self.camera.out(at) - vec2(galley.size().x, galley.size().y / 2.0);
        self.painter().galley(spot, galley, colour);
        taken
    }

    fn galley(&self, text: &str, size: f32, weight: Weight, width: f32) -> Option<Arc<Galley>> {
        let size = self.z(size);
        if size < READABLE || width <= 0.0 {
            return None;
        }
        let style = Style::new(size, weight);
        let mut texts = self.texts.borrow_mut();
        Some(texts.line(&self.full, text, style, self.z(width)))
    }

    /// Draws a sign in a square around a spot.
    pub(super) fn sign(&self, at: Pos2, sign: Sign, size: f32, colour: Color32) {
        paint_sign(
            self.painter(),
            sign,
            self.camera.out(at),
            self.z(size),
            colour,
        );
    }

    /// Draws a filled circle.
    pub(super) fn spot(&self, at: Pos2, radius: f32, colour: Color32) {
        self.painter()
            .circle_filled(self.camera.out(at), self.z(radius), colour);
    }

    /// Draws a circle; the width is in window points.
    pub(super) fn ring(&self, at: Pos2, radius: f32, width: f32, colour: Color32) {
        self.painter().circle_stroke(
            self.camera.out(at),
            self.z(radius),
            Stroke::new(width, colour),
        );
    }

    /// Draws a curve; the width is in window points.
    pub(super) fn curve(&self, curve: [Pos2; 4], width: f32, colour: Color32) {
        let points = curve.map(|p| self.camera.out(p));
        self.painter().add(CubicBezierShape::from_points_stroke(
            points,
            false,
            Color32::TRANSPARENT,
            Stroke::new(width, colour),
        ));
    }

    /// Draws straight lines through points; the width is in window points.
    pub(super) fn path(&self, points: &[Pos2], width: f32, colour: Color32) {
        let points = points.iter().map(|p| self.camera.out(*p)).collect();
        self.painter()
            .add(Shape::line(points, Stroke::new(width, colour)));
    }

    /// Draws dashes through points; lengths are in window points.
    pub(super) fn dashes(&self, points: &[Pos2], width: f32, dash: f32, colour: Color32) {
        let points: Vec<Pos2> = points.iter().map(|p| self.camera.out(*p)).collect();
        self.painter().extend(Shape::dashed_line(
            &points,
            Stroke::new(width, colour),
            dash,
            dash * 0.8,
        ));
    }

    /// Returns the width a line is drawn with at this scale.
    pub(super) fn line_width(&self, width: f32) -> f32 {
        line_width(width * self.t.weight, self.camera.zoom)
    }

    /// Tells whether a board rectangle can be seen.
    pub(super) fn sees(&self, r: Rect) -> bool {
        self.full
            .clip_rect()
            .intersects(self.camera.rect(r).expand(8.0))
    }
}

/// Returns the width a line is drawn with at a scale.
pub(super) fn line_width(width: f32, zoom: f32) -> f32 {
    (width * zoom.sqrt()).clamp(1.0, width * 1.6)
}

/// Walks a curve in straight pieces.
pub(super) fn flatten(curve: [Pos2; 4]) -> Vec<Pos2> {
    let steps = 28;
    (0..=steps)
        .map(|i| sample(curve, i as f32 / steps as f32))
        .collect()
}

/// Returns the spot of a curve at a share of its way.
pub(super) fn sample([a, b, c, d]: [Pos2; 4], t: f32) -> Pos2 {
    let u = 1.0 - t;
    let v: Vec2 = a.to_vec2() * (u * u * u)
        + b.to_vec2() * (3.0 * u * u * t)
        + c.to_vec2() * (3.0 * u * t * t)
        + d.to_vec2() * (t * t * t);
    v.to_pos2()
}

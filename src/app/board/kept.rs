//! Tests that what the board keeps from frame to frame is what it would make anew.

use std::collections::BTreeSet;

use egui::epaint::{Primitive, Vertex};
use egui::{Context, Event, Mesh, RawInput, Rect, Shape, pos2, vec2};

use super::far::Far;
use super::pieces::Pieces;
use crate::app::action::{Action, Hold};
use crate::app::effects::{Answer, Ask, Chooser, Effects};
use crate::app::state::Tab;
use crate::app::theme::Colours;
use crate::app::{Application, install_theme};
use crate::layout::{Piece, place_of};
use crate::model::{Edit, Party, ThingId, UnitId};
use crate::samples::{Size, generate};

/// Seconds from frame to frame.
const STEP: f64 = 0.02;

struct Nobody;

impl Chooser for Nobody {
    fn ask(&mut self, _: &Context, _: Ask) {}

    fn answer(&mut self) -> Option<Answer> {
        None
    }

    fn show(&mut self, _ctx: &Context, _path: &std::path::Path) {}
}

/// A window without a screen, with a plan of many lines.
struct Window {
    ctx: Context,
    app: Application,
    time: f64,
}

impl Window {
    fn new(units: u32) -> Self {
        let effects = Effects::with(Box::new(Nobody), None, || "2031-05-04".to_owned());
        let scenario = generate(Size::for_units(units), 4);
        let app = Application::new(scenario, effects, false);
        let ctx = Context::default();
        install_theme(&ctx);
        let time = 0.0;
        let mut window = Self { ctx, app, time };
        window.app.hide_panels();
        while !window.app.is_worked_out() {
            window.frame(Vec::new());
        }
        window.frame(Vec::new());
        // By hand from here on.
        window.app.ui.board.moved = true;
        window
    }

    fn frame(&mut self, events: Vec<Event>) {
        self.drawn(events);
    }

    /// Runs a frame; returns the corners of all that it is drawn in.
    fn drawn(&mut self, events: Vec<Event>) -> Vec<Vertex> {
        self.time += STEP;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1600.0, 1000.0))),
            time: Some(self.time),
            events,
            ..RawInput::default()
        };
        let app = &mut self.app;
        let mut output = self.ctx.run_ui(input, |ui| app.show(ui));
        // Nobody draws it.
        output.textures_delta.clear();
        let shapes = std::mem::take(&mut output.shapes);
        let drawn = self.ctx.tessellate(shapes, output.pixels_per_point);
        let meshes = drawn.into_iter().filter_map(|one| match one.primitive {
            Primitive::Mesh(mesh) => Some(mesh.vertices),
            Primitive::Callback(_) => None,
        });
        meshes.flatten().collect()
    }

    fn units(&self) -> Vec<ThingId> {
        let units = self.app.document().scenario().units.ids();
        units.map(ThingId::from).collect()
    }

    /// Puts units elsewhere, as a drag does.
    fn drag(&mut self, units: &[ThingId], by: f32) {
        for thing in units {
            let rect = self.app.derived.layout.rect(*thing).expect("on the board");
            let to = place_of(rect.min + vec2(by, by * 0.5));
            self.app.ui.board.overlay_put(*thing, to);
        }
        self.frame(Vec::new());
    }

    fn far(&self) -> Mesh {
        self.app.ui.board.far.mesh().clone()
    }

    fn far_anew(&mut self) -> Mesh {
        self.app.ui.board.far = Far::default();
        self.frame(Vec::new());
        self.far()
    }

    fn lines(&self) -> [Mesh; 2] {
        self.app.ui.board.woven.meshes()
    }

    fn pieces(&self) -> Vec<(Piece, Vec<Shape>)> {
        self.app.ui.board.pieces.drawn()
    }

    /// Draws the pieces of the last frame again: no time goes by, so that nobody's words get further.
    fn pieces_anew(&mut self) -> Vec<(Piece, Vec<Shape>)> {
        self.app.ui.board.pieces = Pieces::default();
        self.time -= STEP;
        self.frame(Vec::new());
        self.pieces()
    }

    fn act(&mut self, action: Action) {
        let ctx = self.ctx.clone();
        self.app.act(&ctx, action);
    }

    fn lines_anew(&mut self) -> [Mesh; 2] {
        self.app.ui.board.woven.forget();
        self.frame(Vec::new());
        self.lines()
    }
}

#[test]
fn after_a_drag_the_far_mesh_is_one_made_anew() {
    let mut window = Window::new(90);
    window.app.zoom_by(1e-3);
    let some: Vec<ThingId> = window.units().into_iter().step_by(3).collect();
    window.app.select(some.clone());
    window.frame(Vec::new());
    let mut seen = vec![window.far()];
    assert!(!seen[0].is_empty());
    // The last step puts units so far apart that no frame is around them.
    for by in [10.0, 40.0, -25.0, 9_000.0] {
        window.drag(&some, by);
        let kept = window.far();
        assert!(!seen.contains(&kept), "it moved");
        assert_eq!(kept, window.far_anew(), "by {by}");
        seen.push(kept);
    }
    let overlay = std::mem::take(&mut window.app.ui.board.overlay);
    let edits = overlay.into_iter().map(|(thing, place)| Edit::Place {
        thing,
        place: Some(place),
    });
    window
        .app
        .apply_edits("Move several", &edits.collect::<Vec<Edit>>());
    window.frame(Vec::new());
    assert_eq!(window.far(), window.far_anew(), "let go");
}

#[test]
fn after_every_move_the_lines_are_those_made_anew() {
    let mut window = Window::new(90);
    window.app.zoom_by(1e3);
    window.app.zoom_by(0.2);
    let units = window.units();
    let mut seen: Vec<[Mesh; 2]> = Vec::new();
    let mut stays = 0;
    for turn in 0..48_u8 {
        let step = f32::from(turn);
        match turn % 6 {
            0 => window.app.ui.board.camera.shift += vec2(9.0, -4.0),
            1 => window.app.zoom_by(if turn % 4 == 1 { 1.08 } else { 0.9 }),
            2 => window.app.select(vec![units[turn as usize % units.len()]]),
            3 => {
                let at = pos2(30.0 + step * 25.0, 100.0 + step * 13.0);
                window.frame(vec![Event::PointerMoved(at)]);
            }
            4 => window.drag(&units[..3 + turn as usize / 10], step - 20.0),
            _ => window.app.ui.board.camera.shift -= vec2(step * 6.0, step * 2.0),
        }
        let ground = window.app.ui.board.woven.ground();
        window.frame(Vec::new());
        stays += usize::from(window.app.ui.board.woven.ground() == ground);
        let kept = window.lines();
        assert_eq!(kept, window.lines_anew(), "turn {turn}");
        seen.push(kept);
    }
    let drawn = |i: usize| seen.iter().filter(|m| !m[i].is_empty()).count();
    assert!(drawn(0) > 40 && drawn(1) > 16, "{} {}", drawn(0), drawn(1));
    assert!(
        (24..48).contains(&stays),
        "mostly kept, not always: {stays}"
    );
    let different: BTreeSet<usize> = seen.iter().map(|m| m[0].vertices.len()).collect();
    assert!(different.len() > 5, "the view goes far");
}

#[test]
fn all_lines_in_view_are_drawn_wherever_the_camera_is() {
    let mut window = Window::new(30);
    window.app.zoom_by(1e3);
    window.app.zoom_by(0.25);
    for _ in 0..6 {
        window.app.ui.board.camera.shift += vec2(-90.0, -41.0);
        window.app.zoom_by(1.06);
        window.frame(Vec::new());
        let [calm, _] = window.lines();
        let camera = window.app.ui.board.camera;
        let triangles = calm.indices.chunks(3).map(|three| {
            let corners = three.iter().map(|i| calm.vertices[*i as usize].pos);
            let mut around = Rect::NOTHING;
            corners.for_each(|pos| around.extend_with(pos));
            // As far away as the longest gap of a dashed line.
            around.expand(14.0)
        });
        let triangles: Vec<Rect> = triangles.filter(|r| r.intersects(camera.view)).collect();
        let mut looked = 0;
        for line in window.app.derived.layout.lines_in(camera.seen()) {
            for curve in line.curves.iter().filter(|_| line.channel.is_some()) {
                for share in [0.0, 0.2, 0.4, 0.6, 0.8, 1.0] {
                    let at = camera.out(super::pen::sample(*curve, share));
                    if !camera.view.contains(at) {
                        continue;
                    }
                    looked += 1;
                    assert!(triangles.iter().any(|r| r.contains(at)), "{at:?}");
                }
            }
        }
        assert!(looked > 0, "there are lines");
    }
}

#[test]
fn after_every_move_the_pieces_are_those_made_anew() {
    let mut window = Window::new(40);
    window.app.zoom_by(1e3);
    window.app.zoom_by(0.25);
    let units: Vec<UnitId> = window.app.document().scenario().units.ids().collect();
    let things = window.units();
    let gateway: ThingId = {
        let scenario = window.app.document().scenario();
        scenario.gateways.ids().next().expect("a gateway").into()
    };
    let mut seen: Vec<Vec<(Piece, Vec<Shape>)>> = Vec::new();
    let (mut drawn, mut renewed) = (0, 0);
    for turn in 0..70_u8 {
        let step = f32::from(turn);
        let unit = turn as usize % units.len();
        match turn % 14 {
            0 => window.app.look_at(things[unit]),
            1 | 6 => window.app.ui.board.camera.shift += vec2(9.3, -4.6),
            2 => window.app.zoom_by(if turn % 4 == 2 { 1.08 } else { 0.9 }),
            3 => window.app.select(vec![things[unit], gateway]),
            4 | 5 => {
                let at = pos2(30.0 + step * 20.0, 100.0 + step * 11.0);
                window.frame(vec![Event::PointerMoved(at)]);
            }
            7 => window.drag(&things[..4 + unit / 2], step - 20.0),
            8 => window.act(Action::TalkOver(Party::Unit(units[unit]), Hold::Latched)),
            9 => {
                let second = units[(unit + 3) % units.len()];
                window.act(Action::TalkOver(Party::Unit(second), Hold::Latched));
            }
            10 => window.act(Action::Quiet),
            11 => {
                let other = units[(unit + 5) % units.len()];
                let pair = (Party::Unit(units[unit]), Party::Unit(other));
                window.app.ui.shared.asked = (turn < 40).then_some(pair);
                window.app.ui.shared.tab = Tab::Matrix;
            }
            12 => {
                let colours = [Colours::Dark, Colours::Sunlight, Colours::Light];
                window.app.ui.look.colours = colours[turn as usize % 3];
                window.app.look_at(gateway);
                // Letters are made anew for other colours, from the next frame on.
                window.frame(Vec::new());
            }
            _ => {
                let mut called = window.app.document().scenario().units.get(units[unit]);
                let mut called = called.take().expect("a unit").clone();
                called.name = format!("Renamed {turn}");
                window
                    .app
                    .apply_edits("Rename", &[Edit::Replace(called.into())]);
            }
        }
        window.frame(Vec::new());
        if window.pieces().is_empty() {
            // The scale has changed: nothing is kept before it rests.
            window.frame(Vec::new());
        }
        drawn += window.pieces().len();
        renewed += window.app.ui.board.pieces.renewed();
        let kept = window.pieces();
        assert!(kept == window.pieces_anew(), "turn {turn}");
        seen.push(kept);
    }
    assert!(drawn > 500, "the view is full: {drawn}");
    assert!(
        renewed * 4 < drawn * 3,
        "most are kept: {renewed} of {drawn}"
    );
    let different: Vec<&Vec<(Piece, Vec<Shape>)>> = seen.iter().collect();
    let changes = different.windows(2).filter(|two| two[0] != two[1]).count();
    assert!(changes > 50, "the view changes: {changes}");
    let any_box = |all: &Vec<(Piece, Vec<Shape>)>| {
        all.iter().any(|(piece, _)| matches!(piece, Piece::Box(_)))
    };
    assert!(seen.iter().filter(|all| any_box(all)).count() > 8);
}

#[test]
fn pieces_that_are_kept_are_drawn_as_those_that_are_not() {
    // All is in view: what is kept goes on beyond it, where else single shapes are left out.
    let mut window = Window::new(8);
    // What floats over the board has faded in.
    for _ in 0..30 {
        window.frame(Vec::new());
    }
    for turn in 0..8_u8 {
        let by = f32::from(turn % 3);
        window.app.ui.board.camera.shift += vec2(by * 1.7 - 1.3, by - 0.8);
        window.app.zoom_by(if turn % 2 == 0 { 0.93 } else { 1.04 });
        window.app.ui.board.woven.forget();
        let straight = window.drawn(Vec::new());
        assert!(window.pieces().is_empty(), "the scale has changed");
        window.app.ui.board.woven.forget();
        let kept = window.drawn(Vec::new());
        assert!(window.pieces().len() > 10, "turn {turn}");
        assert_eq!(straight.len(), kept.len(), "turn {turn}");
        for (a, b) in straight.iter().zip(&kept) {
            assert_eq!((a.color, a.uv), (b.color, b.uv), "turn {turn}");
            assert!(a.pos.distance(b.pos) < 0.01, "turn {turn}: {a:?} {b:?}");
        }
    }
}

//! How long a frame of the window takes: everything it shows, laid out and cut into triangles.
//!
//! `cargo bench --bench board`. Painting on the graphics card is not in it. The crowded board holds
//! 10,000 units, channels and gateways and 20,000 lines, no more and no fewer: the bench counts them.
//! *Alone* means the board without shelf and side panel; *whole* is the window with everything.

use std::hint::black_box;
use std::time::Duration;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use crosspatch::app::{Answer, Application, Ask, Chooser, Effects, install_theme};
use crosspatch::format::{Syntax, read};
use crosspatch::layout::tidy_all;
use crosspatch::model::{Edit, Radio, RadioId, Scenario, ThingId, Unit, UnitId};
use crosspatch::samples::{SHIPPED, Size, generate};
use egui::{Context, Event, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};

const THINGS: usize = 10_000;
const LINES: usize = 20_000;

struct NoChooser;

impl Chooser for NoChooser {
    fn ask(&mut self, _ctx: &Context, _ask: Ask) {}

    fn answer(&mut self) -> Option<Answer> {
        None
    }

    fn show(&mut self, _ctx: &Context, _path: &std::path::Path) {}
}

/// A window without a screen.
struct Window {
    ctx: Context,
    app: Application,
    frames: u32,
}

impl Window {
    fn new(scenario: Scenario) -> Self {
        let effects = Effects::with(Box::new(NoChooser), None, || "2031-05-04".to_owned());
        let app = Application::new(scenario, effects, false);
        let ctx = Context::default();
        install_theme(&ctx);
        let frames = 0;
        Self { ctx, app, frames }
    }

    fn alone(scenario: Scenario) -> Self {
        let mut window = Self::new(scenario);
        window.app.hide_panels();
        window.settle();
        window
    }

    /// Runs frames until everything stands still and nothing is worked out beside them.
    fn settle(&mut self) {
        while !self.app.is_worked_out() {
            self.frame(Vec::new());
            std::thread::sleep(Duration::from_millis(5));
        }
        for _ in 0..10 {
            self.frame(Vec::new());
        }
    }

    /// Runs one frame; returns how many pieces it is drawn in.
    fn frame(&mut self, events: Vec<Event>) -> usize {
        self.frames += 1;
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1600.0, 1000.0))),
            time: Some(f64::from(self.frames) / 60.0),
            events,
            ..RawInput::default()
        };
        let app = &mut self.app;
        let output = self.ctx.run_ui(input, |ui| app.show(ui));
        self.ctx
            .tessellate(output.shapes, output.pixels_per_point)
            .len()
    }

    fn press(&mut self, pos: Pos2) {
        self.frame(vec![Event::PointerMoved(pos)]);
        self.frame(vec![Event::PointerButton {
            pos,
            button: PointerButton::Primary,
            pressed: true,
            modifiers: Modifiers::NONE,
        }]);
    }
}

/// A scenario with exactly [`THINGS`] things and [`LINES`] lines.
fn crowded() -> Scenario {
    let made = generate(
        Size {
            units: 8_600,
            channels: 1_075,
            gateways: 140,
        },
        1,
    );
    let (things, lines) = Application::new(
        made.clone(),
        Effects::with(Box::new(NoChooser), None, String::new),
        false,
    )
    .counted();
    let units: Vec<&Unit> = made.units.iter().collect();
    let sets: Vec<&Radio> = made
        .radios
        .iter()
        .filter(|r| r.held_by.is_some() && r.selected.is_some())
        .collect();
    let mut edits = Vec::new();
    for i in 0..THINGS - things {
        let mut unit = units[i % units.len()].clone();
        unit.id = UnitId(made.mint(edits.len() as u32));
        unit.key = String::new();
        edits.push(Edit::Add(unit.into()));
    }
    for i in 0..LINES - lines {
        let mut set = sets[i * 7 % sets.len()].clone();
        set.id = RadioId(made.mint(edits.len() as u32));
        set.key = String::new();
        set.held_by = Some(units[i % units.len()].id);
        edits.push(Edit::Add(set.into()));
    }
    made.apply(&edits).expect("nothing is refused")
}

fn frames(c: &mut Criterion) {
    let mut group = c.benchmark_group("board");
    group.sample_size(20);
    let incident = SHIPPED.first().expect("an incident is shipped");
    let scenarios = [
        (
            "incident",
            read(incident.text, Syntax::Ron).expect("it opens"),
        ),
        ("600 units", generate(Size::for_units(600), 1)),
        ("10,000 units", generate(Size::for_units(10_000), 1)),
    ];
    for (name, scenario) in scenarios {
        let mut window = Window::new(scenario);
        window.settle();
        group.bench_function(BenchmarkId::new("whole frame", name), |b| {
            b.iter(|| black_box(window.frame(Vec::new())));
        });
        window.app.hide_panels();
        window.settle();
        group.bench_function(BenchmarkId::new("frame alone", name), |b| {
            b.iter(|| black_box(window.frame(Vec::new())));
        });
    }
    group.finish();
}

fn many(c: &mut Criterion) {
    let mut group = c.benchmark_group("10,000 things and 20,000 lines");
    group.sample_size(20);
    let scenario = crowded();
    let units: Vec<ThingId> = scenario
        .units
        .ids()
        .take(1_000)
        .map(ThingId::from)
        .collect();
    let middle = units[units.len() / 2];
    let mut window = Window::alone(scenario);
    assert_eq!(window.app.counted(), (THINGS, LINES));

    group.bench_function("frame, zoomed out", |b| {
        b.iter(|| black_box(window.frame(Vec::new())));
    });
    let mut turn = 0;
    group.bench_function("frame, zoomed out, while the board moves", |b| {
        b.iter(|| {
            turn += 1;
            window
                .app
                .zoom_by(if turn % 2 == 0 { 1.02 } else { 1.0 / 1.02 });
            black_box(window.frame(Vec::new()))
        });
    });
    let spots: Vec<Pos2> = (0..64u8)
        .map(|i| pos2(f32::from(i) * 24.0 + 20.0, f32::from(i) * 14.0 + 30.0))
        .collect();
    group.bench_function("64 hit tests", |b| {
        b.iter(|| spots.iter().filter_map(|s| window.app.thing_at(*s)).count());
    });

    // Between the columns, where the lines run.
    window.app.zoom_by(100.0);
    window.app.zoom_by(1.0 / 3.0);
    window.settle();
    group.bench_function("frame, zoomed in among lines", |b| {
        b.iter(|| black_box(window.frame(Vec::new())));
    });
    window.app.look_at(middle);
    window.settle();
    group.bench_function("frame, zoomed in on units", |b| {
        b.iter(|| black_box(window.frame(Vec::new())));
    });
    window.app.zoom_by(0.55);
    window.settle();
    group.bench_function("frame, some hundred things in full", |b| {
        b.iter(|| black_box(window.frame(Vec::new())));
    });
    window.app.zoom_by(1.0 / 0.55);
    window.settle();
    group.bench_function("frame, zoomed in, while the board moves", |b| {
        b.iter(|| {
            turn += 1;
            window
                .app
                .zoom_by(if turn % 2 == 0 { 1.02 } else { 1.0 / 1.02 });
            black_box(window.frame(Vec::new()))
        });
    });

    window.app.select(units);
    window.settle();
    let from = window.app.spot_of(middle).expect("it is on the board");
    window.press(from);
    // One frame to begin, one to move, one to be laid out.
    for step in [9.0, 18.0, 27.0] {
        window.frame(vec![Event::PointerMoved(from + vec2(step, step))]);
    }
    assert_ne!(window.app.spot_of(middle), Some(from), "it is dragged");
    let mut step: u16 = 0;
    group.bench_function("frame, dragging 1,000 selected, zoomed in", |b| {
        b.iter(|| {
            step = (step + 1) % 50;
            let to = from + vec2(16.0 + 8.0 * f32::from(step), 16.0);
            black_box(window.frame(vec![Event::PointerMoved(to)]))
        });
    });
    window.app.zoom_by(0.001);
    window.settle();
    group.bench_function("frame, dragging 1,000 selected, zoomed out", |b| {
        b.iter(|| {
            step = (step + 1) % 50;
            let to = from + vec2(16.0 + 2.0 * f32::from(step), 16.0);
            black_box(window.frame(vec![Event::PointerMoved(to)]))
        });
    });
    group.finish();
}

fn tidy(c: &mut Criterion) {
    let mut group = c.benchmark_group("tidy");
    group.sample_size(10);
    let scenarios = [
        ("600 units", generate(Size::for_units(600), 1)),
        ("10,000 things", crowded()),
    ];
    for (name, scenario) in scenarios {
        let phase = scenario.phases.first().expect("a phase");
        assert!(!tidy_all(&scenario, phase).is_empty(), "there is to tidy");
        group.bench_function(BenchmarkId::new("whole board", name), |b| {
            b.iter(|| black_box(tidy_all(&scenario, phase)));
        });
    }
    group.finish();
}

criterion_group!(benches, frames, many, tidy);
criterion_main!(benches);

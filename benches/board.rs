//! How long a frame of the board takes: everything the window shows, laid out and cut into triangles.
//!
//! `cargo bench --bench board`. Painting on the graphics card is not in it.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use crosspatch::app::{Answer, Application, Ask, Chooser, Effects, install_theme};
use crosspatch::format::{Syntax, read};
use crosspatch::samples::{SHIPPED, Size, generate};
use egui::{Context, RawInput, Rect, pos2, vec2};

struct NoChooser;

impl Chooser for NoChooser {
    fn ask(&mut self, _ctx: &Context, _ask: Ask) {}

    fn answer(&mut self) -> Option<Answer> {
        None
    }
}

fn frame(ctx: &Context, app: &mut Application) -> usize {
    let input = RawInput {
        screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1600.0, 1000.0))),
        ..RawInput::default()
    };
    let output = ctx.run_ui(input, |ui| app.show(ui));
    ctx.tessellate(output.shapes, output.pixels_per_point).len()
}

fn board(c: &mut Criterion) {
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
        let effects = Effects::with(Box::new(NoChooser), None, || "2031-05-04".to_owned());
        let mut app = Application::new(scenario, effects, false);
        let ctx = Context::default();
        install_theme(&ctx);
        for _ in 0..10 {
            frame(&ctx, &mut app);
        }
        group.bench_function(BenchmarkId::new("frame", name), |b| {
            b.iter(|| black_box(frame(&ctx, &mut app)));
        });
    }
    group.finish();
}

criterion_group!(benches, board);
criterion_main!(benches);

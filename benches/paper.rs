//! How long paper takes: the whole set of the incident, and a hundred pages of table.

use std::hint::black_box;
use std::sync::Arc;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use crosspatch::format::{self, Syntax};
use crosspatch::model::Scenario;
use crosspatch::paperwork::given::Given;
use crosspatch::paperwork::set::face::Faces;
use crosspatch::paperwork::{Ask, Go, Kind};
use crosspatch::samples::{SHIPPED, Size, generate};

fn all(scenario: Scenario, kinds: &[Kind]) -> Ask {
    Ask {
        phases: scenario.phases.ids().collect(),
        scenario: Arc::new(scenario),
        kinds: kinds.iter().copied().collect(),
        given: Given::default(),
    }
}

/// Sets and writes everything asked for; answers with the pages there are.
fn print(ask: &Ask) -> usize {
    let faces = Faces::default();
    let pieces = ask.set(&mut |_| Go::On).expect("nobody stops it");
    for piece in &pieces {
        black_box(piece.outputs(&faces).expect("it can be written"));
    }
    pieces.iter().map(|p| p.document.pages.len()).sum()
}

fn paper(c: &mut Criterion) {
    let sample = SHIPPED.first().expect("a scenario is shipped");
    let incident = format::read(sample.text, Syntax::Ron).expect("it can be read");
    let incident = all(incident, &Kind::ALL);
    let large = all(
        generate(Size::for_units(600), 7),
        &[
            Kind::Ics205,
            Kind::Ics205a,
            Kind::Ics217a,
            Kind::Ics214,
            Kind::PreCheck,
        ],
    );
    let mut group = c.benchmark_group("paper");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(10));
    let pages = print(&incident);
    group.bench_function(format!("whole set of the incident, {pages} pages"), |b| {
        b.iter(|| print(&incident));
    });
    let pages = print(&large);
    group.bench_function(format!("forms of 600 units, {pages} pages"), |b| {
        b.iter(|| print(&large));
    });
    group.finish();
}

criterion_group!(benches, paper);
criterion_main!(benches);

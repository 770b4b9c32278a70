//! How long a plan takes: read the file, derive who hears whom, run the checks; and what an edit takes
//! until its findings are there.
//!
//! `cargo bench --bench plan`. Sizes are the two that the project measures itself by.

use std::hint::black_box;
use std::sync::Arc;

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use crosspatch::checks;
use crosspatch::format::{Syntax, read, write};
use crosspatch::hearing::Hearing;
use crosspatch::hearing::why_not::why_not_given;
use crosspatch::model::{Edit, Place, Scenario};
use crosspatch::picture::Picture;
use crosspatch::samples::{SHIPPED, Size, generate};

fn scenarios() -> Vec<(String, Scenario)> {
    let incident = SHIPPED.first().expect("an incident is shipped");
    let incident = read(incident.text, Syntax::Ron).expect("it opens");
    let sizes = [
        Size {
            units: 600,
            channels: 60,
            gateways: 12,
        },
        Size {
            units: 25_000,
            channels: 3_000,
            gateways: 400,
        },
    ];
    let generated = sizes.map(|size| (format!("{} units", size.units), generate(size, 1)));
    std::iter::once(("incident".to_owned(), incident))
        .chain(generated)
        .collect()
}

fn plan(c: &mut Criterion) {
    let mut group = c.benchmark_group("plan");
    group.sample_size(10);
    for (name, scenario) in scenarios() {
        let text = write(&scenario, Syntax::Ron);
        group.bench_function(BenchmarkId::new("read", &name), |b| {
            b.iter(|| read(black_box(&text), Syntax::Ron));
        });
        let phase = scenario.phases.first().expect("a phase").id;
        let scenario = Arc::new(scenario);
        group.bench_function(BenchmarkId::new("derive", &name), |b| {
            b.iter(|| Hearing::derive(black_box(&scenario), phase));
        });
        let picture = Picture::new(Arc::clone(&scenario), phase);
        group.bench_function(BenchmarkId::new("check", &name), |b| {
            // A picture works out its figures once; each run gets a fresh one.
            b.iter_batched(
                || Picture::new(Arc::clone(&scenario), phase),
                |picture| checks::run_all(black_box(&picture)),
                BatchSize::LargeInput,
            );
        });
        group.bench_function(BenchmarkId::new("edit, derive and check", &name), |b| {
            b.iter(|| {
                let picture = Picture::new(Arc::clone(black_box(&scenario)), phase);
                checks::run_all(&picture)
            });
        });
        let unit = scenario.units.first().expect("a unit").id;
        let place = Some(Place { x: 8, y: 8 });
        let thing = unit.into();
        let moved = scenario
            .apply(&[Edit::Place { thing, place }])
            .expect("a unit can be moved");
        let moved = Arc::new(moved);
        group.bench_function(BenchmarkId::new("move a thing, derive", &name), |b| {
            b.iter(|| picture.rearranged(black_box(&moved)).expect("only moved"));
        });
        let hearing = picture.hearing();
        let silent = hearing.parties().iter().skip(1).find_map(|to| {
            let from = *hearing.parties().first()?;
            hearing.arrival(from, *to).is_none().then_some((from, *to))
        });
        if let Some((from, to)) = silent {
            group.bench_function(BenchmarkId::new("why not", &name), |b| {
                b.iter(|| why_not_given(black_box(&scenario), hearing, phase, from, to));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, plan);
criterion_main!(benches);

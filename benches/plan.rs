//! How long a plan takes: read the file, derive who hears whom, run the checks; and what an edit takes
//! until its findings are there.
//!
//! `cargo bench --bench plan`. Sizes are the two that the project measures itself by.

use std::hint::black_box;
use std::sync::Arc;

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use crosspatch::checks::{self, Found};
use crosspatch::format::{Syntax, read, write};
use crosspatch::hearing::Hearing;
use crosspatch::hearing::why_not::why_not_given;
use crosspatch::model::{Edit, Fact, NeedId, PhaseId, Place, Scenario, Verified};
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

/// The edits people make most, one of each.
fn edits(scenario: &Scenario, phase: PhaseId) -> Vec<(&'static str, Edit)> {
    let phase = scenario.phases.get(phase).expect("a phase");
    let radios = scenario.radios.iter();
    let radio = { radios }
        .find(|r| r.held_by.is_some() && r.programmed.len() > 1)
        .expect("a radio in hand");
    let (first, last) = (radio.programmed.first(), radio.programmed.last());
    let mut unit = scenario.units.first().expect("a unit").clone();
    let mut noted = unit.clone();
    let mut need = scenario.needs.first().expect("a need").clone();
    let mut verified = first.expect("an entry").clone();
    let mut deaf = verified.clone();
    "Another name".clone_into(&mut unit.name);
    "Another note".clone_into(&mut noted.notes);
    need.id = NeedId(scenario.mint(0));
    need.key = String::new();
    let by = Verified {
        by: "Reader".to_owned(),
        on: "2031-04-02".to_owned(),
        at: String::new(),
    };
    verified.verified.insert(Fact::Frequency, by);
    deaf.receive_only = !deaf.receive_only;
    let program = |entry| Edit::Program {
        radio: radio.id,
        entry,
    };
    vec![
        ("a unit's note", Edit::Replace(noted.into())),
        ("a unit's name", Edit::Replace(unit.into())),
        ("a need added", Edit::Add(need.into())),
        ("a fact verified", program(verified)),
        ("a fact programmed", program(deaf)),
        (
            "a channel selected",
            Edit::Select {
                phase: phase.id,
                radio: radio.id,
                channel: last.map(|p| p.channel),
            },
        ),
        (
            "a port switched",
            Edit::Switch {
                phase: phase.id,
                port: *phase.switches.keys().next().expect("a switched port"),
                group: None,
            },
        ),
    ]
}

/// What an edit takes until its findings are there, when those of the plan before it are known.
fn edit(c: &mut Criterion) {
    let mut group = c.benchmark_group("edit");
    group.sample_size(10);
    for (name, scenario) in scenarios() {
        let phase = scenario.phases.first().expect("a phase").id;
        let edits = edits(&scenario, phase);
        let before = Picture::new(Arc::new(scenario), phase);
        let known = Found::of(&before);
        for (what, edit) in edits {
            let after = before.scenario().apply(&[edit]).expect("it passes");
            let after = Arc::new(after);
            group.bench_function(BenchmarkId::new(what, &name), |b| {
                b.iter(|| {
                    let picture = before.after(black_box(&after));
                    let found = known.after(&before, &picture);
                    checks::report(&picture, &found)
                });
            });
        }
    }
    group.finish();
}

criterion_group!(benches, plan, edit);
criterion_main!(benches);

//! How long the engineering takes: mixing products of a crowded site, loads, sites, power, and what
//! needs hang on.
//!
//! `cargo bench --bench figures`.

use std::hint::black_box;
use std::sync::Arc;

use criterion::{BatchSize, BenchmarkId, Criterion, criterion_group, criterion_main};
use crosspatch::engineering::rf::intermod::{Receiver, Sender, search};
use crosspatch::engineering::traffic::{erlang_b, erlang_c};
use crosspatch::format::{Syntax, read};
use crosspatch::model::Scenario;
use crosspatch::picture::Picture;
use crosspatch::samples::{SHIPPED, Size, generate};

/// Frequencies on a 12.5 kHz raster, spread over three land mobile bands.
fn frequencies(count: u64, turn: u64) -> Vec<u64> {
    const BANDS: [(u64, u64); 3] = [
        (150_000_000, 1_900),
        (453_000_000, 1_300),
        (764_000_000, 3_500),
    ];
    (0..count)
        .map(|i| {
            let (start, places) = BANDS[(i % 3) as usize];
            let mixed = (i + turn).wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 33;
            start + mixed % places * 12_500
        })
        .collect()
}

fn site(c: &mut Criterion) {
    let mut group = c.benchmark_group("formulas");
    let senders: Vec<Sender> = frequencies(200, 0)
        .into_iter()
        .map(|hz| Sender { hz })
        .collect();
    let receivers: Vec<Receiver> = frequencies(200, 7)
        .into_iter()
        .map(|hz| Receiver {
            hz,
            width_hz: 12_500,
        })
        .collect();
    group.sample_size(20);
    group.bench_function("200 transmitters against 200 receivers", |b| {
        b.iter(|| search(black_box(&senders), black_box(&receivers), 11_250));
    });
    group.bench_function("Erlang B, 3000 servers near saturation", |b| {
        b.iter(|| erlang_b::blocking(black_box(2_999.0), 3_000));
    });
    group.bench_function("Erlang C, 3000 servers near saturation", |b| {
        b.iter(|| erlang_c::wait(black_box(2_999.0), 3_000, 5.0));
    });
    group.finish();
}

fn scenarios() -> Vec<(&'static str, Scenario)> {
    let incident = SHIPPED.first().expect("an incident is shipped");
    let incident = read(incident.text, Syntax::Ron).expect("it opens");
    let of = |units, channels, gateways| {
        let size = Size {
            units,
            channels,
            gateways,
        };
        generate(size, 1)
    };
    vec![
        ("incident", incident),
        ("600 units", of(600, 60, 12)),
        ("25000 units", of(25_000, 3_000, 400)),
    ]
}

fn plan(c: &mut Criterion) {
    let mut group = c.benchmark_group("figures");
    group.sample_size(10);
    for (name, scenario) in scenarios() {
        let phase = scenario.phases.first().expect("a phase").id;
        let scenario = Arc::new(scenario);
        let fresh = || Picture::new(Arc::clone(&scenario), phase);
        let mut bench = |what: &str, run: &dyn Fn(&Picture)| {
            group.bench_function(BenchmarkId::new(what, name), |b| {
                b.iter_batched(
                    fresh,
                    |picture| run(black_box(&picture)),
                    BatchSize::LargeInput,
                );
            });
        };
        bench("traffic", &|picture| {
            black_box(picture.traffic());
        });
        bench("traffic, sites and power", &|picture| {
            black_box((picture.sites(), picture.power()));
        });
        bench("single points of failure of every need", &|picture| {
            for need in picture.scenario().needs.iter() {
                black_box(picture.need_ways().singles(picture.scenario(), need));
            }
        });
    }
    group.finish();
}

criterion_group!(benches, site, plan);
criterion_main!(benches);

//! The figures of speed that the notes on equilibrium set as goals: `cargo bench -p rigging-benches --bench goals`.
//!
//! One group for each; a name after `--` picks some. Every answer is checked before it is timed. The tree of spreaders is timed
//! by `trees`, which counts its steps too; ratios to general libraries by `peers/run.py` and `peers/rare.py`; what is no time,
//! but a count of failures or wrong branches, by the tests.

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use glam::DVec3;
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::bridle::{Bridle, Workspace};
use rigging_core::equilibrium::nearby::{Nominal, Outcomes, Rows};
use rigging_core::equilibrium::sensitivity::BridleDerivatives;
use rigging_core::equilibrium::worst::{Effort, Tolerances, worst};
use rigging_core::error::Error;
use rigging_core::system::Law;
use std::hint::black_box;
use std::time::Duration;

const WEIGHT: f64 = 1.0e5;
const ROWS: usize = 2048;

/// A number in [-1, 1) that depends on `seed` only (the mixing function of SplitMix64).
fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Legs from an ellipse of lugs to a hook 5 m above, center of gravity off center and 1 m below.
fn bridle(legs: usize, relative: f64) -> Result<Bridle, Error> {
    let points: Vec<DVec3> = (0..legs)
        .map(|leg| {
            let turn = std::f64::consts::TAU * (leg as f64 + 0.5) / legs as f64;
            DVec3::new(3.0 * turn.cos(), 1.5 * turn.sin(), 0.0)
        })
        .collect();
    let lengths = points.iter().map(|point| (DVec3::new(0.0, 0.0, 5.0) - *point).length()).collect();
    Bridle::new(points, lengths, vec![Law::linear(relative * WEIGHT)?; legs], DVec3::new(0.3, 0.1, -1.0), WEIGHT)
}

/// Cold solves with their certificate, four legs, and beside them the matrix of all derivatives.
fn single(c: &mut Criterion) {
    let bridle = bridle(4, 200.0).expect("a bridle");
    let mut workspace = Workspace::default();
    assert_eq!(bridle.solve(&mut workspace).expect("a balance").state, State::Stable);
    let mut group = c.benchmark_group("single");
    group.bench_function("cold solve with certificate, 4 legs, EA/W 200", |b| {
        b.iter(|| black_box(&bridle).solve(&mut workspace));
    });
    let mut derivatives = BridleDerivatives::default();
    group.bench_function("all derivatives of it", |b| {
        b.iter(|| black_box(&bridle).differentiate(&workspace, &mut derivatives));
    });
    group.finish();
}

/// Certified rows near a nominal balance, and all vertices of eight lengths.
fn rows(c: &mut Criterion) {
    let mut group = c.benchmark_group("rows");
    let vertices: Vec<f64> =
        (0..256_u32).flat_map(|v| (0..8).map(move |leg| f64::from(v >> leg & 1) * 2.0 - 1.0)).collect();
    let random: Vec<f64> = (0..4 * ROWS as u64).map(noise).collect();
    let cases =
        [("4 legs, ±0.5 %, EA/W 200", 4, ROWS, random), ("vertices of 8 lengths, ±0.5 %, EA/W 200", 8, 256, vertices)];
    for (name, legs, count, shares) in cases {
        let nominal = Nominal::new(bridle(legs, 200.0).expect("a bridle")).expect("a balance");
        let stated = nominal.bridle().lengths().to_vec();
        let lengths: Vec<f64> =
            shares.iter().zip(stated.iter().cycle()).map(|(share, length)| length * (1.0 + 0.005 * share)).collect();
        let (mut tension, mut state, mut status) = (vec![0.0; legs * count], vec![0; count], vec![0; count]);
        let rows = Rows { count, lengths: Some(&lengths), ..Rows::default() };
        group.throughput(Throughput::Elements(count as u64));
        group.bench_function(name, |b| {
            b.iter(|| nominal.solve(black_box(&rows), Outcomes::new(&mut tension, &mut state, &mut status), 1));
        });
        assert!(status.iter().chain(&state).all(|code| *code == 0));
    }
    group.finish();
}

/// Bounds over boxes of tolerances, four legs in eight numbers to 1 %.
fn boxes(c: &mut Criterion) {
    let mut group = c.benchmark_group("worst case, 4 legs, 8 numbers, gap 1 %");
    group.sample_size(10).warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(1));
    for relative in [40.0, 200.0, 1000.0] {
        let bridle = bridle(4, relative).expect("a bridle");
        let tolerances = Tolerances { lengths: vec![0.02; 4], stiffness: vec![0.1; 4], ..Tolerances::none(4) };
        let effort = Effort { gap: 0.01, parts: 4000 };
        let found = worst(&bridle, &tolerances, &effort).expect("a worst case");
        assert!(found.legs.iter().all(|leg| leg.gap().is_some_and(|gap| gap <= 0.01)));
        group.bench_function(BenchmarkId::new("EA/W", relative), |b| {
            b.iter(|| worst(black_box(&bridle), &tolerances, &effort));
        });
    }
    group.finish();
}

criterion_group!(goals, single, rows, boxes);
criterion_main!(goals);

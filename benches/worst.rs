//! The worst case over boxes of tolerances: `cargo bench -p rigging-benches --bench worst`.
//!
//! Each line is the median of some rounds of the whole question, for all four legs: attained values, proof of the branch,
//! bounds. Beside it the largest gap between bound and attained value, and the parts and states that were looked at.

use glam::DVec3;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::worst::{Effort, Tolerances, worst};
use rigging_core::error::Error;
use rigging_core::system::Law;
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 7;
const GRAVITY: f64 = 9.80665;

/// Four legs of one length and stiffness from a rectangle of points.
fn rectangle([a, b]: [f64; 2], center: [f64; 3], length: f64, ea: f64, mass: f64) -> Result<Bridle, Error> {
    let points = [[a, b], [a, -b], [-a, -b], [-a, b]].map(|[x, y]| DVec3::new(x, y, 0.0));
    Bridle::new(points.to_vec(), vec![length; 4], vec![Law::linear(ea)?; 4], DVec3::from_array(center), mass * GRAVITY)
}

fn time(name: &str, bridle: &Bridle, tolerances: &Tolerances, gap: f64) -> Result<(), Error> {
    let effort = Effort { gap, parts: 4000 };
    let mut times = Vec::new();
    let mut found = worst(bridle, tolerances, &effort)?;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        found = black_box(worst(black_box(bridle), tolerances, &effort)?);
        times.push(start.elapsed().as_secs_f64() * 1.0e3);
    }
    times.sort_by(f64::total_cmp);
    let median = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
    let gaps: Option<Vec<f64>> = found.legs.iter().map(|leg| leg.gap()).collect();
    let gap =
        gaps.map_or("no bound".to_owned(), |gaps| format!("gap {:.3} %", 100.0 * gaps.into_iter().fold(0.0, f64::max)));
    println!("{name:<44} {median:9.2} ms  {gap:<12} {:5} parts {:6} states", found.parts, found.states);
    Ok(())
}

fn main() -> Result<(), Error> {
    let module = rectangle([9.5, 6.2], [0.6, -0.25, -3.1], 22.0, 595.0e6, 742.0e3 * 1.03)?;
    let skid = rectangle([2.6, 1.05], [0.45, -0.12, 0.9], 6.0, 6.0e6, 18.5e3)?;
    let stiff = rectangle([2.6, 1.05], [0.45, -0.12, 0.9], 6.0, 9.6e6, 18.5e3)?;
    let yard = |ea: f64| rectangle([4.0, 2.2], [0.0, 0.0, -1.5], 11.0, ea, 60.0e3);
    let of = |length: f64, center_of_gravity: [f64; 3], stiffness: f64, weight: f64| Tolerances {
        lengths: vec![length; 4],
        stiffness: vec![stiffness; 4],
        center_of_gravity,
        weight,
        hook_heights: Vec::new(),
    };
    let (none, far, near) = ([0.0; 3], [0.5, 0.3, 0.2], [0.05; 3]);
    time("module, lengths, 4 numbers", &module, &of(0.02, none, 0.0, 0.0), 0.01)?;
    time("module, lengths and center, 7", &module, &of(0.02, far, 0.0, 0.0), 0.01)?;
    time("module, lengths, center, mass, 8", &module, &of(0.02, far, 0.0, 0.03), 0.01)?;
    time("module, lengths and stiffness, 8", &module, &of(0.02, none, 0.1, 0.0), 0.01)?;
    time("module, all, 12", &module, &of(0.02, far, 0.1, 0.03), 0.10)?;
    time("skid, lengths, 4", &skid, &of(0.03, none, 0.0, 0.0), 0.01)?;
    time("skid, lengths and center, 7", &skid, &of(0.03, near, 0.0, 0.0), 0.01)?;
    time("skid, lengths, center, mass, 8", &skid, &of(0.03, near, 0.0, 0.03), 0.01)?;
    time("skid, lengths and stiffness, 8", &skid, &of(0.03, none, 0.1, 0.0), 0.01)?;
    time("skid, all, 12", &skid, &of(0.03, near, 0.1, 0.03), 0.10)?;
    time("stiff skid, lengths, 4", &stiff, &of(0.03, none, 0.0, 0.0), 0.01)?;
    time("stiff skid, lengths and center, 7", &stiff, &of(0.03, near, 0.0, 0.0), 0.02)?;
    for (name, ea) in [("wire rope", 169.8e6), ("soft", 55.0e6), ("stiff", 230.0e6)] {
        let yard = yard(ea)?;
        time(&format!("yard, {name}, lengths, 4"), &yard, &of(0.026, none, 0.0, 0.0), 0.02)?;
        time(&format!("yard, {name}, lengths and center, 7"), &yard, &of(0.026, [0.1; 3], 0.0, 0.0), 0.02)?;
        time(&format!("yard, {name}, all, 12"), &yard, &of(0.026, [0.1; 3], 0.1, 0.03), 0.10)?;
    }
    Ok(())
}

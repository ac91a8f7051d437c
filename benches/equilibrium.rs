//! Timings of the equilibrium: `cargo bench -p rigging-benches --bench equilibrium`.
//!
//! Each line is the median over 41 rounds of the time of one solve, every result certified. A round solves many
//! bridles one after the other, none of which is the one before, so nothing is warm but the code.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::bridle::{Bridle, Workspace};
use rigging_core::equilibrium::sensitivity::{BridleDerivatives, differentiate};
use rigging_core::equilibrium::{State, solve};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Law, Member, System};
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 41;
const WEIGHT: f64 = 1.0e5;
const GRAVITY: f64 = 9.80665;

/// A number in [-1, 1) that depends on `seed` only (the mixing function of SplitMix64).
fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// Lugs on an ellipse, center of gravity off center and `above` the lugs, lengths off by up to `error`.
fn shape(case: u64, count: u64, above: f64, error: f64) -> (Vec<DVec3>, Vec<f64>, DVec3) {
    let points: Vec<DVec3> = (0..count)
        .map(|i| {
            let turn = std::f64::consts::TAU * (i as f64 + 0.5) / count as f64;
            DVec3::new(3.0 * turn.cos(), 1.5 * turn.sin(), 0.0)
        })
        .collect();
    let hook = DVec3::new(0.0, 0.0, 5.0);
    let lengths =
        (0_u64..).zip(&points).map(|(i, p)| (hook - *p).length() * (1.0 + error * noise(100 * case + i))).collect();
    (points, lengths, DVec3::new(0.3 * noise(100 * case + 50), 0.2 * noise(100 * case + 51), above))
}

fn bridle(case: u64, count: u64, relative: f64, above: f64, error: f64) -> Result<Bridle, Error> {
    let (points, lengths, center) = shape(case, count, above, error);
    let laws = points.iter().map(|_| Law::linear(relative * WEIGHT)).collect::<Result<_, _>>()?;
    Bridle::new(points, lengths, laws, center, WEIGHT)
}

fn system(case: u64, count: u64, relative: f64, above: f64, error: f64) -> Result<System, Error> {
    let (points, lengths, center_of_gravity) = shape(case, count, above, error);
    let law = Law::linear(relative * WEIGHT)?;
    let members = (0..)
        .zip(lengths)
        .map(|(point, length)| Member { a: End::Hook(0), b: End::Body { body: 0, point }, length, law: law.clone() })
        .collect();
    let body =
        Body { mass: WEIGHT / GRAVITY, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY };
    System::new(GRAVITY, vec![Hook { position: DVec3::ZERO }], vec![], vec![body], members)
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}

fn print(label: &str, nanoseconds: f64, note: &str) {
    println!("{label:<58} {nanoseconds:>9.0} ns {note}");
}

fn time_bridles(label: &str, count: u64, relative: f64, above: f64, error: f64) -> Result<(), Error> {
    let mut bridles =
        (0..512).map(|case| bridle(case, count, relative, above, error)).collect::<Result<Vec<_>, _>>()?;
    let mut workspace = Workspace::default();
    // Where two branches nearly meet, the answer may be that it is not decided.
    bridles.retain(|bridle| !matches!(bridle.solve(&mut workspace), Err(Error::Unconverged { .. })));
    let undecided = 512 - bridles.len();
    let mut times = Vec::new();
    let mut steps = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        for bridle in &bridles {
            let outcome = black_box(black_box(bridle).solve(&mut workspace)?);
            steps += outcome.iterations;
            black_box(workspace.tensions().sum::<f64>());
        }
        times.push(start.elapsed().as_nanos() as f64 / bridles.len() as f64);
    }
    let mean = steps as f64 / (ROUNDS * bridles.len()) as f64;
    let open = if undecided > 0 { format!(", {undecided} not decided and left out") } else { String::new() };
    print(label, median(times), &format!("({mean:.1} steps{open})"));
    Ok(())
}

fn time_systems(label: &str, count: u64, relative: f64) -> Result<(), Error> {
    let systems = (0..512).map(|case| system(case, count, relative, -1.0, 0.005)).collect::<Result<Vec<_>, _>>()?;
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        for system in &systems {
            black_box(solve(black_box(system))?);
        }
        times.push(start.elapsed().as_nanos() as f64 / systems.len() as f64);
    }
    print(label, median(times), "");
    Ok(())
}

/// All 256 corners of a box of length tolerances of eight legs.
fn time_corners() -> Result<(), Error> {
    let mut bridle = bridle(1, 8, 200.0, -1.0, 0.0)?;
    let nominal = bridle.lengths().to_vec();
    let mut workspace = Workspace::default();
    let mut times = Vec::new();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let mut worst = 0.0_f64;
        for corner in 0_u32..256 {
            for (leg, length) in nominal.iter().enumerate() {
                let sign = if corner >> leg & 1 == 1 { 1.0 } else { -1.0 };
                bridle.set_length(leg, length * (1.0 + 0.005 * sign))?;
            }
            let outcome = bridle.solve(&mut workspace)?;
            assert_eq!(outcome.state, State::Stable);
            worst = workspace.tensions().fold(worst, f64::max);
        }
        black_box(worst);
        times.push(start.elapsed().as_nanos() as f64);
    }
    let all = median(times);
    print("256 corners of +-0.5 %, 8 legs, EA/W = 200, all", all, &format!("({:.0} ns each)", all / 256.0));
    Ok(())
}

/// All derivatives of a bridle's tensions in closed form, over the time of its solution.
fn time_derivatives(count: u64, relative: f64) -> Result<(), Error> {
    let bridles = (0..512).map(|case| bridle(case, count, relative, -1.0, 0.005)).collect::<Result<Vec<_>, _>>()?;
    let (mut solves, mut both) = (Vec::new(), Vec::new());
    let mut workspaces = vec![Workspace::default(); bridles.len()];
    let mut derivatives = BridleDerivatives::default();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        for (bridle, workspace) in bridles.iter().zip(&mut workspaces) {
            black_box(black_box(bridle).solve(workspace)?);
        }
        solves.push(start.elapsed().as_nanos() as f64 / bridles.len() as f64);
        let start = Instant::now();
        for (bridle, workspace) in bridles.iter().zip(&workspaces) {
            black_box(bridle).differentiate(black_box(workspace), &mut derivatives)?;
            black_box(&derivatives);
        }
        both.push(start.elapsed().as_nanos() as f64 / bridles.len() as f64);
    }
    let (solve, closed) = (median(solves), median(both));
    let label = format!("  {count} legs, EA/W = {relative}, closed form");
    print(&label, closed, &format!("({:.1} % of its solution, {solve:.0} ns)", 100.0 * closed / solve));
    Ok(())
}

/// All derivatives of everything in the general form, over the time of `solve`.
fn time_general_derivatives(count: u64, relative: f64) -> Result<(), Error> {
    let systems = (0..64).map(|case| system(case, count, relative, -1.0, 0.005)).collect::<Result<Vec<_>, _>>()?;
    let certificates = systems.iter().map(solve).collect::<Result<Vec<_>, _>>()?;
    let (mut solves, mut both) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        let start = Instant::now();
        for system in &systems {
            black_box(solve(black_box(system))?);
        }
        solves.push(start.elapsed().as_nanos() as f64 / systems.len() as f64);
        let start = Instant::now();
        for (system, certificate) in systems.iter().zip(&certificates) {
            black_box(differentiate(black_box(system), certificate)?.all()?);
        }
        both.push(start.elapsed().as_nanos() as f64 / systems.len() as f64);
    }
    let (solve, general) = (median(solves), median(both));
    let label = format!("  {count} legs, EA/W = {relative}, general form, everything");
    print(&label, general, &format!("({:.1} times its solution, {solve:.0} ns)", general / solve));
    Ok(())
}

fn main() -> Result<(), Error> {
    println!("Bridle::solve, cold, certified, workspace reused:");
    for relative in [20.0, 200.0, 900.0, 1.0e5, 1.0e7] {
        time_bridles(&format!("  4 legs, lengths +-0.5 %, EA/W = {relative}"), 4, relative, -1.0, 0.005)?;
    }
    time_bridles("  4 legs, lengths exact, EA/W = 200", 4, 200.0, -1.0, 0.0)?;
    time_bridles("  4 legs, lengths +-3 %, EA/W = 200", 4, 200.0, -1.0, 0.03)?;
    time_bridles("  4 legs, center of gravity 1 m above the lugs, EA/W = 200", 4, 200.0, 1.0, 0.005)?;
    time_bridles("  2 legs, EA/W = 200", 2, 200.0, -1.0, 0.005)?;
    time_bridles("  8 legs, EA/W = 200", 8, 200.0, -1.0, 0.005)?;
    time_bridles("  64 legs, EA/W = 200", 64, 200.0, -1.0, 0.005)?;
    time_corners()?;
    println!("solve(&System), everything allocated and every field of the certificate:");
    for count in [4, 8] {
        time_systems(&format!("  {count} legs, EA/W = 200"), count, 200.0)?;
    }
    println!("all derivatives, by lengths, stiffnesses, center of gravity and weight:");
    for (count, relative) in [(4, 20.0), (4, 200.0), (4, 1.0e5), (8, 200.0)] {
        time_derivatives(count, relative)?;
    }
    for count in [4, 8] {
        time_general_derivatives(count, 200.0)?;
    }
    Ok(())
}

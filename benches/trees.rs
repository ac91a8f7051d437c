//! Trees of spreader beams: `cargo bench -p rigging-benches --bench trees`.
//!
//! A hook, two legs to a beam; from each end of a beam a link to a ring and two legs to the next beam; the last beams carry
//! one rigid load at 2^n points. Lengths are off by up to 5 mm, the center of gravity by a tenth of the last span.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::network::{Network, Workspace};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};
use std::hint::black_box;
use std::time::Instant;

const WEIGHT: f64 = 1.0e6;
const GRAVITY: f64 = 9.80665;
/// Distance of the load's points from each other, m.
const SPAN: f64 = 2.0;

/// A number in [-1, 1) that depends on `seed` only (the mixing function of SplitMix64).
fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

struct Tree {
    joints: Vec<Joint>,
    bodies: Vec<Body>,
    members: Vec<Member>,
    lugs: Vec<DVec3>,
    ea: f64,
}

impl Tree {
    fn member(&mut self, a: End, b: End, length: f64) -> Result<(), Error> {
        let seed = self.members.len() as u64;
        let length = length + 0.005 * noise(seed);
        self.members.push(Member { a, b, length, law: Law::linear(self.ea * WEIGHT)? });
        Ok(())
    }

    /// A beam for `points` points below `from` (at `top`), and all that hangs from it.
    fn beam(&mut self, from: End, top: DVec3, points: usize, weight: f64) -> Result<(), Error> {
        let half = 0.25 * SPAN * points as f64;
        let leg = 2.0 * half;
        let center = top - DVec3::Z * (leg * leg - half * half).sqrt();
        let beam = self.bodies.len();
        self.bodies.push(Body {
            mass: 0.02 * weight / GRAVITY,
            center_of_gravity: DVec3::new(0.0, 0.0, -0.05),
            points: vec![DVec3::new(-half, 0.0, 0.0), DVec3::new(half, 0.0, 0.0)],
            position: center,
            rotation: DQuat::IDENTITY,
        });
        for (point, side) in [(0, -half), (1, half)] {
            let end = End::Body { body: beam, point };
            self.member(from, end, leg)?;
            let below = center + DVec3::new(side, 0.0, -1.0);
            if points == 2 {
                self.lugs.push(below);
                self.member(end, End::Body { body: 0, point: self.lugs.len() - 1 }, 1.0)?;
            } else {
                let ring = self.joints.len();
                self.joints.push(Joint { position: below });
                self.member(end, End::Joint(ring), 1.0)?;
                self.beam(End::Joint(ring), below, points / 2, 0.5 * weight)?;
            }
        }
        Ok(())
    }
}

fn tree(points: usize, ea: f64) -> Result<System, Error> {
    let load = Body {
        mass: WEIGHT / GRAVITY,
        center_of_gravity: DVec3::ZERO,
        points: Vec::new(),
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let mut tree = Tree { joints: Vec::new(), bodies: vec![load], members: Vec::new(), lugs: Vec::new(), ea };
    tree.beam(End::Hook(0), DVec3::ZERO, points, WEIGHT)?;
    let lowest = tree.lugs.first().map_or(0.0, |lug| lug.z);
    if let Some(load) = tree.bodies.first_mut() {
        load.points = tree.lugs;
        load.center_of_gravity = DVec3::new(0.1 * SPAN, 0.02 * SPAN, lowest - 1.0);
    }
    System::new(GRAVITY, vec![Hook { position: DVec3::ZERO }], tree.joints, tree.bodies, tree.members)
}

/// Slope of the straight line of least squares.
fn slope(points: &[(f64, f64)]) -> f64 {
    let count = points.len() as f64;
    let (x, y) = points.iter().fold((0.0, 0.0), |(sx, sy), (x, y)| (sx + x / count, sy + y / count));
    let (xy, xx) = points.iter().fold((0.0, 0.0), |(xy, xx), (a, b)| (xy + (a - x) * (b - y), xx + (a - x) * (a - x)));
    xy / xx
}

fn main() -> Result<(), Error> {
    for ea in [100.0, 1.0e4, 1.0e6] {
        println!("EA/W = {ea} in every member:");
        let (mut fitted, mut most) = (Vec::new(), 0);
        for power in 1..=10 {
            let points = 1 << power;
            let system = tree(points, ea)?;
            let network = Network::new(&system);
            let mut workspace = Workspace::default();
            let mut times = Vec::new();
            let mut outcome = network.solve(&mut workspace)?;
            for _ in 0..(4096 / points).clamp(5, 201) {
                let start = Instant::now();
                outcome = black_box(black_box(&network).solve(&mut workspace)?);
                times.push(start.elapsed().as_secs_f64());
            }
            times.sort_by(f64::total_cmp);
            let time = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
            let weight = system.bodies().iter().map(|body| body.mass).sum::<f64>() * GRAVITY;
            if points >= 8 {
                fitted.push(((points as f64).ln(), time.ln()));
            }
            most = most.max(outcome.iterations);
            println!(
                "  {points:>5} points {:>6} unknowns {:>10.3} ms {:>3} steps, residual {:.1e} W, {}",
                network.unknowns(),
                1.0e3 * time,
                outcome.iterations,
                outcome.residual / weight,
                outcome.state.word(),
            );
        }
        println!("  exponent over 8 to 1024 points {:.2}, at most {most} steps", slope(&fitted));
    }
    Ok(())
}

//! The branch: the solver must end where a slow descent ends that knows nothing but the gradient.
//!
//! The slow descent moves the hook against the gradient of the potential energy in steps so short that it follows the
//! path of steepest descent; it has no Hessian, no shift, no continuation and no memory. It shares no code with the
//! solver.

use crate::generator::{Rig, random_rig};
use glam::DVec3;
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::bridle::Workspace;

/// Unbalanced force, over the weight, at which the slow descent stops.
const AT_REST: f64 = 1.0e-7;
/// Allowed angle between both upward directions, rad: the slow descent stops this far from the end at worst.
const SAME_POSE: f64 = 0.02;

/// The hook's end position relative to the center of gravity, or nothing if the descent did not come to rest.
pub fn slow_descent(rig: &Rig, longest: f64) -> Option<DVec3> {
    let weight = rig.weight();
    let points: Vec<DVec3> = rig.points.iter().map(|p| *p - rig.center_of_gravity).collect();
    let springs: Vec<f64> = rig.stiffnesses.iter().zip(&rig.lengths).map(|(ea, l)| ea / l).collect();
    // The height at which the first leg is straight, found by walking up the plumb line.
    let straight = points.iter().zip(&rig.lengths).filter_map(|(p, l)| {
        let aside = p.x.hypot(p.y);
        let height = p.z + (l * l - aside * aside).sqrt();
        (aside < *l && height > 0.0).then_some(height)
    });
    let start = straight.fold(f64::INFINITY, f64::min);
    let mean = rig.lengths.iter().sum::<f64>() / rig.lengths.len() as f64;
    let mut hook = DVec3::new(0.0, 0.0, if start.is_finite() { start } else { 0.5 * mean });
    let rate = 0.5 / springs.iter().sum::<f64>();
    for _ in 0..4_000_000 {
        let mut pull = DVec3::ZERO;
        for ((p, l), k) in points.iter().zip(&rig.lengths).zip(&springs) {
            let arm = hook - *p;
            let distance = arm.length();
            pull += arm * (k * (distance - l).max(0.0) / distance);
        }
        let height = hook.length();
        let gradient = pull - hook * (weight / height);
        let size = gradient.length();
        if size < AT_REST * weight {
            return Some(hook);
        }
        hook -= gradient * rate.min(longest * height / size);
    }
    None
}

struct Count {
    compared: usize,
    skipped: usize,
    lost: usize,
    differ: Vec<String>,
}

fn compare(seed: u64, cases: std::ops::Range<u64>) -> Count {
    let mut count = Count { compared: 0, skipped: 0, lost: 0, differ: Vec::new() };
    let mut workspace = Workspace::default();
    for case in cases {
        let rig = random_rig(seed, case, [10.0, 300.0]);
        let outcome = rig.bridle().solve(&mut workspace).unwrap();
        let Some(hook) = slow_descent(&rig, 2.0e-3) else {
            count.skipped += 1;
            continue;
        };
        count.compared += 1;
        let up = hook.normalize();
        count.lost += usize::from(up.z < 0.0);
        let turned_over = outcome.state == State::Lost;
        if (up - outcome.up).length() > SAME_POSE || turned_over != (up.z < 0.0) {
            count.differ.push(format!(
                "case {case}: {:?} up {} against {up}, {} legs",
                outcome.state,
                outcome.up,
                rig.points.len()
            ));
        }
    }
    count
}

#[test]
fn the_branch_is_that_of_the_slow_descent() {
    let total: u64 = std::env::var("RIGGING_BRANCH_CASES").map_or(1500, |text| text.parse().unwrap());
    let halves = std::thread::scope(|scope| {
        let other = scope.spawn(move || compare(7, 0..total / 2));
        let this = compare(7, total / 2..total);
        [this, other.join().unwrap()]
    });
    let compared: usize = halves.iter().map(|half| half.compared).sum();
    let skipped: usize = halves.iter().map(|half| half.skipped).sum();
    let lost: usize = halves.iter().map(|half| half.lost).sum();
    let differ: Vec<&String> = halves.iter().flat_map(|half| &half.differ).collect();
    println!(
        "branch: {compared} compared, {skipped} skipped (slow descent not at rest), {lost} turn over, {} differ",
        differ.len()
    );
    for line in &differ {
        println!("{line}");
    }
    assert!(differ.is_empty());
}

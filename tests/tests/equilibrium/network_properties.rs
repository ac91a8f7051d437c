//! What must not change the balance of a network, and how it must change.

use crate::network_generator::random_network;
use glam::{DQuat, DVec3};
use rigging_core::kit::invariants::{self, Answer, Kept};
use rigging_core::system::System;

const SEED: u64 = 29;
const CASES: u64 = 150;

/// Runs `law` on random networks. At least `least` of them have something to compare, within a tolerance that means something.
fn for_networks(least: usize, loosest: f64, law: impl Fn(&System, f64) -> Answer) {
    let (mut compared, mut largest, mut nearest) = (0, Vec::new(), 0.0_f64);
    for case in 0..CASES {
        let drawn = random_network(SEED, case);
        let share = (case as f64 + 0.5) / CASES as f64;
        let kept = law(&drawn.system, share).unwrap_or_else(|broken| panic!("case {case}: {broken}"));
        if let Kept::Compared { tolerance, nearest: near, .. } = kept {
            compared += 1;
            largest.push(tolerance);
            nearest = nearest.max(near);
        }
    }
    largest.sort_by(f64::total_cmp);
    let (half, most) = (largest[largest.len() / 2], largest[largest.len() - 1]);
    println!("{compared} of {CASES} compared, tolerance {half:e} in half, {most:e} at most, {nearest:.3} of it used");
    assert!(compared >= least && most <= loosest, "{compared}, {most:e}");
}

#[test]
fn every_certificate_of_a_network_is_a_balance() {
    for_networks(CASES as usize, 1e-6, |system, _| invariants::balance(system));
}

#[test]
fn turns_mirrors_shifts_and_frames_do_not_matter_to_a_network() {
    for_networks(80, 1e-4, |system, share| {
        let axis = DVec3::new(0.6, -0.48, 0.64);
        let kept = invariants::turn(system, std::f64::consts::TAU * share)?;
        let kept = kept.and(invariants::mirror(system)?);
        let kept = kept.and(invariants::shift(system, DVec3::new(3.0, -2.0, 10.0 * share))?);
        Ok(kept.and(invariants::frame(system, DQuat::from_axis_angle(axis, 3.0 * share))?))
    });
}

#[test]
fn order_and_scales_do_not_matter_to_a_network() {
    for_networks(80, 1e-4, |system, share| {
        let order: Vec<usize> = (0..system.members().len()).rev().collect();
        let kept = invariants::relabel(system, &order)?;
        let kept = kept.and(invariants::scale_of_force(system, 10.0_f64.powf(6.0 * share - 3.0))?);
        Ok(kept.and(invariants::scale_of_length(system, 10.0_f64.powf(2.0 * share - 1.0))?))
    });
}

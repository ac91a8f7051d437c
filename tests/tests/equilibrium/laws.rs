//! Random bridles whose members have curved and kinked laws.

use crate::generator::{Draw, random_rig};
use glam::DVec3;
use rigging_core::equilibrium::bridle::{Bridle, Workspace};
use rigging_core::system::Law;

/// Unbalanced force over the sum of the tensions and the weight, recomputed in doubles: 1e-10 and what a rounding of
/// the hook's position stands for.
const FORCE: f64 = 1.0e-9;

/// A law of about the stiffness `ea` around the strain `e`: straight, a cubic, or with kinks at and around `e`.
fn random_law(draw: &mut Draw, ea: f64, e: f64) -> Law {
    let kinked = |slopes: &[f64], strains: &[f64]| {
        let (mut from, mut tension) = (0.0, 0.0);
        let mut points = Vec::new();
        for (slope, strain) in slopes.iter().zip(strains) {
            tension += slope * ea * (strain - from);
            from = *strain;
            points.push([from, tension]);
        }
        Law::piecewise_linear(points).unwrap()
    };
    match draw.below(4) {
        0 => Law::linear(ea).unwrap(),
        1 => Law::polynomial(vec![ea, 0.0, draw.between(0.0, 3.0) * ea / (e * e)]).unwrap(),
        // Stiffening, then softening.
        2 => kinked(&[0.3, 1.0, draw.between(1.0, 20.0)], &[0.2 * e, draw.between(0.5, 1.5) * e, 3.0 * e]),
        _ => kinked(&[2.0, 1.0, draw.between(0.05, 1.0)], &[0.2 * e, draw.between(0.5, 1.5) * e, 3.0 * e]),
    }
}

#[test]
fn bridles_of_curved_and_kinked_members_are_certified() {
    const CASES: u64 = 20_000;
    let mut workspace = Workspace::default();
    let (mut ran, mut kinked, mut most, mut failed) = (0, 0, 0, Vec::new());
    for case in 0..CASES {
        let rig = random_rig(21, case, [10.0, 1.0e5]);
        let mut draw = Draw::new(22, case);
        let laws: Vec<Law> = rig.stiffnesses.iter().map(|ea| random_law(&mut draw, *ea, rig.weight() / ea)).collect();
        kinked += usize::from(laws.iter().any(|law| matches!(law, Law::PiecewiseLinear { .. })));
        let (points, lengths) = (rig.points.clone(), rig.lengths.clone());
        let bridle = Bridle::new(points, lengths, laws.clone(), rig.center_of_gravity, rig.weight()).unwrap();
        let outcome = match bridle.solve(&mut workspace) {
            Ok(outcome) => outcome,
            Err(error) => {
                failed.push(format!("case {case}: {error}"));
                continue;
            }
        };
        ran += 1;
        most = most.max(outcome.iterations);
        let (mut force, mut sum, mut noise) = (-rig.weight() * outcome.hook.normalize(), 0.0, 0.0);
        for ((p, l), law) in rig.points.iter().zip(&rig.lengths).zip(&laws) {
            let arm: DVec3 = outcome.hook - (*p - rig.center_of_gravity);
            let strain = arm.length() / l - 1.0;
            force += law.tension(strain) * arm.normalize();
            sum += law.tension(strain);
            noise += 8.0 * f64::EPSILON * law.slope(strain) * (1.0 + arm.length() / l);
        }
        if force.length() > FORCE * (rig.weight() + sum) + noise {
            failed.push(format!("case {case}: {:e} of the weight is left", force.length() / rig.weight()));
        }
    }
    println!("curved and kinked laws: {ran} ran ({kinked} with kinks), 0 skipped, {most} iterations at most");
    for line in failed.iter().take(20) {
        println!("{line}");
    }
    assert!(failed.is_empty(), "{} failed", failed.len());
    assert_eq!(ran, CASES);
}

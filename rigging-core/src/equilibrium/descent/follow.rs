//! From a balance to the one nearby that a small change of the members makes of it.

use super::{ANCHOR_TOLERANCE, End, Leg, PIVOT_FLOOR, geometric, step};
use crate::equilibrium::symmetric::Symmetric;
use crate::system::Law;
use glam::DVec3;

/// The most steps: 3 or 4 are usual, more mean that the change was not small.
const MOST_STEPS: usize = 8;
/// A step above this share of the one before does not close in on one balance. While every step at most halves the one
/// before, the balance lies within twice the first step of where it began.
const CLOSING_IN: f64 = 0.5;
/// The error after a step goes with its square, so one below this share of the hook's height is the last: what it leaves
/// is below the rounding of the hook's position.
const LAST_STEP: f64 = 1.0e-7;

/// Newton's steps from `start` (relative to the center of gravity), neither shifted nor shortened, with the tensions and
/// the slack members of the balance that `legs` stood in. None where they do not close in on a balance, or where the
/// linearized members are not stable on the way.
///
/// The tensions in the geometric stiffness are always those that the step before foresaw: they are unknowns of the step as
/// the hook is, and both close in on the balance with the square of the step.
pub(in crate::equilibrium) fn follow(legs: &mut [Leg], laws: &[Law], weight: f64, start: DVec3) -> Option<End> {
    let mut anchor = start;
    let mut offset = DVec3::ZERO;
    let mut last = f64::INFINITY;
    for leg in legs.iter_mut() {
        leg.anchor(anchor);
    }
    for steps in 0..=MOST_STEPS {
        for (leg, law) in legs.iter_mut().zip(laws) {
            leg.update(offset, law);
        }
        let end = End::at(legs, weight, anchor + offset, DVec3::Z, steps);
        if end.converged && last <= LAST_STEP * end.height {
            return Some(end);
        }
        let step = newton(legs, weight, &end)?;
        for leg in legs.iter_mut() {
            leg.foreseen = leg.linearized(step).max(0.0);
        }
        let length = step.length();
        if length > CLOSING_IN * last {
            return None;
        }
        last = length;
        if length > ANCHOR_TOLERANCE * end.height {
            anchor = end.hook + step;
            offset = DVec3::ZERO;
            for leg in legs.iter_mut() {
                leg.anchor(anchor);
            }
        } else {
            offset += step;
        }
    }
    None
}

/// The step of the linearized members: at once while the set of taut ones stays as it is, else by [`step`].
#[inline]
fn newton(legs: &mut [Leg], weight: f64, end: &End) -> Option<DVec3> {
    let softening = weight / end.height;
    let floor = PIVOT_FLOOR * softening;
    let mut matrix = Symmetric::default();
    let mut right = weight * end.up;
    let mut sum = -softening;
    for leg in legs.iter() {
        let mut along = 0.0;
        if leg.foreseen > 0.0 && leg.distance > 0.0 {
            let t = leg.foreseen / leg.distance;
            along = -t;
            sum += t;
        }
        if leg.taut {
            along += leg.stiffness;
            right -= leg.force * leg.direction;
        }
        matrix.add_outer(along, leg.direction);
    }
    matrix.add_outer(softening, end.up);
    matrix.add_diagonal(sum);
    let next = matrix.solve(right, floor)?;
    if legs.iter().all(|leg| (leg.linearized(next) > 0.0) == leg.taut) {
        return Some(next);
    }
    legs.iter_mut().for_each(Leg::ready);
    step(legs, &geometric(legs, softening, end.up), weight * end.up, floor, &mut 0)
}

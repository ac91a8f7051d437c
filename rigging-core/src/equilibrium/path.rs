//! The path of steepest descent, followed to a stated accuracy: the second opinion on the branch.
//!
//! dh/dt = −∇Π(h) is integrated by the linearly implicit Euler method (a shift of 1/τ is a time step of τ), extrapolated
//! from one whole and two half steps to second order. Their difference sets the length of the next step, and says how
//! far the path found may lie from the true one. Two paths side by side part where the curvature across the way is
//! negative; the spread carries the error of each step along with that growth. A spread that stays small means that no
//! separatrix was near enough to be crossed by mistake.

use super::descent::{self, CAREFUL, End, Leg};
use super::symmetric::Symmetric;
use crate::system::Law;
use glam::DVec3;

/// The longest whole step at the usual accuracy, over the hook's height above the center of gravity.
const LONGEST: f64 = 0.1;
/// The usual accuracy: difference between one whole and two half steps, over the hook's height.
pub(super) const USUAL: f64 = 1.0e-3;
/// The first step, over the hook's height.
const FIRST: f64 = 0.02;
/// A Newton step below this share of the hook's height ends the path: the balance is at hand.
const AT_HAND: f64 = 0.005;
/// The shortest time step, over height/weight; below it the path is given up.
const SHORTEST: f64 = 1.0e-12;
/// The longest time step, over height/weight.
const SLOWEST: f64 = 1.0e6;
/// Sine of how far the load must have turned past 90° for the path to be left to long steps.
const OVERTURNED: f64 = 0.3;
/// A hook this near to the center of gravity, over its height at the start, has no upward direction to speak of.
const SINGULAR: f64 = 0.05;
/// The most growth of the spread in one step, where the linear model would make it infinite.
const MOST_GROWTH: f64 = 20.0;
/// The most steps of one path, and rounds of linear equations.
const MAX_STEPS: usize = 20_000;
const MOST_ROUNDS: usize = 120_000;

/// A path followed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Course {
    /// Where it comes to rest; none where it ends in the valley.
    pub(super) end: Option<End>,
    /// Steps from the start.
    pub(super) steps: usize,
    /// Largest estimate along the way of how far the path may lie from the true one, over the hook's height; infinite if
    /// the accuracy was not reached.
    pub(super) spread: f64,
}

/// Where the legs stand at a hook position.
struct Stand {
    up: DVec3,
    height: f64,
    residual: f64,
    sum: f64,
}

/// A step that was accurate enough, or how much shorter the next attempt must be.
enum Attempt {
    Taken { step: DVec3, error: DVec3, least: f64, across: DVec3, factor: f64 },
    Shorter(f64),
}

/// Follows the path of steepest descent from `start` (relative to the center of gravity) to rest, or until the hook is in the
/// `valley`, if one is known out of which no path leads. `accuracy` is the difference allowed between one whole and two half
/// steps, over the hook's height.
pub(super) fn follow(
    legs: &mut [Leg],
    laws: &[Law],
    weight: f64,
    start: DVec3,
    accuracy: f64,
    valley: Option<impl Fn(DVec3) -> bool>,
) -> Course {
    let mut hook = start;
    let mut time = FIRST * start.length() / weight;
    let (mut spread, mut most) = (0.0_f64, 0.0_f64);
    let (mut steps, mut rounds) = (0, 0);
    let mut at = stand(legs, laws, weight, hook);
    for leg in legs.iter_mut() {
        leg.foreseen = 0.0;
        leg.taut = leg.force > 0.0;
    }
    let longest = LONGEST * (accuracy / USUAL).sqrt();
    loop {
        if valley.as_ref().is_some_and(|valley| valley(hook)) {
            return Course { end: None, steps, spread: most };
        }
        let settled = at.residual <= 1.0e-6 * (weight + at.sum);
        let beyond = at.up.z < -OVERTURNED || at.height < SINGULAR * start.length();
        if steps >= MAX_STEPS || rounds >= MOST_ROUNDS || !at.residual.is_finite() {
            most = f64::INFINITY;
        }
        let geometric = geometric(legs, weight, &at);
        let floor = 1.0e-10 * weight / at.height;
        let mut at_hand = || {
            let newton = descent::step(legs, &geometric, weight * at.up, floor, &mut rounds);
            newton.is_some_and(|newton| newton.length() <= AT_HAND * at.height)
        };
        // Where there is a valley to come to, the path need not feel for another.
        if most == f64::INFINITY || settled || beyond || (valley.is_none() && at_hand()) {
            let end = descent::descend(legs, laws, weight, hook, CAREFUL);
            return Course { steps: steps + end.steps, end: Some(end), spread: most };
        }
        time = time.min(SLOWEST * at.height / weight);
        loop {
            steps += 2;
            match attempt(legs, laws, weight, hook, &at, &geometric, time, [accuracy, longest], &mut rounds) {
                Attempt::Taken { step, error, least, across, factor } => {
                    // 1/(1 + λτ) is never less than e^(−λτ).
                    let growth = 1.0 + least * time;
                    let growth = if growth * MOST_GROWTH > 1.0 { 1.0 / growth } else { MOST_GROWTH };
                    spread = spread * growth + error.dot(across).abs() / at.height;
                    most = most.max(spread);
                    hook += step;
                    time *= factor;
                    break;
                }
                Attempt::Shorter(factor) => {
                    time *= factor;
                    // Numbers that overflow would be shortened for ever.
                    let long_enough = time.is_finite() && time >= SHORTEST * at.height / weight;
                    if !long_enough || rounds >= MOST_ROUNDS {
                        most = f64::INFINITY;
                        break;
                    }
                    at = stand(legs, laws, weight, hook);
                }
            }
        }
        at = stand(legs, laws, weight, hook);
    }
}

/// One whole and two half steps of time `time` from `hook`, where the legs stand.
#[expect(clippy::too_many_arguments, reason = "one step of one loop, taken apart for reading")]
fn attempt(
    legs: &mut [Leg],
    laws: &[Law],
    weight: f64,
    hook: DVec3,
    at: &Stand,
    geometric_here: &Symmetric,
    time: f64,
    [accuracy, longest]: [f64; 2],
    rounds: &mut usize,
) -> Attempt {
    let floor = 1.0e-10 * weight / at.height;
    let mut shifted = *geometric_here;
    shifted.add_diagonal(1.0 / time);
    let Some(whole) = descent::step(legs, &shifted, weight * at.up, floor, rounds) else {
        return Attempt::Shorter(0.5);
    };
    if whole.length() > longest * at.height {
        return Attempt::Shorter(0.5);
    }
    shifted.add_diagonal(1.0 / time);
    let Some(half) = descent::step(legs, &shifted, weight * at.up, floor, rounds) else { return Attempt::Shorter(0.5) };
    foresee(legs, half);
    let middle = stand(legs, laws, weight, hook + half);
    let mut matrix = geometric(legs, weight, &middle);
    matrix.add_diagonal(2.0 / time);
    let Some(second) = descent::step(legs, &matrix, weight * middle.up, floor, rounds) else {
        return Attempt::Shorter(0.5);
    };
    for leg in legs.iter() {
        if leg.taut {
            matrix.add(&leg.outer);
        }
    }
    let difference = half + second - whole;
    // What stiff members undo in the next step is no error of the path.
    let error = matrix.solve(difference * (2.0 / time), 0.0).unwrap_or(difference);
    let size = error.length() / at.height;
    // The difference grows with the square of the time step.
    let factor = if size > 0.0 { (0.9 * (accuracy / size).sqrt()).clamp(0.2, 3.0) } else { 3.0 };
    if size > accuracy {
        return Attempt::Shorter(factor.min(0.7));
    }
    matrix.add_diagonal(-2.0 / time);
    let (least, across) = matrix.least_across(whole);
    foresee(legs, second);
    Attempt::Taken { step: 2.0 * (half + second) - whole, error, least, across, factor }
}

/// Tensions that a step foresees.
fn foresee(legs: &mut [Leg], step: DVec3) {
    for leg in legs.iter_mut() {
        leg.foreseen = (leg.force + leg.stiffness * leg.direction.dot(step)).max(0.0);
    }
}

fn stand(legs: &mut [Leg], laws: &[Law], weight: f64, hook: DVec3) -> Stand {
    let height = hook.length();
    let up = if height > 0.0 { hook * (1.0 / height) } else { DVec3::Z };
    let (mut gradient, mut sum) = (-weight * up, 0.0);
    for (leg, law) in legs.iter_mut().zip(laws) {
        leg.anchor(hook);
        leg.update(DVec3::ZERO, law);
        leg.ready();
        let tension = leg.tension();
        gradient += tension * leg.direction;
        sum += tension;
    }
    Stand { up, height, residual: gradient.length(), sum }
}

fn geometric(legs: &[Leg], weight: f64, at: &Stand) -> Symmetric {
    descent::geometric(legs, weight / at.height, at.up)
}

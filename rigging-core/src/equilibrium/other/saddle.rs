//! From a place near a pass up onto it: uphill along the softest mode and downhill along the others.

use crate::equilibrium::bridle::{Bridle, Workspace};
use glam::DVec3;

/// Unbalanced force on a pass, over the weight; the energy is wrong by its square.
const BALANCED: f64 = 1.0e-7;
/// The longest step, over the hook's distance from the center of gravity.
const LONGEST: f64 = 0.02;
/// The most steps.
const STEPS: usize = 2000;
/// How far to either side of the pass descents start, over the same.
const ASIDE: f64 = 1.0e-3;

/// A pass of a bridle's energy.
#[derive(Debug, Clone, Copy)]
pub(super) struct Point {
    /// Hook relative to the center of gravity.
    pub(super) hook: DVec3,
    pub(super) energy: f64,
    /// Unbalanced force, N.
    pub(super) residual: f64,
    /// Hook positions to either side.
    pub(super) sides: [DVec3; 2],
}

/// The pass near a hook position: a balance with exactly one negative mode. `None` if there is none that is reached.
pub(super) fn climb(bridle: &Bridle, from: DVec3, workspace: &mut Workspace) -> Option<Point> {
    let mut hook = from;
    let mut limit = LONGEST;
    let mut last = DVec3::ZERO;
    for _ in 0..STEPS {
        let (gradient, modes) = bridle.stand(workspace, hook);
        let height = hook.length();
        let residual = gradient.length();
        let [(softest, along), (next, _), _] = modes;
        if residual <= BALANCED * bridle.weight() {
            let clear = 1.0e-6 * bridle.weight() / height;
            if softest >= -clear || next <= clear {
                return None;
            }
            let aside = ASIDE * height * along;
            return Some(Point { hook, energy: bridle.energy(hook), residual, sides: [hook + aside, hook - aside] });
        }
        let mut step = DVec3::ZERO;
        for (index, (value, mode)) in modes.into_iter().enumerate() {
            let share = gradient.dot(mode) / value.abs().max(1.0e-6 * bridle.weight() / height);
            step += if index == 0 { share } else { -share } * mode;
        }
        // Steps that undo each other are too long; steps that agree may grow again.
        let agreement = step.dot(last);
        if agreement < 0.0 {
            limit *= 0.5;
        } else {
            limit = (1.2 * limit).min(LONGEST);
        }
        let longest = limit * height;
        if step.length() > longest {
            step *= longest / step.length();
        }
        last = step;
        hook += step;
        if !hook.is_finite() || hook.length() <= 1.0e-6 * from.length() {
            return None;
        }
    }
    None
}

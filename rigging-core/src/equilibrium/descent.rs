//! The descent: from a hook position downhill on the potential energy to where it ends.
//!
//! Unknown is the hook's position h in the load's frame (center of gravity at the origin, upward as drawn is +z):
//! Π(h) = Σ U_j(|h − p_j|) − W·|h|. Each step solves the equilibrium of the members *linearized* at the present point,
//! with the slack ones switched exactly (a convex piecewise quadratic problem, no square roots), and with the
//! tensions found by the step before in the geometric stiffness. That makes the step follow the curved valley of stiff
//! members: their force is an unknown of the step and not a consequence of their stretch.
//!
//! Elongations are taken from an anchor: l² − L² = (|a|² − L²) + δ·(2a + δ) with a = anchor − p. The subtraction that
//! would lose EA·ε is made once per anchor, and the last steps share one anchor.

mod follow;

pub(super) use follow::follow;

use super::symmetric::Symmetric;
use crate::system::Law;
use glam::DVec3;

/// Unbalanced force allowed, over the weight.
const FORCE_TOLERANCE: f64 = 1.0e-10;
/// Unbalanced force allowed, over the sum of the tensions: what rounding leaves when members tighten each other.
const ROUNDING_TOLERANCE: f64 = 64.0 * f64::EPSILON;
/// A step below this share of the hook's height above the center of gravity no longer matters.
const STEP_TOLERANCE: f64 = 1.0e-12;
/// A pivot below this share of W/d is none: the problem is not convex.
const PIVOT_FLOOR: f64 = 1.0e-10;
/// A step above this share sets a new anchor.
const ANCHOR_TOLERANCE: f64 = 1.0e-6;
/// The longest step in a hurry, over the hook's height above the center of gravity: good for an end that is proven to
/// be the lowest of all, and for nothing else.
pub(super) const HURRIED: f64 = 0.25;
/// The longest step that keeps to the path of steepest descent. Of 300 000 random bridles 21 ended on another branch with
/// steps of 0.25 and 3 with 0.02, counted against 0.005; which is why [`super::path`] gives a second opinion.
pub(super) const CAREFUL: f64 = 0.02;
/// The same once the load has turned past 90°, where there is no branch left to keep to.
const LONGEST_OVERTURNED: f64 = 1.0;
/// The first shift that is tried when the problem is not convex, over W/d; later ones follow the last that served.
const FIRST_SHIFT: f64 = 1.0e-3;
/// The least shift, over W/d.
const LEAST_SHIFT: f64 = 1.0e-7;
/// The share of the shift that acts along the plumb line close to a balance. The load softens across the plumb line
/// only; the same shift along it would make the last steps slow. Far from a balance the shift is the same in all
/// directions, because the path of steepest descent knows no preferred one.
const SHIFT_ALONG: f64 = 1.0e-4;
/// The most steps of one descent; more in proportion where they must be shorter than [`CAREFUL`], up to
/// [`MOST_FINE_STEPS`]. Of ten million random bridles one was left without an answer by all bounds together.
const MAX_STEPS: usize = 3000;
const MOST_FINE_STEPS: usize = 24_000;
/// The most rounds of linear equations, over the most steps. Two a step are usual; numbers that no sling has would take
/// thousands, and hold up a whole batch.
const ROUNDS_A_STEP: usize = 20;

/// A member as the descent sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    /// Point of the load, relative to the center of gravity.
    pub(super) point: DVec3,
    /// Unstretched length L.
    pub(super) length: f64,
    /// Stiffness EA/L of a linear member; negative marks a member with another law.
    pub(super) linear: f64,
    /// Anchor − point.
    arm: DVec3,
    /// |arm|² − L².
    excess: f64,
    /// Unit vector from the point to the hook.
    pub(super) direction: DVec3,
    /// Distance from the point to the hook.
    pub(super) distance: f64,
    /// distance − L.
    pub(super) elongation: f64,
    /// Tension if taut; if slack, stiffness × elongation (negative).
    pub(super) force: f64,
    /// dT/dl.
    pub(super) stiffness: f64,
    /// Tension that the last step foresaw.
    pub(super) foreseen: f64,
    /// Whether the step counts the member as taut.
    pub(super) taut: bool,
    /// What [`step`] adds for a taut member: stiffness·u·uᵀ with u the direction, and force·u.
    pub(super) outer: Symmetric,
    pull: DVec3,
}

impl Leg {
    pub(super) fn new(point: DVec3, length: f64, law: &Law) -> Self {
        Self {
            point,
            length,
            linear: linear(length, law),
            arm: DVec3::ZERO,
            excess: 0.0,
            direction: DVec3::ZERO,
            distance: 0.0,
            elongation: 0.0,
            force: 0.0,
            stiffness: 0.0,
            foreseen: 0.0,
            taut: false,
            outer: Symmetric::default(),
            pull: DVec3::ZERO,
        }
    }

    /// Brings the leg up to date for a hook position.
    pub(super) fn stand(&mut self, hook: DVec3, law: &Law) {
        self.anchor(hook);
        self.update(DVec3::ZERO, law);
    }

    /// The same member with another point, length or law, as it stood at the last balance.
    #[inline]
    pub(super) fn vary(&mut self, point: DVec3, length: f64, law: &Law) {
        self.point = point;
        self.length = length;
        self.linear = linear(length, law);
    }

    #[inline]
    pub(super) fn anchor(&mut self, hook: DVec3) {
        self.arm = hook - self.point;
        self.excess = self.arm.length_squared() - self.length * self.length;
    }

    #[inline]
    pub(super) fn update(&mut self, offset: DVec3, law: &Law) {
        let arm = self.arm + offset;
        let s = self.excess + offset.dot(self.arm + arm);
        let distance = (self.length * self.length + s).max(0.0).sqrt();
        self.distance = distance;
        self.elongation = s / (distance + self.length);
        if distance > 0.0 {
            self.direction = arm * (1.0 / distance);
        }
        if self.linear >= 0.0 {
            self.stiffness = self.linear;
            self.force = self.linear * self.elongation;
        } else {
            let strain = self.elongation / self.length;
            let (tension, slope) = law.tension_and_slope(strain);
            self.stiffness = slope / self.length;
            self.force = if strain > 0.0 { tension } else { self.stiffness * self.elongation };
        }
    }

    /// Makes ready for [`step`], which comes to the same member many times.
    #[inline]
    pub(super) fn ready(&mut self) {
        self.outer = Symmetric::outer(self.stiffness, self.direction);
        self.pull = self.force * self.direction;
    }

    /// Force after a step of the hook, with the member as it is now.
    #[inline]
    fn linearized(&self, step: DVec3) -> f64 {
        self.force + self.stiffness * self.direction.dot(step)
    }

    /// Tension.
    #[inline]
    pub(super) fn tension(&self) -> f64 {
        self.force.max(0.0)
    }
}

/// Stiffness EA/L of a linear member; negative for any other law.
#[inline]
fn linear(length: f64, law: &Law) -> f64 {
    if let Law::Linear { ea } = law { ea / length } else { -1.0 }
}

/// Where a descent ended.
#[derive(Debug, Clone, Copy)]
pub(super) struct End {
    /// Hook relative to the center of gravity.
    pub(super) hook: DVec3,
    /// Unit vector from the center of gravity to the hook.
    pub(super) up: DVec3,
    /// Their distance.
    pub(super) height: f64,
    /// Unbalanced force.
    pub(super) residual: f64,
    /// What was allowed.
    pub(super) allowed: f64,
    /// Sum of the tensions.
    sum: f64,
    /// Whether the residual is within what is allowed.
    pub(super) converged: bool,
    /// Steps taken.
    pub(super) steps: usize,
}

impl End {
    /// What is unbalanced with the hook at `hook`; `up` stands for its direction where it has none.
    #[inline]
    fn at(legs: &[Leg], weight: f64, hook: DVec3, up: DVec3, steps: usize) -> Self {
        let height = hook.length();
        let up = if height > 0.0 { hook * (1.0 / height) } else { up };
        let (pull, sum) = legs.iter().fold((DVec3::ZERO, 0.0), |(pull, sum), leg| {
            let tension = leg.tension();
            (pull + tension * leg.direction, sum + tension)
        });
        let residual = (weight * up - pull).length();
        let allowed = FORCE_TOLERANCE * weight + ROUNDING_TOLERANCE * sum;
        // An infinite force is within an infinite tolerance, and balances nothing.
        let converged = residual <= allowed && residual.is_finite() && height.is_finite();
        Self { hook, up, height, residual, allowed, sum, converged, steps }
    }
}

/// Descends from `start` (relative to the center of gravity) by steps of at most `longest` (over the hook's height).
pub(super) fn descend(legs: &mut [Leg], laws: &[Law], weight: f64, start: DVec3, longest: f64) -> End {
    let mut anchor = start;
    let mut offset = DVec3::ZERO;
    let mut up = DVec3::Z;
    let mut limit = longest;
    let mut within = 0;
    let mut last = DVec3::ZERO;
    let mut effort = Effort { shift: weight / start.length() * FIRST_SHIFT * 16.0, rounds: 0 };
    for leg in legs.iter_mut() {
        leg.anchor(anchor);
        leg.foreseen = 0.0;
    }
    let most_steps = ((MAX_STEPS as f64 * (CAREFUL / longest)) as usize).clamp(MAX_STEPS, MOST_FINE_STEPS);
    let mut steps = 0;
    loop {
        for (leg, law) in legs.iter_mut().zip(laws) {
            leg.update(offset, law);
        }
        let end = End::at(legs, weight, anchor + offset, up, steps);
        let End { hook, height, residual, sum, converged, .. } = end;
        up = end.up;
        within = if converged { within + 1 } else { 0 };
        if within >= 4 || steps >= most_steps || effort.rounds >= ROUNDS_A_STEP * most_steps {
            return end;
        }
        if residual <= 1.0e-6 * (weight + sum) {
            // Close to the end the true tensions are the better ones: the step is Newton's.
            for leg in legs.iter_mut() {
                leg.foreseen = leg.tension();
            }
        }
        if steps == 0 {
            for leg in legs.iter_mut() {
                leg.taut = leg.force > 0.0;
            }
        }
        let scale = height.max(1.0e-3 * start.length());
        let near = residual <= 1.0e-3 * (weight + sum);
        let bound = Bound { height: scale, longest: limit * scale, along: if near { SHIFT_ALONG } else { 1.0 } };
        let Some(step) = bounded_step(legs, weight, up, &bound, &mut effort) else {
            return end;
        };
        for leg in legs.iter_mut() {
            leg.foreseen = leg.linearized(step).max(0.0);
        }
        let length = step.length();
        if converged && length <= STEP_TOLERANCE * height {
            return end;
        }
        steps += 1;
        // Steps that undo each other are too long; steps that agree may grow again.
        let agreement = step.dot(last);
        if agreement < -0.25 * last.length() * length {
            limit = (0.5 * limit).min(0.5 * length / height);
        } else if agreement > 0.0 {
            limit = (2.0 * limit).min(if up.z < 0.0 { LONGEST_OVERTURNED } else { longest });
        }
        last = step;
        if length > ANCHOR_TOLERANCE * height {
            anchor = hook + step;
            offset = DVec3::ZERO;
            for leg in legs.iter_mut() {
                leg.anchor(anchor);
            }
        } else {
            offset += step;
        }
    }
}

/// The part of the Hessian that comes from the turning of members and of the plumb line, with the tensions foreseen.
#[inline]
pub(super) fn geometric(legs: &[Leg], softening: f64, up: DVec3) -> Symmetric {
    let mut geometric = Symmetric::default();
    let mut sum = -softening;
    for leg in legs {
        if leg.foreseen > 0.0 && leg.distance > 0.0 {
            let t = leg.foreseen / leg.distance;
            geometric.add_outer(-t, leg.direction);
            sum += t;
        }
    }
    geometric.add_outer(softening, up);
    geometric.add_diagonal(sum);
    geometric
}

/// What a descent remembers from step to step.
struct Effort {
    /// The shift that served last.
    shift: f64,
    /// Rounds of linear equations so far.
    rounds: usize,
}

/// What bounds a step.
struct Bound {
    /// Height of the hook above the center of gravity, kept from vanishing.
    height: f64,
    /// The longest step.
    longest: f64,
    /// Share of the shift along the plumb line.
    along: f64,
}

/// The step of the linearized members, with the least shift of the sequence that makes the problem convex and keeps
/// the step within bounds.
#[inline]
fn bounded_step(legs: &mut [Leg], weight: f64, up: DVec3, bound: &Bound, effort: &mut Effort) -> Option<DVec3> {
    let softening = weight / bound.height;
    let geometric = geometric(legs, softening, up);
    legs.iter_mut().for_each(Leg::ready);
    let mut shift = 0.0;
    for _ in 0..300 {
        let mut shifted = geometric;
        if shift > 0.0 {
            shifted.add_diagonal(shift);
            if bound.along < 1.0 {
                shifted.add_outer((bound.along - 1.0) * shift, up);
            }
        }
        let mut grow = 4.0;
        if let Some(step) = step(legs, &shifted, weight * up, PIVOT_FLOOR * softening, &mut effort.rounds) {
            let excess = step.length() / bound.longest;
            if excess <= 1.0 {
                effort.shift = shift;
                return Some(step);
            }
            if shift > softening {
                // A strongly shifted step shortens in proportion.
                grow = (1.05 * excess).clamp(1.2, 4.0);
            }
        }
        shift = if shift == 0.0 { (effort.shift / 8.0).max(LEAST_SHIFT * softening) } else { grow * shift };
    }
    None
}

/// Minimizes ½ s·G·s − force·s + Σ ½ k ((f/k + u·s)₊)² over s: semismooth Newton, which is exact once the set of taut
/// members no longer changes, damped by an exact search along the step if it keeps changing. `rounds` counts them. The legs are
/// [ready](Leg::ready).
#[inline]
pub(super) fn step(
    legs: &mut [Leg],
    geometric: &Symmetric,
    force: DVec3,
    floor: f64,
    rounds: &mut usize,
) -> Option<DVec3> {
    let mut point = DVec3::ZERO;
    for round in 0..60 {
        *rounds += 1;
        let mut matrix = *geometric;
        let mut right = force;
        for leg in legs.iter() {
            if leg.taut {
                matrix.add(&leg.outer);
                right -= leg.pull;
            }
        }
        let next = matrix.solve(right, floor)?;
        let mut changed = false;
        for leg in legs.iter_mut() {
            let taut = leg.linearized(next) > 0.0;
            changed |= taut != leg.taut;
            leg.taut = taut;
        }
        if !changed {
            return Some(next);
        }
        point = if round < 3 { next } else { search(legs, geometric, force, point, next) };
        if round >= 3 {
            for leg in legs.iter_mut() {
                leg.taut = leg.linearized(point) > 0.0;
            }
        }
    }
    Some(point)
}

/// The least energy of the linearized members on the way from `from` to `to`: its slope rises along the way, so the
/// zero is bracketed and halved.
#[cold]
#[inline(never)]
fn search(legs: &[Leg], geometric: &Symmetric, force: DVec3, from: DVec3, to: DVec3) -> DVec3 {
    let way = to - from;
    let slope = |share: f64| {
        let at = from + share * way;
        let gradient =
            legs.iter().fold(geometric.times(at) - force, |sum, leg| sum + leg.linearized(at).max(0.0) * leg.direction);
        gradient.dot(way)
    };
    let (mut low, mut high) = (0.0, 1.0);
    if slope(1.0) <= 0.0 {
        return to;
    }
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if slope(middle) > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    from + 0.5 * (low + high) * way
}

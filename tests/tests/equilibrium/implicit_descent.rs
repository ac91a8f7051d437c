//! An independent reference for the branch at any stiffness: the path of steepest descent by the fully implicit Euler
//! method, h' = h − τ·∇Π(h'), each step solved by Newton's method to the end and kept short.
//!
//! It shares no code and no method with the solver: no linearized members, no foreseen tensions, no anchor, no
//! extrapolation, no certificate. Time steps are halved until the step is short and Newton's method converges.

use crate::generator::Rig;
use glam::{DMat3, DVec3};

/// Newton steps for one time step; more mean that the time step is too long.
const NEWTON: usize = 12;
/// The most time steps of one descent.
const MOST_STEPS: usize = 200_000;

struct Legs {
    points: Vec<DVec3>,
    lengths: Vec<f64>,
    springs: Vec<f64>,
    weight: f64,
}

impl Legs {
    fn of(rig: &Rig) -> Self {
        Self {
            points: rig.points.iter().map(|p| *p - rig.center_of_gravity).collect(),
            lengths: rig.lengths.clone(),
            springs: rig.stiffnesses.iter().zip(&rig.lengths).map(|(ea, l)| ea / l).collect(),
            weight: rig.weight(),
        }
    }

    /// Gradient and Hessian of the potential energy.
    fn slope(&self, hook: DVec3) -> (DVec3, DMat3) {
        let height = hook.length();
        let up = hook / height;
        let mut gradient = -self.weight * up;
        let mut hessian = (outer(up, up) - DMat3::IDENTITY) * (self.weight / height);
        for ((point, length), spring) in self.points.iter().zip(&self.lengths).zip(&self.springs) {
            let arm = hook - *point;
            let distance = arm.length();
            if distance > *length {
                let direction = arm / distance;
                let tension = spring * (distance - length);
                let along = outer(direction, direction);
                gradient += tension * direction;
                hessian += along * *spring + (DMat3::IDENTITY - along) * (tension / distance);
            }
        }
        (gradient, hessian)
    }

    /// h' = h − τ·∇Π(h'), or nothing if Newton's method does not find it.
    fn implicit_step(&self, hook: DVec3, time: f64, allowed: f64) -> Option<DVec3> {
        let mut at = hook;
        for _ in 0..NEWTON {
            let (gradient, hessian) = self.slope(at);
            let left = gradient + (at - hook) / time;
            if left.length() <= allowed {
                return Some(at);
            }
            let step = (hessian + DMat3::IDENTITY * (1.0 / time)).inverse() * left;
            at -= step;
            if !at.is_finite() {
                return None;
            }
        }
        None
    }

    fn descend(&self, mut hook: DVec3, longest: f64, rest: f64) -> Option<DVec3> {
        let stiffest = self.springs.iter().sum::<f64>();
        let mean = self.lengths.iter().sum::<f64>() / self.lengths.len() as f64;
        // What rounding of a coordinate leaves in the force.
        let noise = 8.0 * f64::EPSILON * stiffest * (hook.length() + mean);
        let mut time = longest * hook.length() / self.weight;
        for _ in 0..MOST_STEPS {
            let height = hook.length();
            let (gradient, hessian) = self.slope(hook);
            if !positive(hessian) {
                // Longer time steps would end in the saddle itself, or beyond it.
                time = time.min(0.5 * height / self.weight);
            } else if gradient.length() <= rest * self.weight + noise {
                return Some(hook);
            }
            // The rounding of a coordinate stands in the way over its time, too.
            let allowed = 1.0e-2 * rest * self.weight + noise + 4.0 * f64::EPSILON * height / time;
            let next =
                self.implicit_step(hook, time, allowed).filter(|next| (*next - hook).length() <= longest * height);
            let Some(next) = next else {
                time *= 0.5;
                if time * stiffest < 1.0e-9 {
                    return None;
                }
                continue;
            };
            if (next - hook).length() < 0.6 * longest * height {
                time *= 1.5;
            }
            hook = next;
        }
        None
    }
}

/// Whether a symmetric matrix is positive definite: its leading minors are.
fn positive(m: DMat3) -> bool {
    m.x_axis.x > 0.0 && m.x_axis.x * m.y_axis.y > m.x_axis.y * m.x_axis.y && m.determinant() > 0.0
}

fn outer(a: DVec3, b: DVec3) -> DMat3 {
    DMat3::from_cols(a * b.x, a * b.y, a * b.z)
}

/// The hook's end position relative to the center of gravity, by steps of at most `longest` over its height; nothing if
/// it does not come to rest (`rest`: unbalanced force over the weight).
pub fn implicit_descent(rig: &Rig, longest: f64, rest: f64) -> Option<DVec3> {
    let legs = Legs::of(rig);
    // The height at which the first leg is straight.
    let straight = legs.points.iter().zip(&legs.lengths).filter_map(|(p, l)| {
        let aside = p.x.hypot(p.y);
        let height = p.z + (l * l - aside * aside).sqrt();
        (aside < *l && height > 0.0).then_some(height)
    });
    let start = straight.fold(f64::INFINITY, f64::min);
    let mean = rig.lengths.iter().sum::<f64>() / rig.lengths.len() as f64;
    let hook = DVec3::new(0.0, 0.0, if start.is_finite() { start } else { 0.5 * mean });
    legs.descend(hook, longest, rest)
}

/// The same from a hook position relative to the center of gravity.
pub fn implicit_descent_from(rig: &Rig, hook: DVec3, longest: f64, rest: f64) -> Option<DVec3> {
    Legs::of(rig).descend(hook, longest, rest)
}

//! What a solve works in, and what can be read off it afterwards.

use crate::equilibrium::certificate::State;
use crate::equilibrium::descent::Leg;
use crate::equilibrium::symmetric::Symmetric;
use glam::DVec3;

/// An eigenvalue between ± this share of W/d counts as zero (d: hook above center of gravity).
const NULL_TOLERANCE: f64 = 1.0e-9;

/// Memory that a solve works in; reused, no solve allocates.
#[derive(Debug, Clone, Default)]
pub struct Workspace {
    pub(super) legs: Vec<Leg>,
    /// Legs of a path that is followed beside.
    pub(super) aside: Vec<Leg>,
    pub(super) weight: f64,
    /// The hook in the frame of the points.
    pub(super) hook: DVec3,
    pub(super) up: DVec3,
    pub(super) height: f64,
    /// Whether no mode of the last balance is softer than [`super::FIRM`].
    pub(super) firm: bool,
    /// State of the last solve; none if it failed.
    pub(super) state: Option<State>,
}

impl Workspace {
    /// State of the last solve; none before the first, and after one that failed.
    pub const fn state(&self) -> Option<State> {
        self.state
    }

    pub(in crate::equilibrium) fn legs(&self) -> &[Leg] {
        &self.legs
    }

    /// The weight over the height of the hook above the center of gravity, N/m, and the upward direction.
    pub(in crate::equilibrium) fn softening(&self) -> (f64, DVec3) {
        (self.weight / self.height, self.up)
    }

    /// The Hessian of a stable balance and its inverse.
    pub(in crate::equilibrium) fn flexibility(&self) -> Option<(Symmetric, glam::DMat3)> {
        let hessian = self.hessian();
        Some((hessian, hessian.inverse(0.0)?))
    }

    /// Tensions of the last solve, N, in the order of the members.
    pub fn tensions(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.legs.iter().map(Leg::tension)
    }

    /// Elongations of the last solve, m, in the order of the members; negative when slack.
    pub fn elongations(&self) -> impl ExactSizeIterator<Item = f64> + '_ {
        self.legs.iter().map(|leg| leg.elongation)
    }

    /// Unit vectors from the load's points to the hook, in the load's frame.
    pub fn directions(&self) -> impl ExactSizeIterator<Item = DVec3> + '_ {
        self.legs.iter().map(|leg| leg.direction)
    }

    /// The Hessian of the potential energy over the hook's position.
    pub(super) fn hessian(&self) -> Symmetric {
        let softening = self.weight / self.height;
        let mut hessian = Symmetric::default();
        let mut sum = -softening;
        for leg in &self.legs {
            if leg.force > 0.0 {
                let t = leg.force / leg.distance;
                hessian.add_outer(leg.stiffness - t, leg.direction);
                sum += t;
            }
        }
        hessian.add_outer(softening, self.up);
        hessian.add_diagonal(sum);
        hessian
    }

    /// Eigenvalues of the Hessian at the last solution, ascending, N/m.
    pub fn eigenvalues(&self) -> [f64; 3] {
        self.hessian().eigen().map(|(value, _)| value)
    }

    /// Whether a mode is negative at the last solution.
    pub(in crate::equilibrium) fn on_saddle(&self) -> bool {
        let [least, _, _] = self.eigenvalues();
        least < -self.null_threshold()
    }

    /// The size below which an eigenvalue counts as zero, N/m: a share of W/d, and what rounding leaves of the
    /// stiffest direction.
    pub fn null_threshold(&self) -> f64 {
        let stiffest = self.legs.iter().fold(0.0, |sum: f64, leg| sum + leg.stiffness);
        NULL_TOLERANCE * self.weight / self.height + 4.0 * f64::EPSILON * stiffest
    }
}

//! Where the balances of a load that differs little from a nominal one are to be looked for.

use super::{Bridle, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::equilibrium::descent::Leg;
use glam::{DMat3, DVec3};

/// A stable balance and what it takes to tell, to first order, how it moves with lengths, points and weight.
#[derive(Debug, Clone)]
pub struct Foresight {
    legs: Vec<Leg>,
    weight: f64,
    /// Hook relative to the center of gravity, and its direction.
    hook: DVec3,
    up: DVec3,
    /// Displacement of the hook under a unit of force.
    flexibility: DMat3,
}

impl Foresight {
    /// The hook relative to the center of gravity.
    pub(super) const fn hook(&self) -> DVec3 {
        self.hook
    }
}

impl Workspace {
    /// Foresight from the balance that the last solve found; none where that is not stable.
    pub fn foresight(&self, outcome: &Outcome) -> Option<Foresight> {
        if self.state != Some(State::Stable) {
            return None;
        }
        let (_, flexibility) = self.flexibility()?;
        Some(Foresight { legs: self.legs.clone(), weight: self.weight, hook: outcome.hook, up: self.up, flexibility })
    }
}

impl Bridle {
    /// Sets hook and tensions of the workspace to what is foreseen for the present lengths, points and weight: it saves
    /// the first step, and the way to a load does not depend on the one hung before. None for another number of members.
    pub(super) fn foresee(&self, workspace: &mut Workspace, from: &Foresight) -> Option<()> {
        if from.legs.len() != self.points.len() || workspace.legs.len() != self.points.len() {
            return None;
        }
        // H·δh = Σ K·δp + Σ k·δL·u + δW·up, K the stiffness of a member against the displacement of its end.
        let changes = || {
            let pairs = from.legs.iter().zip(self.legs());
            pairs.map(|(leg, (point, length, _))| (leg, point - leg.point, length - leg.length))
        };
        let mut force = (self.weight - from.weight) * from.up;
        for (leg, point, longer) in changes().filter(|(leg, ..)| leg.force > 0.0) {
            let t = leg.force / leg.distance;
            let along = leg.direction.dot(point);
            force += t * point + ((leg.stiffness - t) * along + leg.stiffness * longer) * leg.direction;
        }
        let step = from.flexibility * force;
        for ((leg, point, longer), present) in changes().zip(&mut workspace.legs) {
            let foreseen = leg.force + leg.stiffness * (leg.direction.dot(step - point) - longer);
            present.foreseen = foreseen.max(0.0);
            present.taut = foreseen > 0.0;
        }
        workspace.hook = from.hook + step + self.center_of_gravity;
        Some(())
    }

    /// The bridle half way between the balance that `from` is of and this one; none for another number of members.
    pub(super) fn middle(&self, from: &Foresight) -> Option<Self> {
        let mut middle = self.clone();
        middle.weight = 0.5 * (self.weight + from.weight);
        middle.center_of_gravity = DVec3::ZERO;
        if from.legs.len() != self.points.len() {
            return None;
        }
        let halves = middle.points.iter_mut().zip(&mut middle.lengths).zip(from.legs.iter().zip(self.legs()));
        for ((own_point, own_length), (leg, (point, length, _))) in halves {
            (*own_point, *own_length) = (0.5 * (point + leg.point), 0.5 * (length + leg.length));
        }
        Some(middle)
    }
}

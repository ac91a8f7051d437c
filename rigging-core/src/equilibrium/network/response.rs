//! How a hung system answers a small force: the linear algebra behind derivatives and bounds.

use super::Hung;
use crate::error::{Error, Place};
use crate::system::System;
use glam::{DMat3, DQuat, DVec3};

/// The largest share of the metric that the Hessian is raised by before a mode counts as negative.
const MOST_SHIFT: f64 = 1.0e-6;
/// Rounds in which the answer is corrected for the shift that keeps the factors regular along free turns.
const CORRECTIONS: usize = 3;
/// How far lengths and forces of a certificate may differ from those of its pose before it is that of another system:
/// a share of the length, and of the weight and the tensions.
const SAME_SYSTEM: f64 = 1.0e-6;

/// A member at the present pose.
#[derive(Debug, Clone, Copy)]
pub(in crate::equilibrium) struct Strand {
    /// Unit vector from end b to end a.
    pub(in crate::equilibrium) direction: DVec3,
    /// Distance between the ends, m.
    pub(in crate::equilibrium) distance: f64,
    /// distance − unstretched length, m.
    pub(in crate::equilibrium) elongation: f64,
    /// Tension, N.
    pub(in crate::equilibrium) tension: f64,
    /// dT/dl of the taut member, N/m; of a slack one that it would have when just taut.
    pub(in crate::equilibrium) stiffness: f64,
}

impl Strand {
    pub(in crate::equilibrium) fn taut(&self) -> bool {
        self.elongation > 0.0
    }
}

impl Hung {
    /// As [`Hung::new`], for a certificate that a caller hands in together with a system.
    ///
    /// # Errors
    ///
    /// [`Error::Inconsistent`] if the certificate is not that of the system: other numbers of parts, or lengths and
    /// forces that do not fit the pose.
    pub(in crate::equilibrium) fn matched(
        system: &System,
        certificate: &crate::equilibrium::Certificate,
    ) -> Result<Self, Error> {
        let other = || Error::inconsistent("the certificate is not that of the system", Place::root());
        if certificate.members.len() != system.members().len()
            || certificate.bodies.len() != system.bodies().len()
            || certificate.joints.len() != system.joints().len()
            || certificate.hooks.len() != system.hooks().len()
        {
            return Err(other());
        }
        let mut hung = Self::new(system, certificate);
        let (residual, sum) = hung.network.gradient(&mut hung.workspace);
        let fits = hung.workspace.stretches.iter().zip(&hung.network.model.links).all(|(stretch, link)| {
            let off = (stretch.distance - (link.length + stretch.elongation)).abs();
            off <= SAME_SYSTEM * (link.length + stretch.distance)
        });
        if fits && residual <= SAME_SYSTEM * (hung.network.model.weight + sum) { Ok(hung) } else { Err(other()) }
    }

    /// Takes one step of Newton's method from the pose of the certificate, whose forces balance to 1e-10 of the weight,
    /// to one whose forces balance to rounding: what is asked of the pose is then as accurate as the numbers are. Lengths
    /// are changed by the step and not taken from coordinates anew, which would cost EA·ε. `None` if a mode is negative.
    pub(in crate::equilibrium) fn refine(&mut self) -> Option<()> {
        let factors = self.regular()?;
        let mut step: Vec<DVec3> = self.workspace.gradient.iter().map(|part| -*part).collect();
        self.answer(&factors, &mut step);
        let places = self.network.places.iter().zip(&self.network.model.links);
        for (stretch, (place, link)) in self.workspace.stretches.iter_mut().zip(places) {
            let parting = place.displacement(stretch, &step);
            let along = stretch.direction.dot(parting);
            stretch.direction = (stretch.distance * stretch.direction + parting).normalize_or_zero();
            stretch.distance += along;
            stretch.strain(link, (stretch.elongation + along) / link.length);
            stretch.foreseen = stretch.tension();
            let [_, turn_a, _, turn_b] = place.variables;
            for (arm, turn) in stretch.arms.iter_mut().zip([turn_a, turn_b]) {
                let turn = turn.and_then(|turn| step.get(turn)).copied().unwrap_or_default();
                arm.now += turn.cross(arm.now);
            }
        }
        self.workspace.step = step;
        self.network.advance(&mut self.workspace);
        self.network.geometric(&mut self.workspace);
        self.network.hessian(&mut self.workspace, 0.0);
        Some(())
    }

    /// The attitude of a body.
    pub(in crate::equilibrium) fn rotation(&self, body: usize) -> DQuat {
        let index = self.network.system.joints().len() + body;
        self.workspace.stances.get(index).map_or(DQuat::IDENTITY, |stance| stance.rotation())
    }

    /// The members at the present pose.
    pub(in crate::equilibrium) fn strands(&self) -> impl ExactSizeIterator<Item = Strand> + '_ {
        self.workspace.stretches.iter().map(|stretch| Strand {
            direction: stretch.direction,
            distance: stretch.distance,
            elongation: stretch.elongation,
            tension: stretch.tension(),
            stiffness: stretch.stiffness,
        })
    }

    /// Weight of all bodies, N.
    pub(in crate::equilibrium) const fn weight(&self) -> f64 {
        self.network.model.weight
    }

    /// The factors of the Hessian, raised by the least share of the metric that keeps them regular along free turns;
    /// `None` if a mode is negative.
    pub(in crate::equilibrium) fn regular(&self) -> Option<Vec<DMat3>> {
        let mut shift = super::LEAST_SHIFT;
        while shift <= MOST_SHIFT {
            if let Some(factors) = self.factored(shift) {
                return Some(factors);
            }
            shift *= 2.0;
        }
        None
    }

    /// The step with which the system answers the forces `right` (over all variables), in place. `right` must have no
    /// part along a free turn.
    pub(in crate::equilibrium) fn answer(&self, factors: &[DMat3], right: &mut [DVec3]) {
        let force = right.to_vec();
        self.solve(factors, right);
        for _ in 0..CORRECTIONS {
            let mut rest = self.network.pattern.times(self.hessian(), right);
            for (rest, force) in rest.iter_mut().zip(&force) {
                *rest = *force - *rest;
            }
            self.solve(factors, &mut rest);
            for (step, rest) in right.iter_mut().zip(&rest) {
                *step += *rest;
            }
        }
    }

    /// No force on any variable.
    pub(in crate::equilibrium) fn nothing(&self) -> Vec<DVec3> {
        vec![DVec3::ZERO; self.network.pattern.count()]
    }

    /// Adds a force on end a of a member, and its opposite on end b.
    pub(in crate::equilibrium) fn press(&self, vector: &mut [DVec3], member: usize, force: DVec3) {
        let (Some(stretch), Some(place)) = (self.workspace.stretches.get(member), self.network.places.get(member))
        else {
            return;
        };
        let [arm_a, arm_b] = stretch.arms;
        let parts = [force, arm_a.now.cross(force), -force, -arm_b.now.cross(force)];
        for (variable, part) in place.variables.iter().zip(parts) {
            if let Some(entry) = variable.and_then(|variable| vector.get_mut(variable)) {
                *entry += part;
            }
        }
    }

    /// Adds a force and a moment on a body.
    pub(in crate::equilibrium) fn load_body(&self, vector: &mut [DVec3], body: usize, force: DVec3, moment: DVec3) {
        let [shift, turn] = self.variables(body);
        for (variable, part) in [(shift, force), (turn, moment)] {
            if let Some(entry) = vector.get_mut(variable) {
                *entry += part;
            }
        }
    }

    /// How end a of a member moves against its end b in a step.
    pub(in crate::equilibrium) fn parting(&self, member: usize, step: &[DVec3]) -> DVec3 {
        match (self.workspace.stretches.get(member), self.network.places.get(member)) {
            (Some(stretch), Some(place)) => place.displacement(stretch, step),
            _ => DVec3::ZERO,
        }
    }

    /// How a body turns in a step.
    pub(in crate::equilibrium) fn turned(&self, body: usize, step: &[DVec3]) -> DVec3 {
        let [_, turn] = self.variables(body);
        step.get(turn).copied().unwrap_or_default()
    }

    fn variables(&self, body: usize) -> [usize; 2] {
        let first = self.network.pattern.variable(self.network.system.joints().len() + body);
        [first, first + 1]
    }
}

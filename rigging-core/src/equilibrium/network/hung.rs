//! A system in the pose of its certificate: what the questions about an equilibrium start from.

use super::descent::CAREFUL;
use super::{Network, Workspace};
use crate::equilibrium::certificate::Certificate;
use crate::error::Error;
use crate::system::System;
use glam::{DMat3, DVec3};

/// A system in the pose of its certificate.
#[derive(Debug, Clone)]
pub(in crate::equilibrium) struct Hung {
    pub(in crate::equilibrium) network: Network,
    pub(in crate::equilibrium) workspace: Workspace,
}

impl Hung {
    /// Puts the system into the pose of its certificate, with the strains that stand there.
    pub(in crate::equilibrium) fn new(system: &System, certificate: &Certificate) -> Self {
        let network = Network::new(system);
        let mut w = Workspace::default();
        network.load(&mut w);
        let joints = certificate.joints.iter().copied().map(|position| (position, None));
        let bodies = certificate.bodies.iter().map(|pose| (pose.center_of_gravity, Some(pose.rotation)));
        for (stance, (position, rotation)) in w.stances.iter_mut().zip(joints.chain(bodies)) {
            stance.base = position;
            if let Some(rotation) = rotation {
                stance.attitude = rotation;
            }
        }
        network.anchor(&mut w);
        network.update(&mut w);
        // A pose as printed is rounded; the strains of the certificate are those of the pose before it was.
        for ((stretch, link), member) in w.stretches.iter_mut().zip(&network.model.links).zip(&certificate.members) {
            stretch.strain(link, member.strain);
            stretch.foreseen = stretch.tension();
        }
        network.geometric(&mut w);
        network.hessian(&mut w, 0.0);
        Self { network, workspace: w }
    }

    /// The Hessian, not factored.
    pub(in crate::equilibrium) fn hessian(&self) -> &[DMat3] {
        &self.workspace.matrix
    }

    #[allow(dead_code, reason = "a solve at the pose is what sensitivities start from")]
    /// The factors of the Hessian raised by the share `shift` of the metric; `None` unless it is positive definite.
    pub(in crate::equilibrium) fn factored(&self, shift: f64) -> Option<Vec<DMat3>> {
        let metric = self.workspace.metric.iter();
        let mut values: Vec<DMat3> = self.hessian().iter().zip(metric).map(|(h, d)| *h + *d * shift).collect();
        self.network.pattern.factor(&mut values, &self.workspace.floors)?;
        Some(values)
    }

    /// Solves with factors.
    pub(in crate::equilibrium) fn solve(&self, factors: &[DMat3], x: &mut [DVec3]) {
        self.network.pattern.solve(factors, x);
    }

    /// Follows the energy downhill from the present pose, and certifies where that ends.
    ///
    /// # Errors
    ///
    /// [`Error::Unconverged`] if no state could be certified there.
    pub(in crate::equilibrium) fn descend(&mut self) -> Result<Certificate, Error> {
        let outcome = self.network.certified(&mut self.workspace, CAREFUL)?;
        self.network.conclude(&mut self.workspace, outcome)
    }
}

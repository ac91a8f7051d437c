//! What analyses see of a hung system: its matrices as a whole, vectors as motions of joints and bodies.

use super::hung::Hung;
use super::mechanism::FreeTurn;
use crate::equilibrium::certificate::Certificate;
use crate::equilibrium::shape::{Movement, Shape};
use crate::error::{Error, Place};
use crate::system::System;
use glam::{DMat3, DQuat, DVec3};

/// A node of the solver, as analyses see it.
#[derive(Debug, Clone, Copy)]
pub(in crate::equilibrium) struct Station {
    /// Number of its displacement among the variables; the turn of a body follows it.
    pub(in crate::equilibrium) variable: usize,
    pub(in crate::equilibrium) body: bool,
    /// Length that makes a turn comparable with a displacement, m.
    pub(in crate::equilibrium) reach: f64,
    /// Joint or center of gravity in the world, m.
    pub(in crate::equilibrium) position: DVec3,
}

/// A link, as analyses see it.
#[derive(Debug, Clone, Copy)]
pub(in crate::equilibrium) struct Tie {
    pub(in crate::equilibrium) taut: bool,
    /// dT/dl, N/m.
    pub(in crate::equilibrium) stiffness: f64,
}

impl Hung {
    /// As [`Hung::new`], for a certificate that may be of another system.
    pub(in crate::equilibrium) fn of(system: &System, certificate: &Certificate) -> Result<Self, Error> {
        let counts = [
            ("bodies", system.bodies().len(), certificate.bodies.len()),
            ("joints", system.joints().len(), certificate.joints.len()),
            ("members", system.members().len(), certificate.members.len()),
        ];
        for (name, expected, found) in counts {
            if expected != found {
                let what = format!("the certificate has {found} {name}, the system {expected}");
                return Err(Error::inconsistent(what, Place::root().child(name)));
            }
        }
        Ok(Self::new(system, certificate))
    }

    /// Number of variables of three components.
    pub(in crate::equilibrium) fn count(&self) -> usize {
        self.network.pattern.count()
    }

    /// Joints first, then bodies.
    pub(in crate::equilibrium) fn stations(&self) -> Vec<Station> {
        let stances = &self.workspace.stances;
        let nodes = self.network.model.nodes.iter().zip(stances).enumerate();
        nodes
            .map(|(index, (node, stance))| Station {
                variable: self.network.pattern.variable(index),
                body: node.body,
                reach: node.reach,
                position: stance.position(),
            })
            .collect()
    }

    /// Attitude of a node.
    pub(in crate::equilibrium) fn attitude(&self, node: usize) -> Option<DQuat> {
        self.workspace.stances.get(node).map(super::pose::Stance::rotation)
    }

    /// In the order of the members.
    pub(in crate::equilibrium) fn ties(&self) -> Vec<Tie> {
        let stretches = self.workspace.stretches.iter();
        stretches.map(|stretch| Tie { taut: stretch.force > 0.0, stiffness: stretch.stiffness }).collect()
    }

    /// Elongation of a member per unit of each variable.
    pub(in crate::equilibrium) fn rates(&self, member: usize) -> Vec<DVec3> {
        let mut vector = vec![DVec3::ZERO; self.count()];
        if let (Some(place), Some(stretch)) = (self.network.places.get(member), self.workspace.stretches.get(member)) {
            place.add_rates(&mut vector, stretch, 1.0);
        }
        vector
    }

    /// The product of the Hessian with a vector.
    pub(in crate::equilibrium) fn times(&self, x: &[DVec3]) -> Vec<DVec3> {
        self.network.pattern.times(self.hessian(), x)
    }

    /// The Hessian with `share` times a matrix of one block for each variable added.
    pub(in crate::equilibrium) fn raised(&self, diagonal: &[DMat3], share: f64) -> Vec<DMat3> {
        let mut values = self.hessian().to_vec();
        values.iter_mut().zip(diagonal).for_each(|(value, block)| *value += *block * share);
        values
    }

    /// Factors of a matrix; `None` unless it is positive definite.
    pub(in crate::equilibrium) fn factors(&self, mut values: Vec<DMat3>) -> Option<Vec<DMat3>> {
        let floors = vec![0.0; self.count()];
        self.network.pattern.factor(&mut values, &floors)?;
        Some(values)
    }

    /// Number of negative eigenvalues of a matrix.
    pub(in crate::equilibrium) fn negative(&self, mut values: Vec<DMat3>) -> usize {
        self.network.pattern.inertia(&mut values)
    }

    /// Mean stiffness of a displacement in the metric, N/m: that of a pendulum.
    pub(in crate::equilibrium) fn softness(&self) -> f64 {
        let stations = self.stations();
        let blocks = stations.iter().filter_map(|station| self.workspace.metric.get(station.variable));
        let sum: f64 = blocks.map(|block| block.x_axis.x + block.y_axis.y + block.z_axis.z).sum();
        sum / (3.0 * stations.len().max(1) as f64)
    }

    /// Free turns about plumb lines, independent of each other, with the motion of all variables in each.
    pub(in crate::equilibrium) fn free_turns(&self) -> Vec<(FreeTurn, Vec<DVec3>)> {
        self.network.free_turns(&self.workspace)
    }

    /// Number of independent motions that joints have by themselves and nothing resists: those of their own part of the
    /// Hessian, whatever bodies do.
    pub(in crate::equilibrium) fn limp_joints(&self) -> usize {
        let stations = self.stations();
        let mut matrix = vec![DMat3::ZERO; self.hessian().len()];
        // Bodies held fast: their variables stand alone and are stiff.
        let held: Vec<bool> = {
            let mut held = vec![true; self.count()];
            for station in stations.iter().filter(|station| !station.body) {
                held.get_mut(station.variable).into_iter().for_each(|held| *held = false);
            }
            held
        };
        let threshold = super::NULL_TOLERANCE;
        let blocks = self.network.pattern.among(&held);
        let sources = self.hessian().iter().zip(&self.workspace.metric);
        for ((entry, (hessian, metric)), free) in matrix.iter_mut().zip(sources).zip(blocks) {
            if free {
                *entry = *hessian - *metric * threshold;
            }
        }
        for (entry, held) in matrix.iter_mut().zip(&held) {
            if *held {
                *entry = DMat3::IDENTITY;
            }
        }
        self.negative(matrix)
    }

    /// A vector over all variables as a motion.
    pub(in crate::equilibrium) fn shape(&self, x: &[DVec3]) -> Shape {
        let mut shape = Shape { joints: Vec::new(), bodies: Vec::new() };
        for station in self.stations() {
            let displacement = x.get(station.variable).copied().unwrap_or_default();
            if station.body {
                let turn = x.get(station.variable + 1).copied().unwrap_or_default();
                shape.bodies.push(Movement { displacement, turn });
            } else {
                shape.joints.push(displacement);
            }
        }
        shape
    }
}

impl super::Workspace {
    /// Position and attitude of a node in the last solve.
    pub(in crate::equilibrium) fn stance(&self, node: usize) -> Option<(glam::DVec3, DQuat)> {
        self.stances.get(node).map(|stance| (stance.position(), stance.rotation()))
    }
}

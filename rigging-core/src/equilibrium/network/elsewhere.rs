//! Lets a network go from other poses than the one as drawn.

use super::descent::CAREFUL;
use super::hung::Hung;
use super::pose::Stance;
use crate::equilibrium::certificate::Certificate;
use glam::{DQuat, DVec3};

impl Hung {
    /// Potential energy, J: strain of the members, and weights at their height.
    pub(in crate::equilibrium) fn energy(&self) -> f64 {
        let links = self.network.model.links.iter().zip(&self.workspace.stretches);
        let strained = links.map(|(link, stretch)| link.length * link.law.energy(stretch.elongation / link.length));
        let nodes = self.network.model.nodes.iter().zip(&self.workspace.stances);
        let lifted = nodes.map(|(node, stance)| node.weight * stance.position().z);
        strained.sum::<f64>() + lifted.sum::<f64>()
    }

    /// The starts of the search: the whole turned about its center of gravity by quarters about x, then about y; then
    /// each body turned over about x and about y.
    pub(in crate::equilibrium) fn starts(&self) -> Vec<Vec<Stance>> {
        let stances = &self.workspace.stances;
        let nodes = || self.network.model.nodes.iter().zip(stances);
        let center =
            nodes().map(|(node, stance)| node.weight * stance.position()).sum::<DVec3>() / self.network.model.weight;
        let half = 0.5_f64.sqrt();
        let quarters = [
            DQuat::from_xyzw(half, 0.0, 0.0, half),
            DQuat::from_xyzw(1.0, 0.0, 0.0, 0.0),
            DQuat::from_xyzw(-half, 0.0, 0.0, half),
            DQuat::from_xyzw(0.0, half, 0.0, half),
            DQuat::from_xyzw(0.0, -half, 0.0, half),
        ];
        let placed = |position: DVec3, attitude: DQuat| Stance {
            base: position,
            attitude,
            shift: DVec3::ZERO,
            turn: DVec3::ZERO,
        };
        let mut starts: Vec<Vec<Stance>> = Vec::new();
        for turn in quarters {
            let turned = |(_, stance): (_, &Stance)| {
                placed(center + turn * (stance.position() - center), (turn * stance.rotation()).normalize())
            };
            starts.push(nodes().map(turned).collect());
        }
        for body in nodes().enumerate().filter(|(_, (node, _))| node.body).map(|(index, _)| index) {
            for over in [DQuat::from_xyzw(1.0, 0.0, 0.0, 0.0), DQuat::from_xyzw(0.0, 1.0, 0.0, 0.0)] {
                let mut start: Vec<Stance> =
                    stances.iter().map(|stance| placed(stance.position(), stance.rotation())).collect();
                if let Some(stance) = start.get_mut(body) {
                    stance.attitude = (over * stance.attitude).normalize();
                }
                starts.push(start);
            }
        }
        starts
    }

    /// Where a descent from a start ends, and the energy there; `None` unless no mode is negative there.
    pub(in crate::equilibrium) fn let_go(&self, start: &[Stance]) -> Option<(Certificate, f64)> {
        let mut w = self.workspace.clone();
        self.network.load(&mut w);
        w.stances = start.to_vec();
        let mut outcome = self.network.certified(&mut w, CAREFUL).ok()?;
        if outcome.negative_modes > 0 {
            outcome = self.network.fall(&mut w).ok()?;
        }
        if outcome.negative_modes > 0 {
            return None;
        }
        let certificate = self.network.certificate(&w, &outcome);
        let there = Self { network: self.network.clone(), workspace: w };
        let energy = there.energy();
        Some((certificate, energy))
    }
}

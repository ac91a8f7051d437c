//! Free turns about a plumb line: whatever hangs from one point may turn there and costs no energy.

use super::{Network, Workspace};
use crate::system::{End, System};
use glam::DVec3;

/// A part of the system that hangs from one point, and is free to turn about the plumb line through it.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::equilibrium) struct FreeTurn {
    /// The point.
    pub(in crate::equilibrium) pivot: End,
    /// The nodes that turn.
    pub(in crate::equilibrium) nodes: Vec<usize>,
}

/// Share of the metric below which a candidate costs no energy.
const FREE: f64 = 1.0e-6;
/// Share of a candidate that must be left after the others are taken out of it.
const INDEPENDENT: f64 = 1.0e-6;

impl Network {
    /// The free turns at the present pose, independent of each other, with the displacement of all variables that a
    /// unit turn makes. The Hessian of the pose must stand in `w.matrix`, not factored.
    pub(super) fn free_turns(&self, w: &Workspace) -> Vec<(FreeTurn, Vec<DVec3>)> {
        let mut found: Vec<(FreeTurn, Vec<DVec3>)> = Vec::new();
        let mut basis: Vec<Vec<DVec3>> = Vec::new();
        for (pivot, cut) in pivots(&self.system) {
            for nodes in self.parts_without_hook(&cut, pivot) {
                let Some(vector) = self.turn(pivot, &nodes, w) else { continue };
                let cost = dot(&vector, &self.pattern.times(&w.matrix, &vector));
                let size = dot(&vector, &self.pattern.times(&w.metric, &vector));
                if size <= 0.0 || cost.abs() > FREE * size {
                    continue;
                }
                // Once more for rounding.
                let mut rest = vector.clone();
                for _ in 0..2 {
                    for known in &basis {
                        let share = dot(&rest, &self.pattern.times(&w.metric, known));
                        for (rest, known) in rest.iter_mut().zip(known) {
                            *rest -= share * *known;
                        }
                    }
                }
                let left = dot(&rest, &self.pattern.times(&w.metric, &rest));
                if left > INDEPENDENT * size {
                    let scale = 1.0 / left.sqrt();
                    basis.push(rest.into_iter().map(|part| part * scale).collect());
                    found.push((FreeTurn { pivot, nodes }, vector));
                }
            }
        }
        found
    }

    /// The connected parts that hold no hook once the members of `cut` no longer count, and that one of these members
    /// leads to.
    fn parts_without_hook(&self, cut: &[usize], pivot: End) -> Vec<Vec<usize>> {
        let system = &self.system;
        let count = self.model.nodes.len();
        let removed = match pivot {
            End::Joint(joint) => Some(joint),
            _ => None,
        };
        let mut around: Vec<Vec<usize>> = vec![Vec::new(); count];
        let mut fixed = vec![false; count];
        for (index, link) in self.model.links.iter().enumerate() {
            if cut.contains(&index) {
                continue;
            }
            let [a, b] = link.ends.map(super::model::Grip::node);
            for (from, to) in [(a, b), (b, a)] {
                match (from, to) {
                    (Some(from), Some(to)) => around.get_mut(from).into_iter().for_each(|list| list.push(to)),
                    (Some(from), None) => fixed.get_mut(from).into_iter().for_each(|fixed| *fixed = true),
                    (None, _) => {}
                }
            }
        }
        // A part counts if a member that was cut leads to it.
        let mut reached = vec![false; count];
        for index in cut {
            for node in
                system.members().get(*index).into_iter().flat_map(|m| [m.a, m.b]).filter_map(|end| self.node(end))
            {
                reached.get_mut(node).into_iter().for_each(|reached| *reached = true);
            }
        }
        let mut seen = vec![false; count];
        let mut parts = Vec::new();
        for start in 0..count {
            if seen.get(start).copied().unwrap_or(true) || Some(start) == removed {
                continue;
            }
            let (mut part, mut stack, mut hung, mut led) = (Vec::new(), vec![start], false, false);
            while let Some(node) = stack.pop() {
                let Some(mark) = seen.get_mut(node) else { continue };
                if std::mem::replace(mark, true) {
                    continue;
                }
                part.push(node);
                hung |= fixed.get(node).copied().unwrap_or(false);
                led |= reached.get(node).copied().unwrap_or(false);
                stack.extend(around.get(node).into_iter().flatten().copied());
            }
            if !hung && led {
                part.sort_unstable();
                parts.push(part);
            }
        }
        parts
    }

    fn node(&self, end: End) -> Option<usize> {
        let joints = self.model.nodes.iter().filter(|node| !node.body).count();
        match end {
            End::Hook(_) => None,
            End::Joint(joint) => Some(joint),
            End::Body { body, .. } => Some(joints + body),
        }
    }

    /// A unit turn of `nodes` about the plumb line through `pivot`.
    fn turn(&self, pivot: End, nodes: &[usize], w: &Workspace) -> Option<Vec<DVec3>> {
        let system = &self.system;
        let center = match pivot {
            End::Hook(hook) => system.hooks().get(hook)?.position,
            End::Joint(joint) => w.stances.get(joint)?.position(),
            End::Body { body, point } => {
                let stance = w.stances.get(self.node(pivot)?)?;
                let found = system.bodies().get(body)?;
                stance.position() + stance.rotation() * (*found.points.get(point)? - found.center_of_gravity)
            }
        };
        let mut vector = vec![DVec3::ZERO; self.pattern.count()];
        for index in nodes {
            let (node, stance) = (self.model.nodes.get(*index)?, w.stances.get(*index)?);
            let first = self.pattern.variable(*index);
            *vector.get_mut(first)? = DVec3::Z.cross(stance.position() - center);
            if node.body {
                *vector.get_mut(first + 1)? = DVec3::Z;
            }
        }
        Some(vector)
    }
}

/// Every point at which members meet something, with the members that do.
fn pivots(system: &System) -> Vec<(End, Vec<usize>)> {
    let mut pivots: Vec<(End, Vec<usize>)> = Vec::new();
    let mut at = std::collections::HashMap::new();
    for (index, member) in system.members().iter().enumerate() {
        for end in [member.a, member.b] {
            let place = *at.entry(end).or_insert_with(|| {
                pivots.push((end, Vec::new()));
                pivots.len() - 1
            });
            if let Some((_, members)) = pivots.get_mut(place) {
                members.push(index);
            }
        }
    }
    pivots
}

fn dot(a: &[DVec3], b: &[DVec3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a.dot(*b)).sum()
}

//! A system in the solver's terms: nodes that move, links between them, and how much each is likely to carry.

use crate::system::{End, Law, System};
use glam::{DQuat, DVec3};
use std::collections::VecDeque;

/// The share of an even spread that a link is taken to carry at the least, when scales are chosen.
const LEAST_SHARE: f64 = 0.1;

/// What moves: a joint (a point) or a body (its center of gravity and its attitude).
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    /// Position of the point or of the center of gravity, as drawn.
    pub(super) position: DVec3,
    /// Attitude as drawn.
    pub(super) rotation: DQuat,
    /// Whether it has an attitude.
    pub(super) body: bool,
    /// Weight, N.
    pub(super) weight: f64,
    /// Length that makes a turn comparable with a displacement: the longest arm of a body, m.
    pub(super) reach: f64,
    /// Estimate of the weight that passes through the node, N.
    pub(super) carried: f64,
}

/// One end of a link.
#[derive(Debug, Clone, Copy)]
pub(super) enum Grip {
    /// A point fixed in space.
    Fixed(DVec3),
    /// A point of a node, at an arm from the node's position, in the body's frame; zero for a joint.
    Held {
        /// Index of the node.
        node: usize,
        /// Arm in the body's frame.
        arm: DVec3,
    },
}

impl Grip {
    pub(super) const fn node(self) -> Option<usize> {
        match self {
            Self::Fixed(_) => None,
            Self::Held { node, .. } => Some(node),
        }
    }
}

/// A member in the solver's terms.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub(super) ends: [Grip; 2],
    /// Unstretched length, m.
    pub(super) length: f64,
    pub(super) law: Law,
    /// Estimate of the tension, N; it scales the metric in which steps are measured.
    pub(super) share: f64,
}

/// Joints come first, then bodies.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) nodes: Vec<Node>,
    pub(super) links: Vec<Link>,
    /// Weight of all bodies, N.
    pub(super) weight: f64,
}

impl Model {
    pub(super) fn new(system: &System) -> Self {
        let joints = system.joints().len();
        let grip = |end: End| match end {
            End::Hook(hook) => Grip::Fixed(system.hooks().get(hook).map_or(DVec3::ZERO, |hook| hook.position)),
            End::Joint(joint) => Grip::Held { node: joint, arm: DVec3::ZERO },
            End::Body { body, point } => {
                let arm = system.bodies().get(body).and_then(|body| {
                    let point = body.points.get(point)?;
                    Some(*point - body.center_of_gravity)
                });
                Grip::Held { node: joints + body, arm: arm.unwrap_or_default() }
            }
        };
        let links: Vec<Link> = system
            .members()
            .iter()
            .map(|member| Link {
                ends: [grip(member.a), grip(member.b)],
                length: member.length,
                law: member.law.clone(),
                share: 0.0,
            })
            .collect();
        let mean = links.iter().map(|link| link.length).sum::<f64>() / links.len().max(1) as f64;
        let joint = |position| Node {
            position,
            rotation: DQuat::IDENTITY,
            body: false,
            weight: 0.0,
            reach: mean,
            carried: 0.0,
        };
        let mut nodes: Vec<Node> = system.joints().iter().map(|found| joint(found.position)).collect();
        nodes.extend(system.bodies().iter().map(|body| {
            let arms = body.points.iter().map(|point| (*point - body.center_of_gravity).length());
            let reach = arms.fold(0.0, f64::max);
            Node {
                position: body.position + body.rotation * body.center_of_gravity,
                rotation: body.rotation,
                body: true,
                weight: body.mass * system.gravity(),
                reach: if reach > 0.0 { reach } else { mean },
                carried: 0.0,
            }
        }));
        let weight = nodes.iter().map(|node| node.weight).sum();
        let mut model = Self { nodes, links, weight };
        model.estimate();
        model.settle(system);
        model
    }

    /// Estimates what each link carries: a node passes its weight and what hangs from it in equal parts to the links
    /// that lead toward a hook by the fewest steps. It sets scales only; no result depends on it but through the path.
    fn estimate(&mut self) {
        let count = self.nodes.len();
        let mut around: Vec<Vec<(usize, Option<usize>)>> = vec![Vec::new(); count];
        let mut steps = vec![usize::MAX; count];
        let mut queue = VecDeque::new();
        for (index, link) in self.links.iter().enumerate() {
            let [a, b] = link.ends.map(Grip::node);
            for (from, to) in [(a, b), (b, a)] {
                let Some(list) = from.and_then(|from| around.get_mut(from)) else { continue };
                list.push((index, to));
                if let (None, Some(from)) = (to, from)
                    && let Some(first) = steps.get_mut(from)
                    && *first == usize::MAX
                {
                    *first = 1;
                    queue.push_back(from);
                }
            }
        }
        let mut order = Vec::with_capacity(count);
        while let Some(node) = queue.pop_front() {
            order.push(node);
            let next = steps.get(node).map_or(usize::MAX, |steps| steps + 1);
            for (_, neighbor) in around.get(node).into_iter().flatten() {
                if let Some(neighbor) = *neighbor
                    && let Some(found) = steps.get_mut(neighbor)
                    && *found == usize::MAX
                {
                    *found = next;
                    queue.push_back(neighbor);
                }
            }
        }
        for node in &mut self.nodes {
            node.carried = node.weight;
        }
        for node in order.into_iter().rev() {
            let carried = self.nodes.get(node).map_or(0.0, |node| node.carried);
            let Some(list) = around.get(node) else { continue };
            let level = steps.get(node).copied().unwrap_or(0);
            let above = |neighbor: &Option<usize>| {
                neighbor.is_none_or(|neighbor| steps.get(neighbor).is_some_and(|found| *found < level))
            };
            let upward = list.iter().filter(|(_, neighbor)| above(neighbor)).count();
            for (link, neighbor) in list {
                let share = if above(neighbor) { carried / upward.max(1) as f64 } else { 0.0 };
                let floor = LEAST_SHARE * carried / list.len() as f64;
                if let Some(link) = self.links.get_mut(*link) {
                    link.share = (link.share + share).max(floor);
                }
                if let Some(upper) = neighbor.and_then(|neighbor| self.nodes.get_mut(neighbor)) {
                    upper.carried += share;
                }
            }
        }
        // What carries nothing, such as a ring that hangs empty, still needs a scale.
        let least = 1.0e-6 * self.weight;
        for node in &mut self.nodes {
            node.carried = node.carried.max(least);
        }
        for link in &mut self.links {
            link.share = link.share.max(least);
        }
    }

    /// Moves everything but the hooks to where hoisting begins: under a single hook the center of gravity of all stands
    /// plumb below it; the height is that at which the first link at a hook is just straight.
    fn settle(&mut self, system: &System) {
        if let [hook] = system.hooks() {
            let center = self.nodes.iter().map(|node| node.weight * node.position).sum::<DVec3>() / self.weight;
            let aside = hook.position - center;
            for node in &mut self.nodes {
                node.position += DVec3::new(aside.x, aside.y, 0.0);
            }
        }
        let mut rise: Option<f64> = None;
        for link in &self.links {
            let (fixed, node, arm) = match link.ends {
                [Grip::Fixed(fixed), Grip::Held { node, arm }] | [Grip::Held { node, arm }, Grip::Fixed(fixed)] => {
                    (fixed, node, arm)
                }
                _ => continue,
            };
            let Some(node) = self.nodes.get(node) else { continue };
            let apart = fixed - (node.position + node.rotation * arm);
            let drop = link.length * link.length - (apart.x * apart.x + apart.y * apart.y);
            if drop > 0.0 {
                let needed = apart.z - drop.sqrt();
                rise = Some(rise.map_or(needed, |most| most.max(needed)));
            }
        }
        if let Some(rise) = rise {
            for node in &mut self.nodes {
                node.position.z += rise;
            }
        }
    }
}

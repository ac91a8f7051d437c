//! Checks the certificate of a network from the raw input and the printed pose alone, with no code of the solver.
//!
//! 1. The pose as printed, in 32 digits: ends of members into the world, stretch and tension from the laws, and the balance
//!    of forces at every joint and of forces and moments at every body, within what the rounding of the pose allows.
//! 2. The pose refined to a balance of 22 digits: it must lie next to the printed one and have the certificate's tensions,
//!    forces on hooks and slack members.
//! 3. The signs of the Hessian there. It is made of differences of the forces in 32 digits, not of a formula; its
//!    eigenvalues are counted by elimination, in 32 digits too where the network is small.

use crate::double_double::{Twofold, Vector};
use crate::network_elimination::{Scalar, negatives, solve_dense};
use rigging_core::equilibrium::{Certificate, State};
use rigging_core::system::{End, Law, System};

/// Unbalanced force over the weight.
const FORCE: f64 = 1.0e-9;
/// A tension, over the largest one.
const TENSION: f64 = 1.0e-9;
/// How many roundings of a coordinate a printed pose may be off by.
const ROUNDINGS: f64 = 32.0;
/// Step of the differences, over the length of the member: its square and the digits lost to it are both far below 1e-12, and a
/// kink of a law hardly ever lies within it.
const DIFFERENCE: f64 = 1.0e-13;
/// Modes softer than this (over the pendulum stiffness) may count as null, stiffer ones may not.
const SOFT: f64 = 1.0e-4;
/// Modes softer than this must count as null: in 32 digits, and in 16.
const NULL: [f64; 2] = [1.0e-10, 1.0e-7];
/// Up to so many unknowns, eigenvalues are counted in 32 digits.
const TWOFOLD_UNKNOWNS: usize = 36;

/// From this round on, steps are solved for in 32 digits: a mode may be softer than the rounding of the stiff ones.
const LAST_REAL_ROUND: usize = 12;

/// What was verified.
#[derive(Debug, Default)]
pub struct Verified {
    pub refined: usize,
    pub inertia: usize,
    /// Cases with a mode between null and soft, of which the sign is not compared.
    pub near_zero: usize,
}

impl Verified {
    pub fn add(&mut self, other: &Self) {
        self.refined += other.refined;
        self.inertia += other.inertia;
        self.near_zero += other.near_zero;
    }
}

/// A joint, or a body with its center of gravity and attitude.
#[derive(Clone, Copy)]
struct Node {
    at: Vector,
    rotation: Option<[Twofold; 4]>,
    weight: f64,
    first: usize,
}

/// A member's end in the world.
#[derive(Clone, Copy)]
struct Foot {
    node: Option<usize>,
    arm: Vector,
    at: Vector,
}

/// v turned by a quaternion of any length.
fn turned([x, y, z, w]: [Twofold; 4], v: Vector) -> Vector {
    let axis = Vector([x, y, z]);
    let two = Twofold::from(2.0) / (axis.dot(axis) + w * w);
    let side = axis.cross(v);
    v.plus(side.times(two * w)).plus(axis.cross(side).times(two))
}

fn half_turn(turn: Vector) -> [Twofold; 4] {
    let [x, y, z] = turn.times(Twofold::from(0.5)).0;
    [x, y, z, Twofold::from(1.0)]
}

fn product(a: [Twofold; 4], b: [Twofold; 4]) -> [Twofold; 4] {
    let (p, q) = (Vector([a[0], a[1], a[2]]), Vector([b[0], b[1], b[2]]));
    let [x, y, z] = q.times(a[3]).plus(p.times(b[3])).plus(p.cross(q)).0;
    [x, y, z, a[3] * b[3] - p.dot(q)]
}

/// Tension at a strain, without regard to slack.
fn tension(law: &Law, strain: Twofold) -> Twofold {
    let number = Twofold::from;
    match law {
        Law::Linear { ea } => number(*ea) * strain,
        Law::Polynomial { coefficients } => {
            coefficients.iter().rev().fold(Twofold::default(), |sum, c| (sum + number(*c)) * strain)
        }
        Law::PiecewiseLinear { points } => {
            let mut from = [0.0, 0.0];
            for (index, to) in points.iter().enumerate() {
                if strain.value() <= to[0] || index + 1 == points.len() {
                    let slope = (number(to[1]) - number(from[1])) / (number(to[0]) - number(from[0]));
                    return number(from[1]) + slope * (strain - number(from[0]));
                }
                from = *to;
            }
            Twofold::default()
        }
    }
}

struct Scene<'a> {
    system: &'a System,
    nodes: Vec<Node>,
    unknowns: usize,
}

impl<'a> Scene<'a> {
    fn printed(system: &'a System, certificate: &Certificate) -> Self {
        let mut nodes = Vec::new();
        let mut unknowns = 0;
        for joint in &certificate.joints {
            nodes.push(Node { at: Vector::new(joint.to_array()), rotation: None, weight: 0.0, first: unknowns });
            unknowns += 3;
        }
        for (body, pose) in system.bodies().iter().zip(&certificate.bodies) {
            let rotation = pose.rotation.to_array().map(Twofold::from);
            let center = turned(rotation, Vector::new(body.center_of_gravity.to_array()));
            let at = Vector::new(pose.position.to_array()).plus(center);
            nodes.push(Node { at, rotation: Some(rotation), weight: body.mass * system.gravity(), first: unknowns });
            unknowns += 6;
        }
        Self { system, nodes, unknowns }
    }

    fn foot(&self, end: End) -> Foot {
        match end {
            End::Hook(hook) => {
                let at = Vector::new(self.system.hooks()[hook].position.to_array());
                Foot { node: None, arm: Vector::default(), at }
            }
            End::Joint(joint) => Foot { node: Some(joint), arm: Vector::default(), at: self.nodes[joint].at },
            End::Body { body, point } => {
                let index = self.system.joints().len() + body;
                let found = &self.system.bodies()[body];
                let own =
                    Vector::new(found.points[point].to_array()).minus(Vector::new(found.center_of_gravity.to_array()));
                let arm = turned(self.nodes[index].rotation.unwrap(), own);
                Foot { node: Some(index), arm, at: self.nodes[index].at.plus(arm) }
            }
        }
    }

    fn feet(&self) -> Vec<[Foot; 2]> {
        self.system.members().iter().map(|member| [self.foot(member.a), self.foot(member.b)]).collect()
    }

    /// Pull on end b toward end a, elongation.
    fn pull(&self, member: usize, [a, b]: &[Foot; 2], taut: Option<bool>) -> (Vector, Twofold) {
        let found = &self.system.members()[member];
        let apart = a.at.minus(b.at);
        let distance = apart.length();
        let length = Twofold::from(found.length);
        let elongation = distance - length;
        if !taut.unwrap_or(elongation.value() > 0.0) {
            return (Vector::default(), elongation);
        }
        (apart.times(tension(&found.law, elongation / length) / distance), elongation)
    }

    /// Unbalanced forces and moments over all unknowns; tensions and elongations; forces on the hooks.
    fn balance(&self) -> Balance {
        let mut balance = Balance {
            loads: vec![Twofold::default(); self.unknowns],
            hooks: vec![Vector::default(); self.system.hooks().len()],
            ..Balance::default()
        };
        for node in &self.nodes {
            balance.loads[node.first + 2] = Twofold::from(-node.weight);
        }
        for (index, (member, feet)) in self.system.members().iter().zip(self.feet()).enumerate() {
            let (pull, elongation) = self.pull(index, &feet, None);
            balance.tensions.push(pull.length());
            balance.elongations.push(elongation);
            for (foot, (end, sign)) in feet.iter().zip([(member.a, -1.0), (member.b, 1.0)]) {
                let force = pull.times(Twofold::from(sign));
                if let End::Hook(hook) = end {
                    balance.hooks[hook] = balance.hooks[hook].plus(force);
                }
                self.load(foot, force, &mut balance.loads);
            }
        }
        balance
    }

    fn load(&self, foot: &Foot, force: Vector, loads: &mut [Twofold]) {
        let Some(node) = foot.node.map(|node| self.nodes[node]) else { return };
        let moment = foot.arm.cross(force);
        for axis in 0..3 {
            loads[node.first + axis] = loads[node.first + axis] + force.0[axis];
            if node.rotation.is_some() {
                loads[node.first + 3 + axis] = loads[node.first + 3 + axis] + moment.0[axis];
            }
        }
    }

    /// Minus the change of all loads with each unknown, by central differences, member by member. Members count as taut
    /// above a tension, that of one that is slack being negative.
    fn hessian(&self, least: f64) -> Vec<Vec<Twofold>> {
        let mut matrix = vec![vec![Twofold::default(); self.unknowns]; self.unknowns];
        let mut loads = vec![Twofold::default(); self.unknowns];
        for (index, feet) in self.feet().into_iter().enumerate() {
            let (_, elongation) = self.pull(index, &feet, None);
            let found = &self.system.members()[index];
            if elongation.value() * found.law.slope(0.0) <= least * found.length {
                continue;
            }
            let touched: Vec<usize> = feet
                .iter()
                .filter_map(|foot| foot.node.map(|node| self.nodes[node]))
                .flat_map(|node| node.first..node.first + if node.rotation.is_some() { 6 } else { 3 })
                .collect();
            for (which, foot) in feet.iter().enumerate() {
                let Some(node) = foot.node.map(|node| self.nodes[node]) else { continue };
                for unknown in 0..if node.rotation.is_some() { 6 } else { 3 } {
                    let step = if unknown < 3 { DIFFERENCE * self.system.members()[index].length } else { DIFFERENCE };
                    for sign in [1.0, -1.0] {
                        let mut axis = [0.0; 3];
                        axis[unknown % 3] = sign * step;
                        let way = Vector::new(axis);
                        let mut moved = feet;
                        if unknown < 3 {
                            moved[which].at = foot.at.plus(way);
                        } else {
                            moved[which].arm = turned(half_turn(way), foot.arm);
                            moved[which].at = node.at.plus(moved[which].arm);
                        }
                        for entry in &touched {
                            loads[*entry] = Twofold::default();
                        }
                        let (pull, _) = self.pull(index, &moved, Some(true));
                        self.load(&moved[0], pull.times(Twofold::from(-1.0)), &mut loads);
                        self.load(&moved[1], pull, &mut loads);
                        // Half to either triangle: away from balance, the differences of moments are not symmetric.
                        let half = Twofold::from(-sign * 0.25 / step);
                        for entry in &touched {
                            let change = loads[*entry] * half;
                            let column = node.first + unknown;
                            matrix[*entry][column] = matrix[*entry][column] + change;
                            matrix[column][*entry] = matrix[column][*entry] + change;
                        }
                    }
                }
            }
        }
        matrix
    }

    /// The stiffness of a pendulum, for each unknown: what hangs at it over the length at which it hangs.
    fn pendulum(&self, balance: &Balance) -> Vec<f64> {
        let mut scale = vec![0.0; self.unknowns];
        let mut reach = vec![0.0_f64; self.nodes.len()];
        for (index, feet) in self.feet().iter().enumerate() {
            let member = &self.system.members()[index];
            // Slack members give an order of magnitude too, for joints that hang from nothing else.
            let weight = self.nodes.iter().map(|node| node.weight).sum::<f64>();
            let rate = balance.tensions[index].value().max(1.0e-6 * weight) / member.length;
            for foot in feet {
                let Some(number) = foot.node else { continue };
                let node = self.nodes[number];
                let arm = foot.arm.length().value();
                reach[number] = reach[number].max(arm);
                for axis in 0..3 {
                    scale[node.first + axis] += rate;
                    if node.rotation.is_some() {
                        scale[node.first + 3 + axis] += rate * arm * arm;
                    }
                }
            }
        }
        for (node, reach) in self.nodes.iter().zip(reach) {
            if node.rotation.is_some() {
                for axis in 3..6 {
                    scale[node.first + axis] += node.weight * if reach > 0.0 { reach } else { 1.0 };
                }
            }
        }
        scale
    }

    fn advance(&mut self, step: &[f64]) {
        for node in &mut self.nodes {
            let part = |from: usize| Vector::new([step[from], step[from + 1], step[from + 2]]);
            node.at = node.at.plus(part(node.first));
            if let Some(rotation) = &mut node.rotation {
                *rotation = product(half_turn(part(node.first + 3)), *rotation);
            }
        }
    }
}

#[derive(Default)]
struct Balance {
    loads: Vec<Twofold>,
    tensions: Vec<Twofold>,
    elongations: Vec<Twofold>,
    hooks: Vec<Vector>,
}

impl Balance {
    fn left(&self) -> f64 {
        self.loads.iter().map(|load| load.value() * load.value()).sum::<f64>().sqrt()
    }

    fn largest(&self) -> f64 {
        self.tensions.iter().fold(0.0_f64, |most, t| most.max(t.value()))
    }
}

/// Checks `certificate` for `system`; the text says what is wrong.
pub fn verify(system: &System, certificate: &Certificate) -> Result<Verified, String> {
    let mut scene = Scene::printed(system, certificate);
    let weight: f64 = scene.nodes.iter().map(|node| node.weight).sum();
    let points = system.bodies().iter().flat_map(|body| body.points.iter().chain([&body.center_of_gravity]));
    let reach = points.fold(0.0_f64, |most, p| most.max(p.length()));
    let places = scene.nodes.iter().map(|node| node.at.length().value());
    let size = places.fold(reach, f64::max);
    let stiffnesses = system.members().iter().map(|member| {
        let strain = 0.5 / 1.0e3;
        member.law.slope(strain).max(member.law.slope(0.0)) / member.length
    });
    let rounding = ROUNDINGS * f64::EPSILON * size;
    let noise = stiffnesses.sum::<f64>() * rounding;

    // 1. The printed pose.
    let printed = scene.balance();
    let sum: f64 = printed.tensions.iter().map(|t| t.value()).sum();
    let allowed = FORCE * weight + 64.0 * f64::EPSILON * sum + noise;
    for (number, node) in scene.nodes.iter().enumerate() {
        let size_of = |from: usize| Vector([0, 1, 2].map(|axis| printed.loads[from + axis])).length().value();
        let (force, moment) = (size_of(node.first), node.rotation.map_or(0.0, |_| size_of(node.first + 3)));
        if force > allowed || moment > allowed * 2.0 * reach.max(1.0e-3) {
            return Err(format!("node {number}: {force:e} N and {moment:e} N·m left, allowed {allowed:e} N"));
        }
    }
    if certificate.residual > 1.0e-10 * weight + 64.0 * f64::EPSILON * sum * (1.0 + 1.0e-9) {
        return Err(format!("residual {:e}", certificate.residual));
    }

    // 2. The exact balance next to it.
    let mut verified = Verified::default();
    let mut balance = printed;
    let scale = scene.pendulum(&balance);
    let mut moved = vec![0.0; scene.unknowns];
    for round in 0.. {
        let left = balance.left();
        if left <= 1.0e-22 * (weight + sum) * reach.max(1.0) {
            verified.refined = 1;
            break;
        }
        if round > 60 {
            if certificate.state == State::Neutral {
                break;
            }
            return Err(format!("the refined pose does not settle: {left:e} N left"));
        }
        let mut matrix = scene.hessian(0.0);
        // A turn about a plumb line needs some resistance; there is no load along it.
        for (index, row) in matrix.iter_mut().enumerate() {
            row[index] = row[index] + Twofold::from(1.0e-12 * scale[index]);
        }
        let step: Vec<f64> = if round < LAST_REAL_ROUND {
            let mut real: Vec<Vec<f64>> =
                matrix.iter().map(|row| row.iter().map(|entry| entry.value()).collect()).collect();
            for (index, row) in real.iter_mut().enumerate() {
                row[index] += 2.0 * f64::EPSILON * row[index].abs();
            }
            solve_dense(real, balance.loads.iter().map(|load| load.value()).collect())
        } else {
            solve_dense(matrix, balance.loads.clone()).into_iter().map(Twofold::value).collect()
        };
        // Where members pass between slack and taut, whole steps may go to and fro.
        let nodes = scene.nodes.clone();
        let mut share = 1.0;
        loop {
            let part: Vec<f64> = step.iter().map(|entry| share * entry).collect();
            scene.nodes.clone_from(&nodes);
            scene.advance(&part);
            balance = scene.balance();
            share *= 0.5;
            if balance.left() < 0.99 * left || share < 1.0e-3 {
                moved.iter_mut().zip(&part).for_each(|(sum, part)| *sum += part);
                break;
            }
        }
    }
    let largest = balance.largest();
    let allowed = TENSION * largest + noise;
    for (index, (member, raw)) in certificate.members.iter().zip(system.members()).enumerate() {
        let (tension, elongation) = (balance.tensions[index].value(), balance.elongations[index].value());
        if (member.tension - tension).abs() > allowed {
            return Err(format!("tension {index}: {} against {tension}, allowed {allowed:e}", member.tension));
        }
        if member.slack != (member.tension == 0.0) || member.tension < 0.0 {
            return Err(format!("member {index} is slack with a tension, or taut without"));
        }
        // The sign of a tension is known no better than the tension.
        let least = rounding + allowed * raw.length / raw.law.slope(0.0);
        if member.slack == (elongation > 0.0) && elongation.abs() > least {
            return Err(format!("member {index}: slack {} at an elongation of {elongation:e}", member.slack));
        }
    }
    for (index, (told, exact)) in certificate.hooks.iter().zip(&balance.hooks).enumerate() {
        let off = exact.minus(Vector::new(told.to_array())).length().value();
        if off > allowed * system.members().len() as f64 {
            return Err(format!("the force on hook {index} is off by {off:e} N"));
        }
    }

    // 3. The state.
    let upright = system.bodies().iter().zip(&certificate.bodies).all(|(body, pose)| {
        let up = pose.rotation * (body.rotation.conjugate() * glam::DVec3::Z);
        up.z > 0.0
    });
    // A member that carries no more than what the solver leaves unbalanced may count as taut or as slack.
    let undecided = 2.0 * (1.0e-10 * weight + 64.0 * f64::EPSILON * sum);
    let least = if balance
        .tensions
        .iter()
        .zip(&balance.elongations)
        .zip(system.members())
        .any(|((_, e), member)| (e.value() * member.law.slope(0.0) / member.length).abs() <= undecided)
    {
        vec![undecided, -undecided]
    } else {
        vec![0.0]
    };
    let small = scene.unknowns <= TWOFOLD_UNKNOWNS;
    let null = if small { NULL[0] } else { NULL[1] };
    let shares = [SOFT, null, -null, -SOFT];
    let counts: Vec<[usize; 4]> = least
        .into_iter()
        .map(|least| {
            let matrix = scene.hessian(least);
            if small {
                return shares.map(|share| negatives(&matrix, &scale, share));
            }
            let real: Vec<Vec<f64>> =
                matrix.iter().map(|row| row.iter().map(|entry| entry.to_real()).collect()).collect();
            shares.map(|share| negatives(&real, &scale, share))
        })
        .collect();
    let bound = |index: usize, most: bool| {
        let found = counts.iter().map(|count| count[index]);
        if most { found.max() } else { found.min() }.unwrap_or_default()
    };
    let [hard_negative, negative, soft, all_soft] = [bound(0, false), bound(1, true), bound(2, false), bound(3, true)];
    verified.inertia = 1;
    verified.near_zero = usize::from(hard_negative != negative || soft != all_soft);
    let told = certificate.negative_modes;
    let wanted = match certificate.state {
        State::Stable | State::Neutral => upright && hard_negative == 0,
        State::Unstable => upright && negative > 0 && certificate.destination.is_some(),
        // Where a lost load ends must be a place it can stay at.
        State::Lost => !upright && hard_negative == 0,
    };
    let counted =
        (hard_negative..=negative).contains(&told) && (soft..=all_soft).contains(&(told + certificate.null_modes));
    if !wanted || !counted {
        return Err(format!(
            "{:?}, upright {upright}, {told} negative and {} null modes; counted: negative {hard_negative} to {negative}, with null ones {soft} to {all_soft} (share {null:e})",
            certificate.state, certificate.null_modes
        ));
    }
    // A balance of which every mode but the free turns is stiff is isolated: the exact one must be the one printed.
    let free = turn_about_plumb(&scene);
    let off = moved.iter().zip(&scale).map(|(step, k)| step * step * k).sum::<f64>();
    let along = moved.iter().zip(&scale).zip(&free).map(|((step, k), turn)| step * k * turn).sum::<f64>();
    let square = free.iter().zip(&scale).map(|(turn, k)| turn * turn * k).sum::<f64>().max(f64::MIN_POSITIVE);
    let off = (off - along * along / square).max(0.0).sqrt();
    let softest = scale.iter().fold(f64::INFINITY, |least: f64, k| least.min(*k)).sqrt();
    let far = (FORCE * weight + noise) * reach.max(1.0) / (SOFT * softest);
    if certificate.state == State::Stable && verified.near_zero == 0 && certificate.null_modes <= 1 && off > far {
        return Err(format!("the exact balance lies {off:e} away, at most {far:e} expected"));
    }
    Ok(verified)
}

/// A unit turn of everything about the plumb line through the first hook.
fn turn_about_plumb(scene: &Scene<'_>) -> Vec<f64> {
    let pivot = Vector::new(scene.system.hooks()[0].position.to_array());
    let mut turn = vec![0.0; scene.unknowns];
    for node in &scene.nodes {
        let [x, y, _] = node.at.minus(pivot).values();
        turn[node.first] = -y;
        turn[node.first + 1] = x;
        if node.rotation.is_some() {
            turn[node.first + 5] = 1.0;
        }
    }
    turn
}

//! A system of any arrangement in 32 digits, with no code of the solver: gradient of the potential energy, its Jacobian by
//! central differences in 32 digits, and Newton's method from a certificate's pose to the exact balance next to it.

use crate::double_double::{Twofold, Vector};
use rigging_core::equilibrium::Certificate;
use rigging_core::equilibrium::sensitivity::Parameter;
use rigging_core::system::{End, Law, System};

/// Step of the differences, in the unit of the unknown: the truncation is of the order of its square.
const STEP: f64 = 1.0e-10;
/// A pivot below this share of the first one is a free turn.
const NULL: f64 = 1.0e-15;
/// Unbalanced force at which the exact balance is reached, over the weight and the tensions.
const BALANCED: f64 = 1.0e-24;

fn zero() -> Twofold {
    Twofold::from(0.0)
}

fn one() -> Twofold {
    Twofold::from(1.0)
}

#[derive(Clone)]
struct Part {
    weight: Twofold,
    center: Vector,
    points: Vec<Vector>,
}

#[derive(Clone)]
struct Tie {
    ends: [End; 2],
    length: Twofold,
    law: Law,
    /// EA of a linear law, and the factor on any law.
    stiffness: Twofold,
    scale: Twofold,
}

/// A system whose numbers have 32 digits.
#[derive(Clone)]
pub struct Exact {
    gravity: f64,
    hooks: Vec<Vector>,
    bodies: Vec<Part>,
    ties: Vec<Tie>,
    joints: usize,
}

/// Where everything is.
#[derive(Clone)]
pub struct Pose {
    joints: Vec<Vector>,
    /// Center of gravity, and attitude as a quaternion x, y, z, w of any length.
    bodies: Vec<(Vector, [Twofold; 4])>,
}

/// What a pose says.
pub struct Balance {
    pub tensions: Vec<Twofold>,
    pub elongations: Vec<Twofold>,
    pub ups: Vec<Vector>,
    pub hooks: Vec<Vector>,
}

type Matrix = Vec<Vec<Twofold>>;

fn rotate(q: [Twofold; 4], v: Vector) -> Vector {
    let axis = Vector([q[0], q[1], q[2]]);
    let two = Twofold::from(2.0) / (axis.dot(axis) + q[3] * q[3]);
    let side = axis.cross(v);
    v.plus(side.times(two * q[3])).plus(axis.cross(side).times(two))
}

fn conjugate(q: [Twofold; 4]) -> [Twofold; 4] {
    [-q[0], -q[1], -q[2], q[3]]
}

impl Exact {
    pub fn new(system: &System) -> Self {
        let bodies = system.bodies().iter().map(|body| Part {
            weight: Twofold::from(body.mass) * Twofold::from(system.gravity()),
            center: Vector::new(body.center_of_gravity.to_array()),
            points: body.points.iter().map(|p| Vector::new(p.to_array())).collect(),
        });
        let ties = system.members().iter().map(|member| Tie {
            ends: [member.a, member.b],
            length: Twofold::from(member.length),
            law: member.law.clone(),
            stiffness: Twofold::from(if let Law::Linear { ea } = member.law { ea } else { 0.0 }),
            scale: one(),
        });
        Self {
            gravity: system.gravity(),
            hooks: system.hooks().iter().map(|h| Vector::new(h.position.to_array())).collect(),
            bodies: bodies.collect(),
            ties: ties.collect(),
            joints: system.joints().len(),
        }
    }

    pub fn pose(certificate: &Certificate) -> Pose {
        let bodies = certificate.bodies.iter();
        Pose {
            joints: certificate.joints.iter().map(|p| Vector::new(p.to_array())).collect(),
            bodies: bodies
                .map(|b| (Vector::new(b.center_of_gravity.to_array()), b.rotation.to_array().map(Twofold::from)))
                .collect(),
        }
    }

    /// The size of a step of the parameter for a central difference.
    pub fn step(&self, parameter: Parameter) -> f64 {
        STEP * match parameter {
            Parameter::AxialStiffness { member } => self.ties[member].stiffness.value(),
            Parameter::Mass { body } => self.bodies[body].weight.value() / self.gravity,
            _ => 1.0,
        }
    }

    /// The same system with one parameter changed.
    pub fn changed(&self, parameter: Parameter, by: f64) -> Self {
        let mut new = self.clone();
        let by = Twofold::from(by);
        match parameter {
            Parameter::Length { member } => new.ties[member].length = self.ties[member].length + by,
            Parameter::AxialStiffness { member } => new.ties[member].stiffness = self.ties[member].stiffness + by,
            Parameter::LawScale { member } => new.ties[member].scale = self.ties[member].scale + by,
            Parameter::CenterOfGravity { body, axis } => {
                new.bodies[body].center.0[axis] = self.bodies[body].center.0[axis] + by;
            }
            Parameter::Mass { body } => {
                new.bodies[body].weight = self.bodies[body].weight + by * Twofold::from(self.gravity);
            }
            Parameter::Hook { hook, axis } => new.hooks[hook].0[axis] = self.hooks[hook].0[axis] + by,
        }
        new
    }

    fn unknowns(&self) -> usize {
        3 * self.joints + 6 * self.bodies.len()
    }

    fn weight(&self) -> f64 {
        self.bodies.iter().map(|b| b.weight.value()).sum()
    }

    fn end(&self, pose: &Pose, end: End) -> Vector {
        match end {
            End::Hook(hook) => self.hooks[hook],
            End::Joint(joint) => pose.joints[joint],
            End::Body { body, .. } => pose.bodies[body].0.plus(self.arm(pose, end)),
        }
    }

    fn arm(&self, pose: &Pose, end: End) -> Vector {
        match end {
            End::Body { body, point } => {
                let part = &self.bodies[body];
                rotate(pose.bodies[body].1, part.points[point].minus(part.center))
            }
            _ => Vector::default(),
        }
    }

    /// Direction from end b to end a, distance, elongation and tension.
    fn stretch(&self, pose: &Pose, tie: &Tie) -> (Vector, Twofold, Twofold) {
        let span = self.end(pose, tie.ends[0]).minus(self.end(pose, tie.ends[1]));
        let distance = span.length();
        let elongation = distance - tie.length;
        let tension = if elongation.value() <= 0.0 { zero() } else { tie.scale * law(tie, elongation / tie.length) };
        (span.times(one() / distance), elongation, tension)
    }

    /// The gradient: force on each joint, force and moment on each body, upward as energy gradient.
    fn gradient(&self, pose: &Pose) -> Vec<Twofold> {
        let mut g = vec![zero(); self.unknowns()];
        let mut add = |first: usize, v: Vector| {
            for (i, c) in v.0.into_iter().enumerate() {
                g[first + i] = g[first + i] + c;
            }
        };
        for (index, body) in self.bodies.iter().enumerate() {
            add(3 * self.joints + 6 * index, Vector([zero(), zero(), body.weight]));
        }
        for tie in &self.ties {
            let (direction, _, tension) = self.stretch(pose, tie);
            for (end, sign) in tie.ends.into_iter().zip([1.0, -1.0]) {
                let force = direction.times(tension * Twofold::from(sign));
                match end {
                    End::Hook(_) => {}
                    End::Joint(joint) => add(3 * joint, force),
                    End::Body { body, .. } => {
                        add(3 * self.joints + 6 * body, force);
                        add(3 * self.joints + 6 * body + 3, self.arm(pose, end).cross(force));
                    }
                }
            }
        }
        g
    }

    fn moved(&self, pose: &Pose, step: &[Twofold]) -> Pose {
        let mut new = pose.clone();
        let at = |first: usize| Vector([step[first], step[first + 1], step[first + 2]]);
        for (index, joint) in new.joints.iter_mut().enumerate() {
            *joint = joint.plus(at(3 * index));
        }
        for (index, (position, q)) in new.bodies.iter_mut().enumerate() {
            let first = 3 * self.joints + 6 * index;
            *position = position.plus(at(first));
            // (w/2, 1)·q: a turn by w, to second order.
            let half = at(first + 3).times(Twofold::from(0.5));
            let v = Vector([q[0], q[1], q[2]]);
            let turned = v.plus(half.times(q[3])).plus(half.cross(v));
            *q = [turned.0[0], turned.0[1], turned.0[2], q[3] - half.dot(v)];
        }
        new
    }

    /// The Jacobian of the gradient; at a balance it is the Hessian.
    pub fn jacobian(&self, pose: &Pose) -> Matrix {
        let n = self.unknowns();
        let mut rows = vec![vec![zero(); n]; n];
        for column in 0..n {
            let mut step = vec![zero(); n];
            step[column] = Twofold::from(STEP);
            let ahead = self.gradient(&self.moved(pose, &step));
            step[column] = Twofold::from(-STEP);
            let behind = self.gradient(&self.moved(pose, &step));
            for (row, (a, b)) in rows.iter_mut().zip(ahead.into_iter().zip(behind)) {
                row[column] = (a - b) / Twofold::from(2.0 * STEP);
            }
        }
        rows
    }

    /// The exact balance next to `pose`, by Newton's method with one Jacobian; `None` if it does not settle.
    pub fn settle(&self, pose: &Pose, inverse: &Eliminated) -> Option<Pose> {
        let mut pose = pose.clone();
        for _ in 0..60 {
            let g = self.gradient(&pose);
            let left = g.iter().fold(0.0_f64, |most, c| most.max(c.value().abs()));
            let sum: f64 = self.ties.iter().map(|tie| self.stretch(&pose, tie).2.value()).sum();
            if left <= BALANCED * (self.weight() + sum) {
                return Some(pose);
            }
            let step: Vec<Twofold> = inverse.solve(&g).into_iter().map(|c| -c).collect();
            pose = self.moved(&pose, &step);
        }
        None
    }

    pub fn balance(&self, pose: &Pose) -> Balance {
        let stretched: Vec<_> = self.ties.iter().map(|tie| self.stretch(pose, tie)).collect();
        let mut hooks = vec![Vector::default(); self.hooks.len()];
        for (tie, (direction, _, tension)) in self.ties.iter().zip(&stretched) {
            for (end, sign) in tie.ends.into_iter().zip([-1.0, 1.0]) {
                if let End::Hook(hook) = end {
                    hooks[hook] = hooks[hook].plus(direction.times(*tension * Twofold::from(sign)));
                }
            }
        }
        let up = Vector::new([0.0, 0.0, 1.0]);
        Balance {
            tensions: stretched.iter().map(|s| s.2).collect(),
            elongations: stretched.iter().map(|s| s.1).collect(),
            ups: pose.bodies.iter().map(|(_, q)| rotate(conjugate(*q), up)).collect(),
            hooks,
        }
    }
}

fn law(tie: &Tie, strain: Twofold) -> Twofold {
    match &tie.law {
        Law::Linear { .. } => tie.stiffness * strain,
        Law::Polynomial { coefficients } => {
            coefficients.iter().rev().fold(zero(), |sum, c| (sum + Twofold::from(*c)) * strain)
        }
        Law::PiecewiseLinear { points } => {
            let mut from = [0.0, 0.0];
            for (index, to) in points.iter().enumerate() {
                if strain.value() <= to[0] || index + 1 == points.len() {
                    let [e0, t0, e1, t1] = [from[0], from[1], to[0], to[1]].map(Twofold::from);
                    return t0 + (t1 - t0) / (e1 - e0) * (strain - e0);
                }
                from = *to;
            }
            zero()
        }
    }
}

/// A matrix eliminated with full exchange of rows and columns; free turns are left out.
pub struct Eliminated {
    rows: Matrix,
    order: Vec<(usize, usize)>,
}

impl Eliminated {
    pub fn new(matrix: &Matrix) -> Self {
        let n = matrix.len();
        // Each row carries what was done to it: the inverse on the pivots.
        let mut rows: Matrix = matrix.clone();
        for (index, row) in rows.iter_mut().enumerate() {
            row.extend((0..n).map(|c| if c == index { one() } else { zero() }));
        }
        let (mut left_rows, mut left_columns): (Vec<usize>, Vec<usize>) = ((0..n).collect(), (0..n).collect());
        let mut order = Vec::new();
        let mut first = None;
        while !left_rows.is_empty() {
            let (mut best, mut place) = (0.0, (0, 0));
            for (i, r) in left_rows.iter().enumerate() {
                for (j, c) in left_columns.iter().enumerate() {
                    let size = rows[*r][*c].value().abs();
                    if size > best {
                        (best, place) = (size, (i, j));
                    }
                }
            }
            if best <= NULL * *first.get_or_insert(best) {
                break;
            }
            let (r, c) = (left_rows.remove(place.0), left_columns.remove(place.1));
            let pivot = rows[r].clone();
            for (other, row) in rows.iter_mut().enumerate() {
                if other != r && row[c].value() != 0.0 {
                    let factor = row[c] / pivot[c];
                    for (entry, above) in row.iter_mut().zip(&pivot) {
                        *entry = *entry - factor * *above;
                    }
                }
            }
            order.push((r, c));
        }
        Self { rows, order }
    }

    /// Number of free turns.
    pub fn null(&self) -> usize {
        self.rows.len() - self.order.len()
    }

    fn solve(&self, right: &[Twofold]) -> Vec<Twofold> {
        let n = right.len();
        let mut x = vec![zero(); n];
        for (r, c) in &self.order {
            let row = &self.rows[*r];
            let sum = row[n..].iter().zip(right).fold(zero(), |sum, (a, b)| sum + *a * *b);
            x[*c] = sum / row[*c];
        }
        x
    }
}

/// Numbers of negative and of null eigenvalues: the signs of the pivots, the largest on the diagonal first.
pub fn inertia(matrix: &Matrix) -> (usize, usize) {
    let mut m = matrix.clone();
    let mut left: Vec<usize> = (0..m.len()).collect();
    let (mut negative, mut first) = (0, None);
    while !left.is_empty() {
        let size = |i: &usize| m[*i][*i].value().abs();
        let place = (0..left.len()).max_by(|a, b| size(&left[*a]).total_cmp(&size(&left[*b]))).unwrap();
        let p = left[place];
        if size(&p) <= NULL * *first.get_or_insert(size(&p)) {
            break;
        }
        left.remove(place);
        negative += usize::from(m[p][p].value() < 0.0);
        let pivot = m[p].clone();
        for r in &left {
            let factor = m[*r][p] / pivot[p];
            for c in &left {
                m[*r][*c] = m[*r][*c] - factor * pivot[*c];
            }
        }
    }
    (negative, left.len())
}

//! The Hessian put together anew from what a system and its certificate say, and small systems made in the tests. It
//! shares no code with the library.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::{Certificate, Movement, Shape};
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

pub const GRAVITY: f64 = 9.80665;

/// A motion as plain numbers: joints first, then displacement and turn of each body.
pub fn flat(shape: &Shape) -> Vec<f64> {
    let joints = shape.joints.iter().flat_map(|joint| joint.to_array());
    let bodies = shape.bodies.iter().flat_map(|body| [body.displacement, body.turn]).flat_map(|part| part.to_array());
    joints.chain(bodies).collect()
}

pub fn shape(system: &System, x: &[f64]) -> Shape {
    let joints = system.joints().len();
    let part = |i: usize| DVec3::new(x[i], x[i + 1], x[i + 2]);
    Shape {
        joints: (0..joints).map(|joint| part(3 * joint)).collect(),
        bodies: (0..system.bodies().len())
            .map(|body| Movement { displacement: part(3 * joints + 6 * body), turn: part(3 * joints + 6 * body + 3) })
            .collect(),
    }
}

pub fn unknowns(system: &System) -> usize {
    3 * system.joints().len() + 6 * system.bodies().len()
}

/// First- and second-order displacement of an end: s + w × r, and ½(w × (v × r) + v × (w × r)) for two motions.
fn moved(system: &System, certificate: &Certificate, end: End, one: &Shape, other: &Shape) -> (DVec3, DVec3, DVec3) {
    match end {
        End::Hook(_) => (DVec3::ZERO, DVec3::ZERO, DVec3::ZERO),
        End::Joint(joint) => (one.joints[joint], other.joints[joint], DVec3::ZERO),
        End::Body { body, point } => {
            let own = &system.bodies()[body];
            let r = certificate.bodies[body].rotation * (own.points[point] - own.center_of_gravity);
            let (a, b) = (one.bodies[body], other.bodies[body]);
            let second = 0.5 * (a.turn.cross(b.turn.cross(r)) + b.turn.cross(a.turn.cross(r)));
            (a.displacement + a.turn.cross(r), b.displacement + b.turn.cross(r), second)
        }
    }
}

/// The Hessian as a full matrix over meters and radians.
pub fn hessian(system: &System, certificate: &Certificate) -> Vec<Vec<f64>> {
    let n = unknowns(system);
    let unit = |i: usize| shape(system, &(0..n).map(|j| f64::from(u8::from(i == j))).collect::<Vec<f64>>());
    let units: Vec<Shape> = (0..n).map(unit).collect();
    let mut matrix = vec![vec![0.0; n]; n];
    for (member, state) in system.members().iter().zip(&certificate.members) {
        if state.slack {
            continue;
        }
        let (u, t, l) = (state.direction, state.tension, state.length);
        let k = member.law.slope(state.strain) / member.length;
        for i in 0..n {
            for j in 0..=i {
                let (xa, ya, za) = moved(system, certificate, member.a, &units[i], &units[j]);
                let (xb, yb, zb) = moved(system, certificate, member.b, &units[i], &units[j]);
                let (x, y) = (xa - xb, ya - yb);
                let (mx, my) = (u.dot(x), u.dot(y));
                let value = k * mx * my + t / l * (x.dot(y) - mx * my) + t * u.dot(za - zb);
                matrix[i][j] += value;
                if i != j {
                    matrix[j][i] += value;
                }
            }
        }
    }
    matrix
}

/// Squared length of each unknown: 1 for a displacement, the reach squared for a turn.
pub fn squares(system: &System, reaches: &[f64]) -> Vec<f64> {
    let joints = std::iter::repeat_n(1.0, 3 * system.joints().len());
    joints.chain(reaches.iter().flat_map(|r| [1.0, 1.0, 1.0, r * r, r * r, r * r])).collect()
}

/// Number of negative pivots of the matrix minus `cut` times a diagonal one, by elimination with the largest remaining
/// diagonal entry first.
pub fn below(matrix: &[Vec<f64>], squares: &[f64], cut: f64) -> usize {
    let n = matrix.len();
    let mut a: Vec<Vec<f64>> = matrix.to_vec();
    for i in 0..n {
        a[i][i] -= cut * squares[i];
    }
    let mut left: Vec<usize> = (0..n).collect();
    let mut negative = 0;
    while !left.is_empty() {
        let place =
            (0..left.len()).max_by(|x, y| a[left[*x]][left[*x]].abs().total_cmp(&a[left[*y]][left[*y]].abs())).unwrap();
        let p = left.swap_remove(place);
        negative += usize::from(a[p][p] < 0.0);
        for &i in &left {
            let factor = a[i][p] / a[p][p];
            for &j in &left {
                a[i][j] -= factor * a[p][j];
            }
        }
    }
    negative
}

pub fn times(matrix: &[Vec<f64>], x: &[f64]) -> Vec<f64> {
    matrix.iter().map(|row| row.iter().zip(x).map(|(a, b)| a * b).sum()).collect()
}

/// A body as drawn at `position`, upright.
pub fn body(mass: f64, center: [f64; 3], points: &[[f64; 3]], position: [f64; 3]) -> Body {
    Body {
        mass,
        center_of_gravity: DVec3::from_array(center),
        points: points.iter().copied().map(DVec3::from_array).collect(),
        position: DVec3::from_array(position),
        rotation: DQuat::IDENTITY,
    }
}

pub fn at(body: usize, point: usize) -> End {
    End::Body { body, point }
}

pub fn made(hooks: &[[f64; 3]], joints: &[[f64; 3]], bodies: Vec<Body>, members: &[(End, End, f64, f64)]) -> System {
    let hooks = hooks.iter().map(|p| Hook { position: DVec3::from_array(*p) }).collect();
    let joints = joints.iter().map(|p| Joint { position: DVec3::from_array(*p) }).collect();
    let members = members
        .iter()
        .map(|(a, b, length, ea)| Member { a: *a, b: *b, length: *length, law: Law::linear(*ea).unwrap() })
        .collect();
    System::new(GRAVITY, hooks, joints, bodies, members).unwrap()
}

//! Checks a certificate from the raw input and its pose alone, in 32 digits, with no code of the solver.
//!
//! 1. The pose as printed: lugs into the world by the certificate's rotation and position, stretch and tension of each
//!    leg from there; forces and moments must balance within what the rounding of the printed pose allows.
//! 2. The pose refined by Newton's method in 32 digits: the exact balance next to it must lie within rounding, and have
//!    the certificate's tensions and slack legs.
//! 3. The inertia of the Hessian there (signs of the pivots of its elimination) must be that of the state.

use crate::double_double::{Twofold, Vector};
use crate::generator::Rig;
use rigging_core::equilibrium::{Certificate, State};

/// Unbalanced force over the weight.
const FORCE: f64 = 1.0e-9;
/// A tension, over the largest one.
const TENSION: f64 = 1.0e-9;
/// How many roundings of a coordinate a printed pose may be off by.
const ROUNDINGS: f64 = 32.0;
/// The share of W/d below which an eigenvalue counts as zero; the same as the library documents.
const NULL: f64 = 1.0e-9;

type Matrix = [[Twofold; 3]; 3];

fn zero() -> Twofold {
    Twofold::from(0.0)
}

/// Legs at a hook position (both relative to the center of gravity), in 32 digits.
struct Stretched {
    directions: Vec<Vector>,
    lengths: Vec<Twofold>,
    elongations: Vec<Twofold>,
    tensions: Vec<Twofold>,
    springs: Vec<Twofold>,
}

fn stretch(rig: &Rig, arms: Vec<Vector>) -> Stretched {
    let mut all =
        Stretched { directions: vec![], lengths: vec![], elongations: vec![], tensions: vec![], springs: vec![] };
    for ((arm, l0), ea) in arms.into_iter().zip(&rig.lengths).zip(&rig.stiffnesses) {
        let length = arm.length();
        let elongation = length - Twofold::from(*l0);
        let spring = Twofold::from(*ea) / Twofold::from(*l0);
        all.directions.push(arm.times(Twofold::from(1.0) / length));
        all.lengths.push(length);
        all.tensions.push(if elongation.value() > 0.0 { spring * elongation } else { zero() });
        all.elongations.push(elongation);
        all.springs.push(spring);
    }
    all
}

/// v turned by the quaternion (x, y, z, w), which need not be of unit length to the last digit.
fn turned(q: [f64; 4], v: Vector) -> Vector {
    let [x, y, z, w] = q.map(Twofold::from);
    let axis = Vector([x, y, z]);
    let square = axis.dot(axis) + w * w;
    let two = Twofold::from(2.0) / square;
    let side = axis.cross(v);
    v.plus(side.times(two * w)).plus(axis.cross(side).times(two))
}

/// The Hessian of the potential energy over the hook's position.
fn hessian(legs: &Stretched, softening: Twofold, up: Vector) -> Matrix {
    let mut matrix = [[zero(); 3]; 3];
    let one = Twofold::from(1.0);
    for i in 0..legs.lengths.len() {
        if legs.elongations[i].value() <= 0.0 {
            continue;
        }
        let t = legs.tensions[i] / legs.lengths[i];
        let u = legs.directions[i].0;
        for (r, row) in matrix.iter_mut().enumerate() {
            for (c, entry) in row.iter_mut().enumerate() {
                let identity = if r == c { one } else { zero() };
                *entry = *entry + (legs.springs[i] - t) * u[r] * u[c] + t * identity;
            }
        }
    }
    for (r, row) in matrix.iter_mut().enumerate() {
        for (c, entry) in row.iter_mut().enumerate() {
            let identity = if r == c { one } else { zero() };
            *entry = *entry - softening * (identity - up.0[r] * up.0[c]);
        }
    }
    matrix
}

/// Number of negative pivots of matrix + shift·I, largest diagonal first: its number of negative eigenvalues.
fn negatives(matrix: &Matrix, shift: f64) -> usize {
    let mut m = *matrix;
    for (i, row) in m.iter_mut().enumerate() {
        row[i] = row[i] + Twofold::from(shift);
    }
    let mut left = vec![0, 1, 2];
    let mut count = 0;
    while !left.is_empty() {
        let place = (0..left.len())
            .max_by(|a, b| m[left[*a]][left[*a]].value().abs().total_cmp(&m[left[*b]][left[*b]].value().abs()));
        let pivot = left.remove(place.unwrap());
        count += usize::from(m[pivot][pivot].value() < 0.0);
        for r in &left {
            let factor = m[*r][pivot] / m[pivot][pivot];
            for c in &left {
                m[*r][*c] = m[*r][*c] - factor * m[pivot][*c];
            }
        }
    }
    count
}

/// Solves the 3×3 system by elimination with row exchange.
fn eliminate(matrix: &Matrix, right: Vector) -> Vector {
    let mut m = *matrix;
    let mut b = right.0;
    for p in 0..3 {
        let best = (p..3).max_by(|i, j| m[*i][p].value().abs().total_cmp(&m[*j][p].value().abs())).unwrap();
        m.swap(p, best);
        b.swap(p, best);
        for r in p + 1..3 {
            let factor = m[r][p] / m[p][p];
            let pivot = m[p];
            for (entry, above) in m[r].iter_mut().zip(pivot).skip(p) {
                *entry = *entry - factor * above;
            }
            b[r] = b[r] - factor * b[p];
        }
    }
    let mut x = [zero(); 3];
    for p in (0..3).rev() {
        let mut sum = b[p];
        for c in p + 1..3 {
            sum = sum - m[p][c] * x[c];
        }
        x[p] = sum / m[p][p];
    }
    Vector(x)
}

/// Checks `certificate` for `rig`, whose system must have its hook at the world's origin; the text says what is wrong.
pub fn verify(rig: &Rig, certificate: &Certificate) -> Result<(), String> {
    let weight = rig.weight();
    let pose = certificate.bodies[0];
    let cog = Vector::new(rig.center_of_gravity.to_array());
    let points: Vec<Vector> = rig.points.iter().map(|p| Vector::new(p.to_array())).collect();
    // Largest coordinate the pose is made of, and the force that a rounding of it stands for.
    let size = rig.points.iter().chain([&rig.center_of_gravity, &pose.hook_in_body, &pose.position]);
    let size = size.fold(0.0_f64, |most, p| most.max(p.abs().max_element()));
    let stiffest: f64 = rig.stiffnesses.iter().zip(&rig.lengths).map(|(ea, l)| ea / l).sum();
    let rounding = ROUNDINGS * f64::EPSILON * size;
    let noise = stiffest * rounding;

    // 1. In the world.
    let q = pose.rotation.to_array();
    let position = Vector::new(pose.position.to_array());
    let world = |p: Vector| position.plus(turned(q, p));
    let hung = stretch(rig, points.iter().map(|p| Vector::default().minus(world(*p))).collect());
    let mut force = Vector::new([0.0, 0.0, -weight]);
    let mut moment = Vector::default();
    let center = world(cog);
    let mut sum = 0.0;
    for (i, point) in points.iter().enumerate() {
        let pull = hung.directions[i].times(hung.tensions[i]);
        force = force.plus(pull);
        moment = moment.plus(world(*point).minus(center).cross(pull));
        sum += hung.tensions[i].value();
    }
    let allowed = FORCE * weight + 64.0 * f64::EPSILON * sum + noise;
    let (left, turning) = (force.length().value(), moment.length().value());
    if left > allowed {
        return Err(format!("force {left:e} left, allowed {allowed:e}"));
    }
    if turning > allowed * 2.0 * size {
        return Err(format!("moment {turning:e} left, allowed {:e}", allowed * 2.0 * size));
    }

    // 2. The exact balance next to the pose, in the load's frame.
    let printed = Vector::new(pose.hook_in_body.to_array()).minus(cog);
    let mut hook = printed;
    let mut legs;
    let mut matrix;
    let mut height;
    let mut rounds = 0;
    loop {
        legs = stretch(rig, points.iter().map(|p| hook.minus(p.minus(cog))).collect());
        height = hook.length();
        let up = hook.times(Twofold::from(1.0) / height);
        let mut gradient = up.times(Twofold::from(-weight));
        for i in 0..legs.lengths.len() {
            gradient = gradient.plus(legs.directions[i].times(legs.tensions[i]));
        }
        matrix = hessian(&legs, Twofold::from(weight) / height, up);
        if gradient.length().value() <= 1.0e-22 * (weight + sum) || certificate.state == State::Neutral {
            break;
        }
        rounds += 1;
        if rounds > 40 {
            return Err(format!("the refined pose does not settle: {:e} left", gradient.length().value()));
        }
        hook = hook.minus(eliminate(&matrix, gradient));
    }
    let largest = legs.tensions.iter().fold(0.0_f64, |most, t| most.max(t.value()));
    let allowed = TENSION * largest + noise;
    for (i, member) in certificate.members.iter().enumerate() {
        let tension = legs.tensions[i].value();
        if (member.tension - tension).abs() > allowed {
            return Err(format!("tension {i} {} against {tension}, allowed {allowed:e}", member.tension));
        }
        if member.slack != (member.tension == 0.0) || member.tension < 0.0 {
            return Err(format!("leg {i} is slack with a tension, or taut without"));
        }
        let elongation = legs.elongations[i].value();
        if member.slack == (elongation > 0.0)
            && elongation.abs() > rounding + 1.0e-9 * weight * rig.lengths[i] / rig.stiffnesses[i]
        {
            return Err(format!("leg {i}: slack {} at an elongation of {elongation:e}", member.slack));
        }
    }

    // 3. The state.
    let threshold = NULL * weight / height.value() + 4.0 * f64::EPSILON * stiffest;
    let upright = hook.0[2].value() > 0.0;
    let wanted = match certificate.state {
        State::Stable => upright && negatives(&matrix, -0.5 * threshold) == 0,
        State::Neutral => {
            upright && negatives(&matrix, 2.0 * threshold) == 0 && negatives(&matrix, -2.0 * threshold) > 0
        }
        State::Unstable => upright && negatives(&matrix, 0.5 * threshold) > 0 && certificate.destination.is_some(),
        // Where a lost load ends must be a place it can stay at.
        State::Lost => !upright && negatives(&matrix, 2.0 * threshold) == 0,
    };
    if !wanted {
        return Err(format!(
            "{:?} with {} negative modes and hook at {:?}",
            certificate.state,
            negatives(&matrix, 0.0),
            hook.values()
        ));
    }
    // A balance of positive definite Hessian is isolated: the exact one must be the one that was printed.
    let moved = hook.minus(printed).length().value();
    if certificate.state == State::Stable && moved > 1.0e-6 * height.value() {
        let softest = certificate.eigenvalues[0];
        if moved > 4.0 * (1.0e-9 * weight + noise) / softest {
            return Err(format!("the exact balance lies {moved:e} m away"));
        }
    }
    Ok(())
}

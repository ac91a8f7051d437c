//! One to three legs: statics alone decides.

use super::{LegSet, SetLeg, SharingRule, Words};
use crate::error::{Error, Place};
use crate::source::Source;
use glam::{DMat3, DVec3};

/// How small a triangle, or a determinant, counts as none, as a share of its sides.
const FLAT: f64 = 1e-9;
/// A force below zero by no more than this share of the weight is rounding.
const ROUNDING: f64 = 1e-12;

/// Tensions of one to three legs that do not stretch, in the attitude in which the load comes to rest under the hook.
///
/// The lengths fix where the hook stands over the load; the plumb line then leads from it through the center of gravity, and
/// forces alone balance. Stretch is neglected, tolerances are not looked at, and whether the load hangs stably is said for
/// two legs only (the center of gravity must be below the line between its points).
///
/// # Sources
/// Mechanics: as many unknown tensions as the directions in which the hook is held.
///
/// ```
/// use rigging_core::sharing::{Determinate, SharingRule};
/// assert!(!Determinate.words().conservative);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Determinate;

impl SharingRule for Determinate {
    fn words(&self) -> Words {
        Words {
            name: "statics of one to three legs".into(),
            domain: "one to three legs that hardly stretch, from points that lie neither in one line nor in one place"
                .into(),
            source: Source::mechanics("balance of forces at the hook, legs inextensible"),
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let forces = match set.legs() {
            [_] => vec![set.weight()],
            [a, b] => two(set, a, b)?,
            [a, b, c] => three(set, a, b, c)?,
            _ => {
                set.count_within(1..=3)?;
                Vec::new()
            }
        };
        let pushed = forces.iter().position(|force| *force < -ROUNDING * set.weight());
        if let Some(index) = pushed {
            return Err(refused("a leg would have to push").at(Place::root().child("legs").child(index)));
        }
        Ok(forces.into_iter().map(|force| force.max(0.0)).collect())
    }
}

/// The load turns about the line between the points until its center of gravity is plumb below the hook.
fn two(set: &LegSet, a: &SetLeg, b: &SetLeg) -> Result<Vec<f64>, Error> {
    let between = b.point - a.point;
    let distance = between.length();
    if distance <= FLAT * (a.length + b.length) {
        return Err(refused("both points lie in one place"));
    }
    let along = between / distance;
    let below = set.center_of_gravity() - a.point;
    let below = below - along * below.dot(along);
    // A center of gravity on the line leaves the attitude open, and the forces do not depend on it.
    let up = match below.length() > FLAT * distance {
        true => -below.normalize(),
        false => (DVec3::Z - along * along.z).normalize_or_zero(),
    };
    if up.z <= 0.0 {
        return Err(refused("the center of gravity is not below the line between the points: the load turns over"));
    }
    let foot = (a.length * a.length - b.length * b.length + distance * distance) / (2.0 * distance);
    let hook = a.point + along * foot + up * height(a.length * a.length - foot * foot)?;
    let plumb = plumb(set, hook)?;
    // Everything lies in the plane of `along` and `up`.
    let flat = |vector: DVec3| (vector.dot(along), vector.dot(up));
    let cross = |one: (f64, f64), other: (f64, f64)| one.0 * other.1 - one.1 * other.0;
    let (u, v, w) = (flat((hook - a.point) / a.length), flat((hook - b.point) / b.length), flat(plumb));
    let area = cross(u, v);
    if area.abs() <= FLAT {
        return Err(refused("both legs lie in one line"));
    }
    Ok(vec![set.weight() * cross(w, v) / area, set.weight() * cross(u, w) / area])
}

fn three(set: &LegSet, a: &SetLeg, b: &SetLeg, c: &SetLeg) -> Result<Vec<f64>, Error> {
    let (ab, ac) = (b.point - a.point, c.point - a.point);
    let normal = ab.cross(ac);
    if normal.length() <= FLAT * ab.length_squared().max(ac.length_squared()) {
        return Err(refused("the points lie in one line or place"));
    }
    let up = normal.normalize() * if normal.z < 0.0 { -1.0 } else { 1.0 };
    if up.z <= FLAT {
        return Err(refused("the points lie in a plumb plane"));
    }
    // Three spheres: two planes across `ab` and `ac`, and the height above the plane of the points.
    let plane =
        |leg: &SetLeg, side: DVec3| (a.length * a.length - leg.length * leg.length + side.length_squared()) / 2.0;
    let flat = DMat3::from_cols(ab, ac, up).transpose().inverse() * DVec3::new(plane(b, ab), plane(c, ac), 0.0);
    let hook = a.point + flat + up * height(a.length * a.length - flat.length_squared())?;
    let directions = [a, b, c].map(|leg| (hook - leg.point) / leg.length);
    let [u, v, w] = directions;
    let matrix = DMat3::from_cols(u, v, w);
    if matrix.determinant().abs() <= FLAT {
        return Err(refused("all legs lie in one plane"));
    }
    Ok((matrix.inverse() * plumb(set, hook)? * set.weight()).to_array().to_vec())
}

/// Height of the hook from its square.
fn height(square: f64) -> Result<f64, Error> {
    if square > 0.0 { Ok(square.sqrt()) } else { Err(refused("the legs are too short to meet at one hook")) }
}

/// The direction upward through the center of gravity and the hook, in the frame of the load.
fn plumb(set: &LegSet, hook: DVec3) -> Result<DVec3, Error> {
    let up = (hook - set.center_of_gravity()).normalize_or_zero();
    if up.z > 0.0 { Ok(up) } else { Err(refused("the hook is not above the center of gravity: the load turns over")) }
}

fn refused(why: &str) -> Error {
    Error::unsupported(format!("statics of one to three legs where {why}"), Place::root().child("legs"))
}

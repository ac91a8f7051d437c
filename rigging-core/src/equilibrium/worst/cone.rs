//! Which legs can carry the load together.

use super::affine::along;
use super::section::LEFT_OVER;
use super::zone::{Geometry, middle};
use glam::DVec3;

/// Whether the legs of a set, given by bits, are proven unable to carry the load: no tensions of theirs, none negative, add up
/// to a force along the plumb line, for any directions of the geometry.
///
/// A vector q with q·u < 0 for every leg and q·n > 0 is the proof. It is sought at the middle of the geometry: what the plumb
/// line has beyond the cone of the legs, tipped a little away from them, so that there is room on either side.
pub(super) fn cannot_carry(geometry: &Geometry, set: u32) -> bool {
    let legs: Vec<usize> = (0..geometry.directions.len()).filter(|leg| set >> leg & 1 == 1).collect();
    let directions: Vec<DVec3> = legs.iter().filter_map(|leg| geometry.directions.get(*leg)).map(middle).collect();
    let up = middle(&geometry.up);
    let Some(beyond) = beyond(&directions, up) else { return false };
    let mean = directions.iter().sum::<DVec3>().normalize_or_zero();
    let away = mean.dot(up);
    let tip = if away > 0.0 { 0.5 * beyond.length_squared() / away } else { 0.0 };
    let q = (beyond - tip * mean).to_array();
    // The force that is left over in a base may not tip the scale: |q| is 2 at most.
    along(q, &geometry.up).range().lo > 4.0 * LEFT_OVER
        && legs.iter().filter_map(|leg| geometry.directions.get(*leg)).all(|u| along(q, u).range().hi < 0.0)
}

/// What a vector has beyond the cone of some directions: itself less the nearest vector of the cone, which lies on one or
/// between two of them. None if it lies within the cone, or nearly so.
fn beyond(directions: &[DVec3], up: DVec3) -> Option<DVec3> {
    const LEAST: f64 = 1.0e-6;
    let outside = |rest: DVec3| rest.length() > LEAST && directions.iter().all(|u| u.dot(rest) <= 1.0e-9);
    if outside(up) {
        return Some(up);
    }
    for (index, one) in directions.iter().enumerate() {
        let rest = up - one.dot(up) * *one;
        if one.dot(up) > 0.0 && outside(rest) {
            return Some(rest);
        }
        for other in directions.iter().take(index) {
            let cosine = one.dot(*other);
            let sine = 1.0 - cosine * cosine;
            if sine < LEAST {
                continue;
            }
            let (a, b) = (one.dot(up), other.dot(up));
            let (a, b) = ((a - cosine * b) / sine, (b - cosine * a) / sine);
            let rest = up - a * *one - b * *other;
            if a >= 0.0 && b >= 0.0 && outside(rest) {
                return Some(rest);
            }
        }
    }
    None
}

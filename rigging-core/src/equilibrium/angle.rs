//! Angles without the platform's mathematical library, so that they are the same on every machine.

use glam::DVec3;
use std::f64::consts::{FRAC_PI_2, PI};

/// The angle, 0 to π, whose sine and cosine stand in the ratio `sine` to `cosine`; `sine` ≥ 0.
pub(super) fn angle(sine: f64, cosine: f64) -> f64 {
    if sine <= cosine.abs() {
        let acute = arc_tangent(sine / cosine.abs());
        if cosine >= 0.0 { acute } else { PI - acute }
    } else {
        let acute = arc_tangent(cosine.abs() / sine);
        if cosine >= 0.0 { FRAC_PI_2 - acute } else { FRAC_PI_2 + acute }
    }
}

/// The angle between two directions of any length but zero, rad, 0 to π.
pub fn angle_between(one: DVec3, other: DVec3) -> f64 {
    angle(one.cross(other).length(), one.dot(other))
}

/// Arc tangent for 0 ≤ x ≤ 1: the angle is halved three times, then the power series.
fn arc_tangent(x: f64) -> f64 {
    let mut x = if x.is_nan() { 0.0 } else { x };
    for _ in 0..3 {
        x /= 1.0 + (1.0 + x * x).sqrt();
    }
    // x ≤ tan(π/32) < 0.0985: the first omitted term is below 2e-18 of the sum.
    let square = x * x;
    let mut sum = 0.0;
    for power in [15.0, 13.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0] {
        sum = 1.0 / power - square * sum;
    }
    8.0 * x * sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_agree_with_the_platform() {
        for step in 0..=1000 {
            let expected = PI * f64::from(step) / 1000.0;
            let found = angle(expected.sin().max(0.0), expected.cos());
            assert!((found - expected).abs() < 1.0e-15 * 4.0, "{expected} {found}");
        }
        assert_eq!(angle(0.0, 1.0), 0.0);
        assert_eq!(angle(0.0, -1.0), PI);
    }
}

//! Angles without the platform's mathematical library, so that they are the same on every machine.

use glam::DVec3;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4, PI};

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

/// The arc tangents of 0, 1/8, … 1.
const EIGHTHS: [f64; 9] = [
    0.0,
    0.12435499454676144,
    0.24497866312686414,
    0.35877067027057225,
    0.4636476090008061,
    0.5585993153435624,
    0.6435011087932844,
    0.7188299996216245,
    FRAC_PI_4,
];

/// Arc tangent for 0 ≤ x ≤ 1: that of the nearest eighth, and of what is left by the rule for differences a power series.
fn arc_tangent(x: f64) -> f64 {
    let eighths = (8.0 * x + 0.5) as usize;
    let near = eighths as f64 / 8.0;
    let left = (x - near) / (1.0 + x * near);
    // |left| ≤ 1/16: the first omitted term is below 1e-18 of the sum.
    let square = left * left;
    let mut sum = 0.0;
    for power in [13.0, 11.0, 9.0, 7.0, 5.0, 3.0, 1.0] {
        sum = 1.0 / power - square * sum;
    }
    EIGHTHS.get(eighths).copied().unwrap_or(0.0) + left * sum
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

    /// Between the eighths, at the halves where another one becomes the nearest, and next to them.
    #[test]
    fn arc_tangents_agree_with_the_platform_to_two_units_in_the_last_digit() {
        let sixteenths = (0..=16_u32).map(|count| f64::from(count) / 16.0);
        let next = sixteenths.flat_map(|x| [x * (1.0 - f64::EPSILON), x, x * (1.0 + f64::EPSILON)]);
        let between = (0..=100_000_u32).map(|count| f64::from(count) / 1e5);
        let small = (1..300).map(|power| 10.0_f64.powi(-power));
        let mut worst = 0.0_f64;
        for x in next.chain(between).chain(small).filter(|x| *x <= 1.0) {
            let expected = x.atan();
            worst = worst.max((arc_tangent(x) - expected).abs() / expected.max(f64::MIN_POSITIVE));
        }
        println!("off by {:.2} units in the last digit at most", worst / f64::EPSILON);
        assert!(worst <= 2.0 * f64::EPSILON);
    }
}

//! Turns as forms: of a rigid body about its nominal attitude.
//!
//! A turn is told by its axis times the sine of half its angle, g, up to half a turn. With w = √(1 − g²) a vector v becomes
//! v + 2·w·g×v + 2·g×(g×v), exactly.

use super::affine::{Affine, Affine3};
use super::interval::Interval;
use glam::DQuat;

/// Three rows of three.
pub(super) type Matrix<T> = [[T; 3]; 3];

/// The matrix of a turn; none where g may be as long as one.
pub(super) fn turning<const N: usize>(g: &Affine3<N>) -> Option<Matrix<Affine<N>>> {
    let [x, y, z] = *g;
    let [xx, yy, zz] = g.map(|component| component.square());
    let w = (Affine::point(1.0) - xx - yy - zz).root()?;
    let [wx, wy, wz] = g.map(|component| component * w);
    let (xy, yz, zx) = (x * y, y * z, z * x);
    let one = Affine::point(1.0);
    let rows = [
        [one - (yy + zz) * 2.0, (xy - wz) * 2.0, (zx + wy) * 2.0],
        [(xy + wz) * 2.0, one - (zz + xx) * 2.0, (yz - wx) * 2.0],
        [(zx - wy) * 2.0, (yz + wx) * 2.0, one - (xx + yy) * 2.0],
    ];
    Some(rows)
}

/// The matrix of an attitude. A quaternion is not quite of length one; that of the same axis and angle is taken.
pub(super) fn attitude(quaternion: DQuat) -> Matrix<Interval> {
    let [x, y, z, w] = quaternion.to_array().map(Interval::point);
    let double = Interval::point(2.0) / (x * x + y * y + z * z + w * w);
    let one = Interval::ONE;
    [
        [one - (y * y + z * z) * double, (x * y - w * z) * double, (z * x + w * y) * double],
        [(x * y + w * z) * double, one - (z * z + x * x) * double, (y * z - w * x) * double],
        [(z * x - w * y) * double, (y * z + w * x) * double, one - (x * x + y * y) * double],
    ]
}

/// The g of what turns one attitude into another.
pub(super) fn between(from: DQuat, to: DQuat) -> [f64; 3] {
    let turn = to * from.conjugate();
    let sign = if turn.w < 0.0 { -1.0 } else { 1.0 };
    [turn.x, turn.y, turn.z].map(|component| sign * component)
}

/// A matrix of intervals times a vector of them.
pub(super) fn turned(matrix: &Matrix<Interval>, v: [Interval; 3]) -> [Interval; 3] {
    let [x, y, z] = v;
    matrix.map(|[a, b, c]| a * x + b * y + c * z)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use glam::DVec3;

    /// The matrices hold what the quaternion does, for turns drawn from a box, and a turn is found again from both attitudes.
    #[test]
    fn matrices_enclose_what_quaternions_turn() {
        let side = |middle: f64| Interval { lo: middle - 0.1, hi: middle + 0.1 };
        let middles = [0.2, -0.1, 0.3];
        let g: Affine3<4> = [0, 1, 2].map(|axis| Affine::side(axis, side(middles[axis])));
        let forms = turning(&g).unwrap();
        let nominal = DQuat::from_xyzw(0.1, -0.2, 0.3, 0.9);
        let start = attitude(nominal);
        for draw in 0..1000_u32 {
            let s = [1, 7, 31].map(|factor| f64::from(draw * factor % 101) / 50.0 - 1.0);
            let drawn = DVec3::from_array([0, 1, 2].map(|axis| middles[axis] + 0.1 * s[axis]));
            let turn = DQuat::from_xyzw(drawn.x, drawn.y, drawn.z, (1.0 - drawn.length_squared()).sqrt());
            for (column, unit) in [DVec3::X, DVec3::Y, DVec3::Z].into_iter().enumerate() {
                let (moved, before) = ((turn * unit).to_array(), (nominal.normalize() * unit).to_array());
                for row in 0..3 {
                    let form = &forms[row][column];
                    let line = form.middle + form.slopes.iter().zip(s).map(|(slope, s)| slope * s).sum::<f64>();
                    assert!((moved[row] - line).abs() <= form.rest + 1.0e-14);
                    assert!((before[row] - start[row][column].middle()).abs() < 1.0e-14);
                }
            }
            let found = DVec3::from_array(between(nominal.normalize(), turn * nominal.normalize()));
            assert!((found - drawn).length() < 1.0e-14);
        }
        // What is turned by its attitude and back stays; a half turn has no form.
        let identity = turned(&attitude(nominal.conjugate()), turned(&start, [0.3, -0.4, 0.5].map(Interval::point)));
        assert!(identity.iter().zip([0.3, -0.4, 0.5]).all(|(found, v)| found.contains(v) && found.width() < 1.0e-14));
        assert!(turning(&[Affine::<4>::point(0.8), Affine::point(0.7), Affine::ZERO]).is_none());
    }
}

//! What rounding leaves of the forces in the nominal state as it was found.

use super::super::affine::Affine;
use super::super::interval::Interval;
use super::super::law;
use super::{Line, square};

/// The most that may be left over, over the weight: of forces, and of moments over the longest leg.
const LEFT_OVER: f64 = 1.0e-8;

/// With this force and this moment about the nominal center of gravity added, the nominal state as it was found is a balance.
/// Conditions are widened by that, so that they hold from there to where none is added.
pub(super) struct LeftOver {
    /// Over the least weight.
    pub(super) force: f64,
    /// Over the least weight, m.
    moment: f64,
}

impl LeftOver {
    /// At nominal numbers, with the nominal center of gravity in a place and in the nominal attitude. None if it is too much.
    pub(super) fn of(lines: &[Line], place: &[f64; 6], pull: Interval, weight: Interval) -> Option<Self> {
        let [x, y, z, ..] = *place;
        let (mut force, mut moment) = ([Interval::ZERO, Interval::ZERO, -pull], [Interval::ZERO; 3]);
        let mut longest = 0.0_f64;
        for line in lines {
            let ([hx, hy, hz], [px, py, pz]) = (line.from, line.point);
            let [ax, ay, az] =
                [hx - Interval::point(x) - px, hy - Interval::point(y) - py, hz - Interval::point(z) - pz];
            let length = square(&[ax, ay, az].map(Affine::<4>::within)).root()?.range();
            longest = longest.max(length.hi);
            let strain = length / Interval::point(line.nominal) - Interval::ONE;
            let density = law::tension(&line.sling.law, strain) / length;
            let [fx, fy, fz] = [ax * density, ay * density, az * density];
            let turning = [py * fz - pz * fy, pz * fx - px * fz, px * fy - py * fx];
            for ((sum, part), (other, turning)) in
                force.iter_mut().zip([fx, fy, fz]).zip(moment.iter_mut().zip(turning))
            {
                *sum = *sum + part;
                *other = *other + turning;
            }
        }
        let size = |parts: [Interval; 3]| parts.iter().map(|part| 2.0 * (*part / weight).magnitude()).sum::<f64>();
        let found = Self { force: size(force), moment: size(moment) };
        (found.force < LEFT_OVER && found.moment < LEFT_OVER * longest).then_some(found)
    }

    /// Force, and moment about a point within `reach` of the nominal center of gravity.
    pub(super) fn at(&self, reach: f64) -> [f64; 2] {
        [self.force, 2.0 * (self.moment + reach * self.force)]
    }
}

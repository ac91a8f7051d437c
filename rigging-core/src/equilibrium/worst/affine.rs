//! Numbers that are known as a linear function of the numbers of the box, and a rest.
//!
//! Two intervals of the same origin forget that they vary together: the tensions of opposite legs rise where the others fall,
//! and their sum hardly changes. A number in this form does not forget.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of symbols")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::interval::Interval;
use std::ops::{Add, Mul, Neg, Sub};

/// Bounds the rounding of one operation on a coefficient, over the sizes of what is added up in it.
const ROUNDING: f64 = 4.0 * f64::EPSILON;
/// What the rounding of a sum of numbers that are not negative may have lost, and more.
const UPWARD: f64 = 1.0 + 64.0 * f64::EPSILON;

/// middle + Σ slope·s + something from −rest to rest, where each s lies between −1 and 1 and stands for one number of the box:
/// its distance from the middle of its side, over half the side. What rounding takes off middle and slopes is added to the
/// rest. N is a multiple of four.
#[derive(Debug, Clone, Copy)]
pub(super) struct Affine<const N: usize> {
    pub(super) middle: f64,
    pub(super) slopes: [f64; N],
    pub(super) rest: f64,
}

impl<const N: usize> Affine<N> {
    pub(super) const ZERO: Self = Self::point(0.0);

    pub(super) const fn point(x: f64) -> Self {
        Self { middle: x, slopes: [0.0; N], rest: 0.0 }
    }

    /// A number of the box: the middle of its side, and half of it times its own s.
    pub(super) fn side(index: usize, side: Interval) -> Self {
        let mut number = Self::point(side.middle());
        number.slopes[index] = side.radius();
        number
    }

    /// A number that is known up to an interval only.
    pub(super) fn within(range: Interval) -> Self {
        Self { rest: range.radius(), ..Self::point(range.middle()) }
    }

    /// The same, known less closely.
    pub(super) fn widened(mut self, by: f64) -> Self {
        self.rest = (self.rest + by) * UPWARD;
        self
    }

    /// Σ |slope|.
    #[inline]
    pub(super) fn reach(&self) -> f64 {
        const { assert!(N.is_multiple_of(4)) };
        // Four sums side by side take a quarter of the time of one.
        let mut sums = [0.0; 4];
        for four in self.slopes.chunks_exact(4) {
            for (sum, slope) in sums.iter_mut().zip(four) {
                *sum += slope.abs();
            }
        }
        (sums[0] + sums[1] + sums[2] + sums[3]) * UPWARD
    }

    /// The largest distance from the middle.
    #[inline]
    pub(super) fn radius(&self) -> f64 {
        (self.reach() + self.rest) * UPWARD
    }

    #[inline]
    pub(super) fn range(&self) -> Interval {
        Interval::around(self.middle, self.radius())
    }

    /// x². Beyond its tangent at the middle lies at most radius².
    #[inline]
    pub(super) fn square(&self) -> Self {
        let radius = self.radius();
        self.along(self.middle * self.middle, 2.0 * self.middle, radius * radius * UPWARD)
    }

    /// √x; none unless x is positive. Below its tangent at the middle lies at most ⅛·x^(−3/2)·radius², x the least.
    pub(super) fn root(&self) -> Option<Self> {
        let radius = self.radius();
        let least = (self.middle - radius).next_down();
        if !(least > 0.0) {
            return None;
        }
        let value = self.middle.sqrt();
        Some(self.along(value, 0.5 / value, -0.125 * radius * radius / (least * least.sqrt()) * UPWARD))
    }

    /// 1/√x; none unless x is positive. Beyond its tangent at the middle lies at most ⅜·x^(−5/2)·radius², x the least.
    pub(super) fn inverse_root(&self) -> Option<Self> {
        let radius = self.radius();
        let least = (self.middle - radius).next_down();
        if !(least > 0.0) {
            return None;
        }
        let value = 1.0 / self.middle.sqrt();
        let beyond = 0.375 * radius * radius / (least * least * least.sqrt()) * UPWARD;
        Some(self.along(value, -0.5 * value / self.middle, beyond))
    }

    /// 1/x; none unless x is positive. Beyond its tangent at the middle lies at most x^(−3)·radius², x the least.
    pub(super) fn inverse(&self) -> Option<Self> {
        let radius = self.radius();
        let least = (self.middle - radius).next_down();
        if !(least > 0.0) {
            return None;
        }
        let value = 1.0 / self.middle;
        let beyond = radius * radius / (least * least * least) * UPWARD;
        Some(self.along(value, -value * value, beyond))
    }

    /// A convex or concave function by its tangent: value and slope at the middle, each off by a few units in the last place,
    /// and how far it may rise above or, negative, stay below.
    fn along(&self, value: f64, slope: f64, beyond: f64) -> Self {
        let rounding = 4.0 * ROUNDING * (value.abs() + slope.abs() * (self.middle.abs() + self.radius()));
        let rest = slope.abs() * self.rest + 0.5 * beyond.abs() + rounding;
        Self { middle: value + 0.5 * beyond, slopes: self.slopes.map(|own| own * slope), rest: rest * UPWARD }
    }
}

impl<const N: usize> Neg for Affine<N> {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { middle: -self.middle, slopes: self.slopes.map(|slope| -slope), rest: self.rest }
    }
}

impl<const N: usize> Add for Affine<N> {
    type Output = Self;
    #[inline]
    fn add(mut self, other: Self) -> Self {
        self.middle += other.middle;
        for (own, other) in self.slopes.iter_mut().zip(&other.slopes) {
            *own += other;
        }
        self.rest = (self.rest + other.rest + ROUNDING * (self.middle.abs() + self.reach())) * UPWARD;
        self
    }
}

impl<const N: usize> Sub for Affine<N> {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl<const N: usize> Mul for Affine<N> {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        let (a, b) = (self.middle.abs(), other.middle.abs());
        let (own, others) = (self.reach(), other.reach());
        let mut product = Self::point(self.middle * other.middle);
        for (slope, (x, y)) in product.slopes.iter_mut().zip(self.slopes.iter().zip(&other.slopes)) {
            *slope = self.middle * y + other.middle * x;
        }
        let rest = a * other.rest + b * self.rest + (own + self.rest) * (others + other.rest);
        product.rest = (rest + ROUNDING * (a * b + a * others + b * own)) * UPWARD;
        product
    }
}

impl<const N: usize> Mul<f64> for Affine<N> {
    type Output = Self;
    #[inline]
    fn mul(mut self, factor: f64) -> Self {
        self.middle *= factor;
        for slope in &mut self.slopes {
            *slope *= factor;
        }
        self.rest = (self.rest * factor.abs() + ROUNDING * (self.middle.abs() + self.reach())) * UPWARD;
        self
    }
}

impl<const N: usize> Mul<Interval> for Affine<N> {
    type Output = Self;
    #[inline]
    fn mul(self, factor: Interval) -> Self {
        let size = self.middle.abs() + self.radius();
        (self * factor.middle()).widened(factor.radius() * size * UPWARD)
    }
}

/// A vector of three.
pub(super) type Affine3<const N: usize> = [Affine<N>; 3];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// Every operation encloses the result for drawn values of the numbers.
    #[test]
    fn every_operation_encloses_the_result_for_the_same_numbers() {
        let sides = [Interval { lo: 1.0, hi: 1.4 }, Interval { lo: 2.0, hi: 2.2 }];
        let x = Affine::side(0, sides[0]);
        let y = Affine::side(1, sides[1]).widened(0.01);
        for i in 0..=10 {
            for j in 0..=10 {
                for rest in [-0.01, 0.0, 0.01] {
                    let (a, b) = (1.0 + 0.04 * f64::from(i), 2.0 + 0.02 * f64::from(j) + rest);
                    let (s, t) = (0.2 * f64::from(i) - 1.0, 0.2 * f64::from(j) - 1.0);
                    // The number itself is the middle and its slopes; the value must be within the rest of that.
                    let near = |form: Affine<4>, value: f64| {
                        let line = form.middle + form.slopes[0] * s + form.slopes[1] * t;
                        (value - line).abs() <= form.rest + 1.0e-14 && form.range().contains(value)
                    };
                    assert!(near(x + y, a + b) && near(x - y, a - b) && near(x * y, a * b) && near(y * y, b * b));
                    assert!(near(y.square(), b * b) && near(y.root().unwrap(), b.sqrt()));
                    assert!(near(x.inverse_root().unwrap(), 1.0 / a.sqrt()) && near(y.inverse().unwrap(), 1.0 / b));
                    assert!(near(x * 3.0, 3.0 * a) && near(-x, -a));
                    for factor in [-0.5, 0.1, 0.7] {
                        assert!(near(y * Interval { lo: -0.5, hi: 0.7 }, factor * b));
                        assert!(near(Affine::within(Interval { lo: -0.5, hi: 0.7 }), factor));
                    }
                }
            }
        }
        assert!((x - x).radius() < 1.0e-14);
    }

    #[test]
    fn what_may_vanish_has_no_inverse() {
        let x = Affine::<4>::side(0, Interval { lo: 0.0, hi: 1.0 });
        assert!(x.inverse_root().is_none() && x.inverse().is_none());
    }
}

//! Intervals of doubles whose operations round outward.

use std::ops::{Add, Div, Mul, Neg, Sub};

/// A closed interval. Every operation returns an interval that holds each result that any two numbers of its operands can
/// have: the nearest double to a bound is off by half a unit in the last place at most, so its neighbor encloses it. An
/// operation without a result (a division by an interval that holds zero) is the whole line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Interval {
    pub(super) lo: f64,
    pub(super) hi: f64,
}

/// The next double downward; below the normal numbers the least normal one, whose arithmetic is not slow.
#[inline]
fn down(x: f64) -> f64 {
    if x.abs() < f64::MIN_POSITIVE { -f64::MIN_POSITIVE } else { x.next_down() }
}

/// The next double upward, likewise.
#[inline]
fn up(x: f64) -> f64 {
    if x.abs() < f64::MIN_POSITIVE { f64::MIN_POSITIVE } else { x.next_up() }
}

impl Interval {
    pub(super) const ENTIRE: Self = Self { lo: f64::NEG_INFINITY, hi: f64::INFINITY };
    pub(super) const ZERO: Self = Self { lo: 0.0, hi: 0.0 };
    pub(super) const ONE: Self = Self { lo: 1.0, hi: 1.0 };

    #[inline]
    pub(super) const fn point(x: f64) -> Self {
        Self { lo: x, hi: x }
    }

    /// From `middle` − `radius` to `middle` + `radius`.
    #[inline]
    pub(super) fn around(middle: f64, radius: f64) -> Self {
        if radius == 0.0 {
            return Self::point(middle);
        }
        Self { lo: down(middle - radius), hi: up(middle + radius) }.checked()
    }

    /// What is not a number bounds nothing.
    #[inline]
    fn checked(self) -> Self {
        if self.lo <= self.hi { self } else { Self::ENTIRE }
    }

    #[inline]
    pub(super) fn hull(self, other: Self) -> Self {
        Self { lo: self.lo.min(other.lo), hi: self.hi.max(other.hi) }
    }

    /// What both have in common.
    #[inline]
    pub(super) fn meet(self, other: Self) -> Option<Self> {
        let common = Self { lo: self.lo.max(other.lo), hi: self.hi.min(other.hi) };
        (common.lo <= common.hi).then_some(common)
    }

    #[inline]
    pub(super) fn middle(self) -> f64 {
        0.5 * (self.lo + self.hi)
    }

    /// The largest distance of a number of the interval from its [`Interval::middle`].
    #[inline]
    pub(super) fn radius(self) -> f64 {
        let middle = self.middle();
        if self.lo == self.hi { 0.0 } else { up((self.hi - middle).max(middle - self.lo)) }
    }

    /// The largest absolute value.
    #[inline]
    pub(super) fn magnitude(self) -> f64 {
        self.hi.max(-self.lo)
    }

    #[inline]
    pub(super) fn width(self) -> f64 {
        self.hi - self.lo
    }

    #[inline]
    pub(super) fn contains(self, x: f64) -> bool {
        self.lo <= x && x <= self.hi
    }

    /// The number of it that is nearest to another; of what is not a number the middle.
    pub(super) fn nearest(self, x: f64) -> f64 {
        if x.is_nan() { self.middle() } else { x.clamp(self.lo, self.hi) }
    }

    /// What is not negative of it; zero where nothing is.
    #[inline]
    pub(super) fn positive_part(self) -> Self {
        Self { lo: self.lo.max(0.0), hi: self.hi.max(0.0) }
    }
}

impl Neg for Interval {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { lo: -self.hi, hi: -self.lo }
    }
}

impl Add for Interval {
    type Output = Self;
    #[inline]
    fn add(self, other: Self) -> Self {
        Self { lo: down(self.lo + other.lo), hi: up(self.hi + other.hi) }.checked()
    }
}

impl Sub for Interval {
    type Output = Self;
    #[inline]
    fn sub(self, other: Self) -> Self {
        Self { lo: down(self.lo - other.hi), hi: up(self.hi - other.lo) }.checked()
    }
}

impl Mul for Interval {
    type Output = Self;
    #[inline]
    fn mul(self, other: Self) -> Self {
        let products = [self.lo * other.lo, self.lo * other.hi, self.hi * other.lo, self.hi * other.hi];
        let [a, b, c, d] = products;
        // The least and the largest of several numbers pass over one that is not a number; a sum does not.
        if (a + b + c + d).is_nan() {
            return Self::ENTIRE;
        }
        Self { lo: down(a.min(b).min(c.min(d))), hi: up(a.max(b).max(c.max(d))) }
    }
}

impl Mul<f64> for Interval {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        let (a, b) = (self.lo * factor, self.hi * factor);
        if a <= b { Self { lo: down(a), hi: up(b) } } else { Self { lo: down(b), hi: up(a) }.checked() }
    }
}

impl Div for Interval {
    type Output = Self;
    #[inline]
    fn div(self, other: Self) -> Self {
        if other.contains(0.0) {
            return Self::ENTIRE;
        }
        self * Self { lo: down(1.0 / other.hi), hi: up(1.0 / other.lo) }.checked()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_operation_encloses_what_its_operands_can_give() {
        let list = [
            Interval { lo: -2.5, hi: 1.0 / 3.0 },
            Interval { lo: 0.1, hi: 0.3 },
            Interval { lo: -7.0, hi: -1.0e-3 },
            Interval::point(1.0 / 7.0),
        ];
        let inside = |i: Interval| [0.0, 0.25, 0.5, 1.0].map(|t| (i.lo + t * i.width()).clamp(i.lo, i.hi));
        for a in list {
            for b in list {
                for (x, y) in inside(a).into_iter().flat_map(|x| inside(b).map(|y| (x, y))) {
                    assert!((a + b).contains(x + y) && (a - b).contains(x - y) && (a * b).contains(x * y));
                    assert!((a * y).contains(x * y) && (a / b).contains(x / y) && a.hull(b).contains(x));
                }
            }
            assert!((a.middle() - a.lo).max(a.hi - a.middle()) <= a.radius());
        }
    }

    #[test]
    fn sums_that_no_double_holds_are_enclosed_on_both_sides() {
        let sum = Interval::point(0.1) + Interval::point(0.2);
        assert!(sum.lo <= 0.3 && 0.1 + 0.2 < sum.hi && sum.width() < 2.0e-16);
    }

    #[test]
    fn what_has_no_result_is_the_whole_line() {
        let zero = Interval { lo: -1.0, hi: 1.0 };
        assert_eq!(Interval::ONE / zero, Interval::ENTIRE);
        assert_eq!(Interval::ENTIRE * Interval::ZERO, Interval::ENTIRE);
        assert_eq!(Interval::ENTIRE - Interval::ENTIRE, Interval::ENTIRE);
    }
}

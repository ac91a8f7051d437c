//! Double-double arithmetic: a value is the unevaluated sum of two doubles, about 32 digits. After Dekker (1971) and
//! Knuth: exact sum and exact product of two doubles as a double and its rounding error.

use std::ops::{Add, Div, Mul, Neg, Sub};

#[derive(Debug, Clone, Copy, Default)]
pub struct Twofold {
    high: f64,
    low: f64,
}

fn exact_sum(a: f64, b: f64) -> Twofold {
    let high = a + b;
    let part = high - a;
    Twofold { high, low: (a - (high - part)) + (b - part) }
}

fn ordered_sum(a: f64, b: f64) -> Twofold {
    let high = a + b;
    Twofold { high, low: b - (high - a) }
}

fn split(a: f64) -> (f64, f64) {
    let scaled = 134_217_729.0 * a;
    let high = scaled - (scaled - a);
    (high, a - high)
}

fn exact_product(a: f64, b: f64) -> Twofold {
    let high = a * b;
    let ((a1, a2), (b1, b2)) = (split(a), split(b));
    Twofold { high, low: ((a1 * b1 - high) + a1 * b2 + a2 * b1) + a2 * b2 }
}

impl Twofold {
    pub fn value(self) -> f64 {
        self.high + self.low
    }

    pub fn sqrt(self) -> Self {
        if self.high <= 0.0 {
            return Self::default();
        }
        let root = Self::from(self.high.sqrt());
        let correction = (self - root * root).value() / (2.0 * root.high);
        ordered_sum(root.high, correction) + Self::default()
    }
}

impl From<f64> for Twofold {
    fn from(value: f64) -> Self {
        Self { high: value, low: 0.0 }
    }
}

impl Add for Twofold {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let sum = exact_sum(self.high, other.high);
        let low = exact_sum(self.low, other.low);
        let sum = ordered_sum(sum.high, sum.low + low.high);
        ordered_sum(sum.high, sum.low + low.low)
    }
}

impl Neg for Twofold {
    type Output = Self;
    fn neg(self) -> Self {
        Self { high: -self.high, low: -self.low }
    }
}

impl Sub for Twofold {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Mul for Twofold {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        let product = exact_product(self.high, other.high);
        ordered_sum(product.high, product.low + (self.high * other.low + self.low * other.high))
    }
}

impl Div for Twofold {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let first = self.high / other.high;
        let rest = self - other * Self::from(first);
        let second = rest.high / other.high;
        let rest = rest - other * Self::from(second);
        ordered_sum(first, second) + Self::from(rest.high / other.high)
    }
}

/// A vector of three.
#[derive(Debug, Clone, Copy, Default)]
pub struct Vector(pub [Twofold; 3]);

impl Vector {
    pub fn new(v: [f64; 3]) -> Self {
        Self(v.map(Twofold::from))
    }

    pub fn dot(self, other: Self) -> Twofold {
        let [a, b, c] = self.0;
        let [x, y, z] = other.0;
        a * x + b * y + c * z
    }

    pub fn cross(self, other: Self) -> Self {
        let [a, b, c] = self.0;
        let [x, y, z] = other.0;
        Self([b * z - c * y, c * x - a * z, a * y - b * x])
    }

    pub fn length(self) -> Twofold {
        self.dot(self).sqrt()
    }

    pub fn times(self, k: Twofold) -> Self {
        Self(self.0.map(|c| c * k))
    }

    pub fn plus(self, other: Self) -> Self {
        let [a, b, c] = self.0;
        let [x, y, z] = other.0;
        Self([a + x, b + y, c + z])
    }

    pub fn minus(self, other: Self) -> Self {
        self.plus(other.times(Twofold::from(-1.0)))
    }

    pub fn values(self) -> [f64; 3] {
        self.0.map(Twofold::value)
    }
}

#[test]
fn thirty_digits_are_kept() {
    let third = Twofold::from(1.0) / Twofold::from(3.0);
    assert!((third * Twofold::from(3.0) - Twofold::from(1.0)).value().abs() < 1.0e-31);
    let root = Twofold::from(2.0).sqrt();
    assert!((root * root - Twofold::from(2.0)).value().abs() < 1.0e-31);
    let small = Twofold::from(1.0) + Twofold::from(1.0e-25) - Twofold::from(1.0);
    assert!((small.value() - 1.0e-25).abs() < 1.0e-34);
}

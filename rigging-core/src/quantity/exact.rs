//! Arithmetic with twice the digits of a double, so that a conversion is rounded once.
//!
//! Every operation is a `const fn` made of additions and multiplications alone; no fused operation of the platform is
//! used, so all machines give the same bits.
//!
//! # Sources
//! Error-free sum and product: T. J. Dekker, "A floating-point technique for extending the available precision",
//! Numerische Mathematik 18, 1971; D. E. Knuth, "The Art of Computer Programming", volume 2, section 4.2.2.

/// The unevaluated sum of two doubles; `low` is at most half a unit in the last place of `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pair {
    pub(super) high: f64,
    pub(super) low: f64,
}

impl Pair {
    /// The ratio of a circle's circumference to its diameter, to about 107 bits.
    pub(super) const PI: Self = Self { high: std::f64::consts::PI, low: 1.224_646_799_147_353_2e-16 };

    pub(super) const fn of(value: f64) -> Self {
        Self { high: value, low: 0.0 }
    }

    /// `self × factor`; exact where `self.low` is zero and nothing over- or underflows.
    pub(super) const fn times(self, factor: f64) -> Self {
        let (high, rest) = product(self.high, factor);
        ordered_sum(high, rest + self.low * factor)
    }

    /// `self + other`, to about 2⁻¹⁰⁴ of the greater of the two.
    pub(super) const fn plus(self, other: Self) -> Self {
        let (high, rest) = sum(self.high, other.high);
        let (low, lowest) = sum(self.low, other.low);
        let upper = ordered_sum(high, rest + low);
        ordered_sum(upper.high, upper.low + lowest)
    }

    pub(super) const fn negative(self) -> Self {
        Self { high: -self.high, low: -self.low }
    }

    /// `self ÷ divisor`, rounded once.
    pub(super) const fn over(self, divisor: Self) -> f64 {
        let first = self.high / divisor.high;
        let rest = self.plus(divisor.times(first).negative());
        first + rest.high / divisor.high
    }
}

/// `a + b` and the rounding error of that sum, exactly.
const fn sum(a: f64, b: f64) -> (f64, f64) {
    let s = a + b;
    let b_seen = s - a;
    let a_seen = s - b_seen;
    (s, (a - a_seen) + (b - b_seen))
}

/// `a + b` where `|a| ≥ |b|` or `a` is zero.
const fn ordered_sum(a: f64, b: f64) -> Pair {
    let high = a + b;
    Pair { high, low: b - (high - a) }
}

/// `a × b` and the rounding error of that product, exactly.
const fn product(a: f64, b: f64) -> (f64, f64) {
    let p = a * b;
    let (a_upper, a_lower) = halves(a);
    let (b_upper, b_lower) = halves(b);
    let rest = ((a_upper * b_upper - p) + a_upper * b_lower + a_lower * b_upper) + a_lower * b_lower;
    (p, rest)
}

/// A double as the sum of two with at most 26 digits each.
const fn halves(a: f64) -> (f64, f64) {
    const SPLITTER: f64 = 134_217_729.0; // 2²⁷ + 1
    let wide = SPLITTER * a;
    let upper = wide - (wide - a);
    (upper, a - upper)
}

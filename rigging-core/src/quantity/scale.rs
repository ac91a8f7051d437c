//! How a value in some unit becomes a value in SI.

use super::exact::Pair;

/// The conversion `si = (value × num + offset) ÷ den`, where every constant is exact (π to about 107 bits).
///
/// Both directions are rounded once, so a result is within one unit in the last place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    num: Pair,
    offset: Pair,
    den: f64,
}

impl Scale {
    /// `si = value × num ÷ den`; both are whole numbers below 2⁵³ and so exact.
    pub(super) const fn ratio(num: u64, den: u64) -> Self {
        Self { num: Pair::of(num as f64), offset: Pair::of(0.0), den: den as f64 }
    }

    /// `si = (value × num + offset) ÷ den`.
    pub(super) const fn affine(num: u64, offset: u64, den: u64) -> Self {
        Self { num: Pair::of(num as f64), offset: Pair::of(offset as f64), den: den as f64 }
    }

    /// `si = value × π ÷ den`.
    pub(super) const fn pi_over(den: u64) -> Self {
        Self { num: Pair::PI, offset: Pair::of(0.0), den: den as f64 }
    }

    /// `si = π ÷ 2 − value × π ÷ 180`: degrees counted from the other side of a right angle.
    pub(super) const fn complement_in_degrees() -> Self {
        Self { num: Pair::PI.negative(), offset: Pair::PI.times(90.0), den: 180.0 }
    }

    /// The multiplier, as a double.
    pub const fn num(self) -> f64 {
        self.num.high
    }

    /// The offset, in units of 1 ÷ [`den`](Self::den), as a double.
    pub const fn offset(self) -> f64 {
        self.offset.high
    }

    /// The divisor.
    pub const fn den(self) -> f64 {
        self.den
    }

    /// A value in this unit, in SI. Any double is accepted; what is not finite stays so.
    pub const fn to_si(self, value: f64) -> f64 {
        if self.passes_unchanged(value) {
            return value;
        }
        if !value.is_finite() {
            return value * self.num.high;
        }
        let shift = shift(value);
        let sum = self.num.times(value * shift).plus(self.offset.times(shift));
        sum.over(Pair::of(self.den)) / shift
    }

    /// A value in SI, in this unit. Any double is accepted; what is not finite stays so.
    pub const fn from_si(self, si: f64) -> f64 {
        if self.passes_unchanged(si) {
            return si;
        }
        if !si.is_finite() {
            return si * self.num.high;
        }
        let shift = shift(si);
        let sum = Pair::of(self.den).times(si * shift).plus(self.offset.times(shift).negative());
        sum.over(self.num) / shift
    }

    /// Zero keeps its sign where there is no offset, and the SI unit itself changes nothing.
    const fn passes_unchanged(self, value: f64) -> bool {
        let no_offset = self.offset.high == 0.0;
        no_offset && (value == 0.0 || (self.num.high == self.den && self.num.low == 0.0))
    }
}

/// A power of two that moves very great and very small values to where no intermediate step over- or underflows.
const fn shift(value: f64) -> f64 {
    const UP: f64 = f64::from_bits((1023 + 600) << 52); // 2⁶⁰⁰
    const DOWN: f64 = f64::from_bits((1023 - 600) << 52); // 2⁻⁶⁰⁰
    const GREAT: f64 = f64::from_bits((1023 + 300) << 52); // 2³⁰⁰
    const SMALL: f64 = f64::from_bits((1023 - 300) << 52); // 2⁻³⁰⁰
    if value.abs() > GREAT {
        DOWN
    } else if value.abs() < SMALL {
        UP
    } else {
        1.0
    }
}

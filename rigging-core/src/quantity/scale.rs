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

#[cfg(test)]
mod tests {
    //! The second computation is exact: doubles are whole numbers times powers of two, and everything is compared as
    //! whole numbers of 128 bits.
    use super::super::units;
    use super::*;

    /// `(m, e)` with `value = m × 2^e`, exactly.
    fn parts(value: f64) -> (i128, i32) {
        let bits = value.abs().to_bits();
        let exponent = (bits >> 52) as i32;
        let mantissa = (bits & ((1 << 52) - 1)) | (u64::from(exponent > 0) << 52);
        let sign = if value < 0.0 { -1 } else { 1 };
        (sign * i128::from(mantissa), exponent.max(1) - 1075)
    }

    /// `4096 × |result − (value × num + offset) ÷ den|` in units in the last place of `result`, rounded up.
    fn error(result: f64, value: f64, num: i128, offset: i128, den: i128) -> i128 {
        let ((r, r_exp), (v, v_exp)) = (parts(result), parts(value));
        let base = if offset == 0 { r_exp.min(v_exp) } else { r_exp.min(v_exp).min(0) };
        let to_base = |whole: i128, exp: i32| {
            let shift = u32::try_from(exp - base).unwrap();
            let shifted = whole << shift;
            assert_eq!(shifted >> shift, whole, "128 bits do not suffice");
            shifted
        };
        let far = to_base(r * den, r_exp) - to_base(v * num, v_exp) - to_base(offset, 0);
        let unit = to_base(den, r_exp);
        // The quotient is small; dividing first keeps 4096 × far within 128 bits.
        let whole = far.abs() / unit;
        let rest = far.abs() % unit;
        let fine = if unit > i128::MAX >> 13 { rest / (unit >> 12) } else { (rest << 12) / unit };
        (whole << 12) + fine + 1
    }

    /// Doubles between 10⁻³ and 10⁶ in size, the same in every run.
    fn doubles() -> impl Iterator<Item = f64> {
        let mut state = 0x9E37_79B9_7F4A_7C15_u64;
        (0..20_000).map(move |_| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            let size = 10f64.powf(((state >> 11) as f64 / (1u64 << 53) as f64) * 9.0 - 3.0);
            if state & 1024 == 0 { size } else { -size }
        })
    }

    /// Half a unit in the last place, and 1/1024 of one for π of 65 bits in the second computation and its rounding.
    const BOUND: i128 = 2048 + 4;

    #[test]
    fn both_directions_are_rounded_once() {
        const PI: (i128, i128) = (31_415_926_535_897_932_385, 10_000_000_000_000_000_000);
        let (mut cases, mut rows, mut worst) = (0, 0, 0);
        for row in units() {
            let scale = row.scale;
            let whole = |value: f64| value as i128;
            // Offsets that hold π are compared in the test of the angles.
            let (num, den) = if scale.num.low == 0.0 {
                (whole(scale.num.high), whole(scale.den))
            } else if scale.offset.high == 0.0 {
                (PI.0 / 5, PI.1 / 5 * whole(scale.den))
            } else {
                continue;
            };
            rows += 1;
            for value in doubles() {
                let offset = whole(scale.offset.high);
                let si = scale.to_si(value);
                worst = worst.max(error(si, value, num, offset, den));
                let back = scale.from_si(value);
                // value × den − offset = back × num
                worst = worst.max(error(back, value, den, -offset, num));
                cases += 2;
                assert!(worst <= BOUND, "{} {}: {value} has an error of {worst}/4096", row.quantity, row.symbol);
            }
        }
        println!(
            "{rows} units, {cases} cases, 1 unit skipped; greatest error {worst}/4096 of a unit in the last place"
        );
        assert_eq!((rows, cases), (units().count() - 1, 40_000 * (units().count() - 1)));
        assert!(worst > 2000, "errors near one half must occur, or the comparison compares nothing");
    }

    #[test]
    fn great_and_small_values_keep_their_digits() {
        let pound_force = crate::quantity::ForceUnit::PoundForce.scale();
        let (ordinary, factor) = (pound_force.to_si(1.7), 2f64.powi(500));
        for power in [factor, 1.0 / factor, factor * 2f64.powi(500), 2f64.powi(-1000)] {
            assert_eq!(pound_force.to_si(1.7 * power), ordinary * power);
            assert_eq!(pound_force.from_si(ordinary * power), pound_force.from_si(ordinary) * power);
        }
        let fahrenheit = crate::quantity::TemperatureUnit::Fahrenheit.scale();
        assert_eq!(fahrenheit.to_si(1e-310), fahrenheit.to_si(0.0));
        assert!((fahrenheit.to_si(9e305) / 5e305 - 1.0).abs() < 1e-15);
    }

    #[test]
    fn what_is_not_finite_stays_so_and_zero_keeps_its_sign() {
        for row in units() {
            let scale = row.scale;
            assert!(scale.to_si(f64::NAN).is_nan() && scale.from_si(f64::NAN).is_nan(), "{}", row.symbol);
            let sign = scale.num.high.signum();
            assert_eq!(scale.to_si(f64::INFINITY), f64::INFINITY * sign, "{}", row.symbol);
            assert_eq!(scale.from_si(f64::NEG_INFINITY), f64::NEG_INFINITY * sign, "{}", row.symbol);
            if scale.offset.high == 0.0 {
                assert_eq!(scale.to_si(-0.0).to_bits(), (-0.0f64).to_bits(), "{}", row.symbol);
                assert_eq!(scale.from_si(-0.0).to_bits(), (-0.0f64).to_bits(), "{}", row.symbol);
            }
        }
    }

    #[test]
    fn every_constant_is_exact() {
        for row in units() {
            for constant in [row.scale.num, row.scale.offset] {
                if constant.low == 0.0 {
                    assert!(constant.high.fract() == 0.0 && constant.high.abs() < 2f64.powi(53), "{}", row.symbol);
                }
            }
            assert!(row.scale.den.fract() == 0.0 && (1.0..2f64.powi(53)).contains(&row.scale.den), "{}", row.symbol);
        }
    }

    #[test]
    fn degrees_from_either_side_are_rounded_once() {
        // 22.5 deg from horizontal = 67.5 deg from vertical, and both name the same double.
        let (horizontal, vertical) = (Scale::complement_in_degrees(), Scale::pi_over(180));
        for eighth in 0..=720 {
            let angle = f64::from(eighth) / 8.0;
            assert_eq!(horizontal.to_si(90.0 - angle), vertical.to_si(angle), "{angle}");
            let back = horizontal.from_si(vertical.to_si(angle));
            // One rounding of the stored angle, of at most 1.1e-16 rad, is 6.4e-15 deg; one more in the result.
            assert!((back - (90.0 - angle)).abs() <= 2.1e-14, "{angle}: {back}");
        }
    }
}

//! Number and dimension: parse, print, convert.
//!
//! A quantity is a small `Copy` type over one double in SI. A mass is not a force; the bare word "ton" does not exist;
//! the angle of a leg says from where it is counted. Texts hold one number and one unit (`"18.5 t"`, `"42 kip"`), and a
//! number without a unit is refused.
//!
//! Constructors accept any double, NaN included, and are `const`; texts are finite and in range. Conversions use exact
//! factors and are rounded once; printing in SI reads back bit for bit.

mod angle;
mod conversion;
mod entered;
mod exact;
mod fraction;
mod listing;
mod mechanics;
mod refusal;
mod scale;
mod table;
mod text;

pub use angle::{ChokeAngle, ChokeAngleUnit, LegAngle, LegAngleUnit};
pub use conversion::Conversion;
pub use entered::Entered;
pub use fraction::{Fraction, FractionUnit};
pub use listing::{UnitRow, units};
pub use mechanics::{
    Acceleration, AccelerationUnit, Angle, AngleUnit, Density, DensityUnit, Duration, DurationUnit, Force, ForceUnit,
    Length, LengthUnit, LineLoad, LineLoadUnit, Mass, MassUnit, Pressure, PressureUnit, STANDARD_GRAVITY, Speed,
    SpeedUnit, Stiffness, StiffnessUnit, Temperature, TemperatureUnit,
};
pub use scale::Scale;
pub use text::{parse, unit};

use crate::error::{Error, Place};

/// A unit of one quantity.
pub trait Unit: Copy + Eq + std::fmt::Debug + 'static {
    /// All units of the quantity.
    fn all() -> &'static [Self];
    /// The symbol that is printed and read.
    fn symbol(self) -> &'static str;
    /// Other spellings that are read.
    fn spellings(self) -> &'static [&'static str];
    /// The definition that the conversion follows from.
    fn definition(self) -> &'static str;
    /// The conversion to SI.
    fn scale(self) -> Scale;
}

/// A number with its dimension, held in SI.
pub trait Quantity: Copy + PartialEq + 'static {
    /// The units it is written in.
    type Unit: Unit;
    /// Its name in messages.
    const NAME: &'static str;
    /// A text that is read.
    const EXAMPLE: &'static str;
    /// The unit it is printed in: the SI unit, and percent for a fraction.
    const PRINTED_IN: Self::Unit;
    /// Symbol of the SI unit; empty for a pure number.
    const SI_SYMBOL: &'static str;
    /// Least and greatest value of a text, in SI.
    const RANGE: (f64, f64);
    /// [`RANGE`](Self::RANGE) in words.
    const ALLOWED: &'static str;

    /// A value in SI; any double is accepted.
    fn from_si(si: f64) -> Self;

    /// The value in SI.
    fn si(self) -> f64;

    /// A value in the given unit; any double is accepted.
    fn new_in(value: f64, unit: Self::Unit) -> Self {
        Self::from_si(unit.scale().to_si(value))
    }

    /// The value in the given unit, within one unit in the last place.
    fn to_unit(self, unit: Self::Unit) -> f64 {
        unit.scale().from_si(self.si())
    }

    /// The quantity itself, if it is finite and in the range of its kind.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] at the root; the caller puts it under its keys.
    fn checked(self) -> Result<Self, Error> {
        let (least, greatest) = Self::RANGE;
        if (least..=greatest).contains(&self.si()) {
            Ok(self)
        } else {
            Err(Error::out_of_domain(Self::NAME, self.si(), Self::SI_SYMBOL, Self::ALLOWED, Place::root()))
        }
    }

    /// The print in SI, which reads back bit for bit where the value is finite and in range.
    fn print(self) -> String {
        format!("{} {}", number(self.si()), Self::PRINTED_IN.symbol())
    }

    /// A value from its decimal digits, which read as `value`.
    fn from_digits(digits: &str, value: f64, unit: Self::Unit) -> Self {
        let _ = digits;
        Self::new_in(value, unit)
    }
}

/// The shortest decimal number that reads back as the same double; very great and small ones with an exponent.
pub(crate) fn number(value: f64) -> String {
    if value == 0.0 || (1e-5..1e16).contains(&value.abs()) || !value.is_finite() {
        value.to_string()
    } else {
        format!("{value:e}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bit patterns of every size, and the edges of the doubles.
    fn doubles() -> impl Iterator<Item = f64> {
        let mut state = 0x0123_4567_89AB_CDEF_u64;
        let any = (0..30_000).map(move |_| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            f64::from_bits(state)
        });
        let edges = [
            0.0,
            -0.0,
            5e-324,
            f64::MIN_POSITIVE,
            f64::MAX,
            f64::MIN,
            1e16,
            1e-5,
            1e16_f64.next_down(),
            0.1,
            1.0 / 3.0,
        ];
        any.filter(|value| value.is_finite()).chain(edges)
    }

    fn prints_and_reads_back<Q: Quantity + std::fmt::Display>() -> usize {
        let (least, greatest) = Q::RANGE;
        let inside = doubles().map(|value| {
            if (least..=greatest).contains(&value) {
                value
            } else {
                least + value.abs().min(1e300) % (greatest - least).min(1e300)
            }
        });
        let mut cases = 0;
        for value in inside {
            let text = Q::from_si(value).to_string();
            let read = parse::<Q>(&text).map(|read| read.si().to_bits());
            assert_eq!(read, Ok(value.to_bits()), "{text}");
            assert!(text.chars().count() <= 42, "{text}");
            cases += 1;
        }
        cases
    }

    #[test]
    fn the_print_reads_back_bit_for_bit() {
        let cases = [
            prints_and_reads_back::<Length>(),
            prints_and_reads_back::<Mass>(),
            prints_and_reads_back::<Force>(),
            prints_and_reads_back::<Angle>(),
            prints_and_reads_back::<Temperature>(),
            prints_and_reads_back::<Stiffness>(),
            prints_and_reads_back::<LineLoad>(),
            prints_and_reads_back::<Pressure>(),
            prints_and_reads_back::<Density>(),
            prints_and_reads_back::<Duration>(),
            prints_and_reads_back::<Acceleration>(),
            prints_and_reads_back::<Speed>(),
            prints_and_reads_back::<LegAngle>(),
            prints_and_reads_back::<ChokeAngle>(),
            prints_and_reads_back::<Fraction>(),
        ];
        println!("{} prints read back, 0 skipped", cases.iter().sum::<usize>());
        assert!(cases.iter().all(|count| *count == doubles().count()) && doubles().count() > 29_900);
    }

    #[test]
    fn prints_are_short() {
        assert_eq!(Length::meters(6.0).to_string(), "6 m");
        assert_eq!(format!("{:>6}|{:?}", Length::meters(6.0), Length::meters(6.0)), "   6 m|Length(6 m)");
        assert_eq!(Force::meganewtons(1e12).to_string(), "1e18 N");
        assert_eq!(Length::meters(1e-6).to_string(), "1e-6 m");
        assert_eq!(Temperature::celsius(20.0).to_string(), "293.15 K");
        assert_eq!(Fraction::percent(3.0).to_string(), "3 %");
        assert_eq!(Fraction::from_si(0.07).to_string(), "7 %");
        assert_eq!(Fraction::from_si(-1.0).to_string(), "-100 %");
        assert_eq!(LegAngle::degrees_from_vertical(0.0).to_string(), "0 rad from vertical");
        assert_eq!(Length::meters(f64::NAN).to_string(), "NaN m");
    }

    #[test]
    fn constructors_are_const_and_take_any_double() {
        const HOOK_LOAD: Mass = Mass::new(18.5, MassUnit::Tonne);
        const WEIGHT: Force = HOOK_LOAD.weight(STANDARD_GRAVITY);
        const LEG: LegAngle = LegAngle::from_horizontal(Angle::degrees(60.0));
        assert_eq!((HOOK_LOAD.si(), WEIGHT.si()), (18_500.0, 18_500.0 * 9.80665));
        assert!((LEG.to(LegAngleUnit::DegreeFromVertical) - 30.0).abs() < 1e-13);
        assert!(Mass::pounds(f64::NAN).si().is_nan());
        assert!(Mass::pounds(f64::NAN).checked().is_err() && Mass::tonnes(f64::INFINITY).checked().is_err());
        assert_eq!(Mass::pounds(-1.0).checked(), Ok(Mass::pounds(-1.0)));
        assert!(Temperature::kelvins(-1.0).checked().is_err() && LegAngle::degrees_included(-1.0).checked().is_err());
    }

    #[test]
    fn a_kilogram_force_is_the_weight_of_a_kilogram() {
        let weight = |mass: Mass| mass.weight(STANDARD_GRAVITY).si();
        for (mass, force) in [
            (Mass::kilograms(1.0), Force::kilograms_force(1.0)),
            (Mass::tonnes(1.0), Force::tonnes_force(1.0)),
            (Mass::pounds(1.0), Force::pounds_force(1.0)),
            (Mass::pounds(1000.0), Force::kips(1.0)),
            (Mass::short_tons(1.0), Force::short_tons_force(1.0)),
            (Mass::long_tons(1.0), Force::long_tons_force(1.0)),
        ] {
            // Two roundings on the left, one on the right.
            assert!((weight(mass) / force.si() - 1.0).abs() <= 2.0 * f64::EPSILON, "{mass} {force}");
        }
    }

    #[test]
    fn arithmetic_stays_within_one_kind() {
        let (a, b) = (Length::meters(6.0), Length::meters(1.5));
        assert_eq!((a + b, a - b, -b), (Length::meters(7.5), Length::meters(4.5), Length::meters(-1.5)));
        assert_eq!((a * 0.5, a / 4.0, a / b), (Length::meters(3.0), Length::meters(1.5), 4.0));
        assert!(b < a && Length::meters(f64::NAN).partial_cmp(&a).is_none());
    }
}

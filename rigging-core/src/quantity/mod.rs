//! Number and dimension: parse, print, convert.
//!
//! A quantity is a small `Copy` type over one double in SI. A mass is not a force; the bare word "ton" does not exist;
//! the angle of a leg says from where it is counted. Texts hold one number and one unit (`"18.5 t"`, `"42 kip"`), and a
//! number without a unit is refused.
//!
//! Constructors accept any double, NaN included, and are `const`; texts are finite and in range. Conversions use exact
//! factors and are rounded once; printing in SI reads back bit for bit.

mod angle;
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
pub use entered::Entered;
pub use fraction::{Fraction, FractionUnit};
pub use listing::{UnitRow, units};
pub use mechanics::{
    Acceleration, AccelerationUnit, Angle, AngleUnit, Density, DensityUnit, Duration, DurationUnit, Force, ForceUnit,
    Length, LengthUnit, LineLoad, LineLoadUnit, Mass, MassUnit, Pressure, PressureUnit, STANDARD_GRAVITY, Stiffness,
    StiffnessUnit, Temperature, TemperatureUnit,
};
pub use scale::Scale;
pub use text::parse;

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

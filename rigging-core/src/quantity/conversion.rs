//! From one unit to another where quantity and units are known by name only, as in lists of plain doubles.

use super::{
    Acceleration, Angle, ChokeAngle, Density, Duration, Force, Fraction, LegAngle, Length, LineLoad, Mass, Pressure,
    Quantity, Scale, Speed, Stiffness, Temperature, Unit, unit, units,
};
use crate::error::{Error, Place};

/// The way from one unit of a quantity to another.
#[derive(Debug, Clone, Copy)]
pub struct Conversion {
    from: Scale,
    to: Scale,
    check: fn(f64) -> Result<(), Error>,
}

impl Conversion {
    /// The conversion of a quantity, by the name that [`units`] lists, between two of its units, in any spelling that is
    /// read.
    ///
    /// # Errors
    /// [`Error::UnknownName`] for no quantity, at `/quantity`; [`Error::WrongUnit`] and [`Error::AmbiguousUnit`] for no
    /// unit of it, at `/unit_from` and `/unit_to`.
    ///
    /// ```
    /// use rigging_core::quantity::Conversion;
    /// let conversion = Conversion::new("force", "kip", "kN")?;
    /// assert_eq!(conversion.apply(1.0)?, 4.4482216152605);
    /// assert!(conversion.apply(f64::NAN).is_err());
    /// assert_eq!(Conversion::new("force", "kip", "t").unwrap_err().code(), "wrong_unit");
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn new(quantity: &str, unit_from: &str, unit_to: &str) -> Result<Self, Error> {
        // A list of its own would be one more to keep.
        macro_rules! first_named {
            ($($Quantity:ty),+) => {
                match quantity {
                    $(<$Quantity as Quantity>::NAME => Self::of::<$Quantity>(unit_from, unit_to),)+
                    _ => Err(unknown(quantity)),
                }
            };
        }
        first_named!(
            Length,
            Mass,
            Force,
            Angle,
            Temperature,
            Stiffness,
            LineLoad,
            Pressure,
            Density,
            Duration,
            Acceleration,
            Speed,
            LegAngle,
            ChokeAngle,
            Fraction
        )
    }

    fn of<Q: Quantity>(unit_from: &str, unit_to: &str) -> Result<Self, Error> {
        let scale = |symbol, key: &str| Ok(unit::<Q>(symbol).map_err(|error: Error| error.under(key))?.scale());
        let (from, to) = (scale(unit_from, "unit_from")?, scale(unit_to, "unit_to")?);
        Ok(Self { from, to, check: |si| Q::from_si(si).checked().map(drop) })
    }

    /// A value in the second unit, within one unit in the last place of each of the two conversions by way of SI. Between
    /// spellings of one unit nothing changes.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] at the root for a value that is not finite or not of the quantity, such as a temperature
    /// below 0 K, and for one whose result is beyond the doubles.
    pub fn apply(&self, value: f64) -> Result<f64, Error> {
        let si = self.from.to_si(value);
        (self.check)(si)?;
        let converted = if self.from == self.to { value } else { self.to.from_si(si) };
        if converted.is_finite() {
            return Ok(converted);
        }
        Err(Error::out_of_domain("converted value", converted, "", "finite", Place::root()))
    }
}

fn unknown(quantity: &str) -> Error {
    let mut known: Vec<&str> = units().map(|row| row.quantity).collect();
    known.dedup();
    Error::unknown_name(quantity, "quantity", known.iter().copied(), Place::root().child("quantity"))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn every_pair_of_units_converts_as_the_quantity_does() {
        let mut pairs = 0;
        for from in units() {
            for to in units().filter(|to| to.quantity == from.quantity) {
                let conversion = Conversion::new(from.quantity, from.symbol, to.symbol).unwrap();
                let expected = if from.symbol == to.symbol { 0.75 } else { to.scale.from_si(from.scale.to_si(0.75)) };
                match conversion.apply(0.75) {
                    Ok(value) => assert_eq!(value.to_bits(), expected.to_bits(), "{} {}", from.symbol, to.symbol),
                    // Some angles of 0.75 deg are outside the range of their kind.
                    Err(error) => assert_eq!(error.code(), "out_of_domain", "{} {}", from.symbol, to.symbol),
                }
                pairs += 1;
            }
        }
        println!("{pairs} pairs of units, 0 skipped");
        assert!(pairs > 150);
    }

    #[test]
    fn what_cannot_be_converted_says_where() {
        let place = |quantity, from, to| {
            let error = Conversion::new(quantity, from, to).unwrap_err();
            (error.code(), error.place().as_str().to_owned())
        };
        assert_eq!(place("weight", "N", "kN"), ("unknown_name", "/quantity".to_owned()));
        assert_eq!(place("force", "kg", "kN"), ("wrong_unit", "/unit_from".to_owned()));
        assert_eq!(place("mass", "kg", "ton"), ("ambiguous_unit", "/unit_to".to_owned()));
        let below = Conversion::new("temperature", "degC", "K").unwrap();
        assert_eq!(below.apply(-300.0).unwrap_err().code(), "out_of_domain");
        let great = Conversion::new("length", "m", "mm").unwrap();
        assert_eq!(great.apply(1e306).unwrap_err().code(), "out_of_domain");
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(great.apply(value).is_err());
        }
    }
}

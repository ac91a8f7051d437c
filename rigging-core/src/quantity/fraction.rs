//! Pure numbers that are written in percent.

use super::scale::Scale;
use super::table::{arithmetic, quantity};

quantity! {
    /// A dimensionless fraction, written in percent and stored as a number: `"3 %"` is 0.03.
    ///
    /// A bare number is refused, because 3, 0.03 and 1.03 are all written for it in practice.
    ///
    /// ```
    /// use rigging_core::quantity::Fraction;
    /// assert_eq!("3 %".parse::<Fraction>()?.si(), 0.03);
    /// assert_eq!(Fraction::from_si(0.03).to_string(), "3 %");
    /// assert!("0.03".parse::<Fraction>().is_err());
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    Fraction in FractionUnit, "fraction", example "3 %", printed in Percent "", from f64::MIN / 128.0, to f64::MAX / 128.0, "finite";
    Percent percent "%" ["percent"] Scale::ratio(1, 100), "1/100";
    {
        /// The decimal point is moved in the text, since a multiplication by 100 could lose the last bit.
        fn print(self) -> String {
            let moved = shifted(&format!("{:e}", self.0), 2).unwrap_or_else(|| super::number(self.0));
            match moved.parse::<f64>() {
                Ok(percent) if format!("{percent:e}") == moved => format!("{} %", super::number(percent)),
                _ => format!("{moved} %"),
            }
        }

        fn from_digits(digits: &str, value: f64, unit: FractionUnit) -> Self {
            shifted(digits, -2).and_then(|text| text.parse().ok()).map_or_else(|| Self::new(value, unit), Self)
        }
    }
}

arithmetic!(Fraction);

/// The same decimal number with its point moved by `places` to the right.
fn shifted(digits: &str, places: i32) -> Option<String> {
    let (mantissa, exponent) = digits.split_once(['e', 'E']).unwrap_or((digits, "0"));
    let exponent = exponent.parse::<i32>().ok()?.checked_add(places)?;
    mantissa.parse::<f64>().ok().filter(|value| value.is_finite())?;
    Some(format!("{mantissa}e{exponent}"))
}

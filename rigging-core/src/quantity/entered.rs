//! A quantity together with the text it was read from.

use super::{Quantity, parse};
use crate::error::{Carried, Error, Place};
use crate::text::Text;
use serde::de::{self, Visitor};
use std::marker::PhantomData;

/// A quantity that keeps its value and unit as entered, so that a document is echoed as it was written.
///
/// Two are equal when quantity and text are. White space is trimmed and runs of it become one space.
///
/// ```
/// use rigging_core::quantity::{Entered, Mass, MassUnit, parse};
/// let mass: Entered<Mass> = parse("18.50  t")?;
/// assert_eq!((mass.si(), mass.value(), mass.unit()), (18_500.0, 18.5, MassUnit::Tonne));
/// assert_eq!(mass.to_string(), "18.50 t");
/// assert_eq!(Entered::from(Mass::tonnes(18.5)).to_string(), "18500 kg");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Clone, PartialEq)]
pub struct Entered<Q: Quantity> {
    quantity: Q,
    text: Text,
    value: f64,
    unit: Q::Unit,
}

impl<Q: Quantity> Entered<Q> {
    pub(super) fn from_parts(quantity: Q, text: String, value: f64, unit: Q::Unit) -> Self {
        Self { quantity, text: text.into(), value, unit }
    }

    /// The quantity itself.
    pub fn quantity(&self) -> Q {
        self.quantity
    }

    /// The value in SI.
    pub fn si(&self) -> f64 {
        self.quantity.si()
    }

    /// The text as entered.
    pub fn text(&self) -> &Text {
        &self.text
    }

    /// The number as entered, in [`unit`](Self::unit).
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The unit as entered.
    pub fn unit(&self) -> Q::Unit {
        self.unit
    }
}

impl<Q: Quantity> From<Q> for Entered<Q> {
    /// A quantity that was computed; its text is the print in SI.
    fn from(quantity: Q) -> Self {
        let unit = Q::PRINTED_IN;
        Self { quantity, text: quantity.print().into(), value: quantity.to_unit(unit), unit }
    }
}

impl<Q: Quantity> std::ops::Deref for Entered<Q> {
    type Target = Q;

    fn deref(&self) -> &Q {
        &self.quantity
    }
}

impl<Q: Quantity> std::fmt::Display for Entered<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.pad(&self.text)
    }
}

impl<Q: Quantity> std::fmt::Debug for Entered<Q> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Entered({:?} = {})", self.text, self.quantity.print())
    }
}

impl<Q: Quantity> std::str::FromStr for Entered<Q> {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self, Error> {
        parse(text)
    }
}

impl<Q: Quantity> serde::Serialize for Entered<Q> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
    }
}

impl<'de, Q: Quantity> serde::Deserialize<'de> for Entered<Q> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(TextOfQuantity(PhantomData))
    }
}

/// Reads a text with a unit, and says of a number that its unit is missing.
struct TextOfQuantity<Q>(PhantomData<Q>);

impl<Q: Quantity> TextOfQuantity<Q> {
    fn refuse<E: de::Error>(number: String) -> Result<Entered<Q>, E> {
        Err(carry(&super::refusal::bare_number::<Q>(&number, Place::root())))
    }
}

fn carry<E: de::Error>(error: &Error) -> E {
    E::custom(Carried(error))
}

impl<Q: Quantity> Visitor<'_> for TextOfQuantity<Q> {
    type Value = Entered<Q>;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} as a text such as \"{}\"", Q::NAME, Q::EXAMPLE)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Entered<Q>, E> {
        parse(text).map_err(|error| carry(&error))
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Entered<Q>, E> {
        Self::refuse(super::number(number))
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Entered<Q>, E> {
        Self::refuse(number.to_string())
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Entered<Q>, E> {
        Self::refuse(number.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Length, LengthUnit, Mass};
    use super::*;
    use serde::Deserialize;

    /// What a deserializer of this crate does: it keeps the alternate form of a message.
    #[derive(Debug)]
    struct Whole(String);

    impl std::fmt::Display for Whole {
        fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
            f.write_str(&self.0)
        }
    }

    impl std::error::Error for Whole {}

    impl de::Error for Whole {
        fn custom<T: std::fmt::Display>(message: T) -> Self {
            Self(format!("{message:#}"))
        }
    }

    fn recovered<'de>(value: impl de::IntoDeserializer<'de, Whole>) -> Error {
        let Whole(json) = Entered::<Length>::deserialize(value.into_deserializer()).err().unwrap();
        serde_json::from_str(&json).unwrap()
    }

    #[test]
    fn an_error_comes_whole_through_a_deserializer() {
        assert_eq!(recovered("6 kg"), parse::<Length>("6 kg").err().unwrap());
        assert_eq!(recovered("6"), parse::<Length>("6").err().unwrap());
        assert_eq!(recovered(6.0), parse::<Length>("6").err().unwrap());
        assert_eq!(recovered(6_u64), parse::<Length>("6").err().unwrap());
        assert_eq!(recovered(-6_i64), parse::<Length>("-6").err().unwrap());
        assert_eq!(recovered(f64::NAN).code(), "bare_number");
    }

    #[test]
    fn json_keeps_the_text_as_entered() {
        let entered: Entered<Mass> = serde_json::from_str("\"18.50 t\"").unwrap();
        assert_eq!(serde_json::to_string(&entered).unwrap(), "\"18.50 t\"");
        let plain: Mass = serde_json::from_str("\"18.50 t\"").unwrap();
        assert_eq!(serde_json::to_string(&plain).unwrap(), "\"18500 kg\"");
        let error = serde_json::from_str::<Mass>("18.5").unwrap_err().to_string();
        assert!(error.starts_with("18.5 has no unit; write \"18.5 kg\", \"18.5 t\" (tonne), "), "{error}");
        let error = serde_json::from_str::<Mass>("null").unwrap_err().to_string();
        assert!(error.contains("expected mass as a text such as \"18.5 t\""), "{error}");
    }

    #[test]
    fn equal_means_equal_text_too() {
        let read = |text: &str| parse::<Length>(text).unwrap();
        assert_eq!(read("6.00  m"), read(" 6.00 m"));
        assert_ne!(read("6.00 m"), read("6 m"));
        assert_eq!(read("6.00 m").quantity(), read("6 m").quantity());
        assert_eq!(format!("{:?}", read("6.00 m")), "Entered(\"6.00 m\" = 6 m)");
        let computed = Entered::from(Length::feet(20.0));
        assert_eq!(
            (computed.text().as_str(), computed.value(), computed.unit()),
            ("6.096 m", 6.096, LengthUnit::Meter)
        );
        assert_eq!(computed, read("6.096 m"));
        assert_eq!(read("20 ft").to(LengthUnit::Inch), 240.0);
    }
}

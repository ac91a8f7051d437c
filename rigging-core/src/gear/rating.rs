//! Marked values: what a tag, a stamp or a certificate says an item may bear.

use super::Known;
use crate::error::{Carried, Error, Place};
use crate::quantity::{self, Entered, Force, Mass, STANDARD_GRAVITY};
use crate::text::Text;
use serde::de::{self, Deserialize, Deserializer};
use serde::{Serialize, Serializer};

/// A load as the trade marks it: a mass that may hang ("12 t") or a force ("118 kN").
#[derive(Debug, Clone, PartialEq)]
pub enum Rated {
    /// Marked as a mass; the force is its weight under standard gravity, which is what the force units of the trade mean.
    Mass(Entered<Mass>),
    /// Marked as a force.
    Force(Entered<Force>),
}

impl Rated {
    /// As a force.
    ///
    /// ```
    /// use rigging_core::gear::Rated;
    /// let wll: Rated = "12 t".parse()?;
    /// assert_eq!(wll.force().si(), 12_000.0 * 9.80665);
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn force(&self) -> Force {
        match self {
            Self::Mass(mass) => mass.quantity().weight(STANDARD_GRAVITY),
            Self::Force(force) => force.quantity(),
        }
    }

    /// The text as entered.
    pub fn text(&self) -> &Text {
        match self {
            Self::Mass(mass) => mass.text(),
            Self::Force(force) => force.text(),
        }
    }
}

impl std::fmt::Display for Rated {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.text())
    }
}

impl std::str::FromStr for Rated {
    type Err = Error;

    /// A mass unit makes a mass, a force unit a force; what fits neither is refused in the words of a mass.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match (quantity::parse::<Mass>(text), quantity::parse::<Force>(text)) {
            (Ok(mass), _) => Ok(Self::Mass(mass)),
            (Err(_), Ok(force)) => Ok(Self::Force(force)),
            (Err(error), Err(_)) => Err(error),
        }
    }
}

impl Serialize for Rated {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text())
    }
}

impl<'de> Deserialize<'de> for Rated {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TextOfRating;
        impl TextOfRating {
            fn refuse<E: de::Error>(number: impl std::fmt::Display) -> Result<Rated, E> {
                let write = "\"12 t\" or \"118 kN\"".to_owned();
                let error = Error::BareNumber { text: number.to_string(), write, place: Place::root() };
                Err(E::custom(Carried(&error)))
            }
        }
        impl de::Visitor<'_> for TextOfRating {
            type Value = Rated;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a rating as a text such as \"12 t\" or \"118 kN\"")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Rated, E> {
                text.parse().map_err(|error| E::custom(Carried(&error)))
            }

            fn visit_f64<E: de::Error>(self, number: f64) -> Result<Rated, E> {
                Self::refuse(number)
            }

            fn visit_i64<E: de::Error>(self, number: i64) -> Result<Rated, E> {
                Self::refuse(number)
            }

            fn visit_u64<E: de::Error>(self, number: u64) -> Result<Rated, E> {
                Self::refuse(number)
            }
        }
        deserializer.deserialize_any(TextOfRating)
    }
}

/// A value and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// The paper, tag or measurement that states it.
    pub source: Text,
}

/// What a fitting, a lift point or a hook is marked with.
#[derive(Debug, Clone, PartialEq, Default, Serialize, serde::Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Rating {
    /// Working load limit as marked.
    #[serde(default)]
    pub wll: Known<Rated>,
    /// Minimum breaking load, where a paper states it.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub breaking_load: Known<Rated>,
    /// Proof load, where a paper states it.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub proof_load: Known<Rated>,
    /// The marking or paper that states them.
    #[serde(default)]
    pub source: Known<Text>,
}

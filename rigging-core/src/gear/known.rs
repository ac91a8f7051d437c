//! A value, or the statement that it is not known.

use crate::error::{Error, Place};
use crate::text::Text;
use serde::de::{Deserialize, Deserializer, Visitor};
use serde::ser::{Serialize, Serializer};
use std::marker::PhantomData;

/// A value that may be unknown. In a document the word `"unknown"` and an absent key mean the same.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Known<T> {
    /// The value.
    Value(T),
    /// Nobody knows, or nobody said.
    #[default]
    Unknown,
}

impl<T> Known<T> {
    /// The value, if there is one.
    pub const fn value(&self) -> Option<&T> {
        match self {
            Self::Value(value) => Some(value),
            Self::Unknown => None,
        }
    }

    /// Whether there is none.
    pub const fn is_unknown(&self) -> bool {
        matches!(self, Self::Unknown)
    }

    /// The value, or the error that it is missing, with the JSON to add at `place`.
    ///
    /// # Errors
    /// [`Error::Missing`].
    pub fn required(
        &self,
        what: impl std::fmt::Display,
        add: impl Into<Text>,
        place: impl FnOnce() -> Place,
    ) -> Result<&T, Error> {
        self.value().ok_or_else(|| Error::missing(Text::written(format_args!("{what}")), add, place()))
    }
}

impl<T> From<T> for Known<T> {
    fn from(value: T) -> Self {
        Self::Value(value)
    }
}

impl<T: Serialize> Serialize for Known<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Value(value) => value.serialize(serializer),
            Self::Unknown => serializer.serialize_str("unknown"),
        }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Known<T> {
    /// The document reader answers "none" for the word `"unknown"`.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct ValueOrUnknown<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for ValueOrUnknown<T> {
            type Value = Known<T>;

            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a value or \"unknown\"")
            }

            fn visit_none<E>(self) -> Result<Known<T>, E> {
                Ok(Known::Unknown)
            }

            fn visit_some<D: Deserializer<'de>>(self, deserializer: D) -> Result<Known<T>, D::Error> {
                T::deserialize(deserializer).map(Known::Value)
            }
        }
        deserializer.deserialize_option(ValueOrUnknown(PhantomData))
    }
}

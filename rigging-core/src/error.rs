//! Why a calculation could not be carried out.
//!
//! An error is not a failed check: an overloaded sling, an unstable or a lost equilibrium are results. An error
//! carries readings (name, value, unit, allowed range) and its place in the document as a JSON pointer.

mod place;

pub use place::{Key, Place};

use crate::text::Text;
use serde::{Deserialize, Serialize};

/// A quantity that was read: its name, its value, its unit and the range it must lie in.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Reading {
    /// What was read, in words.
    pub name: String,
    /// The value; it may be any double, NaN included.
    #[serde(with = "any_double")]
    pub value: f64,
    /// Unit of `value`; empty for a pure number.
    pub unit: String,
    /// The range that is allowed, in words.
    pub allowed: String,
}

impl Reading {
    /// A reading.
    pub fn new(name: impl Into<String>, value: f64, unit: impl Into<String>, allowed: impl Into<String>) -> Self {
        Self { name: name.into(), value, unit: unit.into(), allowed: allowed.into() }
    }
}

impl std::fmt::Display for Reading {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        // Far from one, three hundred zeros say less than an exponent.
        let size = self.value.abs();
        if size >= 1e16 || (size > 0.0 && size < 1e-6) {
            write!(f, "{} is {:e}", self.name, self.value)?;
        } else {
            write!(f, "{} is {}", self.name, self.value)?;
        }
        if !self.unit.is_empty() {
            write!(f, " {}", self.unit)?;
        }
        write!(f, "; it must be {}", self.allowed)
    }
}

/// Every way in which a calculation can be refused. `code` and `status` name the variant in the three languages.
#[derive(Debug, Clone, PartialEq, thiserror::Error, Serialize, Deserialize)]
#[serde(tag = "code", rename_all = "snake_case")]
#[non_exhaustive]
pub enum Error {
    /// A value lies outside the range in which the calculation means anything.
    #[error("{place}: {reading}")]
    OutOfDomain {
        /// What was read, and what is allowed.
        reading: Reading,
        /// Where.
        place: Place,
    },
    /// An input that the calculation needs is absent or stated as unknown.
    #[error("{place}: {what} is missing; add {add}")]
    Missing {
        /// What is missing, in words.
        what: Text,
        /// The JSON to add at `place`.
        add: Text,
        /// Where.
        place: Place,
    },
    /// The input is sound, but this library does not calculate it.
    #[error("{place}: not calculated: {what}")]
    Unsupported {
        /// What is not calculated.
        what: Text,
        /// Where.
        place: Place,
    },
    /// Parts of the input contradict each other.
    #[error("{place}: {what}")]
    Inconsistent {
        /// What does not fit together.
        what: Text,
        /// Where.
        place: Place,
    },
    /// Two items of one kind carry the same name.
    #[error("{place}: the name \"{name}\" stands twice")]
    DuplicateName {
        /// The name.
        name: String,
        /// Where the second one stands.
        place: Place,
    },
    /// A name refers to nothing.
    #[error("{place}: there is no {kind} named \"{name}\"{}", offer(nearest))]
    UnknownName {
        /// The name.
        name: String,
        /// What kind of item it should be.
        kind: String,
        /// The nearest name that exists.
        nearest: Option<String>,
        /// Where.
        place: Place,
    },
    /// The text is not a document of the expected form: syntax, or a value of the wrong type.
    #[error("{place}: {what}")]
    Malformed {
        /// What is wrong.
        what: String,
        /// Where.
        place: Place,
    },
    /// A key that this format does not have.
    #[error("{place}: unknown key \"{key}\"{}", offer(nearest))]
    UnknownKey {
        /// The key.
        key: String,
        /// The nearest key that exists here.
        nearest: Option<String>,
        /// Where.
        place: Place,
    },
    /// A key stands twice in one object.
    #[error("{place}: the key \"{key}\" stands twice")]
    DuplicateKey {
        /// The key.
        key: String,
        /// Where.
        place: Place,
    },
    /// A number without a unit where a dimension is needed.
    #[error("{place}: {text} has no unit; write {write}")]
    BareNumber {
        /// What was read.
        text: String,
        /// What to write instead.
        write: String,
        /// Where.
        place: Place,
    },
    /// A unit that means several things, such as the bare word "ton", or an angle that does not say from where.
    #[error("{place}: {text} can mean several things; write {write}")]
    AmbiguousUnit {
        /// What was read.
        text: String,
        /// What to write instead.
        write: String,
        /// Where.
        place: Place,
    },
    /// A unit that is not known, or that belongs to another quantity.
    #[error("{place}: {text} does not fit here; write {write}")]
    WrongUnit {
        /// What was read.
        text: String,
        /// What to write instead.
        write: String,
        /// Where.
        place: Place,
    },
    /// The document is of a newer format than this library reads.
    #[error("{place}: the document has format {found}; this library reads formats up to {supported}")]
    NewerFormat {
        /// The document's format.
        found: u64,
        /// The newest format that this library reads.
        supported: u64,
        /// Where.
        place: Place,
    },
    /// A text, list or document exceeds its limit of size or depth.
    #[error("{place}: {reading}")]
    TooLarge {
        /// What was read, and what is allowed.
        reading: Reading,
        /// Where.
        place: Place,
    },
    /// The iteration ended without a state that could be certified. This is a defect of the library, never a property
    /// of the lift; the input is worth reporting.
    #[error("{place}: no state could be certified: {reading}")]
    Unconverged {
        /// The residual that was left.
        reading: Reading,
        /// Where.
        place: Place,
    },
}

/// Every variant has a place; one list serves reading and changing it.
macro_rules! place_of {
    ($error:expr) => {
        match $error {
            Error::OutOfDomain { place, .. }
            | Error::Missing { place, .. }
            | Error::Unsupported { place, .. }
            | Error::Inconsistent { place, .. }
            | Error::DuplicateName { place, .. }
            | Error::UnknownName { place, .. }
            | Error::Malformed { place, .. }
            | Error::UnknownKey { place, .. }
            | Error::DuplicateKey { place, .. }
            | Error::BareNumber { place, .. }
            | Error::AmbiguousUnit { place, .. }
            | Error::WrongUnit { place, .. }
            | Error::NewerFormat { place, .. }
            | Error::TooLarge { place, .. }
            | Error::Unconverged { place, .. } => place,
        }
    };
}

impl Error {
    /// A value outside its range.
    pub fn out_of_domain(
        name: impl Into<String>,
        value: f64,
        unit: impl Into<String>,
        allowed: impl Into<String>,
        place: Place,
    ) -> Self {
        Self::OutOfDomain { reading: Reading::new(name, value, unit, allowed), place }
    }

    /// A missing input, and the JSON to add at `place`.
    pub fn missing(what: impl Into<Text>, add: impl Into<Text>, place: Place) -> Self {
        Self::Missing { what: what.into(), add: add.into(), place }
    }

    /// Something that is not calculated.
    pub fn unsupported(what: impl Into<Text>, place: Place) -> Self {
        Self::Unsupported { what: what.into(), place }
    }

    /// A contradiction.
    pub fn inconsistent(what: impl Into<Text>, place: Place) -> Self {
        Self::Inconsistent { what: what.into(), place }
    }

    /// A text or value of the wrong form.
    pub fn malformed(what: impl Into<String>, place: Place) -> Self {
        Self::Malformed { what: what.into(), place }
    }

    /// A name that refers to nothing; the nearest of `known` is offered.
    pub fn unknown_name<'a>(
        name: impl Into<String>,
        kind: impl Into<String>,
        known: impl IntoIterator<Item = &'a str>,
        place: Place,
    ) -> Self {
        let name = name.into();
        let nearest = nearest(&name, known);
        Self::UnknownName { name, kind: kind.into(), nearest, place }
    }

    /// Stable text of the variant: the same in Rust, C and Python.
    pub const fn code(&self) -> &'static str {
        match self {
            Self::OutOfDomain { .. } => "out_of_domain",
            Self::Missing { .. } => "missing",
            Self::Unsupported { .. } => "unsupported",
            Self::Inconsistent { .. } => "inconsistent",
            Self::DuplicateName { .. } => "duplicate_name",
            Self::UnknownName { .. } => "unknown_name",
            Self::Malformed { .. } => "malformed",
            Self::UnknownKey { .. } => "unknown_key",
            Self::DuplicateKey { .. } => "duplicate_key",
            Self::BareNumber { .. } => "bare_number",
            Self::AmbiguousUnit { .. } => "ambiguous_unit",
            Self::WrongUnit { .. } => "wrong_unit",
            Self::NewerFormat { .. } => "newer_format",
            Self::TooLarge { .. } => "too_large",
            Self::Unconverged { .. } => "unconverged",
        }
    }

    /// Stable number of the variant, used by the C interface; a retired number is never used again.
    pub const fn status(&self) -> i32 {
        match self {
            Self::OutOfDomain { .. } => 1,
            Self::Missing { .. } => 2,
            Self::Unsupported { .. } => 3,
            Self::Inconsistent { .. } => 4,
            Self::DuplicateName { .. } => 5,
            Self::UnknownName { .. } => 6,
            Self::Malformed { .. } => 7,
            Self::UnknownKey { .. } => 8,
            Self::DuplicateKey { .. } => 9,
            Self::BareNumber { .. } => 10,
            Self::AmbiguousUnit { .. } => 11,
            Self::WrongUnit { .. } => 12,
            Self::NewerFormat { .. } => 13,
            Self::TooLarge { .. } => 14,
            Self::Unconverged { .. } => 15,
        }
    }

    /// Where in the document.
    pub const fn place(&self) -> &Place {
        place_of!(self)
    }

    const fn place_mut(&mut self) -> &mut Place {
        place_of!(self)
    }

    /// The same error seen from one level further up the document.
    #[must_use]
    pub fn under(mut self, key: impl Key) -> Self {
        let place = self.place_mut();
        *place = place.under(key);
        self
    }

    /// The same error at another place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        *self.place_mut() = place;
        self
    }

    /// The same error of another item that states the same: a place at or below `from` becomes that of `to`, every other
    /// stays.
    #[must_use]
    pub(crate) fn moved(self, from: &Place, to: &Place) -> Self {
        let rest = self.place().as_str().strip_prefix(from.as_str());
        match rest.filter(|rest| rest.is_empty() || rest.starts_with('/')) {
            Some(rest) => {
                let place = Place::pointer([to.as_str(), rest].concat());
                self.at(place)
            }
            None => self,
        }
    }

    /// The reason without the place.
    pub fn reason(&self) -> String {
        let whole = self.to_string();
        whole.strip_prefix(&format!("{}: ", self.place())).map_or(whole.clone(), str::to_owned)
    }
}

fn offer(nearest: &Option<String>) -> String {
    nearest.as_ref().map(|name| format!("; the nearest known name is \"{name}\"")).unwrap_or_default()
}

/// Carries an [`Error`] through a `serde` error type, which keeps only a text: the alternate form (`{:#}`) is the error
/// as JSON, from which it is read back whole.
pub(crate) struct Carried<'a>(pub(crate) &'a Error);

impl std::fmt::Display for Carried<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        if f.alternate() {
            f.write_str(&serde_json::to_string(self.0).map_err(|_| std::fmt::Error)?)
        } else {
            f.write_str(&self.0.reason())
        }
    }
}

/// The name in `known` nearest to `name`, if one is near enough to be meant.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let limit = name.chars().count().min(200) / 2 + 1;
    known
        .into_iter()
        .map(|candidate| (edit_distance(name, candidate), candidate))
        .filter(|(distance, _)| *distance <= limit)
        .min()
        .map(|(_, candidate)| candidate.to_owned())
}

/// Levenshtein distance over lower-case characters; long texts are compared by their first 200 characters.
fn edit_distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(200).flat_map(char::to_lowercase).collect();
    let b: Vec<char> = b.chars().take(200).flat_map(char::to_lowercase).collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.iter().enumerate() {
        let mut left = i + 1;
        let mut next = vec![left];
        for ((diagonal, up), to) in row.iter().zip(row.iter().skip(1)).zip(&b) {
            let cost = diagonal + usize::from(from != to);
            left = cost.min(up + 1).min(left + 1);
            next.push(left);
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

mod any_double {
    //! JSON has no NaN and no infinity; a refused value may be one, and must still be reported.
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<S: Serializer>(value: &f64, serializer: S) -> Result<S::Ok, S::Error> {
        if value.is_finite() { serializer.serialize_f64(*value) } else { serializer.serialize_str(&value.to_string()) }
    }

    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Either {
        Number(f64),
        Text(String),
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<f64, D::Error> {
        match Either::deserialize(deserializer)? {
            Either::Number(value) => Ok(value),
            Either::Text(text) => text.parse().map_err(serde::de::Error::custom),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_offers_only_what_can_be_meant() {
        assert_eq!(nearest("tolerence", ["tolerance", "length"]), Some("tolerance".into()));
        assert_eq!(nearest("x", ["tolerance"]), None);
        assert_eq!(nearest("WLL", ["wll", "mbl"]), Some("wll".into()));
    }

    #[test]
    fn a_carried_error_reads_back_whole() {
        let error = Error::out_of_domain("mass", f64::NAN, "kg", "finite", Place::pointer("/load/mass"));
        let back: Error = serde_json::from_str(&format!("{:#}", Carried(&error))).unwrap();
        assert_eq!(back.code(), "out_of_domain");
        assert_eq!(back.place(), error.place());
        assert_eq!(back.reason(), error.reason());
    }
}

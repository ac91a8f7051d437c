//! What a question states: words, numbers with units, and what is known to be unknown.

use super::unit::Unit;
use super::vocabulary::{self, Kind};
use crate::error::{Error, Place};
use std::collections::BTreeMap;

/// One fact as stated.
#[derive(Debug, Clone, PartialEq)]
enum Fact {
    Word(String),
    Number { value: f64, unit: String },
    Unknown,
}

/// The facts a question states. A fact that is absent counts as unknown.
///
/// ```
/// use rigging_core::rules::Facts;
/// let facts = Facts::new().word("place", "offshore").number("static hook load", 41.5, "t").unknown("material");
/// ```
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Facts {
    stated: BTreeMap<String, Fact>,
}

impl Facts {
    /// No facts.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same facts with one word more; a later statement of the same name replaces the earlier one.
    #[must_use]
    pub fn word(mut self, name: impl Into<String>, word: impl Into<String>) -> Self {
        self.stated.insert(name.into(), Fact::Word(word.into()));
        self
    }

    /// The same facts with one number more, in a unit of the trade (`""` for a pure number).
    #[must_use]
    pub fn number(mut self, name: impl Into<String>, value: f64, unit: impl Into<String>) -> Self {
        self.stated.insert(name.into(), Fact::Number { value, unit: unit.into() });
        self
    }

    /// The same facts with one stated to be unknown.
    #[must_use]
    pub fn unknown(mut self, name: impl Into<String>) -> Self {
        self.stated.insert(name.into(), Fact::Unknown);
        self
    }

    /// Refuses facts that no question could use: a name, word or unit that does not exist, a value that is no number.
    pub(super) fn validate(&self) -> Result<(), Error> {
        for (name, fact) in &self.stated {
            let place = Place::root().child("facts").child(name);
            let Some(known) = vocabulary::known(name) else {
                return Err(Error::unknown_name(name.as_str(), "fact", vocabulary::names(), place));
            };
            match (fact, known.kind) {
                (Fact::Unknown, _) => {}
                (Fact::Word(word), Kind::Words(words)) => {
                    if !words.contains(&word.as_str()) {
                        let kind = format!("word for \"{name}\"");
                        return Err(Error::unknown_name(word.as_str(), kind, words.iter().copied(), place));
                    }
                }
                (Fact::Number { value, unit }, Kind::Number(dimension, law)) => {
                    let unit = Unit::measuring(dimension, unit, &place)?;
                    if !law.admits(unit.in_si(*value)) {
                        return Err(Error::out_of_domain(name.as_str(), *value, unit.text, law.allowed(), place));
                    }
                }
                (Fact::Word(word), Kind::Number(dimension, _)) => {
                    return Err(Error::malformed(format!("\"{word}\" is a word; {name} is {dimension}"), place));
                }
                (Fact::Number { value, .. }, Kind::Words(words)) => {
                    let words = words.join("\", \"");
                    return Err(Error::malformed(format!("{value} is a number; {name} is one of \"{words}\""), place));
                }
            }
        }
        Ok(())
    }

    /// The word stated for this fact.
    pub(super) fn stated_word(&self, name: &str) -> Option<&str> {
        match self.stated.get(name) {
            Some(Fact::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The number stated for this fact, in `unit`, and the text as stated.
    pub(super) fn stated_number(&self, name: &str, unit: Unit) -> Option<(f64, String)> {
        match self.stated.get(name) {
            Some(Fact::Number { value, unit: text }) => {
                let stated = Unit::measuring(unit.dimension, text, &Place::root()).ok()?;
                let converted = if stated == unit { *value } else { unit.out_of_si(stated.in_si(*value)) };
                let text = if text.is_empty() { format!("{value}") } else { format!("{value} {text}") };
                Some((converted, text))
            }
            _ => None,
        }
    }
}

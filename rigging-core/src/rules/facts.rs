//! What a question states: words, numbers with units, and what is known to be unknown.

use super::unit::Unit;
use super::vocabulary::{self, Kind, Known, Word};
use crate::error::{Error, Place};
use crate::text::Text;
use serde::Deserialize;
use std::collections::BTreeMap;

/// One fact as stated.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Fact {
    Word(Word),
    Number { value: f64, unit: Unit },
    Unknown,
}

/// The facts a question states. A fact that is absent counts as unknown.
///
/// ```
/// use rigging_core::rules::Facts;
/// let facts = Facts::new().word("place", "offshore").number("static hook load", 41.5, "t").unknown("material");
/// ```
#[derive(Debug, Clone, Default)]
pub struct Facts {
    stated: Vec<(&'static Known, Fact)>,
    /// What no question could use, by the name it was stated under.
    refused: Vec<(Text, Error)>,
}

/// A fact as it stands in JSON.
#[derive(Deserialize)]
#[serde(untagged)]
enum Stated {
    Word(String),
    Number(f64),
    WithUnit(f64, String),
}

/// Facts that a question about an item of gear usually states.
const USUAL: usize = 16;

impl Facts {
    /// No facts.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same facts with one word more; a later statement of the same name replaces the earlier one.
    #[must_use]
    pub fn word(self, name: &str, word: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.with_word(known, word),
            None => self.refuse(name, unknown(name)),
        }
    }

    /// The same facts with one number more, in a unit of the trade (`""` for a pure number).
    #[must_use]
    pub fn number(self, name: &str, value: f64, unit: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.with_number(known, value, unit),
            None => self.refuse(name, unknown(name)),
        }
    }

    /// Facts as a JSON object: a word as a text, a number with its unit as `[2.0, "m"]`, a pure number by itself.
    ///
    /// # Errors
    /// A text that is no such object; a name, word, unit or value that no fact has, at its key.
    ///
    /// ```
    /// use rigging_core::rules::Facts;
    /// let facts = Facts::from_json(r#"{ "rope lay": "single-laid", "mass per length": [5.8, "kg/m"] }"#)?;
    /// assert_eq!(facts, Facts::new().word("rope lay", "single-laid").number("mass per length", 5.8, "kg/m"));
    /// assert_eq!(Facts::from_json(r#"{ "rope lai": "single-laid" }"#).unwrap_err().code(), "unknown_name");
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        let told = |error: serde_json::Error| Error::malformed(error.to_string(), Place::root().child("facts"));
        let stated: BTreeMap<String, Stated> = serde_json::from_str(text).map_err(told)?;
        let facts = stated.into_iter().fold(Self::new(), |facts, (name, value)| match value {
            Stated::Word(word) => facts.word(&name, &word),
            Stated::Number(number) => facts.number(&name, number, ""),
            Stated::WithUnit(number, unit) => facts.number(&name, number, &unit),
        });
        match facts.refusal() {
            Some(error) => Err(error.clone()),
            None => Ok(facts),
        }
    }

    /// The same facts with one stated to be unknown.
    #[must_use]
    pub fn unknown(self, name: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.with(known, Fact::Unknown),
            None => self.refuse(name, unknown(name)),
        }
    }

    pub(super) fn with_word(self, known: &'static Known, word: &str) -> Self {
        match known.word(word) {
            Some(word) => self.with(known, Fact::Word(word)),
            None => self.refuse(known.name, no_word(known, word)),
        }
    }

    pub(super) fn with_number(self, known: &'static Known, value: f64, unit: &str) -> Self {
        match number(known, value, unit) {
            Ok(fact) => self.with(known, fact),
            Err(error) => self.refuse(known.name, error),
        }
    }

    fn with(mut self, known: &'static Known, fact: Fact) -> Self {
        self.refused.retain(|(name, _)| *name != known.name);
        match self.stated.iter_mut().find(|(other, _)| *other == known) {
            Some((_, earlier)) => *earlier = fact,
            None => {
                if self.stated.capacity() == 0 {
                    self.stated.reserve(USUAL);
                }
                self.stated.push((known, fact));
            }
        }
        self
    }

    fn refuse(mut self, name: &str, error: Error) -> Self {
        self.stated.retain(|(known, _)| known.name != name);
        self.refused.retain(|(other, _)| other != name);
        self.refused.push((name.to_owned().into(), error));
        self
    }

    /// Refuses facts that no question could use: a name, word or unit that does not exist, a value that is no number.
    /// Of several the first by name is told.
    pub(super) fn refusal(&self) -> Option<&Error> {
        self.refused.iter().min_by(|(one, _), (other, _)| one.as_str().cmp(other)).map(|(_, error)| error)
    }

    fn stated(&self, known: &'static Known) -> Option<Fact> {
        self.stated.iter().find(|(other, _)| *other == known).map(|(_, fact)| *fact)
    }

    /// The word stated for this fact.
    pub(super) fn stated_word(&self, known: &'static Known) -> Option<Word> {
        match self.stated(known) {
            Some(Fact::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The number stated for this fact, in `unit`, and the text as stated.
    pub(super) fn stated_number(&self, known: &'static Known, unit: Unit) -> Option<(f64, Text)> {
        match self.stated(known) {
            Some(Fact::Number { value, unit: stated }) if stated.dimension == unit.dimension => {
                let converted = if stated == unit { value } else { unit.out_of_si(stated.in_si(value)) };
                let text = if stated.text.is_empty() { format!("{value}") } else { format!("{value} {}", stated.text) };
                Some((converted, text.into()))
            }
            _ => None,
        }
    }
}

impl PartialEq for Facts {
    /// The order in which facts were stated has no meaning.
    fn eq(&self, other: &Self) -> bool {
        self.stated.len() == other.stated.len()
            && self.refused.len() == other.refused.len()
            && self.stated.iter().all(|fact| other.stated.contains(fact))
            && self.refused.iter().all(|refused| other.refused.contains(refused))
    }
}

fn place(name: &str) -> Place {
    Place::root().child("facts").child(name)
}

fn unknown(name: &str) -> Error {
    Error::unknown_name(name, "fact", vocabulary::names(), place(name))
}

fn no_word(known: &Known, word: &str) -> Error {
    match known.kind {
        Kind::Words(words) => {
            let kind = format!("word for \"{}\"", known.name);
            Error::unknown_name(word, kind, words.iter().copied(), place(known.name))
        }
        Kind::Number(dimension, _) => {
            Error::malformed(format!("\"{word}\" is a word; {} is {dimension}", known.name), place(known.name))
        }
    }
}

fn number(known: &Known, value: f64, unit: &str) -> Result<Fact, Error> {
    let name = known.name;
    match known.kind {
        Kind::Words(words) => {
            let words = words.join("\", \"");
            Err(Error::malformed(format!("{value} is a number; {name} is one of \"{words}\""), place(name)))
        }
        Kind::Number(dimension, law) => {
            let unit = Unit::measuring(dimension, unit, || place(name))?;
            if !law.admits(unit.in_si(value)) {
                return Err(Error::out_of_domain(name, value, unit.text, law.allowed(), place(name)));
            }
            Ok(Fact::Number { value, unit })
        }
    }
}

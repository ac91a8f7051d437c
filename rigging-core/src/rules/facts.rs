//! What a question states: words, numbers with units, and what is known to be unknown.

use super::unit::Unit;
use super::vocabulary::{self, Fact, Kind, Known, Word};
use crate::error::{Error, Place};
use crate::text::Text;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The facts a question states. A fact that is absent counts as unknown.
///
/// ```
/// use rigging_core::rules::Facts;
/// let facts = Facts::new().word("place", "offshore").number("static hook load", 41.5, "t").unknown("material");
/// ```
#[derive(Debug)]
pub struct Facts {
    /// For every fact of the vocabulary, in its order, how it is stated.
    stated: [Fact; vocabulary::COUNT],
    numbers: Vec<(&'static Known, Number)>,
    /// What no question could use, by the name it was stated under.
    refused: Vec<(Text, Error)>,
    /// Words that hold where these facts say nothing.
    around: Option<Arc<Self>>,
}

/// A fact as it stands in JSON.
#[derive(Deserialize)]
#[serde(untagged)]
enum Stated {
    Word(String),
    Number(f64),
    WithUnit(f64, String),
}

/// A number as stated.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Number {
    value: f64,
    unit: Unit,
}

impl Default for Facts {
    fn default() -> Self {
        Self { stated: [Fact::ABSENT; vocabulary::COUNT], numbers: Vec::new(), refused: Vec::new(), around: None }
    }
}

impl Facts {
    /// No facts.
    pub fn new() -> Self {
        Self::default()
    }

    /// The same facts with one word more; a later statement of the same name replaces the earlier one.
    #[must_use]
    pub fn word(mut self, name: &str, word: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.set_word(known, word),
            None => self.refuse(name, unknown(name)),
        }
        self
    }

    /// The same facts with one number more, in a unit of the trade (`""` for a pure number).
    #[must_use]
    pub fn number(mut self, name: &str, value: f64, unit: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.set_number(known, value, unit),
            None => self.refuse(name, unknown(name)),
        }
        self
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
    pub fn unknown(mut self, name: &str) -> Self {
        match vocabulary::known(name) {
            Some(known) => self.set(known, Fact::UNKNOWN),
            None => self.refuse(name, unknown(name)),
        }
        self
    }

    pub(super) fn set_word(&mut self, known: &'static Known, word: &str) {
        match known.word(word) {
            Some(word) => self.set(known, Fact::word(word)),
            None => self.refuse(known.name, no_word(known, word)),
        }
    }

    pub(super) fn set_number(&mut self, known: &'static Known, value: f64, unit: &str) {
        match number(known, value, unit) {
            Ok(number) => {
                self.set(known, Fact::NUMBER);
                self.numbers.push((known, number));
            }
            Err(error) => self.refuse(known.name, error),
        }
    }

    /// A number in the SI unit of its fact, whose unit need not be looked for by its name.
    pub(super) fn set_si(&mut self, known: &'static Known, value: f64) {
        let unit = match known.kind {
            Kind::Number(dimension, law) if law.admits(value) => Unit::si(dimension),
            // What is refused is told as for every other number.
            Kind::Number(dimension, _) => return self.set_number(known, value, dimension.si()),
            Kind::Words(_) => return self.set_number(known, value, ""),
        };
        self.set(known, Fact::NUMBER);
        self.numbers.push((known, Number { value, unit }));
    }

    fn set(&mut self, known: &'static Known, fact: Fact) {
        // Facts that were stated before are rare, and to look for them is not free.
        if self.stated.get(known.index).is_some_and(|stated| *stated != Fact::ABSENT) || !self.refused.is_empty() {
            self.forget(known);
        }
        if let Some(slot) = self.stated.get_mut(known.index) {
            *slot = fact;
        }
    }

    fn refuse(&mut self, name: &str, error: Error) {
        if let Some(known) = vocabulary::known(name) {
            self.forget(known);
        }
        self.refused.retain(|(other, _)| other != name);
        self.refused.push((name.to_owned().into(), error));
    }

    /// Takes back whatever was stated for a fact.
    pub(super) fn forget(&mut self, known: &'static Known) {
        if let Some(slot) = self.stated.get_mut(known.index) {
            *slot = Fact::ABSENT;
        }
        self.numbers.retain(|(other, _)| *other != known);
        self.refused.retain(|(name, _)| *name != known.name);
    }

    /// Refuses facts that no question could use: a name, word or unit that does not exist, a value that is no number.
    /// Of several the first by name is told.
    pub(super) fn refusal(&self) -> Option<&Error> {
        self.refused.iter().min_by(|(one, _), (other, _)| one.as_str().cmp(other)).map(|(_, error)| error)
    }

    /// The same facts, with the words of `circumstances` where they say nothing. What excludes a whole document is not looked
    /// for among these: that is asked about them by themselves.
    #[must_use]
    pub(crate) fn amid(self, circumstances: &Arc<Self>) -> Self {
        Self { around: Some(Arc::clone(circumstances)), ..self }
    }

    /// The word stated for this fact, or for the circumstances.
    pub(super) fn stated_word(&self, known: &'static Known) -> Option<Word> {
        match *self.stated.get(known.index)? {
            Fact::ABSENT => self.around.as_ref()?.stated_word(known),
            stated => stated.as_word(),
        }
    }

    /// The word stated for this fact itself.
    pub(super) fn own_word(&self, known: &'static Known) -> Option<Word> {
        self.stated.get(known.index)?.as_word()
    }

    /// What these facts say otherwise than `stated` does, each with both texts; what they add is none of it.
    pub(crate) fn otherwise_than(&self, stated: &Self) -> Vec<String> {
        let told =
            |name: &str, one: &str, other: &str| format!("{name} is stated as {one}, and the lift makes it {other}");
        let words = vocabulary::FACTS.iter().filter_map(|known| {
            let (one, other) = (stated.own_word(known)?, self.own_word(known)?);
            (one != other).then(|| told(known.name, known.text(one), known.text(other)))
        });
        let numbers = stated.numbers.iter().filter_map(|(known, number)| {
            let (value, one) = stated.stated_number(known, number.unit)?;
            let (found, _) = self.stated_number(known, number.unit)?;
            // Texts of one size in different units are converted.
            let differs = (found - value).abs() > 1e-9 * value.abs().max(found.abs());
            differs.then(|| {
                told(known.name, &one, format!("{} {}", (found * 1e6).round() / 1e6, number.unit.text).trim_end())
            })
        });
        words.chain(numbers).collect()
    }

    /// The number stated for this fact, in `unit`, and the text as stated.
    pub(super) fn stated_number(&self, known: &'static Known, unit: Unit) -> Option<(f64, Text)> {
        let (_, Number { value, unit: stated }) = self.numbers.iter().find(|(other, _)| *other == known)?;
        if stated.dimension != unit.dimension {
            return None;
        }
        let converted = if stated.scales_as(unit) { *value } else { unit.out_of_si(stated.in_si(*value)) };
        let text = match stated.text {
            "" => Text::written(format_args!("{value}")),
            unit => Text::written(format_args!("{value} {unit}")),
        };
        Some((converted, text))
    }
}

/// How many numbers more a copy has room for: facts are copied to state more.
const MORE: usize = 4;

impl Clone for Facts {
    fn clone(&self) -> Self {
        let mut numbers = Vec::with_capacity(self.numbers.len() + MORE);
        numbers.extend_from_slice(&self.numbers);
        Self { stated: self.stated, numbers, refused: self.refused.clone(), around: self.around.clone() }
    }
}

impl PartialEq for Facts {
    /// The order in which facts were stated has no meaning.
    fn eq(&self, other: &Self) -> bool {
        self.stated.map(Fact::byte) == other.stated.map(Fact::byte)
            && self.refused.len() == other.refused.len()
            && self.numbers.iter().all(|number| other.numbers.contains(number))
            && self.refused.iter().all(|refused| other.refused.contains(refused))
            && match (&self.around, &other.around) {
                (Some(one), Some(other)) => Arc::ptr_eq(one, other) || one == other,
                (one, other) => one.is_none() && other.is_none(),
            }
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

fn number(known: &Known, value: f64, unit: &str) -> Result<Number, Error> {
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
            Ok(Number { value, unit })
        }
    }
}

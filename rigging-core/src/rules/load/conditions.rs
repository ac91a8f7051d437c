//! When a rule speaks: words of facts, and numbers within limits.

use super::super::rule::{Condition, Input, Otherwise, Requirement};
use super::super::tree::Node;
use super::super::vocabulary::{self, Kind, Known, WordSet};
use super::inputs::range;
use super::operands::product;
use crate::error::{Error, Place};

/// The fact of this name, which must be one that takes words.
fn fact_of_words(fact: &str, place: &Place) -> Result<&'static Known, Error> {
    match vocabulary::known(fact) {
        Some(known @ Known { kind: Kind::Words(_), .. }) => Ok(known),
        Some(Known { kind: Kind::Number(dimension, _), .. }) => {
            Err(Error::malformed(format!("{fact} is {dimension}, not a word; it belongs under input"), place.clone()))
        }
        None => Err(Error::unknown_name(fact, "fact", vocabulary::names(), place.clone())),
    }
}

/// Words of a fact, each of which must be known.
pub(super) fn condition(fact: &str, node: &Node<'_>) -> Result<Condition, Error> {
    let fact = fact_of_words(fact, &node.place)?;
    let mut words = WordSet::default();
    for (text, place) in node.texts()? {
        let named = fact.words_named(text).ok_or_else(|| {
            Error::unknown_name(text, format!("word for \"{}\"", fact.name), fact.words().iter().copied(), place)
        })?;
        words = words.and(named);
    }
    Ok(Condition { fact, words })
}

/// Conditions on words, by fact.
pub(super) fn conditions(node: &Node<'_>) -> Result<Vec<Condition>, Error> {
    node.any_keys()?.entries().map(|(fact, node)| condition(fact, &node)).collect()
}

/// Conditions in numbers.
pub(super) fn requirements(list: &Node<'_>, inputs: &[Input]) -> Result<Vec<Requirement>, Error> {
    let mut requirements = Vec::new();
    for item in list.some_items()? {
        let keys = item.keys(&[
            "name",
            "times",
            "divided_by",
            "at_least",
            "more_than",
            "at_most",
            "less_than",
            "otherwise",
            "why",
        ])?;
        let otherwise = keys.required("otherwise", "otherwise = \"does not apply\"")?;
        let range = range(&keys)?;
        if range.low.is_none() && range.high.is_none() {
            return Err(Error::missing("a limit", "at_least, more_than, at_most or less_than", keys.place));
        }
        requirements.push(Requirement {
            name: keys.text("name", "name = \"what is limited\"")?,
            of: product(&keys, inputs)?,
            range,
            otherwise: match otherwise.text()? {
                "does not apply" => Otherwise::DoesNotApply,
                "refuse" => Otherwise::Refuse,
                "next rule" => Otherwise::NextRule,
                other => {
                    let known = ["does not apply", "refuse", "next rule"];
                    return Err(Error::unknown_name(other, "consequence", known, otherwise.place));
                }
            },
            why: keys.text("why", "why = \"what the document says\"")?,
        });
    }
    Ok(requirements)
}

//! From the tree of a rule file to rules: keys, names, units and data laws are checked here, for a built-in file and a
//! user's alike.

mod conditions;
mod dimensions;
mod inputs;
mod operands;
mod relation;
mod sources;
mod steps;
mod table;

use super::laws;
use super::question::{Law, Question};
use super::rule::Rule;
use super::tree::{Keys, Node};
use super::unit::{Dimension, Unit};
use crate::error::Error;
use conditions::{conditions, requirements};
use inputs::inputs;
pub(super) use relation::RELATIONS;
use relation::{relation, relation_name};
use sources::cite;
#[cfg(feature = "schema")]
pub(super) use sources::standing_names;
pub(super) use sources::{Cited, sources};

pub(super) const RULE_KEYS: &[&str] = &[
    "answers", "symbol", "name", "when", "input", "requires", "relation", "unit", "source", "clause", "standing",
    "note", "prints",
];

/// One rule.
pub(super) fn rule(node: &Node<'_>, cited: &[Cited]) -> Result<Rule, Error> {
    let relation_name = relation_name(node)?;
    let extra = RELATIONS.iter().find(|(name, _)| *name == relation_name).map_or(&[][..], |(_, keys)| keys);
    let known: Vec<&str> = RULE_KEYS.iter().chain(extra).copied().collect();
    let keys = node.keys(&known)?;
    let answers = keys.required("answers", "answers = \"dynamic factor\"")?;
    let question = Question::named(answers.text()?).ok_or_else(|| {
        let names = Question::ALL.iter().map(|question| question.name());
        Error::unknown_name(answers.text().unwrap_or_default(), "question", names, answers.place.clone())
    })?;
    let source = cite(&keys, cited)?;
    let inputs = keys.optional("input").map_or_else(|| Ok(Vec::new()), |list| inputs(&list, &source))?;
    let law = question.law();
    let speaks_in_words = matches!(relation_name, "applies" | "words");
    let speaks_at_all = !matches!(relation_name, "does not apply" | "withheld");
    if speaks_at_all && speaks_in_words != (law == Law::Words) {
        let expected = if law == Law::Words { "words" } else { "a number" };
        let what =
            format!("\"{}\" is answered by {expected}, not by the relation \"{relation_name}\"", question.name());
        return Err(Error::inconsistent(what, keys.place.child("relation")));
    }
    let place_of_unit = keys.place.child("unit");
    let unit = match keys.optional("unit") {
        Some(node) => {
            Unit::measuring(question.dimension(), node.value.as_str().unwrap_or_default(), || node.place.clone())?
        }
        None if !speaks_at_all || speaks_in_words => {
            Unit::measuring(question.dimension(), question.dimension().si(), || place_of_unit.clone())?
        }
        None if question.dimension().si().is_empty() => Unit::PLAIN,
        None => {
            let add = question.dimension().to_write();
            return Err(Error::missing("the key \"unit\"", add, place_of_unit));
        }
    };
    let rule = Rule {
        question,
        symbol: keys.optional_text("symbol")?.unwrap_or_default(),
        name: keys.text("name", "name = \"what the rule says, in words\"")?,
        when: keys.optional("when").map_or_else(|| Ok(Vec::new()), |node| conditions(&node))?,
        requires: keys.optional("requires").map_or_else(|| Ok(Vec::new()), |list| requirements(&list, &inputs))?,
        relation: relation(relation_name, question, &keys, &inputs)?,
        inputs,
        unit,
        reduces: reduces(&keys, question)?,
        source,
        note: keys.optional_text("note")?,
    };
    laws::check(&rule, &keys.place)?;
    dimensions::check(&rule, &keys.place)?;
    Ok(rule)
}

/// Whether the key "prints" says that the document prints what is taken off.
fn reduces(keys: &Keys<'_>, question: Question) -> Result<bool, Error> {
    let Some(node) = keys.optional("prints") else { return Ok(false) };
    match node.text()? {
        "reduction" if question.dimension() == Dimension::Number && question.law() != Law::Words => Ok(true),
        "reduction" => {
            let what = format!("\"{}\" is answered by no pure number that could be taken off", question.name());
            Err(Error::inconsistent(what, node.place))
        }
        other => Err(Error::unknown_name(other, "kind of print", ["reduction"], node.place)),
    }
}

//! The numerical facts a rule reads: unit, range, and what the document provides outside it.

use super::super::range::{End, Range};
use super::super::rule::{Input, Outside, Taken};
use super::super::tree::{Keys, Node};
use super::super::unit::{Dimension, Unit};
use super::super::vocabulary::{self, Kind, Known};
use crate::error::Error;
use crate::source::{Citation, Source};

/// The keys that state a range.
pub(super) const LIMITS: &[&str] = &["at_least", "more_than", "at_most", "less_than"];

/// The inputs of a rule.
pub(super) fn inputs(list: &Node<'_>, source: &Source) -> Result<Vec<Input>, Error> {
    let mut inputs: Vec<Input> = Vec::new();
    for item in list.some_items()? {
        let known = ["fact", "unit", "as", "below", "above", "hold_clause", "policy"];
        let keys = item.keys(&[&known, LIMITS].concat())?;
        let named = keys.required("fact", "fact = \"name of the fact\"")?;
        let fact = named.text()?;
        let (fact, dimension) = match vocabulary::known(fact) {
            Some(known @ Known { kind: Kind::Number(dimension, _), .. }) => (known, *dimension),
            Some(_) => {
                return Err(Error::malformed(format!("{fact} is a word; it belongs under when"), named.place));
            }
            None => return Err(Error::unknown_name(fact, "fact", vocabulary::names(), named.place)),
        };
        if inputs.iter().any(|input| input.fact == fact) {
            return Err(Error::DuplicateName { name: fact.name.to_owned(), place: named.place });
        }
        let unit = match keys.optional("unit") {
            Some(node) => Unit::measuring(dimension, node.value.as_str().unwrap_or_default(), || node.place.clone())?,
            None if dimension.si().is_empty() => Unit::PLAIN,
            None => {
                let add = dimension.to_write();
                return Err(Error::missing("the key \"unit\"", add, keys.place.child("unit")));
            }
        };
        let range = range(&keys)?;
        inputs.push(Input {
            fact,
            unit,
            range,
            below: outside(&keys, "below", range.low, source)?,
            above: outside(&keys, "above", range.high, source)?,
            taken: taken(&keys, fact)?,
        });
    }
    Ok(inputs)
}

/// How the relation takes the value: as stated, or as the key "as" says.
fn taken(keys: &Keys<'_>, fact: &'static Known) -> Result<Taken, Error> {
    let Some(node) = keys.optional("as") else { return Ok(Taken::AsStated) };
    match node.text()? {
        "sine" if matches!(fact.kind, Kind::Number(Dimension::Angle, _)) => Ok(Taken::Sine),
        "sine" => Err(Error::malformed("only an angle can be read \"as\" its \"sine\"", node.place)),
        "from vertical" if *fact == vocabulary::ANGLE_FROM_HORIZONTAL => Ok(Taken::FromVertical),
        "from vertical" => {
            Err(Error::malformed("only the angle from horizontal can be read \"from vertical\"", node.place))
        }
        other => Err(Error::unknown_name(other, "way to take a value", ["sine", "from vertical"], node.place)),
    }
}

fn outside(keys: &Keys<'_>, side: &str, end: Option<End>, source: &Source) -> Result<Outside, Error> {
    let policy = keys.optional_text("policy")?;
    let Some(node) = keys.optional(side) else {
        return Ok(Outside::Refuse(policy.unwrap_or(Outside::NO_POLICY)));
    };
    match node.text()? {
        "refuse" => Ok(Outside::Refuse(policy.unwrap_or(Outside::NO_POLICY))),
        "hold" if end.is_some_and(|end| end.inclusive) => {
            let clause = keys.text("hold_clause", "hold_clause = \"where the document says so\"")?;
            Ok(Outside::Hold(Citation { clause, ..(**source).clone() }.into()))
        }
        "hold" => Err(Error::inconsistent("there is no limit on this side that could be held", node.place)),
        other => Err(Error::unknown_name(other, "policy", ["refuse", "hold"], node.place)),
    }
}

/// The range that the keys of a table state.
pub(super) fn range(keys: &Keys<'_>) -> Result<Range, Error> {
    let end = |closed: &str, open: &str| -> Result<Option<End>, Error> {
        match (keys.optional_number(closed)?, keys.optional_number(open)?) {
            (Some(_), Some(_)) => Err(Error::inconsistent(
                format!("\"{closed}\" and \"{open}\" exclude each other"),
                keys.place.child(open),
            )),
            (Some(value), None) => Ok(Some(End { value, inclusive: true })),
            (None, Some(value)) => Ok(Some(End { value, inclusive: false })),
            (None, None) => Ok(None),
        }
    };
    let range = Range { low: end("at_least", "more_than")?, high: end("at_most", "less_than")? };
    if range.is_empty() {
        return Err(Error::inconsistent(format!("no value is {range}"), keys.place.clone()));
    }
    Ok(range)
}

//! From the keys of a rule to its relation.

use super::super::question::Question;
use super::super::relation::{Alternative, Form, Pick, Relation};
use super::super::rule::Input;
use super::super::tree::{Keys, Node};
use super::operands::{input_named, product};
use crate::error::{Error, Place};
use crate::text::Text;
use std::sync::Arc;

/// The relations by name, and the keys each of them adds to a rule.
pub(in crate::rules) const RELATIONS: &[(&str, &[&str])] = &[
    ("constant", &["value"]),
    ("applies", &[]),
    ("words", &["words"]),
    ("table", &["rows", "row_lookup", "other_rows", "columns", "column_number", "column_lookup", "cells", "form"]),
    ("root", &["of", "a", "b", "c"]),
    ("bend", &["of", "k"]),
    ("greatest line", &["of", "lines"]),
    ("least line", &["of", "lines"]),
    ("product", &["times", "divided_by"]),
    ("greatest of", &["alternatives"]),
    ("least of", &["alternatives"]),
    ("steps", &["steps"]),
    ("does not apply", &["why"]),
    ("withheld", &["why"]),
];

/// The name of the relation, which must be a known one.
pub(super) fn relation_name<'a>(node: &Node<'a>) -> Result<&'a str, Error> {
    let keys = node.any_keys()?;
    let named = keys.required("relation", "relation = \"constant\"")?;
    let name = named.text()?;
    if RELATIONS.iter().any(|(known, _)| *known == name) {
        return Ok(name);
    }
    Err(Error::unknown_name(name, "relation", RELATIONS.iter().map(|(known, _)| *known), named.place))
}

/// The relation of this name.
pub(super) fn relation(name: &str, question: Question, keys: &Keys<'_>, inputs: &[Input]) -> Result<Relation, Error> {
    Ok(match name {
        "constant" => Relation::Constant(keys.required("value", "value = …")?.number()?),
        "applies" => Relation::Words(Arc::new([Text::fixed("applies")])),
        "words" => {
            let words = keys.required("words", "words = [\"…\"]")?.texts()?;
            let unread = question.words().and_then(|known| {
                let (word, place) = words.iter().find(|(word, _)| !known.contains(word))?;
                Some(unread(question, known, word, place.clone()))
            });
            if let Some(error) = unread {
                return Err(error);
            }
            Relation::Words(words.into_iter().map(|(word, _)| Text::from(word.to_owned())).collect())
        }
        "table" => Relation::Table(super::table::table(keys, inputs)?),
        "product" => {
            let product = product(keys, inputs)?;
            Relation::Products { pick: Pick::Only, of: vec![Alternative { name: Text::default(), product }] }
        }
        "greatest of" => Relation::Products { pick: Pick::Greatest, of: alternatives(keys, inputs)? },
        "least of" => Relation::Products { pick: Pick::Least, of: alternatives(keys, inputs)? },
        "steps" => Relation::Steps(super::steps::steps(keys, inputs)?),
        "does not apply" => Relation::DoesNotApply { why: keys.text("why", "why = \"…\"")? },
        "withheld" => Relation::Withheld { why: keys.text("why", "why = \"…\"")? },
        _ => {
            let (form, of) = form(name, keys, inputs)?;
            Relation::Form { form, of }
        }
    })
}

/// A word with which a question is not answered. All that answer it are named: the nearest by its letters may mean another.
fn unread(question: Question, known: &[&str], word: &str, place: Place) -> Error {
    let kind = format!("word that answers \"{}\" (one of \"{}\")", question.name(), known.join("\", \""));
    let nearest = known.iter().find(|other| other.starts_with(word)).map(|other| (*other).to_owned());
    Error::UnknownName { name: word.to_owned(), kind, nearest, place }
}

/// A form of one variable; also used within a table.
pub(super) fn form(name: &str, keys: &Keys<'_>, inputs: &[Input]) -> Result<(Form, usize), Error> {
    let of = keys.required("of", "of = \"the input it is a form of\"")?;
    let input = input_named(of.text()?, inputs, &of.place)?;
    Ok((form_alone(name, keys)?, input))
}

fn form_alone(name: &str, keys: &Keys<'_>) -> Result<Form, Error> {
    let number = |key: &str| keys.required(key, format!("{key} = …"))?.number();
    match name {
        "root" => Ok(Form::Root { a: number("a")?, b: number("b")?, c: number("c")? }),
        "bend" => Ok(Form::Bend { k: number("k")? }),
        "greatest line" => Ok(Form::GreatestLine(lines(keys)?)),
        "least line" => Ok(Form::LeastLine(lines(keys)?)),
        _ => {
            let known = ["root", "bend", "greatest line", "least line"];
            Err(Error::unknown_name(name, "form of one variable", known, keys.place.child("relation")))
        }
    }
}

fn lines(keys: &Keys<'_>) -> Result<Vec<(f64, f64)>, Error> {
    let mut lines = Vec::new();
    for item in keys.required("lines", "lines = [[a, b]]")?.some_items()? {
        let pair: Vec<f64> = item.items()?.iter().map(Node::number).collect::<Result<_, _>>()?;
        let [a, b] = pair.as_slice() else {
            return Err(Error::malformed("a line is a pair [a, b]: a + b·x", item.place));
        };
        lines.push((*a, *b));
    }
    Ok(lines)
}

fn alternatives(keys: &Keys<'_>, inputs: &[Input]) -> Result<Vec<Alternative>, Error> {
    keys.required("alternatives", "alternatives = [{ name = \"…\", times = [\"…\"] }]")?
        .some_items()?
        .iter()
        .map(|item| {
            let keys = item.keys(&["name", "times", "divided_by"])?;
            Ok(Alternative { name: keys.text("name", "name = \"…\"")?, product: product(&keys, inputs)? })
        })
        .collect()
}

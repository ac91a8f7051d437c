//! From the tree of a rule file to rules: keys, names, units and data laws are checked here, for a built-in file and a
//! user's alike.

use super::question::{Law, Question};
use super::range::{End, Range};
use super::relation::{Alternative, Form, Operand, Pick, Product, Relation};
use super::rule::{Condition, Input, Otherwise, Outside, Requirement, Rule};
use super::tree::{Keys, Node};
use super::unit::Unit;
use super::vocabulary::{self, Kind, Known, WordSet};
use super::{laws, load_table};
use crate::error::{Error, Place};
use crate::source::{Source, Standing};
use crate::text::Text;
use std::sync::Arc;

/// A source by the id that rules name it by.
pub(super) struct Cited {
    pub(super) id: Text,
    pub(super) source: Source,
}

const STANDINGS: &[Standing] = &[
    Standing::Document,
    Standing::Secondary,
    Standing::Derived,
    Standing::Memory,
    Standing::CommonPractice,
    Standing::Stated,
];

const fn standing_key(standing: Standing) -> &'static str {
    match standing {
        Standing::Document => "document",
        Standing::Secondary => "secondary",
        Standing::Derived => "derived",
        Standing::Memory => "memory",
        Standing::CommonPractice => "common practice",
        Standing::Stated => "stated",
        Standing::StatedWithRule => "stated with the rule",
    }
}

pub(super) fn standing(node: &Node<'_>) -> Result<Standing, Error> {
    let text = node.text()?;
    STANDINGS.iter().copied().find(|standing| standing_key(*standing) == text).ok_or_else(|| {
        Error::unknown_name(text, "standing", STANDINGS.iter().map(|s| standing_key(*s)), node.place.clone())
    })
}

/// The sources of a rule set, by id.
pub(super) fn sources(list: &Node<'_>) -> Result<Vec<Cited>, Error> {
    let mut cited: Vec<Cited> = Vec::new();
    for item in list.some_items()? {
        let keys = item.keys(&["id", "document", "edition", "standing", "note"])?;
        let id = keys.text("id", "id = \"…\"")?;
        if cited.iter().any(|other| other.id == id) {
            return Err(Error::DuplicateName { name: id.into(), place: keys.place.child("id") });
        }
        let source = Source {
            document: keys.text("document", "document = \"designation or title\"")?,
            clause: Text::default(),
            edition: keys.optional_text("edition")?.unwrap_or_default(),
            standing: standing(&keys.required("standing", "standing = \"document\"")?)?,
        };
        keys.optional_text("note")?;
        cited.push(Cited { id, source });
    }
    Ok(cited)
}

const RULE_KEYS: &[&str] = &[
    "answers", "symbol", "name", "when", "input", "requires", "relation", "unit", "source", "clause", "standing",
    "note",
];

/// The relations by name, and the keys each of them adds to a rule.
const RELATIONS: &[(&str, &[&str])] = &[
    ("constant", &["value"]),
    ("applies", &[]),
    ("words", &["words"]),
    ("table", &["rows", "row_lookup", "columns", "column_number", "column_lookup", "cells", "form"]),
    ("root", &["of", "a", "b", "c"]),
    ("bend", &["of", "k"]),
    ("greatest line", &["of", "lines"]),
    ("product", &["times", "divided_by"]),
    ("greatest of", &["alternatives"]),
    ("least of", &["alternatives"]),
    ("does not apply", &["why"]),
    ("withheld", &["why"]),
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
        None if question.dimension().si().is_empty() => Unit::named("", || place_of_unit.clone())?,
        None => {
            let add = format!("unit = \"{}\"", question.dimension().si());
            return Err(Error::missing("the key \"unit\"", add, place_of_unit));
        }
    };
    let rule = Rule {
        question,
        symbol: keys.optional_text("symbol")?.unwrap_or_default(),
        name: keys.text("name", "name = \"what the rule says, in words\"")?,
        when: keys.optional("when").map_or_else(|| Ok(Vec::new()), |node| conditions(&node))?,
        requires: keys.optional("requires").map_or_else(|| Ok(Vec::new()), |list| requirements(&list, &inputs))?,
        relation: relation(relation_name, &keys, &inputs)?,
        inputs,
        unit,
        source,
        note: keys.optional_text("note")?,
    };
    laws::check(&rule, &keys.place)?;
    Ok(rule)
}

fn relation_name<'a>(node: &Node<'a>) -> Result<&'a str, Error> {
    let keys = node.any_keys()?;
    let named = keys.required("relation", "relation = \"constant\"")?;
    let name = named.text()?;
    if RELATIONS.iter().any(|(known, _)| *known == name) {
        return Ok(name);
    }
    Err(Error::unknown_name(name, "relation", RELATIONS.iter().map(|(known, _)| *known), named.place))
}

fn cite(keys: &Keys<'_>, cited: &[Cited]) -> Result<Source, Error> {
    let id = keys.required("source", "source = \"id of a source\"")?;
    let name = id.text()?;
    let found = cited.iter().find(|other| other.id == name).ok_or_else(|| {
        Error::unknown_name(name, "source", cited.iter().map(|other| other.id.as_str()), id.place.clone())
    })?;
    let mut source = found.source.clone();
    source.clause = keys.text("clause", "clause = \"clause, table or page\"")?;
    if let Some(node) = keys.optional("standing") {
        source.standing = standing(&node)?;
    }
    Ok(source)
}

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
        let word = fact.word(text).ok_or_else(|| {
            Error::unknown_name(text, format!("word for \"{}\"", fact.name), fact.words().iter().copied(), place)
        })?;
        words = words.with(word);
    }
    Ok(Condition { fact, words })
}

pub(super) fn conditions(node: &Node<'_>) -> Result<Vec<Condition>, Error> {
    node.any_keys()?.entries().map(|(fact, node)| condition(fact, &node)).collect()
}

fn inputs(list: &Node<'_>, source: &Source) -> Result<Vec<Input>, Error> {
    let mut inputs: Vec<Input> = Vec::new();
    for item in list.some_items()? {
        let keys = item.keys(&[
            "fact",
            "unit",
            "as",
            "at_least",
            "more_than",
            "at_most",
            "less_than",
            "below",
            "above",
            "hold_clause",
            "policy",
        ])?;
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
            None if dimension.si().is_empty() => Unit::named("", || keys.place.clone())?,
            None => {
                let add = format!("unit = \"{}\"", dimension.si());
                return Err(Error::missing("the key \"unit\"", add, keys.place.child("unit")));
            }
        };
        let range = range(&keys)?;
        let sine = match keys.optional("as") {
            None => false,
            Some(node) if node.text()? == "sine" && dimension == super::unit::Dimension::Angle => true,
            Some(node) => return Err(Error::malformed("only an angle can be read \"as\" its \"sine\"", node.place)),
        };
        inputs.push(Input {
            fact,
            unit,
            range,
            below: outside(&keys, "below", range.low, source)?,
            above: outside(&keys, "above", range.high, source)?,
            sine,
        });
    }
    Ok(inputs)
}

fn outside(keys: &Keys<'_>, side: &str, end: Option<End>, source: &Source) -> Result<Outside, Error> {
    let policy = keys.optional_text("policy")?;
    let Some(node) = keys.optional(side) else {
        return Ok(Outside::Refuse(policy.unwrap_or(Text::fixed("the document gives no value there"))));
    };
    match node.text()? {
        "refuse" => Ok(Outside::Refuse(policy.unwrap_or(Text::fixed("the document gives no value there")))),
        "hold" if end.is_some_and(|end| end.inclusive) => {
            let clause = keys.text("hold_clause", "hold_clause = \"where the document says so\"")?;
            Ok(Outside::Hold(Source { clause, ..source.clone() }))
        }
        "hold" => Err(Error::inconsistent("there is no limit on this side that could be held", node.place)),
        other => Err(Error::unknown_name(other, "policy", ["refuse", "hold"], node.place)),
    }
}

fn range(keys: &Keys<'_>) -> Result<Range, Error> {
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

fn requirements(list: &Node<'_>, inputs: &[Input]) -> Result<Vec<Requirement>, Error> {
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

fn product(keys: &Keys<'_>, inputs: &[Input]) -> Result<Product, Error> {
    let times = operands(&keys.required("times", "times = [\"fact or number\"]")?, inputs)?;
    let divided_by = keys.optional("divided_by").map_or_else(|| Ok(Vec::new()), |list| operands(&list, inputs))?;
    Ok(Product { times, divided_by })
}

fn operands(list: &Node<'_>, inputs: &[Input]) -> Result<Vec<Operand>, Error> {
    let mut operands = Vec::new();
    for item in list.some_items()? {
        if item.value.is_str() {
            let name = item.text()?;
            operands.push(Operand::Input(input_named(name, inputs, &item.place)?));
        } else {
            let number = item.number()?;
            if number <= 0.0 {
                return Err(Error::out_of_domain("number in a product", number, "", "above 0", item.place));
            }
            operands.push(Operand::Number(number));
        }
    }
    Ok(operands)
}

fn relation(name: &str, keys: &Keys<'_>, inputs: &[Input]) -> Result<Relation, Error> {
    Ok(match name {
        "constant" => Relation::Constant(keys.required("value", "value = …")?.number()?),
        "applies" => Relation::Words(Arc::new([Text::fixed("applies")])),
        "words" => {
            let words = keys.required("words", "words = [\"…\"]")?.texts()?;
            Relation::Words(words.into_iter().map(|(word, _)| Text::from(word.to_owned())).collect())
        }
        "table" => Relation::Table(load_table::table(keys, inputs)?),
        "product" => {
            let product = product(keys, inputs)?;
            Relation::Products { pick: Pick::Only, of: vec![Alternative { name: Text::default(), product }] }
        }
        "greatest of" => Relation::Products { pick: Pick::Greatest, of: alternatives(keys, inputs)? },
        "least of" => Relation::Products { pick: Pick::Least, of: alternatives(keys, inputs)? },
        "does not apply" => Relation::DoesNotApply { why: keys.text("why", "why = \"…\"")? },
        "withheld" => Relation::Withheld { why: keys.text("why", "why = \"…\"")? },
        _ => {
            let (form, of) = form(name, keys, inputs)?;
            Relation::Form { form, of }
        }
    })
}

/// A form of one variable; also used within a table.
pub(super) fn form(name: &str, keys: &Keys<'_>, inputs: &[Input]) -> Result<(Form, usize), Error> {
    let of = keys.required("of", "of = \"the input it is a form of\"")?;
    let input = input_named(of.text()?, inputs, &of.place)?;
    Ok((form_alone(name, keys)?, input))
}

/// The index of the input of this name.
pub(super) fn input_named(name: &str, inputs: &[Input], place: &Place) -> Result<usize, Error> {
    inputs.iter().position(|input| input.fact.name == name).ok_or_else(|| {
        let known = inputs.iter().map(|input| input.fact.name);
        Error::unknown_name(name, "input of this rule", known, place.clone())
    })
}

fn form_alone(name: &str, keys: &Keys<'_>) -> Result<Form, Error> {
    let number = |key: &str| keys.required(key, &format!("{key} = …"))?.number();
    match name {
        "root" => Ok(Form::Root { a: number("a")?, b: number("b")?, c: number("c")? }),
        "bend" => Ok(Form::Bend { k: number("k")? }),
        "greatest line" => {
            let mut lines = Vec::new();
            for item in keys.required("lines", "lines = [[a, b]]")?.some_items()? {
                let pair: Vec<f64> = item.items()?.iter().map(Node::number).collect::<Result<_, _>>()?;
                let [a, b] = pair.as_slice() else {
                    return Err(Error::malformed("a line is a pair [a, b]: a + b·x", item.place));
                };
                lines.push((*a, *b));
            }
            Ok(Form::GreatestLine(lines))
        }
        _ => {
            let place = keys.place.child("relation");
            Err(Error::unknown_name(name, "form of one variable", ["root", "bend", "greatest line"], place))
        }
    }
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

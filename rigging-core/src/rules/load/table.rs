//! From the printed shape of a table in a rule file to a [`Table`].

use super::super::range::Range;
use super::super::rule::Input;
use super::super::table::{Cell, Column, Lookup, Rows, Table};
use super::super::tree::{Keys, Node};
use super::super::vocabulary::{self, Kind, Known, WordSet};
use super::conditions::condition;
use super::inputs::{LIMITS, range};
use super::operands::input_named;
use super::relation::form;
use super::sources::standing;
use crate::error::Error;

fn lookup(keys: &Keys<'_>, key: &str) -> Result<Lookup, Error> {
    // Bands are keys of rows; they are read where the rows are.
    const WAYS: &[&str] = &["exact", "at most", "next lower", "band"];
    let node = keys.required(key, format!("{key} = \"exact\", \"at most\" or \"next lower\""))?;
    match node.text()? {
        "exact" => Ok(Lookup::Exact),
        "at most" => Ok(Lookup::AtMost),
        "next lower" => Ok(Lookup::NextLower),
        "band" => Err(Error::inconsistent("only rows are looked up by band", node.place)),
        other => Err(Error::unknown_name(other, "way of looking up", WAYS.iter().copied(), node.place)),
    }
}

/// The table that the keys of a rule print.
pub(super) fn table(keys: &Keys<'_>, inputs: &[Input]) -> Result<Table, Error> {
    let forms = forms(keys, inputs)?;
    let column_number = match keys.optional("column_number") {
        None => None,
        Some(node) => Some((input_named(node.text()?, inputs, &node.place)?, lookup(keys, "column_lookup")?)),
    };
    let columns = columns(keys, column_number.and_then(|(input, _)| inputs.get(input)))?;
    let lines = keys.required("cells", "cells = [[row, …]]")?.some_items()?;
    let mut cells = Vec::new();
    for line in &lines {
        let items = line.items()?;
        if items.len() != columns.len() + 1 {
            let what =
                format!("this row has {} entries; it must have its key and {} cells", items.len(), columns.len());
            return Err(Error::malformed(what, line.place.clone()));
        }
        cells.push(items.iter().skip(1).map(|item| cell(item, &forms)).collect::<Result<Vec<_>, _>>()?);
    }
    Ok(Table { rows: rows(keys, inputs, &lines)?, columns, column_number, cells })
}

fn rows(keys: &Keys<'_>, inputs: &[Input], lines: &[Node<'_>]) -> Result<Rows, Error> {
    let named = keys.required("rows", "rows = \"the fact the rows are printed against\"")?;
    let fact = named.text()?;
    let first = lines.iter().map(|line| Ok(line.items()?.into_iter().next()));
    let heads: Vec<Node<'_>> = first.collect::<Result<Vec<_>, Error>>()?.into_iter().flatten().collect();
    if let Some(known @ Known { kind: Kind::Words(_), .. }) = vocabulary::known(fact) {
        let mut seen: Vec<WordSet> = Vec::new();
        for head in &heads {
            let words = condition(fact, head)?.words;
            if seen.iter().any(|other| !other.is_apart_from(words)) {
                let twice = head.texts()?.into_iter().find(|(text, _)| {
                    known.word(text).is_some_and(|word| seen.iter().any(|other| other.contains(word)))
                });
                // A row may also hold a kind of what an earlier one names.
                let first = || head.texts().ok().and_then(|texts| texts.into_iter().next());
                let name = twice.or_else(first).map(|(text, _)| text.to_owned()).unwrap_or_default();
                return Err(Error::DuplicateName { name, place: head.place.clone() });
            }
            seen.push(words);
        }
        return Ok(Rows::Word { fact: known, keys: seen });
    }
    let input = input_named(fact, inputs, &named.place)?;
    // The way of looking up says what the keys of the rows are, so it is read before they are.
    if keys.optional("row_lookup").is_some_and(|node| node.value.as_str() == Some("band")) {
        return Ok(Rows::Band { input, bands: bands(&heads)? });
    }
    let lookup = lookup(keys, "row_lookup")?;
    let mut printed: Vec<Option<f64>> = Vec::new();
    for (index, head) in heads.iter().enumerate() {
        let key = if head.value.as_str() == Some("above") {
            if index + 1 != heads.len() {
                return Err(Error::inconsistent("only the last row can stand for all above", head.place.clone()));
            }
            None
        } else {
            Some(head.number()?)
        };
        if let (Some(Some(previous)), Some(key)) = (printed.last(), key)
            && key <= *previous
        {
            let allowed = format!("above the row before, {previous}");
            return Err(Error::out_of_domain("key of the row", key, "", allowed, head.place.clone()));
        }
        printed.push(key);
    }
    Ok(Rows::Number { input, lookup, keys: printed, others_not_seen: others_not_seen(keys, lookup)? })
}

/// Whether the key "other_rows" says that the document prints rows beside these.
fn others_not_seen(keys: &Keys<'_>, lookup: Lookup) -> Result<bool, Error> {
    let Some(node) = keys.optional("other_rows") else { return Ok(false) };
    match node.text()? {
        "not seen" if lookup == Lookup::Exact => Ok(true),
        "not seen" => {
            Err(Error::inconsistent("only rows that are looked up exactly leave room for others", node.place))
        }
        other => Err(Error::unknown_name(other, "state of other rows", ["not seen"], node.place)),
    }
}

/// Bands rise from row to row; where two meet, at most one of them holds the limit.
fn bands(heads: &[Node<'_>]) -> Result<Vec<Range>, Error> {
    let mut bands: Vec<Range> = Vec::new();
    for head in heads {
        let band = range(&head.keys(LIMITS)?)?;
        if band.low.is_none() && band.high.is_none() {
            return Err(Error::missing("a limit", "at_least, more_than, at_most or less_than", head.place.clone()));
        }
        if let Some(before) = bands.last().filter(|before| !before.lies_below_all_of(&band)) {
            let what = format!("the band {band} is not apart from the row before, {before}, and above it");
            return Err(Error::inconsistent(what, head.place.clone()));
        }
        bands.push(band);
    }
    Ok(bands)
}

fn columns(keys: &Keys<'_>, number: Option<&Input>) -> Result<Vec<Column>, Error> {
    let Some(list) = keys.optional("columns") else {
        return Ok(vec![Column { words: Vec::new(), number: None }]);
    };
    let mut columns = Vec::new();
    for item in list.some_items()? {
        let mut column = Column { words: Vec::new(), number: None };
        for (fact, node) in item.any_keys()?.entries() {
            if number.is_some_and(|input| input.fact.name == fact) {
                column.number = Some(node.number()?);
            } else {
                column.words.push(condition(fact, &node)?);
            }
        }
        if number.is_some() && column.number.is_none() && column.words.is_empty() {
            return Err(Error::missing("the number over this column", "the fact named by column_number", item.place));
        }
        let beside = |other: &&Column| number.is_some() && (other.number.is_none() || column.number.is_none());
        if columns.iter().filter(beside).any(|other| !column.is_apart_from(other) && *other != column) {
            let what = "a column of words only can be met together with another one";
            return Err(Error::inconsistent(what, item.place));
        }
        if columns.contains(&column) {
            return Err(Error::inconsistent("the same column stands twice", item.place));
        }
        columns.push(column);
    }
    Ok(columns)
}

fn forms(keys: &Keys<'_>, inputs: &[Input]) -> Result<Vec<(String, Cell)>, Error> {
    let Some(node) = keys.optional("form") else {
        return Ok(Vec::new());
    };
    node.any_keys()?
        .entries()
        .map(|(name, node)| {
            let keys = node.keys(&["relation", "of", "a", "b", "c", "k", "lines"])?;
            let relation = keys.text("relation", "relation = \"root\"")?;
            let (form, of) = form(&relation, &keys, inputs)?;
            Ok((name.to_owned(), Cell::Form { form, of }))
        })
        .collect()
}

fn cell(node: &Node<'_>, forms: &[(String, Cell)]) -> Result<Cell, Error> {
    if node.value.is_table() {
        let keys = node.keys(&["value", "suspect", "standing", "clause"])?;
        return Ok(Cell::Value {
            value: keys.required("value", "value = …")?.number()?,
            suspect: keys.optional_text("suspect")?,
            standing: keys.optional("standing").map(|node| standing(&node)).transpose()?,
            clause: keys.optional_text("clause")?,
        });
    }
    if !node.value.is_str() {
        return Ok(Cell::Value { value: node.number()?, suspect: None, standing: None, clause: None });
    }
    let name = node.text()?;
    if name == "not seen" {
        return Ok(Cell::NotSeen);
    }
    forms.iter().find(|(known, _)| known == name).map(|(_, cell)| cell.clone()).ok_or_else(|| {
        let known = forms.iter().map(|(known, _)| known.as_str()).chain(["not seen"]);
        Error::unknown_name(name, "form of this table", known, node.place.clone())
    })
}

//! At every limit that a rule file prints, just below it and just above: the answer is the one that a second reader works
//! from the text. The same for every cell of every table.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod rules_reader;

use rigging_core::rules::{Answer, RuleSet};
use rules_reader::points::{beside, limits, reaching};
use rules_reader::{Due, Reader, Stated, agrees, list, question, texts};
use std::collections::BTreeMap;
use toml::Value;

fn names() -> impl Iterator<Item = &'static str> {
    RuleSet::built_in_names().iter().chain(RuleSet::document_names()).copied()
}

/// The files that stand by themselves: a set of documents has no table of its own.
fn alone() -> impl Iterator<Item = (&'static str, RuleSet)> {
    names().map(|name| (name, RuleSet::built_in(name).unwrap())).filter(|(_, rules)| rules.documents().is_empty())
}

#[derive(Debug, Default)]
struct Tally {
    limits: usize,
    asked: usize,
    speaks: usize,
    outside: usize,
    held: usize,
    other: usize,
    no_fact: usize,
}

fn compare(reader: &Reader, rules: &RuleSet, rule: &Value, stated: &Stated, tally: &mut Tally) -> Option<String> {
    let (_, due) = reader.due(rule["answers"].as_str().unwrap(), stated);
    let answer = rules.ask(question(rule), &stated.facts(std::slice::from_ref(rule)));
    if let Answer::Refused(_) = answer {
        // No fact at all: an angle beyond a right one, a length below zero.
        tally.no_fact += 1;
        return None;
    }
    tally.asked += 1;
    match &due {
        Due::Value(_, held) if !held.is_empty() => tally.held += 1,
        Due::Value(..) | Due::Words(_) => tally.speaks += 1,
        Due::Outside => tally.outside += 1,
        _ => tally.other += 1,
    }
    (!agrees(&answer, &due)).then(|| {
        format!(
            "{}: \"{}\" at {stated:?}: due {due:?}, answered {answer:?}",
            reader.name,
            rule["name"].as_str().unwrap()
        )
    })
}

#[test]
fn at_every_limit_the_answer_is_the_printed_one() {
    let mut tally = Tally::default();
    let (mut failures, mut unreached, mut rules_with_limits) = (Vec::new(), Vec::new(), 0);
    for (name, rules) in alone() {
        let reader = Reader::of(name);
        for (index, rule) in reader.rules().iter().enumerate() {
            let points: Vec<(&Value, Vec<f64>)> = list(rule, "input")
                .iter()
                .map(|input| (input, limits(rule, input["fact"].as_str().unwrap())))
                .filter(|(_, limits)| !limits.is_empty())
                .collect();
            if points.is_empty() {
                continue;
            }
            rules_with_limits += 1;
            let Some(reached) = reaching(&reader, index) else {
                unreached.push(format!("{name}: {}", rule["name"].as_str().unwrap()));
                continue;
            };
            for (input, limits) in points {
                let unit = input.get("unit").and_then(Value::as_str).unwrap_or("");
                for limit in limits {
                    tally.limits += 1;
                    for value in beside(limit) {
                        let mut stated = reached.clone();
                        stated.numbers.insert(input["fact"].as_str().unwrap().to_owned(), (value, unit.to_owned()));
                        failures.extend(compare(&reader, &rules, rule, &stated, &mut tally));
                    }
                }
            }
        }
    }
    println!("{rules_with_limits} rules with limits, {tally:?}, not reached {unreached:?}");
    assert_eq!((rules_with_limits, tally.limits, tally.asked), (67, 333, 988));
    assert_eq!((tally.speaks, tally.outside, tally.held, tally.other, tally.no_fact), (415, 365, 2, 206, 11));
    assert!(failures.is_empty(), "{} failures:\n{}", failures.len(), failures[..failures.len().min(20)].join("\n"));
    assert!(unreached.is_empty(), "{unreached:?}");
}

/// A cell's own words and numbers, beside those of the rule.
fn at_cell(reader: &Reader, index: usize, row: usize, column: usize) -> Option<Stated> {
    let rule = &reader.rules()[index];
    let inputs = list(rule, "input");
    let unit = |fact: &str| {
        let input = inputs.iter().find(|input| input["fact"].as_str() == Some(fact));
        input.and_then(|input| input.get("unit")).and_then(Value::as_str).unwrap_or("").to_owned()
    };
    let mut pinned: Vec<(String, String)> = Vec::new();
    let mut numbers: BTreeMap<String, (f64, String)> = BTreeMap::new();
    let rows = rule["rows"].as_str().unwrap();
    let head = &list(rule, "cells")[row][0];
    match rule.get("row_lookup") {
        None => pinned.push((rows.to_owned(), texts(head)[0].to_owned())),
        Some(_) => {
            let number = |key: &str| head.get(key).and_then(rules_reader::number);
            let above =
                list(rule, "cells").iter().filter_map(|line| rules_reader::number(&line[0])).fold(0.0, f64::max);
            let key = rules_reader::number(head)
                .or_else(|| {
                    Some(
                        number("at_least")
                            .or(number("more_than"))?
                            .midpoint(number("at_most").or(number("less_than"))?),
                    )
                })
                .or_else(|| number("at_most").or(number("less_than")).map(|end| end - 0.01 * end.abs()))
                .or_else(|| number("at_least").or(number("more_than")).map(|end| end + 0.01 * end.abs()))
                .unwrap_or(1.5 * above);
            numbers.insert(rows.to_owned(), (key, unit(rows)));
        }
    }
    let over = rule.get("column_number").and_then(Value::as_str);
    for (fact, named) in list(rule, "columns").get(column).and_then(Value::as_table).into_iter().flatten() {
        match rules_reader::number(named).filter(|_| over == Some(fact)) {
            Some(key) => {
                numbers.insert(fact.clone(), (key, unit(fact)));
            }
            None => pinned.push((fact.clone(), texts(named)[0].to_owned())),
        }
    }
    let question = rule["answers"].as_str().unwrap();
    rules_reader::points::wordings(reader, rule)
        .into_iter()
        .filter(|words| pinned.iter().all(|(fact, word)| words.get(fact) == Some(word)))
        .find_map(|mut words| {
            // A rule on several vessels speaks before a table for a single crane.
            if rule["name"].as_str().is_some_and(|name| name.ends_with("single crane")) {
                words.insert("vessels".to_owned(), "one".to_owned());
            }
            rules_reader::points::numberings(rule, &numbers, 200).into_iter().find_map(|all| {
                let stated = Stated { words: words.clone(), numbers: all };
                let (found, due) = reader.due(question, &stated);
                (found == Some(index) && matches!(due, Due::Value(..) | Due::Withheld(_))).then_some(stated)
            })
        })
}

#[test]
fn every_cell_is_answered_as_printed() {
    let (mut tables, mut cells, mut failures, mut unreached) = (0, 0, Vec::new(), Vec::new());
    let mut tally = Tally::default();
    for (name, rules) in alone() {
        let reader = Reader::of(name);
        for (index, rule) in
            reader.rules().iter().enumerate().filter(|(_, rule)| rule["relation"].as_str() == Some("table"))
        {
            tables += 1;
            for (row, line) in list(rule, "cells").iter().enumerate() {
                for column in 0..line.as_array().unwrap().len() - 1 {
                    cells += 1;
                    match at_cell(&reader, index, row, column) {
                        Some(stated) => failures.extend(compare(&reader, &rules, rule, &stated, &mut tally)),
                        None => unreached.push(format!("{name}: {} {row} {column}", rule["name"].as_str().unwrap())),
                    }
                }
            }
        }
    }
    println!("{tables} tables, {cells} cells, {tally:?}, not reached {unreached:?}");
    assert_eq!((tables, cells, tally.speaks, tally.other), (75, 975, 758, 217));
    assert!(failures.is_empty(), "{} failures:\n{}", failures.len(), failures[..failures.len().min(20)].join("\n"));
    assert!(unreached.is_empty(), "{unreached:?}");
}

/// Which way the answers of a question run down the rows of a table, as the quantity itself demands.
fn runs(question: &str) -> Option<fn(f64, f64) -> bool> {
    match question {
        "rated value" | "breaking load" | "least link thickness" => Some(|before, after| after > before),
        "dynamic factor" | "bending factor" | "temperature factor" | "side load factor" => {
            Some(|before, after| after <= before)
        }
        "choke angle factor"
        | "crane margin"
        | "least clips"
        | "clip spacing"
        | "proof load"
        | "pin hole diameter"
        | "least width for sling"
        | "shackle dimension"
        | "greatest leg difference" => Some(|before, after| after >= before),
        _ => None,
    }
}

/// The printed value of a cell that has one.
fn printed(cell: &Value) -> Option<f64> {
    rules_reader::number(cell).or_else(|| cell.get("value").and_then(rules_reader::number))
}

/// The laws of quantities, over all tables of all files at once, from the text alone: keys rise and bands do not overlap;
/// capacity rises with size and falls as a leg flattens; a factor falls as the load grows.
#[test]
fn all_tables_keep_the_laws_of_their_quantities() {
    let (mut tables, mut steps, mut keys, mut flatter, mut broken) = (0, 0, 0, 0, Vec::new());
    for (name, _) in alone() {
        let reader = Reader::of(name);
        for rule in reader.rules().iter().filter(|rule| rule["relation"].as_str() == Some("table")) {
            tables += 1;
            let lines = list(rule, "cells");
            let of = |what: &str| format!("{name}: {}: {what}", rule["name"].as_str().unwrap());
            // Where a row begins and ends; a printed limit is both.
            let end = |line: &Value, ends: [&str; 2]| {
                let head = &line[0];
                rules_reader::number(head)
                    .or_else(|| ends.iter().find_map(|end| head.get(end).and_then(rules_reader::number)))
            };
            for pair in lines.windows(2) {
                let (high, low) = (end(&pair[0], ["at_most", "less_than"]), end(&pair[1], ["at_least", "more_than"]));
                if let (Some(high), Some(low)) = (high, low) {
                    keys += 1;
                    if low < high || (pair[0][0].is_float() || pair[0][0].is_integer()) && low == high {
                        broken.push(of(&format!("a row at {low} after one to {high}")));
                    }
                }
            }
            let reduces = rule.get("prints").is_some();
            let value = |cell: &Value| printed(cell).map(|value| if reduces { -value } else { value });
            let by_size = rule.get("row_lookup").is_some();
            let width = lines[0].as_array().unwrap().len();
            if let Some(runs) = runs(rule["answers"].as_str().unwrap()).filter(|_| by_size) {
                for column in 1..width {
                    let values: Vec<f64> = lines.iter().filter_map(|line| value(&line[column])).collect();
                    for pair in values.windows(2) {
                        steps += 1;
                        if !runs(pair[0], pair[1]) {
                            broken.push(of(&format!("{} after {} in column {column}", pair[1], pair[0])));
                        }
                    }
                }
            }
            let over = rule.get("column_number").and_then(Value::as_str);
            if over == Some("angle from horizontal") {
                let vertical = list(rule, "input")
                    .iter()
                    .any(|input| input.get("as").and_then(Value::as_str) == Some("from vertical"));
                let columns = list(rule, "columns");
                let angle = |column: &Value| column.get("angle from horizontal").and_then(rules_reader::number);
                let words = |column: &Value| {
                    let mut words = column.as_table().unwrap().clone();
                    words.remove("angle from horizontal");
                    words
                };
                for (one, steep) in columns.iter().enumerate() {
                    for (other, flat) in columns.iter().enumerate().filter(|(_, flat)| words(flat) == words(steep)) {
                        let (Some(of_steep), Some(of_flat)) = (angle(steep), angle(flat)) else { continue };
                        let is_flatter = if vertical { of_flat > of_steep } else { of_flat < of_steep };
                        for line in lines.iter().filter(|_| is_flatter) {
                            if let (Some(high), Some(low)) = (value(&line[one + 1]), value(&line[other + 1])) {
                                flatter += 1;
                                if low >= high {
                                    broken.push(of(&format!("{low} for a flatter leg than {high}")));
                                }
                            }
                        }
                    }
                }
            }
        }
    }
    println!(
        "{tables} tables: {keys} pairs of keys, {steps} steps down a column, {flatter} pairs of a steep and a flat leg"
    );
    assert!(broken.is_empty(), "{}", broken.join("\n"));
    assert_eq!((tables, keys, steps, flatter), (75, 222, 549, 186));
}

//! Points at which a rule file is asked: facts that reach a rule, the limits it prints, and what lies just beside them.

use super::{Due, Reader, Stated, list, number, texts};
use std::collections::{BTreeMap, BTreeSet};
use toml::Value;

/// The limits and keys that a rule prints for one of its inputs.
pub fn limits(rule: &Value, fact: &str) -> Vec<f64> {
    const ENDS: [&str; 4] = ["at_least", "more_than", "at_most", "less_than"];
    let ends = |table: &Value| ENDS.iter().filter_map(|key| table.get(key).and_then(number)).collect::<Vec<f64>>();
    let mut found = Vec::new();
    for input in list(rule, "input").iter().filter(|input| input["fact"].as_str() == Some(fact)) {
        found.extend(ends(input));
    }
    for requirement in list(rule, "requires") {
        // Where one input is all that is limited, the limit is one of that input.
        let factor = |key: &str| -> Option<f64> {
            let mut product = 1.0;
            for operand in list(requirement, key) {
                match (number(operand), operand.as_str()) {
                    (Some(number), _) => product *= number,
                    (None, Some(name)) if name == fact && key == "times" => {}
                    _ => return None,
                }
            }
            Some(product)
        };
        let named = list(requirement, "times").iter().filter(|operand| operand.as_str() == Some(fact)).count();
        if let (1, Some(times), Some(by)) = (named, factor("times"), factor("divided_by")) {
            found.extend(ends(requirement).into_iter().map(|end| end * by / times));
        }
    }
    if rule.get("rows").and_then(Value::as_str) == Some(fact) {
        for line in list(rule, "cells") {
            found.extend(number(&line[0]));
            found.extend(ends(&line[0]));
        }
    }
    if rule.get("column_number").and_then(Value::as_str) == Some(fact) {
        found.extend(list(rule, "columns").iter().filter_map(|column| column.get(fact).and_then(number)));
    }
    found.sort_by(f64::total_cmp);
    found.dedup();
    found
}

/// At a limit, and just below and above it: further than what is taken for the limit itself, a thousand-millionth of it.
pub fn beside(limit: f64) -> [f64; 3] {
    let step = if limit == 0.0 { 1e-9 } else { 2e-9 * limit.abs() };
    [limit - step, limit, limit + step]
}

/// Every word that the file names for a fact.
fn words_of(reader: &Reader) -> BTreeMap<String, BTreeSet<String>> {
    let mut words: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut take = |fact: &str, named: &Value| {
        words.entry(fact.to_owned()).or_default().extend(texts(named).into_iter().map(str::to_owned));
    };
    for rule in reader.rules() {
        let number_over = rule.get("column_number").and_then(Value::as_str);
        let columns = list(rule, "columns").iter().filter_map(Value::as_table);
        for (fact, named) in rule.get("when").and_then(Value::as_table).into_iter().chain(columns).flatten() {
            if number_over != Some(fact) {
                take(fact, named);
            }
        }
        if let (Some(rows), None) = (rule.get("rows").and_then(Value::as_str), rule.get("row_lookup")) {
            for line in list(rule, "cells") {
                take(rows, &line[0]);
            }
        }
    }
    words
}

/// The words a rule names for each fact it depends on.
fn own_words(rule: &Value) -> BTreeMap<String, BTreeSet<String>> {
    words_of(&Reader {
        name: "",
        root: Value::Table([("rule".to_owned(), Value::Array(vec![rule.clone()]))].into_iter().collect()),
    })
}

/// All choices of one candidate for each key, the first of each first, `most` at most.
fn choices<T: Clone>(candidates: &[(String, Vec<T>)], most: usize) -> Vec<Vec<(String, T)>> {
    let mut found: Vec<Vec<(String, T)>> = vec![Vec::new()];
    for (key, values) in candidates {
        let mut next = Vec::new();
        for value in values {
            for chosen in &found {
                let mut chosen = chosen.clone();
                chosen.push((key.clone(), value.clone()));
                next.push(chosen);
            }
        }
        next.truncate(most);
        found = next;
    }
    found
}

/// Statements of words under which a rule may be reached: its own, and for the facts of other rules on the question a word
/// of the file or none.
pub fn wordings(reader: &Reader, rule: &Value) -> Vec<BTreeMap<String, String>> {
    let own = own_words(rule);
    let answers = &rule["answers"];
    let mut candidates: Vec<(String, Vec<Option<String>>)> =
        own.iter().map(|(fact, words)| (fact.clone(), words.iter().cloned().map(Some).collect())).collect();
    let same_question = reader.rules().iter().filter(|other| other["answers"] == *answers);
    let mut others: BTreeSet<String> = same_question.flat_map(|other| own_words(other).into_keys()).collect();
    others.retain(|fact| !own.contains_key(fact));
    let all = words_of(reader);
    for fact in others {
        let named = all.get(&fact).cloned().unwrap_or_default();
        // A file that only names what is so leaves what is not so to be stated.
        let denied = (named.len() == 1 && named.contains("yes")).then(|| Some("no".to_owned()));
        let words = named.into_iter().map(Some).chain(denied);
        candidates.push((fact, std::iter::once(None).chain(words).collect()));
    }
    let words = |chosen: Vec<(String, Option<String>)>| {
        chosen.into_iter().filter_map(|(fact, word)| Some((fact, word?))).collect::<BTreeMap<_, _>>()
    };
    choices(&candidates, 4000).into_iter().map(words).collect()
}

/// Numbers that may reach a rule: for each input what is pinned, or its limits, what lies between them, and a few beside.
pub fn numberings(
    rule: &Value,
    pinned: &BTreeMap<String, (f64, String)>,
    most: usize,
) -> Vec<BTreeMap<String, (f64, String)>> {
    let candidates: Vec<(String, Vec<(f64, String)>)> = list(rule, "input")
        .iter()
        .map(|input| {
            let fact = input["fact"].as_str().unwrap();
            let unit = input.get("unit").and_then(Value::as_str).unwrap_or("").to_owned();
            if let Some(pinned) = pinned.get(fact) {
                return (fact.to_owned(), vec![pinned.clone()]);
            }
            let limits = limits(rule, fact);
            let mut values: Vec<f64> = limits.windows(2).map(|pair| pair[0].midpoint(pair[1])).collect();
            values.extend(&limits);
            values.extend(limits.last().map(|last| last + 0.5 * last.abs()));
            values.extend(limits.first().map(|first| first - 0.5 * first.abs()));
            values.extend([1.0, 0.5, 20.0, 45.0, 1000.0]);
            (fact.to_owned(), values.into_iter().map(|value| (value, unit.clone())).collect())
        })
        .collect();
    choices(&candidates, most).into_iter().map(|chosen| chosen.into_iter().collect()).collect()
}

/// Numbers that only earlier rules on the same question read, below their limits.
fn below_limits(earlier: &[Value], rule: &Value) -> BTreeMap<String, (f64, String)> {
    let own: Vec<&str> = list(rule, "input").iter().filter_map(|input| input["fact"].as_str()).collect();
    let mut found = BTreeMap::new();
    for other in earlier.iter().filter(|other| other["answers"] == rule["answers"]) {
        for input in list(other, "input") {
            let fact = input["fact"].as_str().unwrap();
            let unit = input.get("unit").and_then(Value::as_str).unwrap_or("").to_owned();
            if !own.contains(&fact) {
                let below = limits(other, fact).first().map_or(0.5, |first| first - 0.5 * first.abs());
                found.entry(fact.to_owned()).or_insert((below, unit));
            }
        }
    }
    found
}

/// Facts under which this rule of the file is the one that speaks, with a number or words, or says that it does not apply.
pub fn reaching(reader: &Reader, index: usize) -> Option<Stated> {
    let rule = &reader.rules()[index];
    let question = rule["answers"].as_str().unwrap();
    let excludes = rule["relation"].as_str() == Some("does not apply");
    let mut numbers = numberings(rule, &BTreeMap::new(), 4000);
    // An earlier rule that reads another number and hands on to the next below its limit has to be passed first.
    let passed = below_limits(&reader.rules()[..index], rule);
    let with_passed = |numbers: &BTreeMap<_, _>| passed.clone().into_iter().chain(numbers.clone()).collect();
    numbers.extend(numbers.iter().map(with_passed).collect::<Vec<_>>());
    wordings(reader, rule).into_iter().find_map(|words| {
        numbers.iter().find_map(|numbers| {
            let stated = Stated { words: words.clone(), numbers: numbers.clone() };
            let (found, due) = reader.due(question, &stated);
            let speaks = match due {
                Due::Value(..) | Due::Words(_) => true,
                Due::DoesNotApply => excludes,
                _ => false,
            };
            (found == Some(index) && speaks).then_some(stated)
        })
    })
}

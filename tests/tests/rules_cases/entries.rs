//! Published entries mapped to questions as data: one file for a document, one runner for all.
//!
//! A mapping names entries by pattern, the question, facts in words and numbers, facts that stand `from` the inputs of the
//! entry, what the check proves, and the tolerance: `"transcribed"`, `"half digit"`, `"parent"` (half a digit of the value
//! and, for a value that was printed as a multiple of another, factor times half a digit of that one), or a share with a
//! least amount. `value` names an input of the entry that is compared in place of its value: a second reading. `printed`
//! says that the entry is a "reduction", what is taken off.

use super::{Check, Expected, Proof, TRANSCRIBED, entries, half_digit, si};
use rigging_core::rules::{Facts, Question};
use serde_json::Value;

/// Whether a name is named by a pattern, whose one `*` stands for any text.
pub fn named(pattern: &str, id: &str) -> bool {
    match pattern.split_once('*') {
        None => pattern == id,
        Some((head, tail)) => id.len() >= head.len() + tail.len() && id.starts_with(head) && id.ends_with(tail),
    }
}

/// Every entry of both reference files.
pub fn published() -> Vec<Value> {
    [entries("published-us.json"), entries("published-intl.json")].concat()
}

/// The checks of the mappings for one rule set; a pattern that names no entry is an error.
pub fn checks(set: &str) -> Vec<Check> {
    let published = published();
    let mut checks = Vec::new();
    for mapping in mappings() {
        let pattern = mapping["ids"].as_str().unwrap();
        let mut of = published.iter().filter(|entry| named(pattern, entry["id"].as_str().unwrap())).peekable();
        assert!(of.peek().is_some(), "{pattern} names no entry");
        if mapping["set"] == set {
            checks.extend(of.map(|entry| check(&mapping, entry)));
        }
    }
    checks
}

fn mappings() -> Vec<Value> {
    let folder = format!("{}/reference/rules/entries", env!("CARGO_MANIFEST_DIR"));
    let mut files: Vec<String> = std::fs::read_dir(&folder)
        .unwrap_or_else(|error| panic!("{folder}: {error}"))
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".json"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "{folder} is empty");
    files.iter().flat_map(|file| entries(&format!("rules/entries/{file}"))).collect()
}

fn check(mapping: &Value, entry: &Value) -> Check {
    let id = entry["id"].as_str().unwrap();
    for key in mapping.as_object().unwrap().keys() {
        let known = ["ids", "set", "question", "facts", "from", "proof", "unit", "tolerance", "value", "printed"];
        assert!(known.contains(&key.as_str()), "{id}: no mapping has {key}");
    }
    let text = |key: &str| mapping[key].as_str().unwrap_or_else(|| panic!("{id}: {key} is no text"));
    let question = Question::named(text("question")).unwrap_or_else(|| panic!("{id}: {}", text("question")));
    let proof = match text("proof") {
        "transcribed" => Proof::Transcribed,
        "relation" => Proof::Relation,
        "second reading" => Proof::SecondReading,
        other => panic!("{id}: {other} proves nothing"),
    };
    let mut facts = facts(&mapping["facts"]);
    for (key, to) in mapping["from"].as_object().into_iter().flatten() {
        let input = &entry["inputs"][key];
        facts = match to {
            // A number with its unit, or the words that the entry's own words stand for.
            Value::Array(pair) => {
                let number = input.as_f64().unwrap_or_else(|| panic!("{id}: {key} is {input}"));
                facts.number(pair[0].as_str().unwrap(), number, pair[1].as_str().unwrap())
            }
            Value::Object(words) => {
                let word = input.as_str().map_or_else(|| input.to_string(), str::to_owned);
                let word = &words["words"][&word];
                facts.word(words["fact"].as_str().unwrap(), word.as_str().unwrap_or_else(|| panic!("{id}: {input}")))
            }
            other => panic!("{id}: {other} is no fact"),
        };
    }
    let reread = mapping["value"].as_str();
    let printed = reread.map_or(&entry["value"], |key| &entry["inputs"][key]);
    let printed = printed.as_f64().unwrap_or_else(|| panic!("{id} has no number"));
    // What is read besides reproduces no entry: its name is none.
    let id = reread.map_or_else(|| id.to_owned(), |key| format!("{key} of {id}"));
    if reread.is_none() && entry.get("suspect").is_some_and(|suspect| *suspect != false) {
        return Check::new(id, proof, question, facts, Expected::Withheld(Some(printed)));
    }
    let unit = mapping["unit"].as_str().or_else(|| entry["unit"].as_str()).unwrap();
    let in_si = |printed: f64| match mapping["printed"].as_str() {
        None => si(printed, unit),
        Some("reduction") => 1.0 - si(printed, unit),
        Some(other) => panic!("{id}: nothing is printed as {other}"),
    };
    let value = in_si(printed);
    // A width, not a point: an offset of the scale drops out.
    let width = |amount: f64| (in_si(printed + amount) - value).abs();
    let tolerance = match &mapping["tolerance"] {
        Value::String(word) if word == "transcribed" => TRANSCRIBED * value.abs(),
        Value::String(word) if word == "half digit" => width(half_digit(entry)) * (1.0 + 1e-9) + 1e-12,
        Value::Object(amounts) if amounts.contains_key("parent") => {
            let parent = entry["inputs"][amounts["parent"].as_str().unwrap()].as_f64().unwrap();
            let digit = amounts["digit"].as_f64().unwrap();
            width(0.5 * digit * (1.0 + printed / parent)) * (1.0 + 1e-9)
        }
        Value::Object(amounts) if amounts.contains_key("share") => {
            let least = amounts.get("least").map_or(0.0, |least| least.as_f64().unwrap());
            width(least.max(amounts["share"].as_f64().unwrap() * printed.abs()))
        }
        other => panic!("{id}: {other} is no tolerance"),
    };
    Check::new(id, proof, question, facts, Expected::Value { si: value, tolerance })
}

/// Facts in JSON: a word, or a number with its unit.
pub fn facts(stated: &Value) -> Facts {
    stated.as_object().into_iter().flatten().fold(Facts::new(), |facts, (name, fact)| match fact {
        Value::String(word) => facts.word(name, word),
        Value::Array(pair) => facts.number(name, pair[0].as_f64().unwrap(), pair[1].as_str().unwrap()),
        other => panic!("{other} is no fact"),
    })
}

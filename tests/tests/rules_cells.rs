//! Every number of every built-in rule file is guarded: changed by one percent up or down, the file is refused or a
//! published figure no longer comes out.

mod rules_cases;

use rigging_core::rules::RuleSet;
use rules_cases::{Check, all_names, checks, entries};
use std::collections::BTreeMap;
use toml::Value;

/// Large enough to stand out from the rounding of printed figures, small enough to catch a slip of one digit.
const CHANGE: f64 = 0.01;

fn numbers<'a>(value: &'a Value, path: &str, found: &mut Vec<(String, &'a Value)>) {
    match value {
        Value::Integer(_) | Value::Float(_) => found.push((path.to_owned(), value)),
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                numbers(item, &format!("{path}/{index}"), found);
            }
        }
        Value::Table(table) => {
            for (key, item) in table {
                numbers(item, &format!("{path}/{key}"), found);
            }
        }
        _ => {}
    }
}

fn number_at<'a>(value: &'a mut Value, path: &str) -> &'a mut Value {
    path.split('/').skip(1).fold(value, |value, key| match value {
        Value::Array(items) => &mut items[key.parse::<usize>().unwrap()],
        Value::Table(table) => table.get_mut(key).unwrap(),
        other => panic!("{other:?} has no {key}"),
    })
}

/// The same place by the name of its rule, which survives insertions: `name of the rule/cells/2/3`.
fn stable(root: &Value, path: &str) -> String {
    let mut parts = path.split('/').skip(1);
    match (parts.next(), parts.next()) {
        (Some("rule"), Some(index)) => {
            let name = root["rule"][index.parse::<usize>().unwrap()]["name"].as_str().unwrap();
            format!("{name}/{}", parts.collect::<Vec<_>>().join("/"))
        }
        _ => path.to_owned(),
    }
}

/// Whether the changed file is refused or answers some check otherwise.
fn noticed(changed: &Value, checks: &[Check]) -> bool {
    let text = serialized(changed);
    match RuleSet::from_toml(&text) {
        Err(_) => true,
        Ok(rules) => checks.iter().any(|check| check.run(&rules).is_err()),
    }
}

/// TOML in inline form, written here because the parser is used without its writer.
fn serialized(root: &Value) -> String {
    fn inline(value: &Value) -> String {
        match value {
            Value::String(text) => serde_json::Value::from(text.as_str()).to_string(),
            Value::Float(number) => format!("{number:?}"),
            Value::Array(items) => format!("[{}]", items.iter().map(inline).collect::<Vec<_>>().join(", ")),
            Value::Table(table) => {
                let entries: Vec<String> = table
                    .iter()
                    .map(|(key, value)| format!("{} = {}", serde_json::Value::from(key.as_str()), inline(value)))
                    .collect();
                format!("{{ {} }}", entries.join(", "))
            }
            Value::Integer(number) => number.to_string(),
            Value::Boolean(truth) => truth.to_string(),
            Value::Datetime(date) => date.to_string(),
        }
    }
    root.as_table().unwrap().iter().map(|(key, value)| format!("{key} = {}\n", inline(value))).collect()
}

fn source_of(set: &str) -> String {
    let folder = if RuleSet::document_names().contains(&set) { "documents/" } else { "" };
    let path = format!("{}/../rigging-core/rules/{folder}{set}.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn every_number_is_guarded() {
    let mut unguarded: BTreeMap<String, String> = BTreeMap::new();
    for entry in entries("rules/unguarded.json") {
        unguarded.insert(
            format!("{}: {}", entry["set"].as_str().unwrap(), entry["place"].as_str().unwrap()),
            entry["reason"].as_str().unwrap().to_owned(),
        );
    }
    let mut found = Vec::new();
    let mut changes = 0;
    for set in all_names() {
        let root: Value = Value::Table(toml::from_str(&source_of(set)).unwrap());
        assert_eq!(
            RuleSet::from_toml(&serialized(&root)).unwrap().hash(),
            RuleSet::built_in(set).unwrap().hash(),
            "the inline form has the content of the file"
        );
        let checks = checks(set);
        assert!(!noticed(&root, &checks), "{set}: the unchanged file fails");
        let mut places = Vec::new();
        numbers(&root, "", &mut places);
        for (path, value) in &places {
            let number = value.as_float().unwrap_or_else(|| value.as_integer().unwrap() as f64);
            for sign in [1.0, -1.0] {
                let mut changed = root.clone();
                let by = if number == 0.0 { CHANGE } else { CHANGE * number };
                *number_at(&mut changed, path) = Value::Float(number + sign * by);
                changes += 1;
                if !noticed(&changed, &checks) {
                    found.push(format!("{set}: {}{}", stable(&root, path), if sign > 0.0 { " up" } else { " down" }));
                }
            }
        }
        println!("{set}: {} numbers, {} checks", places.len(), checks.len());
    }
    println!("{changes} changes, {} not noticed, {} listed", found.len(), unguarded.len());
    found.sort();
    let listed: Vec<String> = unguarded.keys().cloned().collect();
    assert_eq!(found, listed, "numbers that no check guards, against tests/reference/rules/unguarded.json");
}

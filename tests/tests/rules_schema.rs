//! The JSON Schema of rule files: every file of the library keeps it, and malformed ones do not. The schema is held against
//! files by a small validator of its own here, and by a general one in Python.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

use rigging_core::rules::RuleSet;
use serde_json::Value;

fn schema() -> Value {
    let path = format!("{}/../rigging-core/schema/rules.schema.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn json(text: &str) -> Result<Value, String> {
    let table: toml::Table = toml::from_str(text).map_err(|error| error.to_string())?;
    Ok(of_toml(&toml::Value::Table(table)))
}

fn of_toml(value: &toml::Value) -> Value {
    match value {
        toml::Value::String(text) => text.as_str().into(),
        toml::Value::Integer(number) => (*number).into(),
        toml::Value::Float(number) => (*number).into(),
        toml::Value::Boolean(truth) => (*truth).into(),
        toml::Value::Datetime(date) => date.to_string().into(),
        toml::Value::Array(items) => items.iter().map(of_toml).collect(),
        toml::Value::Table(table) => {
            Value::Object(table.iter().map(|(key, value)| (key.clone(), of_toml(value))).collect())
        }
    }
}

/// The keywords that the schema uses; any other is an error, so that none is passed over.
const KEYWORDS: &[&str] = &[
    "$schema",
    "$defs",
    "$ref",
    "title",
    "description",
    "type",
    "properties",
    "required",
    "additionalProperties",
    "anyOf",
    "oneOf",
    "enum",
    "const",
    "minLength",
    "minItems",
    "maxItems",
    "items",
    "prefixItems",
    "minProperties",
];

/// Where and why a value does not keep a schema.
fn kept(value: &Value, schema: &Value, root: &Value, at: &str) -> Result<(), String> {
    let rules = schema.as_object().unwrap_or_else(|| panic!("{schema} is no schema"));
    for key in rules.keys() {
        assert!(KEYWORDS.contains(&key.as_str()), "the validator knows no keyword {key}");
    }
    let refuse = |why: &str| Err(format!("{at}: {why}"));
    let size = |key: &str| rules.get(key).and_then(Value::as_u64).map(|size| usize::try_from(size).unwrap());
    if let Some(name) = rules.get("$ref").and_then(Value::as_str) {
        kept(value, root.pointer(name.strip_prefix('#').unwrap()).unwrap(), root, at)?;
    }
    if let Some(kind) = rules.get("type").and_then(Value::as_str) {
        let is = match kind {
            "object" => value.is_object(),
            "array" => value.is_array(),
            "string" => value.is_string(),
            "number" => value.is_number(),
            other => panic!("the validator knows no type {other}"),
        };
        if !is {
            return refuse(&format!("is no {kind}"));
        }
    }
    if rules.get("const").is_some_and(|only| only != value) {
        return refuse("is another constant");
    }
    if rules.get("enum").is_some_and(|list| !list.as_array().unwrap().contains(value)) {
        return refuse("is none of the list");
    }
    if let (Some(text), Some(least)) = (value.as_str(), size("minLength"))
        && text.chars().count() < least
    {
        return refuse("is too short");
    }
    let of = |key: &str| {
        rules
            .get(key)
            .and_then(Value::as_array)
            .map(|list| list.iter().map(|schema| kept(value, schema, root, at)).collect::<Vec<_>>())
    };
    if let Some(results) = of("anyOf")
        && results.iter().all(Result::is_err)
    {
        return refuse("keeps none of several");
    }
    if let Some(results) = of("oneOf") {
        let met = results.iter().filter(|result| result.is_ok()).count();
        if met != 1 {
            return refuse(&format!("keeps {met} of several, not one"));
        }
    }
    if let Some(table) = value.as_object() {
        if size("minProperties").is_some_and(|least| table.len() < least) {
            return refuse("has too few keys");
        }
        for key in rules.get("required").and_then(Value::as_array).into_iter().flatten() {
            if !table.contains_key(key.as_str().unwrap()) {
                return refuse(&format!("lacks {key}"));
            }
        }
        for (key, item) in table {
            let at = format!("{at}/{key}");
            match (
                rules.get("properties").and_then(|properties| properties.get(key)),
                rules.get("additionalProperties"),
            ) {
                (Some(schema), _) => kept(item, schema, root, &at)?,
                (None, Some(Value::Bool(false))) => return Err(format!("{at}: is no known key")),
                (None, Some(schema @ Value::Object(_))) => kept(item, schema, root, &at)?,
                _ => {}
            }
        }
    }
    if let Some(items) = value.as_array() {
        if size("minItems").is_some_and(|least| items.len() < least)
            || size("maxItems").is_some_and(|most| items.len() > most)
        {
            return refuse("has too few or too many items");
        }
        let first = rules.get("prefixItems").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        for (index, item) in items.iter().enumerate() {
            if let Some(schema) = first.get(index).or_else(|| rules.get("items")) {
                kept(item, schema, root, &format!("{at}/{index}"))?;
            }
        }
    }
    Ok(())
}

#[test]
fn every_file_of_the_library_keeps_the_schema() {
    let schema = schema();
    let folder = format!("{}/../rigging-core/rules", env!("CARGO_MANIFEST_DIR"));
    let mut files = 0;
    let mut failures = Vec::new();
    for folder in [folder.clone(), format!("{folder}/documents")] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|extension| extension == "toml") {
                files += 1;
                let text = std::fs::read_to_string(&path).unwrap();
                failures.extend(
                    kept(&json(&text).unwrap(), &schema, &schema, "").err().map(|why| format!("{path:?} {why}")),
                );
            }
        }
    }
    println!("{files} files");
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!(files, RuleSet::built_in_names().len() + RuleSet::document_names().len() + 1, "and the template");
}

/// What is changed in the template; each is refused by the schema and by the reader.
const MALFORMED: &[(&str, &str)] = &[
    ("format = 1", "format = 2"),
    ("title = ", "titel = "),
    ("status = \"in force\"", "status = \"in farce\""),
    ("standing = \"stated\"", "standing = \"states\""),
    ("clause = \"3.1\"\n", ""),
    ("answers = \"dynamic factor\"", "answers = \"dynamic factors\""),
    ("place = \"onshore\"", "place = \"ashore\""),
    ("place = \"onshore\"", "plaice = \"onshore\""),
    ("relation = \"constant\"", "relation = \"constants\""),
    ("value = 50", "value = \"50\""),
    ("value = 50\n", ""),
    ("value = 50", "value = 50\nrows = \"core\""),
    ("unit = \"degC\"", "unit = \"deg C\""),
    ("fact = \"gross weight\"", "fact = \"gross wait\""),
    ("fact = \"gross weight\"", "fact = \"place\""),
    ("at_most = 12, policy", "at_mots = 12, policy"),
    ("row_lookup = \"band\"", "row_lookup = \"nearest\""),
    ("[{ at_most = 3 }, 1.2]", "[{ at_mots = 3 }, 1.2]"),
    ("[{ at_most = 3 }, 1.2]", "[{ }, 1.2]"),
    ("cells = [\n", "cells = [ [],\n"),
    ("words = [\"marked rating\"]", "words = []"),
    ("document = \"eu-en-1492-1\"\n", ""),
    ("answers = [\"highest temperature\", \"lowest temperature\"]", "answers = [\"highest temperatures\"]"),
    ("[[include]]", "[[includes]]"),
];

#[test]
fn malformed_files_do_not_keep_it() {
    let schema = schema();
    let template = RuleSet::template();
    for (from, to) in MALFORMED {
        assert!(template.contains(from), "the template has no {from:?}");
        let text = template.replacen(from, to, 1);
        let value = json(&text).unwrap();
        assert!(kept(&value, &schema, &schema, "").is_err(), "{to:?} keeps the schema");
        assert!(RuleSet::from_toml(&text).is_err(), "{to:?} loads");
    }
    println!("{} malformed files", MALFORMED.len());
    assert_eq!(MALFORMED.len(), 24);
}

//! JSON Schema of rule files, made of the same lists that the reader checks against. It describes the file as JSON: TOML's
//! tables as objects, its arrays as arrays.

use super::load::{RELATIONS, RULE_KEYS, standing_names};
use super::question::Question;
use super::unit::Unit;
use super::vocabulary::{self, Kind};
use schemars::Schema;
use serde_json::{Map, Value, json};

/// The schema of a rule file.
pub(crate) fn file() -> Schema {
    let rules: Vec<Value> = RELATIONS.iter().map(|(relation, keys)| rule(relation, keys)).collect();
    let parts = "answers, rules and scope say what is taken of the document; by default all of it.";
    let root = json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rules",
        "description": "A rule file, as JSON. What a schema cannot say is checked when the file is read: names of sources, laws of values, bands, rules that never speak, documents that contradict each other.",
        "type": "object",
        "properties": {
            "format": { "const": 1 },
            "name": text(),
            "title": text(),
            "edition": text(),
            "status": { "enum": ["in force", "superseded"] },
            "superseded_by": text(),
            "note": text(),
            "source": some(&json!({ "$ref": "#/$defs/source" })),
            "rule": some(&json!({ "oneOf": rules })),
            "include": some(&json!({ "$ref": "#/$defs/include" })),
            "precedence": some(&json!({ "$ref": "#/$defs/precedence" })),
        },
        "required": ["format", "name", "title", "edition", "status"],
        "additionalProperties": false,
        "anyOf": [{ "required": ["source", "rule"] }, { "required": ["include"] }],
        "$defs": {
            "source": object(&json!({
                "id": text(), "document": text(), "edition": text(), "standing": standing(), "note": text(),
            }), &["id", "document", "standing"]),
            "include": described(object(&json!({
                "document": text(), "answers": one_or_more(&question()), "rules": one_or_more(&text()),
                "scope": { "enum": ["kept", "left out"] },
            }), &["document"]), parts),
            "precedence": object(&json!({
                "answers": one_or_more(&question()), "take": { "enum": ["first", "severest"] }, "reason": text(),
            }), &["answers", "take", "reason"]),
            "question": { "enum": Question::ALL.iter().map(|question| question.name()).collect::<Vec<_>>() },
            "unit": { "enum": Unit::texts().collect::<Vec<_>>() },
            "words": words(),
            "input": input(),
            "requirement": requirement(),
            "step": step(),
            "form": form(),
            "cell": cell(),
            "limits": limits_alone(),
            "column": column(),
        },
    });
    match root {
        Value::Object(root) => root.into(),
        _ => Schema::default(),
    }
}

fn text() -> Value {
    json!({ "type": "string", "minLength": 1 })
}

fn number() -> Value {
    json!({ "type": "number" })
}

fn some(items: &Value) -> Value {
    json!({ "type": "array", "minItems": 1, "items": items })
}

fn one_or_more(item: &Value) -> Value {
    json!({ "anyOf": [item, some(item)] })
}

fn object(properties: &Value, required: &[&str]) -> Value {
    json!({ "type": "object", "properties": properties, "required": required, "additionalProperties": false })
}

fn described(mut schema: Value, description: &str) -> Value {
    if let Some(schema) = schema.as_object_mut() {
        schema.insert("description".to_owned(), description.into());
    }
    schema
}

fn question() -> Value {
    json!({ "$ref": "#/$defs/question" })
}

fn unit() -> Value {
    json!({ "$ref": "#/$defs/unit" })
}

fn standing() -> Value {
    json!({ "enum": standing_names().collect::<Vec<_>>() })
}

/// Names of facts that are numbers, or that are words.
fn facts(numbers: bool) -> Vec<&'static str> {
    let of =
        |name: &&str| vocabulary::known(name).is_some_and(|known| matches!(known.kind, Kind::Number(..)) == numbers);
    vocabulary::names().filter(of).collect()
}

fn words() -> Value {
    let mut properties = Map::new();
    for name in facts(false) {
        let known = vocabulary::known(name).map_or(&[][..], vocabulary::Known::words);
        properties.insert(name.to_owned(), one_or_more(&json!({ "enum": known })));
    }
    object(&properties.into(), &[])
}

fn column() -> Value {
    let mut column = words();
    if let Some(properties) = column.get_mut("properties").and_then(Value::as_object_mut) {
        properties.extend(facts(true).into_iter().map(|name| (name.to_owned(), number())));
    }
    column
}

fn limits() -> Map<String, Value> {
    ["at_least", "more_than", "at_most", "less_than"].into_iter().map(|key| (key.to_owned(), number())).collect()
}

fn limits_alone() -> Value {
    let mut schema = object(&limits().into(), &[]);
    if let Some(schema) = schema.as_object_mut() {
        schema.insert("minProperties".to_owned(), 1.into());
    }
    schema
}

fn with_limits(properties: Value, required: &[&str]) -> Value {
    let mut all = limits();
    if let Value::Object(properties) = properties {
        all.extend(properties);
    }
    object(&all.into(), required)
}

fn input() -> Value {
    let outside = json!({ "enum": ["refuse", "hold"] });
    with_limits(
        json!({
            "fact": { "enum": facts(true) }, "unit": unit(), "as": { "enum": ["sine", "from vertical"] },
            "below": outside, "above": outside, "hold_clause": text(), "policy": text(),
        }),
        &["fact"],
    )
}

fn operand() -> Value {
    json!({ "anyOf": [text(), number()] })
}

fn requirement() -> Value {
    with_limits(
        json!({
            "name": text(), "times": some(&operand()), "divided_by": some(&operand()),
            "otherwise": { "enum": ["does not apply", "refuse", "next rule"] }, "why": text(),
        }),
        &["name", "times", "otherwise", "why"],
    )
}

fn step() -> Value {
    object(
        &json!({
            "symbol": text(), "name": text(),
            "sum": some(&operand()), "less": some(&operand()),
            "times": some(&operand()), "divided_by": some(&operand()),
            "square_root": operand(), "sine": operand(), "cosine": operand(), "arcsine": operand(),
            "angle_unit": { "enum": ["deg", "rad"] },
            "greatest": some(&operand()), "least": some(&operand()),
        }),
        &["symbol", "name"],
    )
}

fn lines() -> Value {
    some(&json!({ "type": "array", "minItems": 2, "maxItems": 2, "items": number() }))
}

fn form() -> Value {
    object(
        &json!({
            "relation": { "enum": ["root", "bend", "greatest line", "least line"] }, "of": text(),
            "a": number(), "b": number(), "c": number(), "k": number(), "lines": lines(),
        }),
        &["relation", "of"],
    )
}

fn cell() -> Value {
    let whole =
        object(&json!({ "value": number(), "suspect": text(), "standing": standing(), "clause": text() }), &["value"]);
    json!({ "anyOf": [number(), text(), whole] })
}

/// The value of a key that some relation adds to a rule.
fn of_relation(key: &str) -> Value {
    let lookup = |more: &[&str]| {
        let ways = [&["exact", "at most", "next lower"], more].concat();
        json!({ "enum": ways })
    };
    match key {
        "value" | "a" | "b" | "c" | "k" => number(),
        "words" => one_or_more(&text()),
        "rows" => json!({ "enum": vocabulary::names().collect::<Vec<_>>() }),
        "row_lookup" => lookup(&["band"]),
        "column_lookup" => lookup(&[]),
        "other_rows" => json!({ "const": "not seen" }),
        "columns" => some(&json!({ "$ref": "#/$defs/column" })),
        "column_number" => json!({ "enum": facts(true) }),
        "cells" => {
            let head = json!({ "anyOf": [number(), one_or_more(&text()), { "$ref": "#/$defs/limits" }] });
            let row =
                json!({ "type": "array", "minItems": 2, "prefixItems": [head], "items": { "$ref": "#/$defs/cell" } });
            some(&row)
        }
        "form" => json!({ "type": "object", "additionalProperties": { "$ref": "#/$defs/form" } }),
        "lines" => lines(),
        "times" | "divided_by" => some(&operand()),
        "alternatives" => some(&object(
            &json!({ "name": text(), "times": some(&operand()), "divided_by": some(&operand()) }),
            &["name", "times"],
        )),
        "steps" => some(&json!({ "$ref": "#/$defs/step" })),
        _ => text(),
    }
}

/// The value of a key that every rule may have.
fn of_rule(key: &str, relation: &str) -> Value {
    match key {
        "answers" => question(),
        "when" => json!({ "$ref": "#/$defs/words" }),
        "input" => some(&json!({ "$ref": "#/$defs/input" })),
        "requires" => some(&json!({ "$ref": "#/$defs/requirement" })),
        "relation" => json!({ "const": relation }),
        "unit" => unit(),
        "standing" => standing(),
        "prints" => json!({ "const": "reduction" }),
        _ => text(),
    }
}

/// A rule of one relation.
fn rule(relation: &str, keys: &[&str]) -> Value {
    const OPTIONAL: &[&str] =
        &["row_lookup", "other_rows", "columns", "column_number", "column_lookup", "form", "divided_by"];
    // The key of a product that divides is read wherever one multiplies.
    let divides = keys.contains(&"times").then_some("divided_by");
    let own: Vec<&str> = keys.iter().copied().chain(divides).collect();
    let mut properties: Map<String, Value> =
        RULE_KEYS.iter().map(|key| ((*key).to_owned(), of_rule(key, relation))).collect();
    properties.extend(own.iter().map(|key| ((*key).to_owned(), of_relation(key))));
    let needed = ["answers", "name", "relation", "source", "clause"];
    let required: Vec<&str> =
        needed.into_iter().chain(own.iter().copied().filter(|key| !OPTIONAL.contains(key))).collect();
    object(&properties.into(), &required)
}

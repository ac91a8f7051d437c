//! Changes a lift document key by key: what a case of `malformed.json` states, and what a property varies.
//!
//! A test that includes this file need not use all of it.
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use serde_json::{Map, Value};
use std::path::PathBuf;

/// A file of the workspace, by its path from the root.
pub fn file(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..").join(path)
}

/// Text of a file of the workspace.
pub fn text(path: &str) -> String {
    std::fs::read_to_string(file(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// A demo document, by its name without ending.
pub fn demo(name: &str) -> Value {
    serde_json::from_str(&text(&format!("rigging-core/examples/lifts/{name}.json"))).expect("a demo is JSON")
}

/// Parent pointer and last key, unescaped.
fn split(pointer: &str) -> (&str, String) {
    let (parent, last) = pointer.rsplit_once('/').expect("a pointer below the root");
    (parent, last.replace("~1", "/").replace("~0", "~"))
}

/// Sets what stands at `pointer`; a key or the next index of a list is added.
pub fn set(document: &mut Value, pointer: &str, value: Value) {
    let (parent, key) = split(pointer);
    match document.pointer_mut(parent) {
        Some(Value::Object(object)) => {
            object.insert(key, value);
        }
        Some(Value::Array(list)) => {
            let index: usize = key.parse().expect("an index");
            if index == list.len() { list.push(value) } else { list[index] = value }
        }
        _ => panic!("nothing stands at {parent}"),
    }
}

/// Removes the key at `pointer` and hands back its value.
pub fn remove(document: &mut Value, pointer: &str) -> Value {
    let (parent, key) = split(pointer);
    let object = document.pointer_mut(parent).and_then(Value::as_object_mut);
    object.and_then(|object| object.remove(&key)).unwrap_or_else(|| panic!("nothing stands at {pointer}"))
}

/// Applies one change of a patch: `set`, `remove` or `rename`.
pub fn change(document: &mut Value, change: &Value) {
    let pointer = change["pointer"].as_str().expect("a pointer");
    if let Some(value) = change.get("set") {
        set(document, pointer, value.clone());
    } else if let Some(name) = change.get("rename") {
        let value = remove(document, pointer);
        let (parent, _) = split(pointer);
        set(document, &format!("{parent}/{}", name.as_str().expect("a name")), value);
    } else {
        assert_eq!(change["remove"], true, "a change sets, removes or renames");
        remove(document, pointer);
    }
}

/// Pointers of every key of every object, parents before children.
pub fn keys(document: &Value) -> Vec<String> {
    let mut found = Vec::new();
    walk(document, String::new(), &mut found);
    found
}

fn walk(value: &Value, here: String, found: &mut Vec<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                let place = format!("{here}/{}", key.replace('~', "~0").replace('/', "~1"));
                found.push(place.clone());
                walk(value, place, found);
            }
        }
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(index, value)| walk(value, format!("{here}/{index}"), found));
        }
        _ => {}
    }
}

/// A pointer with every index replaced by a star.
pub fn pattern(pointer: &str) -> String {
    let star = |part: &str| if part.parse::<usize>().is_ok() { "*".to_owned() } else { part.to_owned() };
    pointer.split('/').map(star).collect::<Vec<_>>().join("/")
}

/// The document without every key whose value is the word "unknown": an absent key says the same.
pub fn without_unknown(value: &Value) -> Value {
    match value {
        Value::Object(object) => {
            let kept = object.iter().filter(|(_, value)| *value != "unknown");
            Value::Object(kept.map(|(key, value)| (key.clone(), without_unknown(value))).collect::<Map<_, _>>())
        }
        Value::Array(list) => Value::Array(list.iter().map(without_unknown).collect()),
        other => other.clone(),
    }
}

/// The text of a case of `malformed.json`, and its document where it is a patch.
pub fn case(case: &Value, base: &str) -> (String, Option<Value>) {
    let word = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    if let Some(text) = case.get("text") {
        return (word(text), None);
    }
    if let Some(repeat) = case.get("repeat") {
        let times = usize::try_from(repeat["times"].as_u64().unwrap()).unwrap();
        let text = word(&repeat["before"]) + &word(&repeat["unit"]).repeat(times) + &word(&repeat["after"]);
        return (text, None);
    }
    if let Some(patch) = case.get("patch") {
        let mut document: Value = serde_json::from_str(base).unwrap();
        patch.as_array().unwrap().iter().for_each(|one| change(&mut document, one));
        return (document.to_string(), Some(document));
    }
    let kept = case.get("keep_bytes").and_then(Value::as_u64).map_or(base.len(), |kept| usize::try_from(kept).unwrap());
    let mut text = base[..kept].to_owned();
    if let Some(find) = case.get("find") {
        assert!(text.contains(find.as_str().unwrap()), "{}: nothing to replace", case["id"]);
        text = text.replacen(find.as_str().unwrap(), case["put"].as_str().unwrap(), 1);
    }
    let text = word(&case["before"]) + &text + &word(&case["after"]);
    assert_ne!(text, base, "{}: the case changes nothing", case["id"]);
    (text, None)
}

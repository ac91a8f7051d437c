//! Documents with one thing broken.

use super::geared;
use crate::kit::Geared;
use proptest::prelude::*;
use serde_json::{Value, json};

/// A document that is sound but for one thing, and the error that must come of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Invalid {
    /// The text.
    pub text: String,
    /// What is broken, in words.
    pub what: &'static str,
    /// Code of the error ([`Error::code`](crate::error::Error::code)).
    pub code: &'static str,
    /// Its place, a JSON pointer.
    pub place: String,
}

/// Sound documents with one thing broken.
pub fn invalid() -> impl Strategy<Value = Invalid> {
    (geared(), 0..BREAKS.len(), any::<prop::sample::Index>()).prop_map(|(geared, which, index)| {
        let (what, code, change) = BREAKS.get(which).copied().unwrap_or(FIRST);
        let leg = index.index(geared.outline.points.len());
        let (text, place) = broken(&geared, change, leg);
        Invalid { text, what, code, place }
    })
}

/// What is done to the document; `*` in a pointer is the number of a leg.
#[derive(Debug, Clone, Copy)]
enum Change {
    /// A text is put there.
    Text(&'static str, &'static str),
    /// A number is put there.
    Number(&'static str, f64),
    /// The key is taken away.
    Remove(&'static str),
    /// The key is called otherwise; the error stands at the new one.
    Rename(&'static str, &'static str),
    /// The value of one place is put at another.
    Copy(&'static str, &'static str),
    /// The text is put before the first key.
    Before(&'static str, &'static str),
    /// The text ends after so many bytes.
    Cut(usize),
}

type Break = (&'static str, &'static str, Change);

const FIRST: Break = ("the load is missing", "missing", Change::Remove("/load"));
const BREAKS: [Break; 17] = [
    FIRST,
    ("a key is spelled otherwise", "unknown_key", Change::Rename("/gravity", "/gravty")),
    (
        "a key of a sling is spelled otherwise",
        "unknown_key",
        Change::Rename("/slings/*/stiffness", "/slings/*/stifness"),
    ),
    ("the format is newer", "newer_format", Change::Number("/format", 2.0)),
    ("a coordinate has no unit", "bare_number", Change::Number("/load/lift_points/*/position/1", 1.5)),
    ("a length has the unit of a mass", "wrong_unit", Change::Text("/slings/*/length/value", "4 kg")),
    ("a mass has a unit that can mean several things", "ambiguous_unit", Change::Text("/load/mass/value", "10 ton")),
    ("a length is below zero", "out_of_domain", Change::Text("/slings/*/length/value", "-4 m")),
    ("a tolerance is below zero", "out_of_domain", Change::Text("/slings/*/length/tolerance", "-1 mm")),
    ("a stiffness is zero", "out_of_domain", Change::Text("/slings/*/stiffness/law/ea", "0 N")),
    ("a name stands twice", "duplicate_name", Change::Copy("/load/lift_points/0/name", "/load/lift_points/1/name")),
    ("a leg leads nowhere", "unknown_name", Change::Text("/legs/*/path/1/end", "point ZZ")),
    ("a leg is made of nothing that is there", "unknown_name", Change::Text("/legs/*/items/0", "sling ZZ")),
    ("a material is spelled otherwise", "malformed", Change::Text("/slings/*/material", "polyestr")),
    ("a name is missing", "missing", Change::Remove("/load/lift_points/*/name")),
    ("a key stands twice", "duplicate_key", Change::Before("\"format\": 1,", "/format")),
    ("the text ends in the middle", "malformed", Change::Cut(200)),
];

fn broken(geared: &Geared, change: Change, leg: usize) -> (String, String) {
    let text = geared.document();
    let mut document: Value = serde_json::from_str(&text).unwrap_or_default();
    let at = |pointer: &str| pointer.replace('*', &leg.to_string());
    let place = match change {
        Change::Text(pointer, value) => put(&mut document, at(pointer), json!(value)),
        Change::Number(pointer, value) => {
            let whole = value.fract() == 0.0;
            put(&mut document, at(pointer), if whole { json!(value as u64) } else { json!(value) })
        }
        Change::Remove(pointer) => {
            remove(&mut document, &at(pointer));
            at(pointer)
        }
        Change::Rename(from, to) => {
            let value = remove(&mut document, &at(from));
            put(&mut document, at(to), value.unwrap_or_default())
        }
        Change::Copy(from, to) => {
            let value = document.pointer(from).cloned();
            put(&mut document, to.to_owned(), value.unwrap_or_default())
        }
        Change::Before(key, place) => return (text.replacen('{', &format!("{{ {key}"), 1), place.to_owned()),
        Change::Cut(bytes) => return (text.chars().take(bytes).collect(), String::new()),
    };
    (format!("{document:#}"), place)
}

/// The object that a pointer leads into, and its last key.
fn parent<'a>(document: &'a mut Value, pointer: &'a str) -> Option<(&'a mut Value, &'a str)> {
    let (parent, key) = pointer.rsplit_once('/')?;
    Some((document.pointer_mut(parent)?, key))
}

fn put(document: &mut Value, pointer: String, value: Value) -> String {
    match parent(document, &pointer) {
        Some((Value::Object(object), key)) => {
            object.insert(key.to_owned(), value);
        }
        Some((Value::Array(list), key)) => {
            if let Some(slot) = key.parse().ok().and_then(|index: usize| list.get_mut(index)) {
                *slot = value;
            }
        }
        _ => {}
    }
    pointer
}

fn remove(document: &mut Value, pointer: &str) -> Option<Value> {
    let (parent, key) = parent(document, pointer)?;
    parent.as_object_mut()?.remove(key)
}

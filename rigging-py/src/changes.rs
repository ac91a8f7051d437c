//! Changes to a document, by place.

use rigging_core::error::{Error, Place, nearest};
use serde_json::Value;

/// Every item of a list.
const EACH: &str = "*";
/// A new item at the end of a list.
const NEW: &str = "-";

/// Puts a value at a place of a document, or leaves the key out.
///
/// # Errors
/// [`Error::Malformed`] for what is no pointer, [`Error::UnknownKey`] and [`Error::UnknownName`] for a step that leads
/// nowhere.
pub(crate) fn apply(document: &mut Value, pointer: &str, value: Option<Value>) -> Result<(), Error> {
    let Some(steps) = pointer.strip_prefix('/') else {
        let what =
            format!("\"{pointer}\" is no place inside a document; write a JSON pointer such as \"/load/mass/value\"");
        return Err(Error::malformed(what, Place::root()));
    };
    let steps: Vec<String> = steps.split('/').map(|step| step.replace("~1", "/").replace("~0", "~")).collect();
    step(document, &steps, Place::root(), &value)
}

fn step(inside: &mut Value, steps: &[String], place: Place, value: &Option<Value>) -> Result<(), Error> {
    let Some((first, rest)) = steps.split_first() else { return Ok(()) };
    let here = place.child(first);
    match inside {
        Value::Object(entries) => match (rest, value) {
            ([], Some(value)) => {
                entries.insert(first.clone(), value.clone());
                Ok(())
            }
            ([], None) if entries.remove(first).is_some() => Ok(()),
            ([], None) => Err(unknown_key(first, entries.keys(), here)),
            _ if entries.contains_key(first) => {
                entries.get_mut(first).map_or(Ok(()), |entry| step(entry, rest, here, value))
            }
            _ => Err(unknown_key(first, entries.keys(), here)),
        },
        Value::Array(items) if first == EACH => {
            if items.is_empty() {
                return Err(Error::malformed("the list is empty", place));
            }
            // Leaving out shifts what follows: from the last to the first.
            (0..items.len()).rev().try_for_each(|index| item(items, index, rest, place.child(index), value))
        }
        Value::Array(items) if first == NEW && rest.is_empty() => match value {
            Some(value) => {
                items.push(value.clone());
                Ok(())
            }
            None => Err(Error::malformed("there is nothing to leave out behind the last item", here)),
        },
        Value::Array(items) => {
            let index = position(items, first).ok_or_else(|| unknown_item(first, items, here))?;
            item(items, index, rest, place.child(index), value)
        }
        _ => Err(Error::malformed(format!("a single value stands here; there is no \"{first}\" in it"), place)),
    }
}

/// An item of a list, which is changed inside, replaced or left out.
fn item(
    items: &mut Vec<Value>,
    index: usize,
    rest: &[String],
    place: Place,
    value: &Option<Value>,
) -> Result<(), Error> {
    if rest.is_empty() && value.is_none() {
        items.remove(index);
        return Ok(());
    }
    match (items.get_mut(index), rest, value) {
        (Some(item), [], Some(value)) => {
            *item = value.clone();
            Ok(())
        }
        (Some(item), rest, value) => step(item, rest, place, value),
        (None, ..) => Ok(()),
    }
}

/// Position of an item: its number, or that of the one with this name.
fn position(items: &[Value], step: &str) -> Option<usize> {
    match number(step) {
        Some(index) => (index < items.len()).then_some(index),
        None => items.iter().position(|item| name(item) == Some(step)),
    }
}

/// A position in digits, as a JSON pointer writes it: without leading zeros or sign.
fn number(step: &str) -> Option<usize> {
    step.parse().ok().filter(|index: &usize| index.to_string() == step)
}

fn name(item: &Value) -> Option<&str> {
    item.get("name")?.as_str()
}

fn unknown_item(step: &str, items: &[Value], place: Place) -> Error {
    match number(step) {
        Some(index) => {
            let allowed = format!("less than {}, the number of items", items.len());
            Error::out_of_domain("position", index as f64, "", allowed, place)
        }
        None => Error::unknown_name(step, "item", items.iter().filter_map(name), place),
    }
}

fn unknown_key<'a>(key: &str, known: impl Iterator<Item = &'a String>, place: Place) -> Error {
    Error::UnknownKey { key: key.to_owned(), nearest: nearest(key, known.map(String::as_str)), place }
}

//! A lift document with some of its texts changed.

use crate::arrangement::Lift;
use crate::error::{Error, Place};
use serde_json::Value;

/// What is put in the place of a text: pointer, the last key that is no index, text.
pub(super) type Change<'a> = &'a dyn Fn(&str, &str, &str) -> Option<Result<String, Error>>;

/// The document of a lift with some of its texts changed.
pub(super) fn changed(lift: &Lift, change: Change<'_>) -> Result<String, Error> {
    let malformed = |error: serde_json::Error| Error::malformed(error.to_string(), Place::root());
    let mut document = serde_json::from_str(&lift.canonical()?).map_err(malformed)?;
    walk(&mut document, "", "", change)?;
    serde_json::to_string(&document).map_err(malformed)
}

fn walk(value: &mut Value, pointer: &str, key: &str, change: Change<'_>) -> Result<(), Error> {
    match value {
        Value::String(text) => {
            if let Some(other) = change(pointer, key, text) {
                *text = other?;
            }
        }
        Value::Array(list) => {
            for (index, entry) in list.iter_mut().enumerate() {
                walk(entry, &format!("{pointer}/{index}"), key, change)?;
            }
        }
        Value::Object(object) => {
            for (key, entry) in object {
                walk(entry, &format!("{pointer}/{key}"), key, change)?;
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
    Ok(())
}

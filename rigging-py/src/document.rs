//! Python values as the JSON of a document.

use crate::error;
use crate::quantity;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyBool, PyDict, PyInt, PyList, PyString, PyTuple};
use rigging_core::error::{Error, Place, Reading};
use serde_json::{Map, Number, Value};

/// Deepest nesting; the core's reader allows less.
const DEEPEST: usize = 64;

/// A document that the core wrote.
pub(crate) fn parsed(json: &str) -> Result<Value, Error> {
    serde_json::from_str(json).map_err(|error| Error::malformed(error.to_string(), Place::root()))
}

/// A Python value as JSON: text, truth value, number, list, tuple, dict, None; a quantity object or a pint quantity becomes
/// its text.
///
/// # Errors
/// `TypeError` with the place for anything else, among it whatever carries a unit of another package.
pub(crate) fn value(object: &Bound<'_, PyAny>, place: &Place) -> PyResult<Value> {
    nested(object, place, 0)
}

fn nested(object: &Bound<'_, PyAny>, place: &Place, depth: usize) -> PyResult<Value> {
    if depth > DEEPEST {
        let reading = Reading::new("depth of nesting", depth as f64, "", format!("at most {DEEPEST}"));
        return Err(error::exception(&Error::TooLarge { reading, place: place.clone() }));
    }
    if object.is_none() {
        return Ok(Value::Null);
    }
    if let Ok(text) = object.cast::<PyString>() {
        return Ok(Value::String(text.to_str()?.to_owned()));
    }
    if let Ok(flag) = object.cast::<PyBool>() {
        return Ok(Value::Bool(flag.is_true()));
    }
    if let Ok(list) = object.cast::<PyList>() {
        return items(list.iter(), place, depth);
    }
    if let Ok(tuple) = object.cast::<PyTuple>() {
        return items(tuple.iter(), place, depth);
    }
    if let Ok(dict) = object.cast::<PyDict>() {
        return entries(dict, place, depth);
    }
    if let Some(text) = quantity::own_text(object).or_else(|| quantity::pint_text(object)) {
        return Ok(Value::String(text));
    }
    if quantity::is_number(object) && !quantity::has_unit(object) {
        return number(object, place);
    }
    let kind = quantity::named(object);
    Err(PyTypeError::new_err(format!(
        "{place}: {kind} has no place in a document; a value with a unit is a text, a quantity object or a pint quantity of a known kind"
    )))
}

fn items<'py>(items: impl Iterator<Item = Bound<'py, PyAny>>, place: &Place, depth: usize) -> PyResult<Value> {
    let items = items.enumerate().map(|(index, item)| nested(&item, &place.child(index), depth + 1));
    items.collect::<PyResult<Vec<_>>>().map(Value::Array)
}

fn entries(dict: &Bound<'_, PyDict>, place: &Place, depth: usize) -> PyResult<Value> {
    let mut entries = Map::new();
    for (key, entry) in dict {
        let Ok(key) = key.cast::<PyString>() else {
            let kind = quantity::named(&key);
            return Err(PyTypeError::new_err(format!("{place}: a key of a document is a text, not {kind}")));
        };
        let key = key.to_str()?;
        entries.insert(key.to_owned(), nested(&entry, &place.child(key), depth + 1)?);
    }
    Ok(Value::Object(entries))
}

fn number(object: &Bound<'_, PyAny>, place: &Place) -> PyResult<Value> {
    let whole = || object.extract::<i64>().ok().filter(|_| object.is_instance_of::<PyInt>());
    let real = || object.extract::<f64>().ok().and_then(Number::from_f64);
    match whole().map(Number::from).or_else(real) {
        Some(number) => Ok(Value::Number(number)),
        None => Err(error::exception(&Error::malformed("a number of a document is finite and real", place.clone()))),
    }
}

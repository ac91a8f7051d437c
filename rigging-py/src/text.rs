//! Core values as Python values that hold text, numbers and containers only.

use crate::guard::guard;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList, PyTuple};
use rigging_core::error::{Error, Place};
use serde::Serialize;
use serde_json::Value;
use std::hash::{DefaultHasher, Hash, Hasher};

/// A tuple of what converts into Python values.
pub(crate) fn tuple<'py, T: IntoPyObject<'py>>(
    py: Python<'py>,
    items: impl IntoIterator<Item = T>,
) -> PyResult<Py<PyAny>> {
    let items: Vec<T> = items.into_iter().collect();
    Ok(PyTuple::new(py, items)?.into_any().unbind())
}

/// What serializes, as Python's own types.
pub(crate) fn plain<'py>(py: Python<'py>, thing: &impl Serialize) -> PyResult<Bound<'py, PyAny>> {
    let json =
        guard(|| serde_json::to_value(thing).map_err(|error| Error::malformed(error.to_string(), Place::root())))?;
    value(py, &json)
}

/// A JSON value as Python's own types.
fn value<'py>(py: Python<'py>, json: &Value) -> PyResult<Bound<'py, PyAny>> {
    Ok(match json {
        Value::Null => py.None().into_bound(py),
        Value::Bool(flag) => flag.into_pyobject(py)?.to_owned().into_any(),
        Value::Number(number) => match number.as_i64() {
            Some(whole) => whole.into_pyobject(py)?.into_any(),
            None => number.as_f64().into_pyobject(py)?.into_any(),
        },
        Value::String(text) => text.into_pyobject(py)?.into_any(),
        Value::Array(items) => {
            let items: Vec<_> = items.iter().map(|item| value(py, item)).collect::<PyResult<_>>()?;
            PyList::new(py, items)?.into_any()
        }
        Value::Object(entries) => {
            let dict = PyDict::new(py);
            for (key, entry) in entries {
                dict.set_item(key, value(py, entry)?)?;
            }
            dict.into_any()
        }
    })
}

/// A text as Python writes it in source.
pub(crate) fn literal(text: &str) -> String {
    Python::attach(|py| {
        let object = text.into_pyobject(py)?;
        object.repr().map(|repr| repr.to_string())
    })
    .unwrap_or_default()
}

/// A hash that is the same in every process.
pub(crate) fn hash(thing: &impl Hash) -> u64 {
    let mut hasher = DefaultHasher::new();
    thing.hash(&mut hasher);
    hasher.finish()
}

/// Numbers as they are hashed: both zeros alike, as they are equal.
pub(crate) fn bits(number: f64) -> u64 {
    if number == 0.0 { 0 } else { number.to_bits() }
}

//! Invariants of lifts. `rigging_py.testing` asks by name and raises what is not kept.

use crate::arrangement::Lift;
use crate::guard::guard;
use crate::rules::RuleSet;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};
use rigging_core::kit::invariants::{Answer, Told, ask, batch_of, more_strength};
use rigging_core::report::json;
use serde::de::DeserializeOwned;

/// What the facade asks, from JSON.
fn asked<T: DeserializeOwned>(text: &str) -> Result<T, Error> {
    serde_json::from_str(text).map_err(|error| Error::malformed(error.to_string(), Place::root()))
}

/// The record of an answer, as JSON.
fn told(answer: Answer) -> Result<String, Error> {
    json::answer(&Told::of(answer)?)
}

/// One invariant of a lift.
#[pyfunction]
fn _invariant(py: Python<'_>, lift: &Lift, question: &str) -> PyResult<String> {
    guard(|| {
        let question = asked(question)?;
        py.detach(|| told(ask(&lift.0, &question)))
    })
}

/// Verdicts with stronger gear.
#[pyfunction]
fn _more_strength(py: Python<'_>, lift: &Lift, rule_set: &RuleSet, items: &str, factor: f64) -> PyResult<String> {
    guard(|| {
        let items = asked(items)?;
        py.detach(|| told(more_strength(&lift.0, &rule_set.core, items, factor)))
    })
}

/// Rows of a batch.
#[pyfunction]
fn _batch_rows(py: Python<'_>, lifts: Vec<PyRef<'_, Lift>>) -> PyResult<String> {
    let lifts: Vec<_> = lifts.iter().map(|lift| lift.0.clone()).collect();
    guard(|| py.detach(|| told(batch_of(&lifts.iter().map(AsRef::as_ref).collect::<Vec<_>>()))))
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_invariant, module)?)?;
    module.add_function(wrap_pyfunction!(_more_strength, module)?)?;
    module.add_function(wrap_pyfunction!(_batch_rows, module)?)
}

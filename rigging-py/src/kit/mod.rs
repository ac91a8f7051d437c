//! For who writes sharing rules: invariants of lifts, searches for lifts that a rule forgets, maps of where it falls short.

mod invariants;
mod search;

use pyo3::prelude::*;

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    invariants::register(module)?;
    search::register(module)
}

//! Functions for the tests of the boundary; they are not part of the interface.

use crate::guard::guard;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};

/// Panics on purpose.
#[pyfunction]
#[allow(clippy::panic, reason = "the boundary is to be tested")]
fn _panic() -> PyResult<()> {
    guard(|| panic!("on purpose"))
}

/// Raises the error that the JSON text describes.
#[pyfunction]
fn _raise(json: &str) -> PyResult<()> {
    guard(|| {
        let error: Error =
            serde_json::from_str(json).map_err(|error| Error::malformed(error.to_string(), Place::root()))?;
        Err(error)
    })
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_panic, module)?)?;
    module.add_function(wrap_pyfunction!(_raise, module)?)
}

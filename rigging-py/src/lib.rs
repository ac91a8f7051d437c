//! Python interface of rigging-core, as the native module `rigging_py._native`.
//!
//! Each function converts in, calls one function of the core inside the one `guard`, and converts out.

mod error;
mod guard;
mod hidden;

use pyo3::prelude::*;

/// The native module.
#[pymodule]
fn _native(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add("__version__", env!("CARGO_PKG_VERSION"))?;
    hidden::register(module)
}

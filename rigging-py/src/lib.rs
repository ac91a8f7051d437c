//! Python interface of rigging-core, as the native module `rigging_py._native`.
//!
//! Each function converts in, calls one function of the core inside the one `guard`, and converts out.

mod arrangement;
mod batch;
mod changes;
mod checks;
mod choice;
mod demand;
mod document;
mod equilibrium;
mod error;
mod guard;
mod hidden;
mod html;
mod inputs;
mod kit;
mod nearby;
mod quantity;
mod report;
mod rules;
mod sampling;
mod sharing;
mod statics;
mod text;

use mimalloc::MiMalloc;
use pyo3::prelude::*;

/// An assessment is hundreds of small pieces, and batches make them on every thread: see DEVELOPERS.md for what that costs otherwise.
#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// The native module.
#[pymodule]
fn _native(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add("__version__", env!("CARGO_PKG_VERSION"))?;
    quantity::register(module)?;
    arrangement::register(module)?;
    rules::register(module)?;
    equilibrium::register(module)?;
    statics::register(module)?;
    checks::register(module)?;
    choice::register(module)?;
    sharing::register(module)?;
    batch::register(module)?;
    nearby::register(module)?;
    sampling::register(module)?;
    kit::register(module)?;
    hidden::register(module)
}

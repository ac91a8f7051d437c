//! Load sharing: closed forms one at a time, sharing rules, and the set of legs that a rule of the user's own is shown.

mod closed;
mod leg_set;
mod own;
mod rule;
mod source;

pub(crate) use closed::angle;
pub(crate) use own::Raised;
pub(crate) use rule::SharingRule;
pub(crate) use source::Forces;

use pyo3::prelude::*;

/// Where it is all found.
const MODULE: &str = "rigging_py.sharing";

/// Adds it to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    closed::register(module)?;
    leg_set::register(module)?;
    rule::register(module)?;
    source::register(module)
}

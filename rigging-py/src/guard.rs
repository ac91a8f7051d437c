//! The one boundary: errors of the core become exceptions, and a panic becomes an ordinary exception.

use crate::error;
use pyo3::PyResult;
use rigging_core::error::Error;
use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs the core's part of a function. The body may be taken as unwind safe: the classes are frozen.
pub(crate) fn guard<T>(body: impl FnOnce() -> Result<T, Error>) -> PyResult<T> {
    match catch_unwind(AssertUnwindSafe(body)) {
        Ok(outcome) => outcome.map_err(|error| error::exception(&error)),
        Err(payload) => {
            let text = payload.downcast_ref::<&str>().copied();
            let text = text.or_else(|| payload.downcast_ref::<String>().map(String::as_str));
            let exception = error::internal(text.unwrap_or("no message"));
            discard(payload);
            Err(exception)
        }
    }
}

/// Dropping what was thrown may panic in its turn.
fn discard(payload: Box<dyn Any + Send>) {
    if let Err(second) = catch_unwind(AssertUnwindSafe(|| drop(payload))) {
        std::mem::forget(second);
    }
}

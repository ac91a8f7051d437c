//! The one boundary: a panic never crosses to C, and an error is mapped and written in one place.

use crate::error::{Failure, RIGGING_OK, Report, rigging_error};
use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Runs the body of an exported function and returns its status.
///
/// The body may be taken as unwind safe: handles are immutable, and outputs are written as its last act.
///
/// # Safety
/// `error` is null, or it is aligned and its first field says how many of its bytes may be written.
pub(crate) unsafe fn guard(error: *mut rigging_error, body: impl FnOnce() -> Result<(), Failure>) -> i32 {
    // The text of the error is made inside as well: it is the library's code like any other.
    let report = match catch_unwind(AssertUnwindSafe(|| body().map_err(Report::from))) {
        Ok(Ok(())) => return RIGGING_OK,
        Ok(Err(report)) => report,
        Err(payload) => {
            let report = Report::internal(message(payload.as_ref()));
            discard(payload);
            report
        }
    };
    // SAFETY: the caller of this function vouches for `error`.
    unsafe { report.write(error) };
    report.status
}

fn message(payload: &(dyn Any + Send)) -> &str {
    let text = payload.downcast_ref::<&str>().copied();
    text.or_else(|| payload.downcast_ref::<String>().map(String::as_str)).unwrap_or("no message")
}

/// Dropping what was thrown may panic in its turn.
pub(crate) fn discard(payload: Box<dyn Any + Send>) {
    if let Err(second) = catch_unwind(AssertUnwindSafe(|| drop(payload))) {
        std::mem::forget(second);
    }
}

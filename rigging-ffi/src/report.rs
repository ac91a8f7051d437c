//! The printed calculation.

use crate::checks::rigging_assessment;
use crate::error::rigging_error;
use crate::{document, guard, handle};
use rigging_core::report;
use std::ffi::c_char;

/// Writes the calculation as plain text: verdict, governing finding and what would change it in the first three lines,
/// then figures, then where each comes from. First call: a null `buffer` gives the `length` in bytes; second call: a
/// `buffer` of `length` + 1 bytes receives the text and a zero byte. The same assessment gives the same text, byte for
/// byte.
///
/// # Safety
/// `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_report(
    assessment: *const rigging_assessment,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let handle = handle::borrow(assessment, "assessment")?;
            document::write(&report::text(&handle.assessment, handle.remedy()?), buffer, capacity, length)
        })
    }
}

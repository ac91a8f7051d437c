//! The body of every function that tells something of an assessment.

use super::rigging_assessment;
use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::{guard, handle};

/// Fills the caller's struct with what `tell` says of the assessment.
///
/// # Safety
/// `assessment` is null or a handle; `slot` is null or initialized; `error` is null or initialized.
pub(crate) unsafe fn fill<'a, R: Record>(
    assessment: *const rigging_assessment,
    (slot, name): (*mut R, &'static str),
    error: *mut rigging_error,
    tell: impl FnOnce(&'a rigging_assessment) -> Result<R, Failure>,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || record::fill(slot, name, || tell(handle::borrow(assessment, "assessment")?))) }
}

/// Writes a plain value that `tell` says of the assessment.
///
/// # Safety
/// `assessment` is null or a handle; `slot` is null or may be written; `error` is null or initialized.
pub(crate) unsafe fn put<'a, T: Copy>(
    assessment: *const rigging_assessment,
    (slot, name): (*mut T, &'static str),
    error: *mut rigging_error,
    tell: impl FnOnce(&'a rigging_assessment) -> Result<T, Failure>,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || record::put(slot, name, || tell(handle::borrow(assessment, "assessment")?))) }
}

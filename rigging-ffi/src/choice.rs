//! One lift under several rule sets, and the first clause where they part.

use crate::arrangement::rigging_lift;
use crate::checks::rigging_assessment;
use crate::error::rigging_error;
use crate::rules::rigging_rule_set;
use crate::statics::answer::{answered, rigging_answer};
use crate::{document, guard, handle, slice};
use rigging_core::choice::{self, Matrix};
use rigging_core::report;
use std::ffi::c_char;

/// The verdicts of one lift under several rule sets, side by side. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_matrix(Matrix);

/// Assesses the lift under each of `count` rule sets and sets the outcomes side by side: verdict and governing finding of
/// each, every check under each, and for every two that differ the first clause where they part. The handle is the
/// caller's: free it with `rigging_matrix_free`. `RIGGING_INCONSISTENT` for no rule set at all; else as
/// `rigging_lift_assess`.
///
/// # Safety
/// `lift` is a handle; `rule_sets` has `count` handles; `matrix` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_matrix(
    lift: *const rigging_lift,
    rule_sets: *const *const rigging_rule_set,
    count: usize,
    matrix: *mut *mut rigging_matrix,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(matrix, "matrix", || {
                let lift = handle::borrow(lift, "lift")?;
                let mut sets = Vec::new();
                for rules in slice::read(rule_sets, count, 1, "rule_sets")? {
                    sets.push(&handle::borrow(*rules, "rule_set")?.rules);
                }
                Ok(rigging_matrix(choice::matrix(&lift.0, &sets)?))
            })
        })
    }
}

/// Writes the matrix as one line of JSON: `columns`, `rows` and `partings`. Two calls, as `rigging_assessment_report`.
///
/// # Safety
/// `matrix` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_matrix_to_json(
    matrix: *const rigging_matrix,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let matrix = &handle::borrow(matrix, "matrix")?.0;
            document::write(&report::json::answer(matrix)?, buffer, capacity, length)
        })
    }
}

/// Writes the matrix as plain text: verdicts, where the rule sets part, and the checks on which they do. Two calls, as
/// `rigging_assessment_report`.
///
/// # Safety
/// As `rigging_matrix_to_json`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_matrix_report(
    matrix: *const rigging_matrix,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let matrix = &handle::borrow(matrix, "matrix")?.0;
            document::write(&report::matrix_text(matrix), buffer, capacity, length)
        })
    }
}

/// Frees a matrix; null is allowed.
///
/// # Safety
/// `matrix` is null or a handle that has not been freed, and no thread uses it.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_matrix_free(matrix: *mut rigging_matrix) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(matrix) };
}

/// Every check on which two assessments of one lift differ: first what differs in the outcome, the gravest before all, then
/// what differs in figures alone; each with the first term of the calculation that differs and its source. Ends with an
/// answer, as `rigging_balance_derivatives`: a list, empty where they agree. `RIGGING_INCONSISTENT` for assessments of
/// different lifts.
///
/// # Safety
/// `left` and `right` are handles; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_partings(
    left: *const rigging_assessment,
    right: *const rigging_assessment,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let (left, right) = (handle::borrow(left, "left")?, handle::borrow(right, "right")?);
                Ok(choice::partings(&left.assessment, &right.assessment)?)
            })
        })
    }
}

//! The printed calculation, and the records that another program reads instead of it.

use crate::checks::rigging_assessment;
use crate::equilibrium::rigging_certificate;
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

/// Writes the report as one line of JSON: the assessment, its hash, what would change the verdict, the cautions. Two calls,
/// as `rigging_assessment_report`.
///
/// # Safety
/// `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_report_json(
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
            document::write(&report::json::report(&handle.assessment, handle.remedy()?)?, buffer, capacity, length)
        })
    }
}

/// Writes the assessment as one line of JSON: its canonical text, with the nominal certificate and every chain. Two
/// calls, as `rigging_assessment_report`.
///
/// # Safety
/// `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_to_json(
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
            document::write(&report::json::assessment(&handle.assessment)?, buffer, capacity, length)
        })
    }
}

/// Writes the SHA-256 of the canonical text of the assessment in hexadecimal. Two calls, as `rigging_assessment_report`.
///
/// # Safety
/// `assessment` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_hash(
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
            document::write(&report::json::hash(&handle.assessment)?, buffer, capacity, length)
        })
    }
}

/// Writes the certificate as one line of JSON. Two calls, as `rigging_assessment_report`.
///
/// # Safety
/// `certificate` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_certificate_to_json(
    certificate: *const rigging_certificate,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let handle = handle::borrow(certificate, "certificate")?;
            document::write(&report::json::certificate(&handle.0)?, buffer, capacity, length)
        })
    }
}

/// Writes where a number of the assessment comes from as one line of JSON: who says or computes it, by which operation, from
/// which other numbers, down to what a document or the lift document states. `pointer` of `pointer_length` bytes is a JSON
/// pointer into the text of `rigging_assessment_to_json`, such as "/findings/0/utilization" or "/legs/2/worst"; what would
/// change the verdict stands below "/remedy". Two calls, as `rigging_assessment_report`.
///
/// # Safety
/// `assessment` is a handle; `pointer` has `pointer_length` bytes; `buffer` has `capacity` bytes or is null; `length` may be
/// written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_origin(
    assessment: *const rigging_assessment,
    pointer: *const c_char,
    pointer_length: usize,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let handle = handle::borrow(assessment, "assessment")?;
            let origin = handle.origin(document::read(pointer, pointer_length, "pointer")?)?;
            document::write(&report::json::answer(&origin)?, buffer, capacity, length)
        })
    }
}

/// Writes the same in words, one line a number, each below what was made of it. Two calls, as `rigging_assessment_report`.
///
/// # Safety
/// As `rigging_assessment_origin`.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_origin_text(
    assessment: *const rigging_assessment,
    pointer: *const c_char,
    pointer_length: usize,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let handle = handle::borrow(assessment, "assessment")?;
            let origin = handle.origin(document::read(pointer, pointer_length, "pointer")?)?;
            document::write(&report::origin_text(&origin), buffer, capacity, length)
        })
    }
}

//! What would change the verdict.

use super::finding::rigging_missing_input;
use super::{rigging_assessment, walk};
use crate::error::rigging_error;
use crate::record::{self, Record};
use crate::text::rigging_text;
use rigging_core::checks::Remedy;

/// The inputs that are missing would: see `rigging_assessment_remedy_missing`.
pub const RIGGING_REMEDY_ADD: i32 = 0;
/// A failing strength passes at the figures told, one or the other.
pub const RIGGING_REMEDY_PASSES: i32 = 1;
/// A passing strength holds up to the figures told.
pub const RIGGING_REMEDY_HOLDS: i32 = 2;
/// Nothing in figures; `text` says it in words.
pub const RIGGING_REMEDY_OTHER: i32 = 3;

/// What would change the verdict.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_remedy {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// One of `RIGGING_REMEDY_…`.
    pub kind: i32,
    /// 1 if `length_tolerance_m` is told. Where it is not: a failing lift fails even with exact lengths, a passing one
    /// holds beyond ten times the present tolerance.
    pub has_length_tolerance: i32,
    /// 1 if `capacity_n` is told.
    pub has_capacity: i32,
    /// The length tolerance, the same for every leg, at which the verdict turns, in m; NaN where it is not told.
    pub length_tolerance_m: f64,
    /// The capacity of the governing item at which its finding turns, in N; NaN where it is not told.
    pub capacity_n: f64,
    /// The remedy in words, or null where it is told in figures.
    pub text: rigging_text,
    /// Number of inputs that are missing.
    pub missing_count: usize,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_remedy {}

impl From<&Remedy> for rigging_remedy {
    fn from(remedy: &Remedy) -> Self {
        let figures = |kind, length_tolerance: Option<f64>, capacity: f64| Self {
            struct_size: 0,
            kind,
            has_length_tolerance: i32::from(length_tolerance.is_some()),
            has_capacity: 1,
            length_tolerance_m: length_tolerance.unwrap_or(f64::NAN),
            capacity_n: capacity,
            text: rigging_text::NONE,
            missing_count: 0,
        };
        let words = |kind, text, missing_count| Self {
            struct_size: 0,
            kind,
            has_length_tolerance: 0,
            has_capacity: 0,
            length_tolerance_m: f64::NAN,
            capacity_n: f64::NAN,
            text,
            missing_count,
        };
        match remedy {
            Remedy::Add(missing) => words(RIGGING_REMEDY_ADD, rigging_text::NONE, missing.len()),
            Remedy::Passes { length_tolerance, capacity } => {
                figures(RIGGING_REMEDY_PASSES, *length_tolerance, *capacity)
            }
            Remedy::Holds { length_tolerance, capacity } => figures(RIGGING_REMEDY_HOLDS, *length_tolerance, *capacity),
            Remedy::Other(text) => words(RIGGING_REMEDY_OTHER, rigging_text::of(text), 0),
        }
    }
}

/// Empties the struct and notes its size: `rigging_remedy_init(&remedy, sizeof remedy)`.
///
/// # Safety
/// `remedy` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_remedy_init(remedy: *mut rigging_remedy, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(remedy.cast(), size) };
}

/// What would change the verdict. It is sought at the first call, by many more solves than the assessment took, and kept.
/// Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `remedy` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_remedy(
    assessment: *const rigging_assessment,
    remedy: *mut rigging_remedy,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::fill(assessment, (remedy, "remedy"), error, |of| Ok(of.remedy()?.into())) }
}

/// One input whose absence keeps the lift from a verdict, by its index from 0; `RIGGING_NO_SUCH_ITEM` from
/// `missing_count` on. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `missing` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_remedy_missing(
    assessment: *const rigging_assessment,
    index: usize,
    missing: *mut rigging_missing_input,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (missing, "missing"), error, |of| {
            let inputs = match of.remedy()? {
                Remedy::Add(inputs) => inputs.as_slice(),
                _ => &[],
            };
            Ok(record::item(inputs, index, "missing input")?.into())
        })
    }
}

//! An answer about a balance: a record as JSON text behind a handle of its own, because some answers take long to make.

use super::rigging_balance;
use crate::error::{Failure, rigging_error};
use crate::text::rigging_text;
use crate::{guard, handle, record};
use rigging_core::report::json;
use serde::Serialize;

/// An answer about a balance or a lift. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_answer(String);

/// Puts the record that `make` makes into the caller's slot.
///
/// # Safety
/// `answer` is null or may be written.
pub(crate) unsafe fn answered<R: Serialize>(
    answer: *mut *mut rigging_answer,
    make: impl FnOnce() -> Result<R, Failure>,
) -> Result<(), Failure> {
    // SAFETY: the caller vouches for the pointer.
    unsafe { handle::put(answer, "answer", || Ok(rigging_answer(json::answer(&make()?)?))) }
}

/// Puts to a balance the question `ask`, and the record that answers it into the caller's slot; the body of every question.
///
/// # Safety
/// `balance` is null or a handle; `answer` is null or may be written; `error` is null or initialized.
pub(super) unsafe fn asked<'a, R: Serialize>(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
    ask: impl FnOnce(&'a rigging_balance) -> Result<R, Failure>,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || answered(answer, || ask(handle::borrow(balance, "balance")?))) }
}

/// The record as one line of JSON, in SI units; the committed schema of a balance, or that of a comparison, says what each
/// key means. The text is lent by the answer.
///
/// # Safety
/// `answer` is a handle; `text` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_answer_text(
    answer: *const rigging_answer,
    text: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || record::put(text, "text", || Ok(rigging_text::of(&handle::borrow(answer, "answer")?.0))))
    }
}

/// Frees an answer; null is allowed.
///
/// # Safety
/// `answer` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_answer_free(answer: *mut rigging_answer) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(answer) };
}

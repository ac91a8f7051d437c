//! Symbols for the tests of the boundary; they are in no header and are not part of the interface.

use crate::error::{Failure, rigging_error};
use crate::{document, guard, handle};
use rigging_core::error::{Error, Place};
use std::ffi::c_char;

/// Panics on purpose.
///
/// # Safety
/// As for every function that takes a [`rigging_error`].
#[unsafe(no_mangle)]
#[allow(clippy::panic, reason = "the boundary is to be tested")]
pub unsafe extern "C" fn rigging_hidden_panic(error: *mut rigging_error) -> i32 {
    // SAFETY: passed on.
    unsafe { guard::guard(error, || panic!("on purpose")) }
}

/// Fails with an error of the core that carries these texts.
///
/// # Safety
/// The texts have the lengths given; `error` as for every function.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_hidden_fail(
    what: *const c_char,
    what_length: usize,
    place: *const c_char,
    place_length: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: passed on.
    unsafe {
        guard::guard(error, || {
            let what = document::read(what, what_length, "what")?;
            let place = document::read(place, place_length, "place")?;
            Err(Failure::from(Error::malformed(what, Place::pointer(place))))
        })
    }
}

/// A text behind a handle.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_hidden_note(String);

/// Keeps a text.
///
/// # Safety
/// `text` has `length` bytes; `note` may be written; `error` as for every function.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_hidden_note_new(
    text: *const c_char,
    length: usize,
    note: *mut *mut rigging_hidden_note,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: passed on.
    unsafe {
        guard::guard(error, || {
            handle::put(note, "note", || Ok(rigging_hidden_note(document::read(text, length, "text")?.to_owned())))
        })
    }
}

/// The text that was kept.
///
/// # Safety
/// `note` is a handle; `buffer` has `capacity` bytes or is null; `error` as for every function.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_hidden_note_text(
    note: *const rigging_hidden_note,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: passed on.
    unsafe { guard::guard(error, || document::write(&handle::borrow(note, "note")?.0, buffer, capacity, length)) }
}

/// Frees the text.
///
/// # Safety
/// `note` is null or a handle that has not been freed.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_hidden_note_free(note: *mut rigging_hidden_note) {
    // SAFETY: passed on.
    unsafe { handle::free(note) };
}

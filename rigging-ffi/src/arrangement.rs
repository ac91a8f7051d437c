//! The lift document behind a handle.

use crate::error::rigging_error;
use crate::text::rigging_text;
use crate::{document, guard, handle, record};
use rigging_core::arrangement::Lift;
use std::ffi::c_char;
use std::sync::Arc;

/// A checked lift document. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_lift(pub(crate) Arc<Lift>);

/// Reads a lift from a JSON text of `length` bytes and checks it. The handle is the caller's: free it with
/// `rigging_lift_free`. The text may go after the call. An error's `place` points into the text.
///
/// # Safety
/// `text` has `length` bytes; `lift` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_from_json(
    text: *const c_char,
    length: usize,
    lift: *mut *mut rigging_lift,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(lift, "lift", || {
                Ok(rigging_lift(Arc::new(Lift::from_json(document::read(text, length, "text")?)?)))
            })
        })
    }
}

/// Writes the lift as a JSON document, values and units as entered. First call: a null `buffer` gives the `length` in
/// bytes; second call: a `buffer` of `length` + 1 bytes receives the text and a zero byte.
///
/// # Safety
/// `lift` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_to_json(
    lift: *const rigging_lift,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || document::write(&handle::borrow(lift, "lift")?.0.to_json()?, buffer, capacity, length))
    }
}

/// Name of the lift.
///
/// # Safety
/// `lift` is a handle; `name` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_name(
    lift: *const rigging_lift,
    name: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(name, "name", || Ok(rigging_text::of(&handle::borrow(lift, "lift")?.0.document().name)))
        })
    }
}

/// SHA-256 of the lift's canonical text in hexadecimal: layout and the order of keys in the document do not change it.
/// The text is lent by the lift.
///
/// # Safety
/// `lift` is a handle; `hash` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_hash(
    lift: *const rigging_lift,
    hash: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(hash, "hash", || Ok(rigging_text::of(handle::borrow(lift, "lift")?.0.hash())))
        })
    }
}

/// Writes the canonical text of the lift, from which its hash is taken, in two calls as `rigging_lift_to_json`.
///
/// # Safety
/// `lift` is a handle; `buffer` has `capacity` bytes or is null; `length` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_canonical(
    lift: *const rigging_lift,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || document::write(&handle::borrow(lift, "lift")?.0.canonical()?, buffer, capacity, length))
    }
}

/// Number of legs: the members of the lift's certificate, in the same order.
///
/// # Safety
/// `lift` is a handle; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_leg_count(
    lift: *const rigging_lift,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(count, "count", || Ok(handle::borrow(lift, "lift")?.0.document().legs.len()))
        })
    }
}

/// Name of a leg, by its index from 0.
///
/// # Safety
/// `lift` is a handle; `name` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_leg_name(
    lift: *const rigging_lift,
    leg: usize,
    name: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(name, "name", || {
                let legs = &handle::borrow(lift, "lift")?.0.document().legs;
                Ok(rigging_text::of(&record::item(legs, leg, "leg")?.name))
            })
        })
    }
}

/// Frees a lift; null is allowed. Certificates and assessments made from it stay.
///
/// # Safety
/// `lift` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_free(lift: *mut rigging_lift) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(lift) };
}

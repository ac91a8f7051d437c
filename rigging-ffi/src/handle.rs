//! Opaque handles: made once, never changed, shared by threads without locks, freed by the library.

use crate::error::Failure;
use crate::guard;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Puts a new handle into the caller's `slot`; `make` runs only when there is a slot, and the slot is written only when
/// it succeeds.
///
/// # Safety
/// `slot` is null or may be written.
pub(crate) unsafe fn put<T: Send + Sync>(
    slot: *mut *mut T,
    name: &'static str,
    make: impl FnOnce() -> Result<T, Failure>,
) -> Result<(), Failure> {
    if slot.is_null() {
        return Err(Failure::Null(name));
    }
    let value = make()?;
    // SAFETY: not null, and the caller vouches for it.
    unsafe { slot.write(Box::into_raw(Box::new(value))) };
    Ok(())
}

/// The value behind a handle, for the time of a call.
///
/// # Safety
/// `handle` is null or came from [`put`] and has not been freed.
pub(crate) unsafe fn borrow<'a, T>(handle: *const T, name: &'static str) -> Result<&'a T, Failure> {
    // SAFETY: the caller vouches for it; nobody changes the value behind a handle.
    unsafe { handle.as_ref() }.ok_or(Failure::Null(name))
}

/// Frees a handle; null is allowed.
///
/// # Safety
/// `handle` is null or came from [`put`] and has not been freed.
pub(crate) unsafe fn free<T>(handle: *mut T) {
    if handle.is_null() {
        return;
    }
    // SAFETY: the box was made by `put`, and the caller gives it back.
    let value = unsafe { Box::from_raw(handle) };
    // There is no status to return; a panic must not cross to C all the same.
    if let Err(payload) = catch_unwind(AssertUnwindSafe(|| drop(value))) {
        guard::discard(payload);
    }
}

//! Texts that come in and documents that go out.

use crate::error::Failure;
use std::ffi::c_char;

/// A text of `length` bytes, borrowed for the call; `name` is the argument's name. Null is allowed for an empty text.
///
/// # Safety
/// `text` is null or points to `length` bytes that stay unchanged during the call.
pub(crate) unsafe fn read<'a>(text: *const c_char, length: usize, name: &'static str) -> Result<&'a str, Failure> {
    if length == 0 {
        return Ok("");
    }
    // More bytes than an address can span are a negative number turned into a length.
    if text.is_null() || isize::try_from(length).is_err() {
        return Err(Failure::Null(name));
    }
    // SAFETY: not null, and the caller vouches for `length` bytes.
    let bytes = unsafe { std::slice::from_raw_parts(text.cast::<u8>(), length) };
    std::str::from_utf8(bytes).map_err(|_| Failure::NotUtf8(name))
}

/// Writes a document: with a null `buffer` only its length in bytes, without the closing zero; else the text, the closing
/// zero and the length. Nothing is written when `capacity` is too small.
///
/// # Safety
/// `buffer` is null or points to `capacity` bytes that may be written; `length` is null or may be written.
pub(crate) unsafe fn write(
    document: &str,
    buffer: *mut c_char,
    capacity: usize,
    length: *mut usize,
) -> Result<(), Failure> {
    if length.is_null() {
        return Err(Failure::Null("length"));
    }
    if !buffer.is_null() {
        if capacity <= document.len() {
            return Err(Failure::BufferTooSmall(document.len() + 1));
        }
        // SAFETY: `capacity` bytes may be written, and they are more than the document has.
        unsafe {
            buffer.cast::<u8>().copy_from_nonoverlapping(document.as_ptr(), document.len());
            buffer.add(document.len()).write(0);
        }
    }
    // SAFETY: not null, and the caller vouches for it.
    unsafe { length.write(document.len()) };
    Ok(())
}

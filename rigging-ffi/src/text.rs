//! Texts that are lent: they belong to a handle.

use std::ffi::c_char;

/// A text that is lent by the library: `length` bytes of UTF-8, **not** ended by a zero byte. Print it with
/// `printf("%.*s", (int)text.length, text.data)`. It belongs to the handle it was asked of and stays as it is until that
/// handle is freed; where no handle was given it stays for good. `data` is null where there is no such text.
#[repr(C)]
#[derive(Debug, Clone, Copy)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_text {
    /// The first byte, or null.
    pub data: *const c_char,
    /// Number of bytes.
    pub length: usize,
}

impl rigging_text {
    /// No text.
    pub(crate) const NONE: Self = Self { data: std::ptr::null(), length: 0 };

    /// Lends a text; an empty one points to a zero byte rather than nowhere.
    pub(crate) const fn of(text: &str) -> Self {
        let data = if text.is_empty() { c"".as_ptr() } else { text.as_ptr().cast() };
        Self { data, length: text.len() }
    }

    /// Lends a text that may be absent.
    pub(crate) fn optional(text: Option<&str>) -> Self {
        text.map_or(Self::NONE, Self::of)
    }
}

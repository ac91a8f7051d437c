//! Status codes, and the struct that says why a call failed.

use crate::record;
use rigging_core::error::Error;
use std::ffi::{CStr, c_char};
use std::mem::offset_of;

/// The call succeeded.
pub const RIGGING_OK: i32 = 0;
/// A value lies outside the range in which the calculation means anything.
pub const RIGGING_OUT_OF_DOMAIN: i32 = 1;
/// An input that the calculation needs is absent or stated as unknown.
pub const RIGGING_MISSING: i32 = 2;
/// The input is sound, but this library does not calculate it.
pub const RIGGING_UNSUPPORTED: i32 = 3;
/// Parts of the input contradict each other.
pub const RIGGING_INCONSISTENT: i32 = 4;
/// Two items of one kind carry the same name.
pub const RIGGING_DUPLICATE_NAME: i32 = 5;
/// A name refers to nothing.
pub const RIGGING_UNKNOWN_NAME: i32 = 6;
/// The text is not a document of the expected form.
pub const RIGGING_MALFORMED: i32 = 7;
/// A key that the format does not have.
pub const RIGGING_UNKNOWN_KEY: i32 = 8;
/// A key stands twice in one object.
pub const RIGGING_DUPLICATE_KEY: i32 = 9;
/// A number without a unit where a dimension is needed.
pub const RIGGING_BARE_NUMBER: i32 = 10;
/// A unit that means several things, or an angle that does not say from where.
pub const RIGGING_AMBIGUOUS_UNIT: i32 = 11;
/// A unit that is not known, or that belongs to another quantity.
pub const RIGGING_WRONG_UNIT: i32 = 12;
/// The document is of a newer format than this library reads.
pub const RIGGING_NEWER_FORMAT: i32 = 13;
/// A text, list or document exceeds its limit of size or depth.
pub const RIGGING_TOO_LARGE: i32 = 14;
/// The iteration ended without a state that could be certified: a defect of the library, worth reporting.
pub const RIGGING_UNCONVERGED: i32 = 15;

/// An argument that may not be null is null.
pub const RIGGING_NULL_ARGUMENT: i32 = 100;
/// A text is not UTF-8.
pub const RIGGING_NOT_UTF8: i32 = 101;
/// The caller's buffer is too small; ask for the length first.
pub const RIGGING_BUFFER_TOO_SMALL: i32 = 102;
/// The library stopped inside a calculation: a defect of the library, worth reporting. Nothing was written.
pub const RIGGING_INTERNAL: i32 = 103;
/// The `struct_size` of a struct is smaller than the struct ever was: it was not initialized.
pub const RIGGING_WRONG_SIZE: i32 = 104;
/// An array does not have as many elements as there are values.
pub const RIGGING_WRONG_COUNT: i32 = 105;
/// An index beyond the last item, or a part that is not there.
pub const RIGGING_NO_SUCH_ITEM: i32 = 106;

/// Every status with its name; the names of the core's errors are the same in Rust and Python.
pub const STATUSES: [(i32, &CStr); 23] = [
    (RIGGING_OK, c"ok"),
    (RIGGING_OUT_OF_DOMAIN, c"out_of_domain"),
    (RIGGING_MISSING, c"missing"),
    (RIGGING_UNSUPPORTED, c"unsupported"),
    (RIGGING_INCONSISTENT, c"inconsistent"),
    (RIGGING_DUPLICATE_NAME, c"duplicate_name"),
    (RIGGING_UNKNOWN_NAME, c"unknown_name"),
    (RIGGING_MALFORMED, c"malformed"),
    (RIGGING_UNKNOWN_KEY, c"unknown_key"),
    (RIGGING_DUPLICATE_KEY, c"duplicate_key"),
    (RIGGING_BARE_NUMBER, c"bare_number"),
    (RIGGING_AMBIGUOUS_UNIT, c"ambiguous_unit"),
    (RIGGING_WRONG_UNIT, c"wrong_unit"),
    (RIGGING_NEWER_FORMAT, c"newer_format"),
    (RIGGING_TOO_LARGE, c"too_large"),
    (RIGGING_UNCONVERGED, c"unconverged"),
    (RIGGING_NULL_ARGUMENT, c"null_argument"),
    (RIGGING_NOT_UTF8, c"not_utf8"),
    (RIGGING_BUFFER_TOO_SMALL, c"buffer_too_small"),
    (RIGGING_INTERNAL, c"internal"),
    (RIGGING_WRONG_SIZE, c"wrong_size"),
    (RIGGING_WRONG_COUNT, c"wrong_count"),
    (RIGGING_NO_SUCH_ITEM, c"no_such_item"),
];

/// Size of `rigging_error.message` in bytes, the closing zero included.
pub const RIGGING_MESSAGE_SIZE: usize = 1024;
/// Size of `rigging_error.place` in bytes, the closing zero included.
pub const RIGGING_PLACE_SIZE: usize = 512;

/// Why a call failed. The caller owns it; call `rigging_error_init` once before its first use. It is written only when a
/// call fails, and never beyond `struct_size` bytes. New fields will only be added at the end.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_error {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// The status that the call returned.
    pub code: i32,
    /// The reason: UTF-8, ends with a zero byte, cut between characters when it is too long.
    pub message: [c_char; RIGGING_MESSAGE_SIZE],
    /// The place in the document as a JSON pointer (RFC 6901), empty for the whole document: UTF-8, ends with a zero byte,
    /// cut between characters when it is too long.
    pub place: [c_char; RIGGING_PLACE_SIZE],
}

/// Empties an error and notes its size: `rigging_error_init(&error, sizeof error)`. A null `error` is left alone.
///
/// # Safety
/// `error` is null or points to `size` bytes that may be written, aligned as `rigging_error` is.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_error_init(error: *mut rigging_error, size: usize) {
    // SAFETY: passed on; `struct_size` is the first field.
    unsafe { record::init(error.cast(), size) };
}

/// Name of a status, such as "missing", or "unknown_status" for a number that is none: never null, never freed.
#[unsafe(no_mangle)]
pub extern "C" fn rigging_status_name(status: i32) -> *const c_char {
    STATUSES.iter().find(|(number, _)| *number == status).map_or(c"unknown_status", |(_, name)| name).as_ptr()
}

/// Everything that can keep a call from succeeding.
#[derive(Debug)]
pub(crate) enum Failure {
    /// An error of the core.
    Core(Error),
    /// The named argument is null.
    Null(&'static str),
    /// The named argument is not UTF-8.
    NotUtf8(&'static str),
    /// The caller's buffer is too small: bytes needed, the closing zero included.
    BufferTooSmall(usize),
    /// The `struct_size` of the named argument: what it says, and the least it may say.
    WrongSize(&'static str, usize, usize),
    /// The elements of the named array: how many it has, and how many it must have.
    WrongCount(&'static str, usize, usize),
    /// The kind of item, the index, and how many there are.
    NoSuchItem(&'static str, usize, usize),
    /// The named part is not there.
    NoSuchPart(&'static str),
}

impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        Self::Core(error)
    }
}

/// A failure in the form in which it crosses to C.
pub(crate) struct Report {
    pub(crate) status: i32,
    message: String,
    place: String,
}

impl From<Failure> for Report {
    fn from(failure: Failure) -> Self {
        let here = |status, message| Self { status, message, place: String::new() };
        match failure {
            Failure::Core(error) => {
                Self { status: error.status(), message: error.reason(), place: error.place().as_str().to_owned() }
            }
            Failure::Null(name) => here(RIGGING_NULL_ARGUMENT, format!("the argument {name} is null")),
            Failure::NotUtf8(name) => here(RIGGING_NOT_UTF8, format!("the argument {name} is not UTF-8")),
            Failure::BufferTooSmall(needed) => {
                here(RIGGING_BUFFER_TOO_SMALL, format!("the buffer is too small: {needed} bytes are needed"))
            }
            Failure::WrongSize(name, told, least) => here(
                RIGGING_WRONG_SIZE,
                format!("the struct {name} was not initialized: its struct_size is {told}, not {least} or more"),
            ),
            Failure::WrongCount(name, given, needed) => {
                here(RIGGING_WRONG_COUNT, format!("the array {name} has {given} elements; it must have {needed}"))
            }
            Failure::NoSuchItem(kind, index, count) => here(
                RIGGING_NO_SUCH_ITEM,
                format!("there is no {kind} with the index {index}; their number is {count}"),
            ),
            Failure::NoSuchPart(part) => here(RIGGING_NO_SUCH_ITEM, format!("there is no {part}")),
        }
    }
}

impl Report {
    /// The calculation stopped with this message.
    pub(crate) fn internal(message: &str) -> Self {
        let message = format!("a defect of the library stopped the calculation, please report it: {message}");
        Self { status: RIGGING_INTERNAL, message, place: String::new() }
    }

    /// Writes into the caller's struct as far as it reaches.
    ///
    /// # Safety
    /// `error` is null, or it is aligned and its first field says how many of its bytes may be written.
    pub(crate) unsafe fn write(&self, error: *mut rigging_error) {
        if error.is_null() {
            return;
        }
        // SAFETY: the first field is always there.
        let told = unsafe { (&raw const (*error).struct_size).read() };
        let size = usize::try_from(told).unwrap_or(0).min(size_of::<rigging_error>());
        if size < offset_of!(rigging_error, message) {
            return;
        }
        // SAFETY: `code` lies before `message`, within `size`; each text stays within its field and within `size`.
        unsafe {
            (&raw mut (*error).code).write(self.status);
            write_text(error.cast(), offset_of!(rigging_error, message), RIGGING_MESSAGE_SIZE, size, &self.message);
            write_text(error.cast(), offset_of!(rigging_error, place), RIGGING_PLACE_SIZE, size, &self.place);
        }
    }
}

/// Writes a text and its closing zero into a field, cut between characters.
///
/// # Safety
/// `size` bytes from `start` on may be written.
unsafe fn write_text(start: *mut u8, offset: usize, field: usize, size: usize, text: &str) {
    let room = field.min(size.saturating_sub(offset));
    if room == 0 {
        return;
    }
    // A zero byte inside a name would end the text early.
    let text = text.replace('\0', "\u{fffd}");
    let length = (0..room.min(text.len() + 1)).rev().find(|end| text.is_char_boundary(*end)).unwrap_or(0);
    // SAFETY: `length` is less than `room`, and `offset + room` is at most `size`.
    unsafe {
        let field = start.add(offset);
        field.copy_from_nonoverlapping(text.as_ptr(), length);
        field.add(length).write(0);
    }
}

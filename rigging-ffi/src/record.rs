//! Structs that cross by pointer, with their size as the first field, and the other outputs of a call.
//!
//! Everything here writes only when the value was made, and never beyond what the caller said there is.

use crate::error::Failure;

/// A struct whose first field is `struct_size`, filled by the library.
///
/// # Safety
/// The type is `repr(C)` and its first field is a `u32` that holds its size.
pub(crate) unsafe trait Record: Sized {
    /// Size of the struct in the first version of this binary interface. A struct that grows keeps the size here that it
    /// had; the fields that were appended since are written as far as the caller's struct reaches.
    const FIRST_SIZE: usize = size_of::<Self>();
}

/// Empties a struct and notes its size in its first field. Null, and what is shorter than that field, is left alone.
///
/// # Safety
/// `slot` is null or points to `size` bytes that may be written, aligned for a `u32`.
pub(crate) unsafe fn init(slot: *mut u8, size: usize) {
    if slot.is_null() || size < size_of::<u32>() {
        return;
    }
    // SAFETY: the caller vouches for `size` bytes, and they hold at least the first field.
    unsafe {
        slot.write_bytes(0, size);
        slot.cast::<u32>().write(u32::try_from(size).unwrap_or(u32::MAX));
    }
}

/// Fills the caller's struct as far as it reaches; its `struct_size` stays.
///
/// # Safety
/// `slot` is null, or it is aligned and its first field says how many of its bytes may be written.
pub(crate) unsafe fn fill<R: Record>(
    slot: *mut R,
    name: &'static str,
    make: impl FnOnce() -> Result<R, Failure>,
) -> Result<(), Failure> {
    if slot.is_null() {
        return Err(Failure::Null(name));
    }
    // SAFETY: the first field is always there.
    let told = unsafe { slot.cast::<u32>().read() };
    let size = usize::try_from(told).unwrap_or(usize::MAX);
    if size < R::FIRST_SIZE {
        return Err(Failure::WrongSize(name, size, R::FIRST_SIZE));
    }
    let mut record = make()?;
    // SAFETY: the first field of `record` holds its size; the bytes copied lie within both structs.
    unsafe {
        (&raw mut record).cast::<u32>().write(told);
        slot.cast::<u8>().copy_from_nonoverlapping((&raw const record).cast::<u8>(), size.min(size_of::<R>()));
    }
    Ok(())
}

/// Reads a struct of the caller's, of which no field was appended yet.
///
/// # Safety
/// `slot` is null, or it is aligned and its first field says how many of its bytes may be read.
pub(crate) unsafe fn read<R: Record + Copy>(slot: *const R, name: &'static str) -> Result<R, Failure> {
    if slot.is_null() {
        return Err(Failure::Null(name));
    }
    // SAFETY: the first field is always there.
    let size = usize::try_from(unsafe { slot.cast::<u32>().read() }).unwrap_or(usize::MAX);
    if size < size_of::<R>() {
        return Err(Failure::WrongSize(name, size, size_of::<R>()));
    }
    // SAFETY: the struct has at least these bytes.
    Ok(unsafe { slot.read() })
}

/// Writes a plain value.
///
/// # Safety
/// `slot` is null or may be written.
pub(crate) unsafe fn put<T: Copy>(
    slot: *mut T,
    name: &'static str,
    make: impl FnOnce() -> Result<T, Failure>,
) -> Result<(), Failure> {
    if slot.is_null() {
        return Err(Failure::Null(name));
    }
    let value = make()?;
    // SAFETY: not null, and the caller vouches for it.
    unsafe { slot.write(value) };
    Ok(())
}

/// Fills an array of exactly `count` elements; null is allowed for none.
///
/// # Safety
/// `array` is null or has `count` elements that may be written.
pub(crate) unsafe fn array(
    array: *mut f64,
    count: usize,
    name: &'static str,
    values: impl ExactSizeIterator<Item = f64>,
) -> Result<(), Failure> {
    if count != values.len() {
        return Err(Failure::WrongCount(name, count, values.len()));
    }
    if count == 0 {
        return Ok(());
    }
    if array.is_null() {
        return Err(Failure::Null(name));
    }
    for (index, value) in values.enumerate().take(count) {
        // SAFETY: `index` is less than `count`.
        unsafe { array.add(index).write(value) };
    }
    Ok(())
}

/// The item with this index.
pub(crate) fn item<'a, T>(items: &'a [T], index: usize, kind: &'static str) -> Result<&'a T, Failure> {
    items.get(index).ok_or(Failure::NoSuchItem(kind, index, items.len()))
}

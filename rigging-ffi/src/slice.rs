//! Arrays of the caller as slices, for the time of a call.

use crate::error::Failure;
use rigging_core::error::{Error, Place, Reading};

/// More bytes than an address can span are a negative number turned into a count.
const MOST_BYTES: usize = isize::MAX.unsigned_abs();

/// Number of elements of `count` rows of `width`, where the bytes of all of them can exist at once.
#[inline]
fn elements<T>(count: usize, width: usize, name: &'static str) -> Result<usize, Failure> {
    let bytes = |elements: usize| elements.checked_mul(size_of::<T>());
    let elements = count.checked_mul(width).filter(|elements| bytes(*elements).is_some_and(|n| n <= MOST_BYTES));
    elements.ok_or_else(|| too_many(count, name))
}

#[cold]
fn too_many(count: usize, name: &'static str) -> Failure {
    let reading = Reading::new(format!("rows of {name}"), count as f64, "", "no more than memory can hold");
    Failure::Core(Error::TooLarge { reading, place: Place::root() })
}

/// An array that is read; null is allowed for none.
///
/// # Safety
/// `array` is null or aligned and has `count` rows of `width` elements that nobody changes during the call.
#[inline]
pub(crate) unsafe fn read<'a, T>(
    array: *const T,
    count: usize,
    width: usize,
    name: &'static str,
) -> Result<&'a [T], Failure> {
    let elements = elements::<T>(count, width, name)?;
    if elements == 0 {
        return Ok(&[]);
    }
    if array.is_null() {
        return Err(Failure::Null(name));
    }
    // SAFETY: not null, of a size that can exist, and the caller vouches for the elements.
    Ok(unsafe { std::slice::from_raw_parts(array, elements) })
}

/// An array that is read, of exactly `needed` elements: a wrong `count` is refused before the array is looked at.
///
/// # Safety
/// As [`read`], with a width of 1.
pub(crate) unsafe fn each<'a, T>(
    array: *const T,
    count: usize,
    needed: usize,
    name: &'static str,
) -> Result<&'a [T], Failure> {
    if count != needed {
        return Err(Failure::WrongCount(name, count, needed));
    }
    // SAFETY: the caller vouches for the elements.
    unsafe { read(array, count, 1, name) }
}

/// An array that is written; null is allowed for none.
///
/// # Safety
/// `array` is null or aligned and has `count` rows of `width` elements, initialized or not read before they are written,
/// that nobody else uses during the call.
#[inline]
pub(crate) unsafe fn write<'a, T>(
    array: *mut T,
    count: usize,
    width: usize,
    name: &'static str,
) -> Result<&'a mut [T], Failure> {
    let elements = elements::<T>(count, width, name)?;
    if elements == 0 {
        return Ok(&mut []);
    }
    if array.is_null() {
        return Err(Failure::Null(name));
    }
    // SAFETY: as above, and the caller vouches that the elements may be written.
    Ok(unsafe { std::slice::from_raw_parts_mut(array, elements) })
}

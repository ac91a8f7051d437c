//! Hostile calls: each gets its status, writes nothing but the error, and does nobody harm.

use super::{failure, ok};
use rigging::error::*;
use std::ffi::c_char;
use std::ptr::null_mut;

/// Bytes behind an output that must stay untouched.
const STRIP: usize = 64;

/// Counts the hostile calls, and looks at each.
#[derive(Default)]
pub struct Calls(pub usize);

impl Calls {
    /// The call fails with `status`, whatever the error struct is: whole, null, or too short for anything but its size.
    pub fn refused(&mut self, name: &str, status: i32, call: impl Fn(*mut rigging_error) -> i32) {
        let failed = failure(&call);
        assert_eq!(failed.code, status, "{name}: {}", failed.message);
        assert!(!failed.message.is_empty(), "{name}");
        assert_eq!(call(null_mut()), status, "{name}, without an error struct");
        let mut short = [8u32, 0x5555_5555, 0x5555_5555];
        assert_eq!(call(short.as_mut_ptr().cast()), status, "{name}, with a short error struct");
        assert_eq!(short[2], 0x5555_5555, "{name}");
        let mut shorter = [4u32, 0x5555_5555];
        assert_eq!(call(shorter.as_mut_ptr().cast()), status, "{name}, with a shorter error struct");
        assert_eq!(shorter[1], 0x5555_5555, "{name}");
        self.0 += 4;
    }

    /// An output struct: null, every size that is too small, and sizes of later headers.
    pub fn record<T>(&mut self, name: &str, call: impl Fn(*mut T, *mut rigging_error) -> i32) {
        self.grown(name, size_of::<T>(), call);
    }

    /// An output struct that had a size of `first` in the first version of the interface.
    pub fn grown<T>(&mut self, name: &str, first: usize, call: impl Fn(*mut T, *mut rigging_error) -> i32) {
        self.refused(name, RIGGING_NULL_ARGUMENT, |error| call(null_mut(), error));
        let (first, size) = (u32::try_from(first).unwrap(), u32::try_from(size_of::<T>()).unwrap());
        for told in [0, 1, 3, 4, 7, 8, first / 2, first - 1] {
            let mut area = Area::<T>::telling(told);
            let before = area.bytes().to_vec();
            let at = area.start();
            self.refused(name, RIGGING_WRONG_SIZE, |error| call(at, error));
            assert_eq!(area.bytes(), before, "{name}, size {told}");
        }
        for told in [first, size, size + 1, size + 16, u32::MAX] {
            let mut area = Area::<T>::telling(told);
            let at = area.start();
            ok(|error| call(at, error));
            self.0 += 1;
            assert_eq!(area.bytes()[..4], told.to_ne_bytes(), "{name}: the size stays as it was told");
            let written = size_of::<T>().min(usize::try_from(told).unwrap());
            assert!(area.bytes()[written..].iter().all(|byte| *byte == 0xAA), "{name}, size {told}");
        }
    }

    /// A document in two calls.
    pub fn document(&mut self, name: &str, call: impl Fn(*mut c_char, usize, *mut usize, *mut rigging_error) -> i32) {
        let mut length = 0;
        ok(|error| call(null_mut(), usize::MAX, &mut length, error));
        let needed = length;
        let mut buffer = vec![0xAAu8; needed + 1 + STRIP];
        let at: *mut c_char = buffer.as_mut_ptr().cast();
        self.refused(name, RIGGING_NULL_ARGUMENT, |error| call(null_mut(), 0, null_mut(), error));
        self.refused(name, RIGGING_NULL_ARGUMENT, |error| call(at, needed + 1, null_mut(), error));
        for capacity in [0, 1, needed / 2, needed] {
            let mut length = 77;
            let slot = &raw mut length;
            self.refused(name, RIGGING_BUFFER_TOO_SMALL, |error| call(at, capacity, slot, error));
            assert_eq!(length, 77, "{name}");
        }
        assert!(buffer.iter().all(|byte| *byte == 0xAA), "{name}");
        let at: *mut c_char = buffer.as_mut_ptr().cast();
        // A capacity without bound writes what the document needs and no more.
        ok(|error| call(at, usize::MAX, &mut length, error));
        assert!(length == needed && buffer[needed] == 0, "{name}");
        assert!(buffer[needed + 1..].iter().all(|byte| *byte == 0xAA), "{name}");
        self.0 += 2;
    }

    /// A new handle from a call that must not succeed.
    pub fn no_handle<T>(&mut self, name: &str, status: i32, call: impl Fn(*mut *mut T, *mut rigging_error) -> i32) {
        let mut slot: *mut T = null_mut();
        let at = &raw mut slot;
        self.refused(name, status, |error| call(at, error));
        assert!(slot.is_null(), "{name}");
    }
}

/// Room for a struct, and a strip behind it.
pub struct Area<T> {
    words: Vec<u64>,
    of: std::marker::PhantomData<T>,
}

impl<T> Area<T> {
    /// Filled with a pattern, its first field the size that it tells.
    pub fn telling(size: u32) -> Self {
        let words = vec![0xAAAA_AAAA_AAAA_AAAA; (size_of::<T>() + STRIP) / 8];
        let mut area = Self { words, of: std::marker::PhantomData };
        unsafe { area.start().cast::<u32>().write(size) };
        area
    }

    /// Where it begins.
    pub fn start(&mut self) -> *mut T {
        self.words.as_mut_ptr().cast()
    }

    /// Its bytes and those of the strip.
    pub fn bytes(&self) -> &[u8] {
        unsafe { std::slice::from_raw_parts(self.words.as_ptr().cast(), size_of::<T>() + STRIP) }
    }
}

//! Versions of the library and of its binary interface.

use std::ffi::c_char;

/// Version of the binary interface that this header describes. A program compares it with `rigging_abi_version()`
/// before its first other call.
pub const RIGGING_ABI_VERSION: u32 = 0;

/// Version of the binary interface of the library that is linked. It changes only when programs must be compiled anew.
#[unsafe(no_mangle)]
pub extern "C" fn rigging_abi_version() -> u32 {
    RIGGING_ABI_VERSION
}

/// Version of the library, such as "0.1.0": UTF-8, ends with a zero byte, is never freed.
#[unsafe(no_mangle)]
pub extern "C" fn rigging_version() -> *const c_char {
    concat!(env!("CARGO_PKG_VERSION"), "\0").as_ptr().cast()
}

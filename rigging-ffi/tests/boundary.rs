//! Errors, panics, documents and handles as they cross the boundary.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

use rigging::error::*;
use rigging::hidden::*;
use std::ffi::c_char;
use std::mem::offset_of;

/// A struct with a strip behind it that must stay untouched.
#[repr(C)]
struct Guarded {
    error: rigging_error,
    strip: [u8; 64],
}

fn guarded(size: usize) -> Box<Guarded> {
    let mut guarded: Box<Guarded> = Box::new(unsafe { std::mem::zeroed() });
    unsafe {
        std::ptr::from_mut(&mut *guarded).cast::<u8>().write_bytes(0xAA, size_of::<Guarded>());
        rigging_error_init(&mut guarded.error, size);
    }
    guarded
}

fn text(bytes: &[c_char]) -> String {
    let bytes: Vec<u8> = bytes.iter().map(|byte| byte.to_ne_bytes()[0]).take_while(|byte| *byte != 0).collect();
    String::from_utf8(bytes).unwrap()
}

fn fail(what: &str, place: &str, error: *mut rigging_error) -> i32 {
    unsafe { rigging_hidden_fail(what.as_ptr().cast(), what.len(), place.as_ptr().cast(), place.len(), error) }
}

#[test]
fn an_error_of_the_core_arrives_whole() {
    let mut guarded = guarded(size_of::<rigging_error>());
    assert_eq!(fail("not JSON", "/load/mass", &mut guarded.error), RIGGING_MALFORMED);
    assert_eq!(guarded.error.code, RIGGING_MALFORMED);
    assert_eq!(text(&guarded.error.message), "not JSON");
    assert_eq!(text(&guarded.error.place), "/load/mass");
    assert_eq!(fail("not JSON", "", std::ptr::null_mut()), RIGGING_MALFORMED);
}

#[test]
fn nothing_is_written_beyond_the_size_told() {
    let whole = size_of::<rigging_error>();
    let long = "é".repeat(2 * RIGGING_MESSAGE_SIZE);
    for size in size_of::<u32>()..=whole {
        let mut guarded = guarded(size);
        assert_eq!(fail(&long, &long, &mut guarded.error), RIGGING_MALFORMED);
        let bytes =
            unsafe { std::slice::from_raw_parts(std::ptr::from_ref(&*guarded).cast::<u8>(), size_of::<Guarded>()) };
        assert!(bytes[size..].iter().all(|byte| *byte == 0xAA), "size {size}");
        let field = |offset: usize, length: usize| &bytes[offset..(offset + length).min(size).max(offset)];
        let message = field(offset_of!(rigging_error, message), RIGGING_MESSAGE_SIZE);
        let place = field(offset_of!(rigging_error, place), RIGGING_PLACE_SIZE);
        for field in [message, place].into_iter().filter(|field| !field.is_empty()) {
            let end = field.iter().position(|byte| *byte == 0).expect("a closing zero");
            let text = std::str::from_utf8(&field[..end]).expect("cut between characters");
            assert!(text.len() + 2 >= field.len() && text.chars().all(|c| c == 'é'), "size {size}");
        }
    }
}

#[test]
fn a_larger_struct_of_a_later_header_is_left_alone_behind_what_is_known() {
    let mut guarded = guarded(size_of::<Guarded>());
    assert_eq!(fail("what", "/a", &mut guarded.error), RIGGING_MALFORMED);
    assert_eq!(guarded.strip, [0; 64]);
    assert_eq!(text(&guarded.error.place), "/a");
}

#[test]
fn a_panic_becomes_a_status() {
    let mut guarded = guarded(size_of::<rigging_error>());
    assert_eq!(unsafe { rigging_hidden_panic(&mut guarded.error) }, RIGGING_INTERNAL);
    assert!(text(&guarded.error.message).ends_with("please report it: on purpose"));
    assert_eq!(unsafe { rigging_hidden_panic(std::ptr::null_mut()) }, RIGGING_INTERNAL);
}

#[test]
fn success_writes_no_error_and_failure_writes_no_output() {
    let mut guarded = guarded(size_of::<rigging_error>());
    guarded.error.code = 77;
    let mut note = std::ptr::null_mut();
    let given = "zwölf";
    assert_eq!(
        unsafe { rigging_hidden_note_new(given.as_ptr().cast(), given.len(), &mut note, &mut guarded.error) },
        0
    );
    let mut length = 999;
    let read = |buffer: *mut c_char, capacity, length: *mut usize, error| unsafe {
        rigging_hidden_note_text(note, buffer, capacity, length, error)
    };
    assert_eq!(read(std::ptr::null_mut(), 0, &mut length, &mut guarded.error), RIGGING_OK);
    assert_eq!((length, guarded.error.code), (given.len(), 77));
    let mut buffer = vec![0x55 as c_char; length + 1];
    length = 999;
    let short = buffer.len() - 1;
    assert_eq!(read(buffer.as_mut_ptr(), short, &mut length, &mut guarded.error), RIGGING_BUFFER_TOO_SMALL);
    assert!(length == 999 && buffer.iter().all(|byte| *byte == 0x55));
    assert_eq!(text(&guarded.error.message), "the buffer is too small: 7 bytes are needed");
    assert_eq!(read(buffer.as_mut_ptr(), buffer.len(), &mut length, std::ptr::null_mut()), RIGGING_OK);
    assert_eq!((length, text(&buffer).as_str()), (given.len(), given));
    assert_eq!(
        read(buffer.as_mut_ptr(), buffer.len(), std::ptr::null_mut(), &mut guarded.error),
        RIGGING_NULL_ARGUMENT
    );

    let bytes = [0xFFu8, 0xFE];
    let mut other: *mut rigging_hidden_note = std::ptr::null_mut();
    let status = unsafe { rigging_hidden_note_new(bytes.as_ptr().cast(), 2, &mut other, &mut guarded.error) };
    assert_eq!(status, RIGGING_NOT_UTF8);
    assert_eq!(text(&guarded.error.message), "the argument text is not UTF-8");
    let status = unsafe { rigging_hidden_note_new(std::ptr::null(), usize::MAX, &mut other, &mut guarded.error) };
    assert_eq!((status, other.is_null()), (RIGGING_NULL_ARGUMENT, true));
    unsafe {
        rigging_hidden_note_free(note);
        rigging_hidden_note_free(std::ptr::null_mut());
    }
}

#[test]
fn a_zero_byte_inside_a_text_does_not_end_it() {
    let mut guarded = guarded(size_of::<rigging_error>());
    fail("a\0b", "/\0", &mut guarded.error);
    assert_eq!(text(&guarded.error.message), "a\u{fffd}b");
    assert_eq!(text(&guarded.error.place), "/\u{fffd}");
}

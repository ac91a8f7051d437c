//! The C interface as a test calls it: handles that are freed, statuses that are looked at, texts that are read.
#![allow(dead_code, reason = "each test binary uses a part")]

pub mod hostile;

use rigging::arrangement::*;
use rigging::checks::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::rules::*;
use rigging::statics::answer::*;
use rigging::statics::*;
use rigging::text::rigging_text;
use std::ffi::c_char;
use std::path::PathBuf;
use std::ptr::null_mut;

/// The root of the sources.
pub fn repository() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).parent().unwrap().to_path_buf()
}

/// A demo document.
pub fn demo(name: &str) -> String {
    let path = repository().join("rigging-core/examples/lifts").join(name);
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// The skid with a weighed mass and a contingency of its own: under [`firm_rules`] one of two is not taken.
pub fn with_contingency() -> String {
    demo("generator-skid-round-edge.json")
        .replace("\"basis\": \"not_to_exceed\"", "\"basis\": \"weighed\", \"contingency\": \"7 %\"")
}

/// The text of a rule set of a firm's own: the US rules, and a contingency on weight.
pub fn firm_rules() -> String {
    let path = repository().join("rigging-core/rules/us-general.toml");
    let text = std::fs::read_to_string(path).unwrap().replace("name = \"us-general\"", "name = \"firm-rules-7\"");
    text + "
[[rule]]
answers = \"weight contingency\"
symbol = \"c\"
name = \"contingency of the firm\"
relation = \"constant\"
value = 1.05
source = \"1910.184\"
clause = \"none; invented for a test\"
"
}

/// A handle that is freed by its own function.
pub trait Handle {
    /// That function.
    const FREE: unsafe extern "C" fn(*mut Self);
}
impl Handle for rigging_lift {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_lift_free;
}
impl Handle for rigging_rule_set {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_rule_set_free;
}
impl Handle for rigging_certificate {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_certificate_free;
}
impl Handle for rigging_assessment {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_assessment_free;
}
impl Handle for rigging_balance {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_balance_free;
}
impl Handle for rigging_answer {
    const FREE: unsafe extern "C" fn(*mut Self) = rigging_answer_free;
}

/// Owns a handle.
pub struct Owned<T: Handle>(pub *mut T);

impl<T: Handle> Drop for Owned<T> {
    fn drop(&mut self) {
        unsafe { T::FREE(self.0) };
    }
}

/// Why a call failed.
#[derive(Debug)]
pub struct Failed {
    pub code: i32,
    pub message: String,
    pub place: String,
}

fn run(call: impl FnOnce(*mut rigging_error) -> i32) -> Result<(), Failed> {
    let mut error: Box<rigging_error> = Box::new(unsafe { std::mem::zeroed() });
    unsafe { rigging_error_init(&mut *error, size_of::<rigging_error>()) };
    let status = call(&mut *error);
    assert_eq!(status, error.code, "the status returned is the one written");
    if status == RIGGING_OK {
        return Ok(());
    }
    let text = |bytes: &[c_char]| {
        let bytes: Vec<u8> = bytes.iter().map(|byte| byte.to_ne_bytes()[0]).take_while(|byte| *byte != 0).collect();
        String::from_utf8(bytes).unwrap()
    };
    Err(Failed { code: status, message: text(&error.message), place: text(&error.place) })
}

/// A call that must succeed.
#[track_caller]
pub fn ok(call: impl FnOnce(*mut rigging_error) -> i32) {
    if let Err(failed) = run(call) {
        panic!("{failed:?}");
    }
}

/// A call that must fail.
#[track_caller]
pub fn failure(call: impl FnOnce(*mut rigging_error) -> i32) -> Failed {
    match run(call) {
        Ok(()) => panic!("the call should fail"),
        Err(failed) => failed,
    }
}

/// A handle that a call makes.
#[track_caller]
pub fn made<T: Handle>(call: impl FnOnce(*mut *mut T, *mut rigging_error) -> i32) -> Owned<T> {
    let mut slot = null_mut();
    ok(|error| call(&mut slot, error));
    assert!(!slot.is_null());
    Owned(slot)
}

/// A document in two calls.
#[track_caller]
pub fn written(call: impl Fn(*mut c_char, usize, *mut usize, *mut rigging_error) -> i32) -> String {
    let mut length = 0;
    ok(|error| call(null_mut(), 0, &mut length, error));
    let mut buffer = vec![0x55u8; length + 1];
    ok(|error| call(buffer.as_mut_ptr().cast(), buffer.len(), &mut length, error));
    assert_eq!(buffer.pop(), Some(0));
    String::from_utf8(buffer).unwrap()
}

/// A text that was lent.
pub fn string(text: rigging_text) -> String {
    assert!(!text.data.is_null());
    let bytes = unsafe { std::slice::from_raw_parts(text.data.cast::<u8>(), text.length) };
    std::str::from_utf8(bytes).unwrap().to_owned()
}

/// An empty struct that knows its size.
pub fn record<T>() -> T {
    let mut record: T = unsafe { std::mem::zeroed() };
    let size = u32::try_from(size_of::<T>()).unwrap();
    unsafe { (&raw mut record).cast::<u32>().write(size) };
    record
}

/// Assesses a lift under a rule set that comes with the library.
#[track_caller]
pub fn assess(lift: &Owned<rigging_lift>, rules: &str) -> Owned<rigging_assessment> {
    assess_under(lift, &rule_set(rules))
}

/// Assesses a lift under a rule set.
#[track_caller]
pub fn assess_under(lift: &Owned<rigging_lift>, rules: &Owned<rigging_rule_set>) -> Owned<rigging_assessment> {
    made(|slot, error| unsafe { rigging_lift_assess(lift.0, rules.0, slot, error) })
}

/// A rule set from its text.
#[track_caller]
pub fn read_rules(text: &str) -> Owned<rigging_rule_set> {
    made(|slot, error| unsafe { rigging_rule_set_from_toml(text.as_ptr().cast(), text.len(), slot, error) })
}

/// A text that was lent, or that is not there.
pub fn optional(text: rigging_text) -> Option<String> {
    (!text.data.is_null()).then(|| string(text))
}

/// Reads a lift.
#[track_caller]
pub fn read_lift(text: &str) -> Owned<rigging_lift> {
    made(|slot, error| unsafe { rigging_lift_from_json(text.as_ptr().cast(), text.len(), slot, error) })
}

/// Hangs a lift.
#[track_caller]
pub fn hang(lift: &Owned<rigging_lift>) -> Owned<rigging_balance> {
    made(|slot, error| unsafe { rigging_lift_hang(lift.0, slot, error) })
}

/// The text of an answer.
#[track_caller]
pub fn answer(ask: impl FnOnce(*mut *mut rigging_answer, *mut rigging_error) -> i32) -> String {
    let answer = made(ask);
    let mut text = rigging_text { data: std::ptr::null(), length: 0 };
    ok(|error| unsafe { rigging_answer_text(answer.0, &mut text, error) });
    string(text)
}

/// A rule set that comes with the library.
#[track_caller]
pub fn rule_set(name: &str) -> Owned<rigging_rule_set> {
    made(|slot, error| unsafe { rigging_rule_set_built_in(name.as_ptr().cast(), name.len(), slot, error) })
}

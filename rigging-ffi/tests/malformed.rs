//! Every document of `tests/reference/malformed.json` is refused in C with the code, the place and the words that it
//! states for all languages.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;
#[path = "../../tests/tests/support/patching.rs"]
mod patching;

use calls::*;
use rigging::arrangement::rigging_lift_from_json;
use rigging::error::rigging_status_name;
use serde_json::Value;
use std::ffi::CStr;
use std::ptr::null_mut;

#[test]
fn every_malformed_document_is_refused_as_in_the_core() {
    let reference: Value = serde_json::from_str(&patching::text("tests/reference/malformed.json")).unwrap();
    let base = patching::text(reference["base"].as_str().unwrap());
    let cases = reference["cases"].as_array().unwrap();
    for case in cases {
        let (text, _) = patching::case(case, &base);
        let mut lift = null_mut();
        let failed = failure(|e| unsafe { rigging_lift_from_json(text.as_ptr().cast(), text.len(), &mut lift, e) });
        assert!(lift.is_null());
        let name = unsafe { CStr::from_ptr(rigging_status_name(failed.code)) }.to_str().unwrap();
        assert_eq!(name, case["code"], "{}: {}", case["id"], failed.message);
        // Both texts are cut where they do not fit into the struct.
        let place = case["place"].as_str().unwrap();
        assert!(failed.place == place || (place.len() >= 511 && place.starts_with(&failed.place)), "{}", case["id"]);
        for words in case.get("says").and_then(Value::as_array).into_iter().flatten() {
            assert!(failed.message.contains(words.as_str().unwrap()), "{}: {words}: {}", case["id"], failed.message);
        }
    }
    println!("{} malformed documents, 0 skipped", cases.len());
    assert_eq!(cases.len(), 196, "note the new count here");
}

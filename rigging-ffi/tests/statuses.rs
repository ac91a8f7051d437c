//! The numbers of the C interface are the core's, one to one.
#![allow(clippy::unwrap_used, clippy::panic)]

use rigging::error::{STATUSES, rigging_status_name};
use rigging_core::error::Error;
use std::collections::BTreeMap;
use std::ffi::CStr;

/// Every code of the core: reading an error with an impossible code lists them all.
fn codes() -> Vec<String> {
    let text = serde_json::from_str::<Error>(r#"{"code": "?"}"#).unwrap_err().to_string();
    text.split('`').skip(3).step_by(2).map(str::to_owned).collect()
}

fn error(code: &str) -> Error {
    let reading = r#"{"name": "n", "value": 1.0, "unit": "", "allowed": "2"}"#;
    let json = format!(
        r#"{{"code": "{code}", "reading": {reading}, "place": "/a", "what": "w", "add": "a", "name": "n", "kind": "k",
            "nearest": null, "key": "k", "text": "t", "write": "w", "found": 2, "supported": 1}}"#
    );
    serde_json::from_str(&json).unwrap_or_else(|error| panic!("{code}: {error}"))
}

#[test]
fn each_code_of_the_core_has_its_number_and_its_name() {
    let listed: BTreeMap<&str, i32> = STATUSES.iter().map(|(number, name)| (name.to_str().unwrap(), *number)).collect();
    let codes = codes();
    println!("{} codes", codes.len());
    assert_eq!(codes.len(), 15);
    for code in &codes {
        let error = error(code);
        assert_eq!(error.code(), code);
        assert_eq!(listed.get(code.as_str()), Some(&error.status()), "{code}");
    }
    // The rest are the C interface's own, out of the core's way.
    let own = STATUSES.iter().filter(|(number, _)| *number >= 100).count();
    assert_eq!(codes.len() + own + 1, STATUSES.len());
}

#[test]
fn no_number_stands_twice_and_each_has_a_name() {
    let numbers: BTreeMap<i32, &CStr> = STATUSES.into_iter().collect();
    assert_eq!(numbers.len(), STATUSES.len());
    // SAFETY: the function returns texts that live as long as the program.
    let name = |status| unsafe { CStr::from_ptr(rigging_status_name(status)) };
    for (number, text) in numbers {
        assert_eq!(name(number), text);
    }
    assert_eq!(name(-1), c"unknown_status");
    assert_eq!(name(16), c"unknown_status");
}

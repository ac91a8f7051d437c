//! Every document of `reference/malformed.json` is refused with the code, the place and the words that the case states,
//! and building the same document in code is refused alike.
//!
//! Origin of the expectations: own reading of the document format.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use rigging_core::arrangement::{Document, Lift};
use rigging_core::error::Error;
use serde_json::Value;
use std::collections::BTreeSet;

/// Cases in the file.
const CASES: usize = 196;
/// Cases that are patches whose document can be built in code as well.
const BUILT_IN_CODE: usize = 90;
/// Codes that reading and validating give; `unsupported` and `unconverged` belong to the calculation.
const CODES: [&str; 13] = [
    "ambiguous_unit",
    "bare_number",
    "duplicate_key",
    "duplicate_name",
    "inconsistent",
    "malformed",
    "missing",
    "newer_format",
    "out_of_domain",
    "too_large",
    "unknown_key",
    "unknown_name",
    "wrong_unit",
];

fn reference() -> Value {
    serde_json::from_str(&patching::text("tests/reference/malformed.json")).unwrap()
}

/// What is wrong with an error, measured by the case; empty where nothing is.
fn complaints(case: &Value, outcome: Result<(), Error>) -> Vec<String> {
    let Err(error) = outcome else { return vec!["it was accepted".to_owned()] };
    let message = error.to_string();
    let mut complaints = Vec::new();
    if error.code() != case["code"] {
        complaints.push(format!("code {} instead of {}: {message}", error.code(), case["code"]));
    }
    if error.place().as_str() != case["place"] {
        complaints.push(format!("place {:?} instead of {}: {message}", error.place().as_str(), case["place"]));
    }
    for words in case.get("says").and_then(Value::as_array).into_iter().flatten() {
        if !message.contains(words.as_str().unwrap()) {
            complaints.push(format!("does not say {words}: {message}"));
        }
    }
    let offered = match &error {
        Error::UnknownKey { nearest, .. } | Error::UnknownName { nearest, .. } => nearest.as_deref(),
        _ => None,
    };
    if let Some(nearest) = case.get("nearest")
        && (offered != nearest.as_str() || !message.contains(&format!("nearest known name is {nearest}")))
    {
        complaints.push(format!("offers {offered:?} instead of {nearest}: {message}"));
    }
    complaints
}

#[test]
fn every_malformed_document_is_refused_at_its_place() {
    let reference = reference();
    let base = patching::text(reference["base"].as_str().unwrap());
    let cases = reference["cases"].as_array().unwrap();
    let mut wrong = Vec::new();
    let mut built = 0;
    for case in cases {
        let id = case["id"].as_str().unwrap();
        let (text, document) = patching::case(case, &base);
        let read = Lift::from_json(&text).map(drop);
        wrong.extend(complaints(case, read).into_iter().map(|complaint| format!("{id}: {complaint}")));
        // The same document by way of its types, as a program would build it.
        let document = document.filter(|_| case.get("reading_only").is_none()).map(|it| patching::without_unknown(&it));
        if let Some(Ok(document)) = document.map(serde_json::from_value::<Document>) {
            built += 1;
            let outcome = Lift::new(document).map(drop);
            wrong.extend(complaints(case, outcome).into_iter().map(|complaint| format!("{id}, in code: {complaint}")));
        }
    }
    println!("{} malformed documents run, {built} of them also built in code, 0 skipped", cases.len());
    assert!(wrong.is_empty(), "{} complaints\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!((cases.len(), built), (CASES, BUILT_IN_CODE));
}

#[test]
fn every_code_of_reading_occurs_and_every_id_once() {
    let reference = reference();
    let cases = reference["cases"].as_array().unwrap();
    let codes: BTreeSet<&str> = cases.iter().map(|case| case["code"].as_str().unwrap()).collect();
    assert_eq!(codes.into_iter().collect::<Vec<_>>(), CODES);
    let ids: BTreeSet<&str> = cases.iter().map(|case| case["id"].as_str().unwrap()).collect();
    assert_eq!(ids.len(), cases.len());
}

#[test]
fn the_base_itself_is_accepted_read_or_built() {
    let base = patching::text(reference()["base"].as_str().unwrap());
    let lift = Lift::from_json(&base).unwrap();
    let document = patching::without_unknown(&serde_json::from_str(&base).unwrap());
    assert_eq!(Lift::new(serde_json::from_value(document).unwrap()).unwrap(), lift);
    assert_eq!(Lift::from_json(&lift.to_json().unwrap()).unwrap(), lift);
}

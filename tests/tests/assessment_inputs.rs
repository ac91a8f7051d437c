//! Every key of a document that passes is taken away in turn, and made "unknown" in turn: what is not known never passes,
//! and the answer names the place where it belongs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Verdict};
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};
use std::collections::BTreeMap;

/// Keys of the document.
const KEYS: usize = 297;

/// Keys whose absence leaves a pass under general lifting rules, how many of each there are, and why that is no worse.
const NOT_NEEDED: [(&str, usize, &str); 7] = [
    ("/operation/persons_below", 1, "asked only where a coefficient of the rule set is greater above persons"),
    ("/load/allowed_tilt", 1, "a limit that nobody states: the tilt is printed and listed as not covered"),
    ("/notes", 1, "remarks for the reader, in no calculation"),
    ("/slings/*/least_edge_radius", 3, "slings whose legs state that they touch nothing; the fourth lies over an edge"),
    (
        "/slings/*/strength/breaking_load",
        4,
        "this gear is rated by its marking; a set that divides the breaking load asks",
    ),
    ("/slings/*/termination", 4, "a marked rating holds for the sling with its ends; a set with factors for them asks"),
    ("/slings/*/thickness", 4, "here the maker's least radius decides; a set that tells a sharp edge by it asks"),
];

/// Lists whose absence is told where their members are called for.
const TOLD_ELSEWHERE: [(&str, &str); 4] = [
    ("/slings", "/legs/0/items/0"),
    ("/fittings", "/legs/0/items/1"),
    // A station without its one key is no station.
    ("/legs/*/path/*/end", "/legs/*/path/*"),
    // A law without its one key is no law.
    ("/slings/*/stiffness/law/ea", "/slings/*/stiffness/law"),
];

fn assess(document: &Value, rules: &RuleSet) -> Result<Assessment, Error> {
    Lift::from_json(&document.to_string())?.assess(rules)
}

fn passing() -> Value {
    patching::demo("generator-skid-round-edge")
}

/// Whether the missing input at `place` is what was taken away at `pointer`.
fn named(place: &str, pointer: &str) -> bool {
    place == pointer || place.strip_prefix(pointer).is_some_and(|rest| rest.starts_with('/'))
}

#[test]
fn without_any_input_it_does_not_pass_and_says_where() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let document = passing();
    assert_eq!(assess(&document, &rules).unwrap().verdict, Verdict::Pass);
    let keys = patching::keys(&document);
    let (mut wrong, mut passed) = (Vec::new(), BTreeMap::new());
    let (mut refused, mut open) = (0, 0);
    for pointer in &keys {
        let mut without = document.clone();
        patching::remove(&mut without, pointer);
        match assess(&without, &rules) {
            Ok(assessment) if assessment.verdict == Verdict::Pass => {
                *passed.entry(patching::pattern(pointer)).or_insert(0) += 1;
            }
            Ok(assessment) if assessment.verdict == Verdict::CannotConclude => {
                open += 1;
                let mut missing = assessment.findings.iter().flat_map(|finding| &finding.missing);
                if !missing.any(|input| named(input.place.as_str(), pointer)) {
                    let places: Vec<_> = assessment
                        .findings
                        .iter()
                        .flat_map(|finding| finding.missing.iter().map(|input| input.place.as_str()))
                        .collect();
                    wrong.push(format!("{pointer}: cannot conclude, but names {places:?}"));
                }
            }
            Ok(assessment) => wrong.push(format!("{pointer}: {}", assessment.verdict.words())),
            Err(error) => {
                refused += 1;
                let place = error.place().as_str();
                let elsewhere = TOLD_ELSEWHERE.iter().any(|(key, told)| {
                    *key == patching::pattern(pointer) && patching::pattern(place) == patching::pattern(told)
                });
                if !(named(place, pointer) || elsewhere) {
                    wrong.push(format!("{pointer}: refused, but at {place}: {error}"));
                }
            }
        }
    }
    println!(
        "{} keys taken away, 0 skipped: {open} cannot conclude, {refused} refused, {} still pass",
        keys.len(),
        keys.len() - open - refused - wrong.len()
    );
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let listed: BTreeMap<String, usize> =
        NOT_NEEDED.iter().map(|(key, count, _)| ((*key).to_owned(), *count)).collect();
    assert_eq!(passed, listed, "what may be absent differs from the committed list");
    assert_eq!(keys.len(), KEYS);
}

#[test]
fn unknown_means_the_same_as_absent() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let document = passing();
    let mut wrong = Vec::new();
    let keys = patching::keys(&document);
    for pointer in &keys {
        let (mut without, mut unknown) = (document.clone(), document.clone());
        patching::remove(&mut without, pointer);
        patching::set(&mut unknown, pointer, json!("unknown"));
        let (without, unknown) = (assess(&without, &rules), assess(&unknown, &rules));
        let same = match (&without, &unknown) {
            (Ok(without), Ok(unknown)) => without.verdict == unknown.verdict && without.findings == unknown.findings,
            (Err(_), Err(_)) => true,
            // The remarks are a list of texts; there is no such thing as an unknown list of remarks.
            (Ok(_), Err(error)) => pointer == "/notes" && error.code() == "missing",
            (Err(_), Ok(_)) => false,
        };
        if !same {
            let words = |outcome: Result<Assessment, Error>| match outcome {
                Ok(assessment) => assessment.verdict.words().to_owned(),
                Err(error) => error.to_string(),
            };
            wrong.push(format!("{pointer}: absent {}, unknown {}", words(without), words(unknown)));
        }
    }
    println!("{} keys made unknown, 0 skipped", keys.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(keys.len(), KEYS);
}

#[test]
fn under_the_marine_rules_no_absence_makes_a_pass() {
    let rules = RuleSet::built_in("marine-0027-nd-2016").unwrap();
    let document = passing();
    let whole = assess(&document, &rules).map(|assessment| assessment.verdict);
    println!("the whole document: {whole:?}");
    let keys = patching::keys(&document);
    for pointer in &keys {
        let mut without = document.clone();
        patching::remove(&mut without, pointer);
        let verdict = assess(&without, &rules).map(|assessment| assessment.verdict);
        assert!(verdict != Ok(Verdict::Pass) || whole == Ok(Verdict::Pass), "{pointer}");
    }
    println!("{} keys taken away, 0 skipped", keys.len());
    assert_eq!(keys.len(), KEYS);
}

#[test]
fn rules_for_another_place_operation_or_purpose_do_not_pass_it() {
    let cases = [
        ("us-general", "/environment/location", json!("offshore")),
        ("us-general", "/operation/kind", json!("upending")),
        ("us-general", "/operation/persons_lifted", json!(true)),
        ("marine-0027-nd-2016", "/environment/location", json!("subsea")),
        ("marine-0027-nd-2016", "/operation/persons_lifted", json!(true)),
    ];
    for (rules, pointer, value) in &cases {
        let mut document = passing();
        patching::set(&mut document, pointer, value.clone());
        let assessment = assess(&document, &RuleSet::built_in(rules).unwrap()).unwrap();
        let finding = assessment.findings.iter().find(|finding| finding.place.as_str() == *pointer).unwrap();
        assert_eq!(
            (finding.code, finding.verdict),
            (Code::Applicability, Verdict::CannotConclude),
            "{rules} {pointer}"
        );
        assert_ne!(assessment.verdict, Verdict::Pass, "{rules} {pointer}");
    }
    println!("{} cases run, 0 skipped", cases.len());
}

//! Every number of every assessment answers where it comes from: the same value to the last bit, made of numbers that
//! reproduce it, down to sources that are named.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use rigging_core::arrangement::Lift;
use rigging_core::chain::Operation;
use rigging_core::checks::Assessment;
use rigging_core::demand::Forces;
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::Error;
use rigging_core::report::{self, Origin};
use rigging_core::rules::RuleSet;
use rigging_core::sharing::LegsCounted;
use serde_json::Value;
use std::path::Path;

fn lifts() -> Vec<(String, Lift)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../rigging-core/examples/lifts");
    let mut found = Vec::new();
    for folder in [folder.join("gallery"), folder] {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|ending| ending == "json") {
                let name = path.file_stem().unwrap().to_string_lossy().into_owned();
                found.push((name, Lift::from_json(&std::fs::read_to_string(&path).unwrap()).unwrap()));
            }
        }
    }
    found.sort_by(|one, other| one.0.cmp(&other.0));
    found
}

/// Pointer and value of every number of a record.
fn numbers(record: &Value, pointer: &str, found: &mut Vec<(String, f64)>) {
    match record {
        Value::Number(number) => found.push((pointer.to_owned(), number.as_f64().unwrap())),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(index, item)| numbers(item, &format!("{pointer}/{index}"), found));
        }
        Value::Object(entries) => entries.iter().for_each(|(key, item)| {
            let key = key.replace('~', "~0").replace('/', "~1");
            numbers(item, &format!("{pointer}/{key}"), found);
        }),
        _ => {}
    }
}

/// Recomputes every number from those that it was made of; the number of the numbers looked at.
fn recomputed(origin: &Origin, at: &str) -> usize {
    let below: Vec<f64> = origin.from.iter().map(|origin| origin.value).collect();
    let expected = match origin.by {
        None | Some(Operation::Becomes) => origin.value,
        Some(Operation::Times) => below.iter().skip(1).fold(below[0], |running, value| running * value),
        Some(Operation::DividedBy) => below.iter().skip(1).fold(below[0], |running, value| running / value),
        Some(Operation::Plus) => below.iter().skip(1).fold(below[0], |running, value| running + value),
        Some(Operation::GreatestOf) => below.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        Some(Operation::LeastOf) => below.iter().copied().fold(f64::INFINITY, f64::min),
    };
    assert_eq!(expected.to_bits(), origin.value.to_bits(), "{at}: {}", origin.what);
    assert_eq!(origin.by.is_some(), !origin.from.is_empty(), "{at}: {}", origin.what);
    assert!(!origin.source.document.is_empty() && !origin.what.is_empty(), "{at}: {}", origin.what);
    1 + origin.from.iter().map(|origin| recomputed(origin, at)).sum::<usize>()
}

fn every_number(assessment: &Assessment, lift: &Lift) -> [usize; 2] {
    let record: Value = serde_json::from_str(&report::json::assessment(assessment).unwrap()).unwrap();
    let remedy = serde_json::to_value(assessment.remedy(lift).unwrap()).unwrap();
    let mut found = Vec::new();
    numbers(&record, "", &mut found);
    numbers(&remedy, "/remedy", &mut found);
    let mut looked_at = 0;
    for (pointer, value) in found.iter().filter(|(pointer, _)| pointer != "/format") {
        let origin = report::origin(assessment, lift, pointer).unwrap_or_else(|error| panic!("{pointer}: {error}"));
        assert_eq!(origin.value.to_bits(), value.to_bits(), "{pointer}");
        assert!(origin.is_coherent(), "{pointer}");
        looked_at += recomputed(&origin, pointer);
        assert!(!report::origin_text(&origin).is_empty());
    }
    [found.len() - 1, looked_at]
}

#[test]
fn every_number_of_every_assessment_has_an_origin() {
    let sets: Vec<RuleSet> = RuleSet::built_in_names().iter().map(|name| RuleSet::built_in(name).unwrap()).collect();
    let (mut counted, mut looked_at, mut assessments) = (0, 0, 0);
    for (name, lift) in &lifts() {
        for rules in &sets {
            let assessment = lift.assess(rules).unwrap_or_else(|error| panic!("{name}: {error}"));
            let [numbers, below] = every_number(&assessment, lift);
            (counted, looked_at, assessments) = (counted + numbers, looked_at + below, assessments + 1);
        }
    }
    println!("{assessments} assessments, {counted} numbers, {looked_at} in what they were made of");
    assert_eq!(assessments, lifts().len() * sets.len());
    assert!(counted > 100 * assessments, "a report has more than a hundred numbers");
}

#[test]
fn bounds_and_forces_by_a_rule_have_an_origin_too() {
    let (_, lift) = lifts().into_iter().find(|(name, _)| name == "generator-skid-round-edge").unwrap();
    let rules = RuleSet::built_in("us-general").unwrap();
    for forces in [Forces::Bounds(Effort::default()), Forces::Rule(&LegsCounted::two())] {
        let assessment = lift.assess_by(&rules, forces).unwrap();
        let [numbers, _] = every_number(&assessment, &lift);
        assert!(numbers > 100);
        let taken = report::origin(&assessment, &lift, "/legs/1/taken").unwrap();
        assert_eq!(Some(taken.value), assessment.legs[1].taken);
    }
}

#[test]
fn a_rated_capacity_goes_back_to_the_tag() {
    let (_, lift) = lifts().into_iter().find(|(name, _)| name == "generator-skid-round-edge").unwrap();
    let assessment = lift.assess(&RuleSet::built_in("us-general").unwrap()).unwrap();
    let origin = report::origin(&assessment, &lift, "/findings/0/utilization").unwrap();
    // What is asked, over what may be borne; the first goes back to the weighing, the second to the marking.
    let [demand, capacity] = &origin.from[..] else { panic!("two numbers") };
    assert_eq!(demand.by, Some(Operation::Becomes));
    assert!(capacity.sources().iter().any(|source| source.standing.word() == "stated in the lift document"));
    let text = report::origin_text(&origin);
    for line in ["quotient of what follows", "calculated from what follows", "mass of the load"] {
        assert!(text.contains(line), "{line} in {text}");
    }
}

#[test]
fn a_pointer_that_leads_nowhere_is_told_what_there_is() {
    let (_, lift) = lifts().into_iter().find(|(name, _)| name == "generator-skid").unwrap();
    let assessment = lift.assess(&RuleSet::built_in("us-general").unwrap()).unwrap();
    let refused = |pointer: &str| report::origin(&assessment, &lift, pointer).unwrap_err();
    assert!(
        matches!(refused("/finding/0/utilization"), Error::UnknownName { nearest: Some(nearest), .. } if nearest == "findings")
    );
    for pointer in [
        "",
        "/",
        "/findings",
        "/findings/999/utilization",
        "/findings/0/text",
        "/legs/0",
        "/legs/-1/worst",
        "/certificate",
        "/findings/0/demand/steps/99/result",
        "/legs/18446744073709551616/worst",
    ] {
        let error = refused(pointer);
        assert!(matches!(error, Error::Malformed { .. } | Error::UnknownName { .. }), "{pointer}: {error}");
    }
    let other = lifts().into_iter().find(|(name, _)| name == "frame-tall-item").unwrap().1;
    assert!(matches!(report::origin(&assessment, &other, "/legs/0/worst"), Err(Error::Inconsistent { .. })));
}

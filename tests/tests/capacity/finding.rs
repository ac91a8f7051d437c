//! Assessments of changed demos, and the findings of one code.

use super::patching;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding};
use rigging_core::rules::RuleSet;
use serde_json::Value;

pub const GRAVITY: f64 = 9.806_65;

/// A demo with some keys set.
pub fn changed(demo: &str, changes: &[(&str, Value)]) -> Value {
    let mut document = patching::demo(demo);
    for (pointer, value) in changes {
        patching::set(&mut document, pointer, value.clone());
    }
    document
}

pub fn assess(document: &Value, rules: &RuleSet) -> Assessment {
    let lift = Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"));
    lift.assess(rules).unwrap_or_else(|error| panic!("{error}"))
}

pub fn built_in(name: &str) -> RuleSet {
    RuleSet::built_in(name).unwrap()
}

/// A firm's own set: its rules follow a head that governs lifting of material on land with any gear.
pub fn own(name: &str, sources: &str, rules: &str) -> RuleSet {
    let head = format!(
        r#"format = 1
name = "{name}"
title = "A firm's own rules"
edition = "first"
status = "in force"

[[source]]
id = "note"
document = "note of the firm"
standing = "stated"

{sources}

[[rule]]
answers = "applies to operation"
name = "lifting"
when = {{ operation = ["lifting", "lowering"] }}
relation = "applies"
source = "note"
clause = "1"

[[rule]]
answers = "applies to place"
name = "land"
when = {{ place = "onshore" }}
relation = "applies"
source = "note"
clause = "1"

[[rule]]
answers = "applies to persons"
name = "material"
when = {{ "persons lifted" = "no" }}
relation = "applies"
source = "note"
clause = "1"

[[rule]]
answers = "applies to gear"
name = "any gear"
relation = "applies"
source = "note"
clause = "1"

{rules}
"#
    );
    RuleSet::from_toml(&head).unwrap_or_else(|error| panic!("{error}"))
}

/// The findings of one code.
pub fn of(assessment: &Assessment, code: Code) -> Vec<&Finding> {
    assessment.findings.iter().filter(|finding| finding.code == code).collect()
}

/// The one finding of a code, or of several the first.
pub fn first(assessment: &Assessment, code: Code) -> &Finding {
    of(assessment, code).first().copied().unwrap_or_else(|| panic!("no finding of {code:?}"))
}

/// The value that a finding gives the item, N.
pub fn capacity(finding: &Finding) -> f64 {
    finding.capacity.as_ref().unwrap_or_else(|| panic!("{finding:?}")).value()
}

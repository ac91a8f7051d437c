//! The load side: whether a document applies, dynamic factor, skew by rule, cranes, category, two hooks, wind.
//!
//! Origin of the anchors: the scenarios of a small solver of its own; each is derived here once more by other means before it is
//! used.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "../support/patching.rs"]
mod patching;

mod category;
mod cranes;
mod heights;
mod maker;
mod offshore;
mod pin_offset;
mod proof;
mod share_factors;
mod silent;
mod snag;
mod strengths;
mod two_hook_factors;
mod wind;
mod wind_speed;
mod yaw;

use rigging_core::arrangement::Lift;
use rigging_core::chain::Chain;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::demand::Forces;
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const GRAVITY: f64 = 9.806_65;

fn lift(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

fn assess(document: &Value, rules: &RuleSet) -> Assessment {
    lift(document).assess(rules).unwrap()
}

fn built_in(name: &str) -> RuleSet {
    RuleSet::built_in(name).unwrap()
}

/// A document of the library with more rules of the test's own.
fn with_rules(name: &str, more: &str) -> RuleSet {
    let text = patching::text(&format!("rigging-core/rules/documents/{name}.toml"));
    RuleSet::from_toml(&format!("{text}\n{more}")).unwrap_or_else(|error| panic!("{error}"))
}

/// Rules under which a lift by several hooks on land is no matter of another document.
fn applies(source: &str) -> String {
    let rule = |question: &str, fact: &str, words: &str| {
        format!(
            "[[rule]]\nanswers = \"{question}\"\nname = \"{question}, for the test\"\nwhen = {{ \"{fact}\" = {words} }}\nrelation = \
             \"applies\"\nsource = \"{source}\"\nclause = \"scope\"\n"
        )
    };
    rule("applies to operation", "operation", "[\"lifting\", \"two-hook lift\", \"multi-crane lift\"]")
        + &rule("applies to place", "place", "[\"onshore\", \"inshore\", \"offshore\"]")
        + &rule("applies to persons", "persons lifted", "[\"no\"]")
}

fn of<'a>(assessment: &'a Assessment, code: Code, item: &str) -> &'a Finding {
    let found = assessment.findings.iter().find(|finding| finding.code == code && finding.item.as_str() == item);
    found.unwrap_or_else(|| panic!("no {code:?} of {item}"))
}

fn coded(assessment: &Assessment, code: Code) -> Vec<&Finding> {
    assessment.findings.iter().filter(|finding| finding.code == code).collect()
}

fn demand(finding: &Finding) -> &Chain {
    finding.demand.as_deref().unwrap()
}

fn missing(finding: &Finding) -> Vec<&str> {
    finding.missing.iter().map(|input| input.place.as_str()).collect()
}

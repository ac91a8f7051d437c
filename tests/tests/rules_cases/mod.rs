//! The published figures as questions: every entry becomes one or more checks, or is named as not used with a reason.
#![allow(dead_code)] // each test binary uses its part of this file

pub mod boundaries;
pub mod entries;
pub mod marine;
pub mod us;

use rigging_core::rules::{Answer, Facts, Question, RuleSet};
use serde_json::Value;

/// What a check proves; the three counts are kept apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Proof {
    /// A printed figure stands in the rule file as printed.
    Transcribed,
    /// A relation gives the printed figure within the tolerance of its rounding.
    Relation,
    /// A second document, or a second reading of the same one, gives the same figure.
    SecondReading,
    /// A limit belongs to the side the document puts it on.
    Boundary,
}

/// What the answer must be.
#[derive(Debug, Clone)]
pub enum Expected {
    /// A number in SI.
    Value {
        si: f64,
        tolerance: f64,
    },
    /// A number in SI, read in the printed column of this name.
    InColumn {
        si: f64,
        tolerance: f64,
        column: String,
    },
    Word(String),
    /// Some value or word, on the near side of a limit.
    Speaks,
    /// No value, on the far side of it.
    DoesNotSpeak,
    Silent,
    DoesNotApply,
    Missing(String),
    /// Out of range, with this text in the policy.
    OutsideRange(String),
    /// Withheld, with this printed figure if there is one.
    Withheld(Option<f64>),
    /// A number, with these facts held at these values in the document's unit.
    Held {
        si: f64,
        tolerance: f64,
        held: Vec<(String, f64)>,
    },
}

/// One question with the answer it must get.
#[derive(Debug, Clone)]
pub struct Check {
    pub id: String,
    pub proof: Proof,
    pub question: Question,
    pub facts: Facts,
    pub expected: Expected,
}

/// A figure that two people copied from one page differs only by the rounding of a unit conversion.
pub const TRANSCRIBED: f64 = 1e-9;

/// SI value of a figure in the unit of the reference data; kept apart from the library's own conversion on purpose.
pub fn si(value: f64, unit: &str) -> f64 {
    match unit {
        "lbf" => value * 0.453_592_37 * 9.806_65,
        "kip" => value * 1000.0 * 0.453_592_37 * 9.806_65,
        "short_ton" => value * 2000.0 * 0.453_592_37 * 9.806_65,
        "kgf" => value * 9.806_65,
        "kg" | "m" => value,
        "mm" => value / 1000.0,
        "in" => value * 0.0254,
        "ft" => value * 0.3048,
        "percent" | "%" => value / 100.0,
        "lb" => value * 0.453_592_37,
        "tf" => value * 9806.65,
        "kN" | "t" => value * 1000.0,
        "N/mm2" => value * 1e6,
        "deg" => value.to_radians(),
        "degF" => (value - 32.0) * 5.0 / 9.0 + 273.15,
        "C" => value + 273.15,
        "-" | "diameters" | "WLL fraction" | "month" | "ratio" | "count" | "wires" | "x rated" | "x vertical rated"
        | "x SWL" | "x d" | "x rope d" | "x component d" | "" => value,
        other => panic!("the tests know no unit {other}"),
    }
}

/// Half of the last printed digit: the reference data print whole numbers as "3600.0".
pub fn half_digit(entry: &Value) -> f64 {
    let text = entry["value"].to_string();
    let decimals = text.strip_suffix(".0").map_or_else(|| text.split('.').nth(1).map_or(0, str::len), |_| 0);
    0.5 * 10f64.powi(-i32::try_from(decimals).unwrap())
}

/// The entries of a reference file.
pub fn entries(file: &str) -> Vec<Value> {
    let path = format!("{}/reference/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    serde_json::from_str::<Vec<Value>>(&text).unwrap_or_else(|error| panic!("{path}: {error}"))
}

impl Check {
    pub fn new(id: impl Into<String>, proof: Proof, question: Question, facts: Facts, expected: Expected) -> Self {
        Self { id: id.into(), proof, question, facts, expected }
    }

    /// Whether the rule set answers as expected; otherwise what it answers.
    pub fn run(&self, rules: &RuleSet) -> Result<(), String> {
        let answer = rules.ask(self.question, &self.facts);
        let near = |value: f64, si: f64, tolerance: f64| (value - si).abs() <= tolerance;
        let met = match (&self.expected, &answer) {
            (Expected::Value { si, tolerance }, Answer::Speaks(_)) => {
                answer.value().is_some_and(|value| near(value, *si, *tolerance))
                    && answer.ruled().is_some_and(|ruled| ruled.held.is_empty())
            }
            (Expected::Held { si, tolerance, held }, Answer::Speaks(ruled)) => {
                let found: Vec<(String, f64)> =
                    ruled.held.iter().map(|held| (held.fact.to_string(), held.used)).collect();
                answer.value().is_some_and(|value| near(value, *si, *tolerance)) && found == *held
            }
            (Expected::InColumn { si, tolerance, column }, Answer::Speaks(ruled)) => {
                answer.value().is_some_and(|value| near(value, *si, *tolerance))
                    && ruled.inputs().iter().any(|input| input.name == "printed column" && input.value == *column)
            }
            (Expected::Word(word), Answer::Speaks(_)) => answer.word() == Some(word),
            (Expected::Speaks, Answer::Speaks(_)) => true,
            (Expected::DoesNotSpeak, answer) => !matches!(answer, Answer::Speaks(_) | Answer::Refused(_)),
            (Expected::Silent, Answer::Silent) | (Expected::DoesNotApply, Answer::DoesNotApply { .. }) => true,
            (Expected::Missing(expected), Answer::Missing { fact, .. }) => expected == fact,
            (Expected::OutsideRange(text), Answer::OutsideRange { policy, .. }) => policy.contains(text),
            (Expected::Withheld(expected), Answer::Withheld { printed, .. }) => expected == printed,
            _ => false,
        };
        if met {
            return Ok(());
        }
        Err(format!("{}: {} answered {answer:?}; expected {:?}", self.id, self.question.name(), self.expected))
    }
}

/// Every check of one built-in rule set.
pub fn checks(set: &str) -> Vec<Check> {
    let mut checks = match set {
        "us-general" => [us::published().0, us::second_readings(), boundaries::us()].concat(),
        "marine-0027-nd-2016" => [marine::published().0, boundaries::marine()].concat(),
        other => {
            assert!(RuleSet::document_names().contains(&other), "there are no checks for {other}");
            Vec::new()
        }
    };
    checks.extend(entries::checks(set));
    checks.extend(own_readings(set));
    checks.extend(limits(set));
    checks
}

/// The sets and documents that come with the library and stand by themselves: a set of documents has no figure of its own.
pub fn all_names() -> impl Iterator<Item = &'static str> {
    let names = RuleSet::built_in_names().iter().chain(RuleSet::document_names()).copied();
    names.filter(|name| RuleSet::built_in(name).unwrap().documents().is_empty())
}

/// Limits and points worked by hand of a document, as data: a value, or another answer.
fn limits(set: &str) -> Vec<Check> {
    let path = format!("rules/limits/{set}.json");
    if !std::path::Path::new(&format!("{}/reference/{path}", env!("CARGO_MANIFEST_DIR"))).exists() {
        return Vec::new();
    }
    entries(&path)
        .iter()
        .map(|entry| {
            let id = entry["id"].as_str().unwrap();
            assert_eq!(entry["set"], set, "{path}: {id}");
            let question = entry["question"].as_str().and_then(Question::named).unwrap_or_else(|| panic!("{entry}"));
            let expected = entry["answer"].as_object().map_or_else(
                || {
                    let si = si(entry["value"].as_f64().unwrap(), entry["unit"].as_str().unwrap());
                    Expected::Value { si, tolerance: TRANSCRIBED * si.abs() }
                },
                |answer| match answer.iter().next().unwrap() {
                    (key, Value::String(text)) if key == "outside_range" => Expected::OutsideRange(text.clone()),
                    (key, printed) if key == "withheld" => Expected::Withheld(printed.as_f64()),
                    (key, Value::Bool(true)) if key == "does_not_apply" => Expected::DoesNotApply,
                    (key, Value::Bool(true)) if key == "silent" => Expected::Silent,
                    other => panic!("{id}: {other:?} is no answer"),
                },
            );
            Check::new(id, Proof::Boundary, question, entries::facts(&entry["facts"]), expected)
        })
        .collect()
}

/// Figures read a second time from the documents, which the reference data do not list.
fn own_readings(set: &str) -> Vec<Check> {
    entries("rules/second-reading.json")
        .iter()
        .filter(|entry| entry["set"] == set)
        .map(|entry| {
            let question = entry["question"].as_str().and_then(Question::named).unwrap();
            let facts = entries::facts(&entry["facts"]);
            let expected = match &entry["value"] {
                Value::String(word) => Expected::Word(word.clone()),
                number => {
                    let si = si(number.as_f64().unwrap(), entry["unit"].as_str().unwrap());
                    Expected::Value { si, tolerance: TRANSCRIBED * si.abs() }
                }
            };
            Check::new(entry["id"].as_str().unwrap(), Proof::SecondReading, question, facts, expected)
        })
        .collect()
}

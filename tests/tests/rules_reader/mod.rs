//! A second, small reader of rule files: what a file must answer, worked from its text and from nothing of the library.
#![allow(dead_code)] // each test binary uses its part of this file

pub mod points;
pub mod relations;

use rigging_core::rules::{Answer, Facts, Question, Said};
use std::collections::BTreeMap;
use toml::Value;

/// A rule file as its text says.
pub struct Reader {
    pub name: &'static str,
    pub root: Value,
}

/// What facts are stated: words, and numbers as the document counts them, in the unit of one rule.
#[derive(Debug, Clone, Default)]
pub struct Stated {
    pub words: BTreeMap<String, String>,
    pub numbers: BTreeMap<String, (f64, String)>,
}

/// What the file must answer.
#[derive(Debug, Clone, PartialEq)]
pub enum Due {
    Silent,
    DoesNotApply,
    Missing(String),
    /// The fact that is outside, where an input is.
    Outside,
    Withheld(Option<f64>),
    /// The value in the document's unit, and what was held at which limit.
    Value(f64, Vec<(String, f64)>),
    Words(String),
    /// The reader cannot tell: a fact is stated in another unit than a rule reads.
    Undecided,
}

/// Words that stand for kinds: a rule that names the first holds for the others.
const KINDS: &[(&str, &str, &[&str])] = &[
    ("grade", "8", &["80"]),
    ("grade", "80", &["8"]),
    ("grade", "10", &["100"]),
    ("grade", "100", &["10"]),
    ("core", "steel", &["IWRC"]),
    ("termination", "mechanical splice", &["steel ferrule", "aluminum ferrule"]),
    ("material", "natural fiber", &["manila"]),
    ("material", "other fiber", &["natural fiber", "manila"]),
];

pub fn texts(value: &Value) -> Vec<&str> {
    match value {
        Value::Array(items) => items.iter().filter_map(Value::as_str).collect(),
        one => one.as_str().into_iter().collect(),
    }
}

pub fn number(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

/// Whether a word is among those a rule names, or of their kind.
pub fn names(fact: &str, named: &Value, word: &str) -> bool {
    texts(named).into_iter().any(|text| {
        text == word || KINDS.iter().any(|(of, kind, words)| *of == fact && *kind == text && words.contains(&word))
    })
}

/// Yes, no, or that it depends on this fact.
pub fn met(conditions: Option<&Value>, stated: &Stated) -> Result<bool, String> {
    let mut open = None;
    for (fact, named) in conditions.and_then(Value::as_table).into_iter().flatten() {
        match stated.words.get(fact) {
            Some(word) if names(fact, named, word) => {}
            Some(_) => return Ok(false),
            None => open = open.or(Some(fact.clone())),
        }
    }
    open.map_or(Ok(true), Err)
}

/// Whether `x` is within the limits that a table of keys prints.
pub fn within(limits: &Value, x: f64) -> bool {
    let limit = |key: &str| limits.get(key).and_then(number);
    limit("at_least").is_none_or(|low| x >= low)
        && limit("more_than").is_none_or(|low| x > low)
        && limit("at_most").is_none_or(|high| x <= high)
        && limit("less_than").is_none_or(|high| x < high)
}

impl Reader {
    pub fn of(name: &'static str) -> Self {
        let folder = if rigging_core::rules::RuleSet::document_names().contains(&name) { "documents/" } else { "" };
        let path = format!("{}/../rigging-core/rules/{folder}{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
        Self { name, root: Value::Table(toml::from_str(&text).unwrap()) }
    }

    pub fn rules(&self) -> &[Value] {
        list(&self.root, "rule")
    }

    /// What the file must answer, and which rule does.
    pub fn due(&self, question: &str, stated: &Stated) -> (Option<usize>, Due) {
        for rule in self.rules() {
            let scope = rule["answers"].as_str().unwrap().starts_with("applies to");
            let excludes = rule["relation"].as_str() == Some("does not apply");
            if scope && excludes && met(rule.get("when"), stated) == Ok(true) {
                return (None, Due::DoesNotApply);
            }
        }
        for (index, rule) in self.rules().iter().enumerate() {
            if rule["answers"].as_str() == Some(question)
                && let Some(due) = relations::attempt(rule, stated)
            {
                return (Some(index), due);
            }
        }
        (None, Due::Silent)
    }
}

impl Stated {
    pub fn facts(&self, rules: &[Value]) -> Facts {
        let mut facts = Facts::new();
        for (fact, word) in &self.words {
            facts = facts.word(fact, word);
        }
        for (fact, (value, unit)) in &self.numbers {
            // An angle that the document counts from vertical is stated from horizontal.
            let turned = rules.iter().flat_map(|rule| list(rule, "input")).any(|input| {
                input["fact"].as_str() == Some(fact) && input.get("as").and_then(Value::as_str) == Some("from vertical")
            });
            facts = facts.number(fact, if turned { 90.0 - value } else { *value }, unit);
        }
        facts
    }
}

/// Whether the library's answer is the one due; a value to the rounding of a conversion or two.
pub fn agrees(answer: &Answer, due: &Due) -> bool {
    match (due, answer) {
        (Due::Silent, Answer::Silent) | (Due::DoesNotApply, Answer::DoesNotApply { .. }) => true,
        (Due::Missing(due), Answer::Missing { fact, .. }) => due == fact,
        (Due::Outside, Answer::OutsideRange { .. }) => true,
        (Due::Withheld(due), Answer::Withheld { printed, .. }) => due == printed,
        (Due::Words(due), Answer::Speaks(ruled)) => ruled.word() == Some(due),
        (Due::Value(due, due_held), Answer::Speaks(ruled)) => {
            let Said::Value { printed, .. } = &ruled.said else { return false };
            let near = |a: f64, b: f64| (a - b).abs() <= 1e-11 * a.abs().max(b.abs()).max(1e-3);
            near(*printed, *due)
                && ruled.held.len() == due_held.len()
                && ruled
                    .held
                    .iter()
                    .zip(due_held)
                    .all(|(held, (fact, used))| held.fact == **fact && near(held.used, *used))
        }
        _ => false,
    }
}

pub fn question(rule: &Value) -> Question {
    Question::named(rule["answers"].as_str().unwrap()).unwrap()
}

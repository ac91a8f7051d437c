//! The words of the rule sets, one by one: every question is asked by a check, a capacity or a demand, and every fact is stated by
//! one, or a list says why it only stands as data.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use rigging_core::rules::{Question, RuleSet};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The code of the core outside the rules, without comments and tests; of the rules only what translates gear into facts.
fn code() -> String {
    let root = patching::file("rigging-core/src");
    let mut code = String::new();
    let mut open = vec![root.clone()];
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if asks(path.strip_prefix(&root).unwrap()) {
                let text = std::fs::read_to_string(&path).unwrap();
                let text = text.split("#[cfg(test)]").next().unwrap();
                let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
                lines.for_each(|line| {
                    code += line;
                    code.push('\n');
                });
            }
        }
    }
    code
}

fn asks(path: &Path) -> bool {
    let rust = path.extension().is_some_and(|extension| extension == "rs");
    rust && !path.ends_with("tests.rs") && (!path.starts_with("rules") || path.ends_with("of_gear.rs"))
}

/// Whether a word stands there as one, and not as the beginning of a longer one.
fn stands(code: &str, word: &str) -> bool {
    let longer = |rest: &str| rest.chars().next().is_some_and(|next| next.is_alphanumeric() || next == '_');
    code.match_indices(word).any(|(at, _)| !longer(&code[at + word.len()..]))
}

/// Facts by their name, with the name they have in code.
fn facts() -> BTreeMap<String, String> {
    let text = patching::text("rigging-core/src/rules/vocabulary.rs");
    let of_line = |line: &str| {
        let (code, rest) = line.trim().split_once(" = \"")?;
        let (name, kind) = rest.split_once('"')?;
        kind.starts_with(", Kind::").then(|| (name.to_owned(), code.to_owned()))
    };
    text.lines().filter_map(of_line).collect()
}

/// What only stands as data, with the reason.
fn listed(kind: &str) -> BTreeSet<String> {
    let list: Vec<Value> = serde_json::from_str(&patching::text("tests/reference/rules/data-only.json")).unwrap();
    let mut found = BTreeSet::new();
    for entry in list {
        assert!(entry["reason"].as_str().unwrap().len() > 30, "{entry}");
        if let Some(name) = entry[kind].as_str() {
            assert!(found.insert(name.to_owned()), "{name} stands twice");
        }
    }
    found
}

#[test]
fn every_question_is_asked_or_listed_with_a_reason() {
    let code = code();
    let asked = |question: &&Question| stands(&code, &format!("Question::{question:?}"));
    let never: BTreeSet<String> =
        Question::ALL.iter().filter(|question| !asked(question)).map(|question| question.name().to_owned()).collect();
    let listed = listed("question");
    println!(
        "{} questions, {} asked, {} only data",
        Question::ALL.len(),
        Question::ALL.len() - never.len(),
        never.len()
    );
    let unlisted: Vec<_> = never.difference(&listed).collect();
    let used: Vec<_> = listed.difference(&never).collect();
    assert!(unlisted.is_empty() && used.is_empty(), "never asked: {unlisted:?}; listed and asked: {used:?}");
    assert!(Question::ALL.len() > 100 && never.len() < 30);
    // The lint advises of the same.
    let questions = patching::text("rigging-core/src/rules/question.rs");
    let (_, list) = questions.split_once("const ONLY_DATA").unwrap();
    let (list, _) = list.split_once("];").unwrap();
    let advised: BTreeSet<String> = Question::ALL
        .iter()
        .filter(|question| stands(list, &format!("Question::{question:?}")))
        .map(|question| question.name().to_owned())
        .collect();
    assert_eq!(advised, listed);
}

#[test]
fn every_fact_is_stated_or_listed_with_a_reason() {
    let (code, facts) = (code(), facts());
    let stated =
        |name: &str, ident: &str| code.contains(&format!("\"{name}\"")) || stands(&code, &format!("fact::{ident}"));
    let never: BTreeSet<String> =
        facts.iter().filter(|(name, ident)| !stated(name, ident)).map(|(name, _)| name.clone()).collect();
    let listed = listed("fact");
    println!("{} facts, {} stated, {} only data", facts.len(), facts.len() - never.len(), never.len());
    let unlisted: Vec<_> = never.difference(&listed).collect();
    let used: Vec<_> = listed.difference(&never).collect();
    assert!(unlisted.is_empty() && used.is_empty(), "never stated: {unlisted:?}; listed and stated: {used:?}");
    assert!(facts.len() > 110 && never.len() < 30);
}

/// A question that no check asks and no file answers would be a word without a use.
#[test]
fn what_is_only_data_is_data_somewhere() {
    let sets = RuleSet::built_in_names().iter().map(|name| format!("rigging-core/rules/{name}.toml"));
    let documents = RuleSet::document_names().iter().map(|name| format!("rigging-core/rules/documents/{name}.toml"));
    let all: String = sets.chain(documents).map(|file| patching::text(&file)).collect();
    let answered = |name: &str| all.contains(&format!("answers = \"{name}\""));
    let empty: Vec<String> = listed("question").into_iter().filter(|name| !answered(name)).collect();
    assert_eq!(empty, ["taken from"], "it is for files of one's own that print a value twice");
    // Questions for a firm's own rules: no built-in file decides by them, since nothing published of them was read.
    let asked: Vec<&str> =
        Question::ALL.iter().map(|question| question.name()).filter(|name| !answered(name)).collect();
    assert_eq!(asked, ["taken from", "center of gravity factor", "greatest pin offset ratio", "pin offset factor"]);
}

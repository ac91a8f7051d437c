//! The sets that are put together of documents: each figure of a document comes out of the set, a fiber is never rated by
//! the rule of another, and a lift can be assessed under every one.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;
mod rules_cases;
mod rules_reader;

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::{Answer, RuleSet};
use rules_cases::checks;
use rules_reader::points::{numberings, wordings};
use rules_reader::{Reader, Stated, list, question, texts};
use std::collections::{BTreeMap, BTreeSet};
use toml::Value;

fn of_documents() -> impl Iterator<Item = (&'static str, RuleSet)> {
    let all = RuleSet::built_in_names().iter().map(|name| (*name, RuleSet::built_in(name).unwrap()));
    all.filter(|(_, rules)| !rules.documents().is_empty())
}

/// Figures of a document that a set answers otherwise, and why: set, document, beginning of the figure's id.
const OTHERWISE: &[(&str, &str, &str, &str)] = &[
    ("de-general", "de-dguv-209-021", "three legs", "EN 818-6 asks first for the grade and for symmetric loading"),
    ("de-general", "de-dguv-209-021", "four legs", "EN 818-6 asks first for the grade and for symmetric loading"),
    (
        "de-general",
        "de-dguv-209-013",
        "dguv209013-10mm-g8",
        "the whole tables go first, and that row of theirs was not seen",
    ),
    ("de-general", "eu-2006-42", "md-coef-", "whether persons are below decides first, and was not stated"),
    ("us-consensus", "us-general", "HMPE roundsling", "another document of the set excludes what the law is silent on"),
    ("us-consensus", "us-29-cfr-1918", "cfr1918_61_", "the marking of cargo gear is not taken"),
];

#[test]
fn a_set_gives_the_published_figures_of_its_documents() {
    let mut otherwise = Vec::new();
    let (mut sets, mut asked) = (0, 0);
    for (name, rules) in of_documents() {
        sets += 1;
        for document in rules.documents() {
            for check in checks(document.name.as_str()) {
                asked += 1;
                if let Err(text) = check.run(&rules) {
                    otherwise.push(format!("{name}, {}: {text}", document.name));
                }
            }
        }
    }
    println!("{sets} sets, {asked} figures, {} otherwise", otherwise.len());
    let listed = |text: &String| {
        OTHERWISE.iter().any(|(set, document, id, _)| text.starts_with(&format!("{set}, {document}: {id}")))
    };
    assert_eq!((sets, asked, otherwise.len()), (5, 1918, 15));
    let unlisted: Vec<&String> = otherwise.iter().filter(|text| !listed(text)).collect();
    assert!(
        unlisted.is_empty(),
        "{} not listed:\n{}",
        unlisted.len(),
        unlisted.iter().map(|t| t.chars().take(400).collect::<String>()).collect::<Vec<_>>().join("\n")
    );
}

/// Whether a rule names this fiber, in its conditions or over its rows or columns.
fn names_fiber(rule: &Value, fiber: &str) -> bool {
    let over = list(rule, "columns").iter().chain(rule.get("when"));
    let rows = list(rule, "cells").iter().filter(|_| rule.get("rows").and_then(Value::as_str) == Some("material"));
    over.filter_map(|words| words.get("material"))
        .chain(rows.map(|line| &line[0]))
        .any(|named| texts(named).contains(&fiber))
}

/// Rules that hold for slings of any fiber, as the document says them, by document and name, with the reason.
fn any_fiber() -> BTreeMap<(String, String), String> {
    let text = |entry: &serde_json::Value, key: &str| entry[key].as_str().unwrap().to_owned();
    rules_cases::entries("rules/any-fiber.json")
        .iter()
        .map(|entry| ((text(entry, "document"), text(entry, "rule")), text(entry, "reason")))
        .collect()
}

/// Asks every rule of every file, as near as its words allow, for a sling of HMPE.
#[test]
fn no_rule_for_another_material_answers_for_a_sling_of_hmpe() {
    const SLINGS: [&str; 4] = ["fiber rope", "fiber rope grommet", "web", "roundsling"];
    let listed = any_fiber();
    let mut found: BTreeSet<(String, String)> = BTreeSet::new();
    let (mut asked, mut spoke) = (0, 0);
    let readers: Vec<Reader> = rules_cases::all_names().map(Reader::of).collect();
    let mut sets: Vec<(String, RuleSet, Vec<&Reader>)> = Vec::new();
    for reader in &readers {
        sets.push((reader.name.to_owned(), RuleSet::built_in(reader.name).unwrap(), vec![reader]));
    }
    for (name, rules) in of_documents() {
        let own = rules.documents().iter().map(|document| document.name.to_string()).collect::<Vec<_>>();
        let of = readers.iter().filter(|reader| own.iter().any(|name| name == reader.name)).collect();
        sets.push((name.to_owned(), rules, of));
    }
    for (_, rules, of) in &sets {
        for reader in of {
            for rule in reader.rules() {
                let numbers = numberings(rule, &BTreeMap::new(), 12);
                for words in wordings(reader, rule).into_iter().take(40) {
                    for construction in SLINGS {
                        for numbers in &numbers {
                            let mut stated = Stated { words: words.clone(), numbers: numbers.clone() };
                            stated.words.insert("material".to_owned(), "HMPE".to_owned());
                            stated.words.insert("construction".to_owned(), construction.to_owned());
                            asked += 1;
                            let Answer::Speaks(ruled) =
                                rules.ask(question(rule), &stated.facts(std::slice::from_ref(rule)))
                            else {
                                continue;
                            };
                            spoke += 1;
                            let speaker = of.iter().find_map(|reader| {
                                let rule =
                                    reader.rules().iter().find(|rule| rule["name"].as_str() == Some(&ruled.rule))?;
                                (rule["answers"] == question(rule).name().into()).then_some((reader.name, rule))
                            });
                            // A set's own rules say what it is for, and no figure.
                            let Some((document, rule)) = speaker else { continue };
                            if !names_fiber(rule, "HMPE")
                                && !rule["answers"].as_str().unwrap().starts_with("applies to")
                            {
                                found.insert((document.to_owned(), ruled.rule.to_string()));
                            }
                        }
                    }
                }
            }
        }
    }
    println!(
        "{} sets and documents, {asked} questions, {spoke} answers, {} rules for any fiber",
        sets.len(),
        found.len()
    );
    let listed: BTreeSet<(String, String)> = listed.into_keys().collect();
    let new: Vec<_> = found.difference(&listed).collect();
    let gone: Vec<_> = listed.difference(&found).collect();
    assert!(new.is_empty() && gone.is_empty(), "not listed: {new:#?}\nlisted and not found: {gone:#?}");
}

/// The skid of the demo under every set: a verdict, never an error, and a word on whether the set applies.
#[test]
fn the_skid_is_assessed_under_every_set() {
    let lift = Lift::from_json(&patching::demo("generator-skid").to_string()).unwrap();
    for name in RuleSet::built_in_names() {
        let rules = RuleSet::built_in(name).unwrap();
        let assessment = lift.assess(&rules).unwrap_or_else(|error| panic!("{name}: {error}"));
        let applies: Vec<(Verdict, &str)> = assessment
            .findings
            .iter()
            .filter(|finding| finding.code == Code::Applicability)
            .map(|finding| (finding.verdict, finding.text.as_str()))
            .collect();
        println!("{name}: {:?}", assessment.verdict);
        for finding in &applies {
            println!("  {finding:?}");
        }
        assert_eq!(assessment.rules.documents.len(), rules.documents().len());
        assert_eq!(assessment.verdict, Verdict::CannotConclude, "{name}: the radius of an edge is not known");
    }
}

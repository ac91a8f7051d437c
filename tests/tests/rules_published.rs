//! Published figures looked up through the rule sets: the figure, the relation and the second reading are counted apart.

mod rules_cases;

use rigging_core::rules::{Answer, Facts, Question, RuleSet};
use std::collections::BTreeSet;

use rules_cases::{Proof, checks, marine, us};

fn run(set: &str, counts: [(Proof, usize); 4]) {
    let rules = RuleSet::built_in(set).unwrap();
    let checks = checks(set);
    let failures: Vec<String> = checks.iter().filter_map(|check| check.run(&rules).err()).collect();
    assert!(failures.is_empty(), "{} of {} failed:\n{}", failures.len(), checks.len(), failures.join("\n"));
    let found = counts.map(|(proof, _)| (proof, checks.iter().filter(|check| check.proof == proof).count()));
    println!("{set}: {found:?}");
    for (proof, expected) in counts {
        let count = checks.iter().filter(|check| check.proof == proof).count();
        assert_eq!(count, expected, "{set}: number of {proof:?} checks");
    }
}

#[test]
fn us_general_answers_every_published_figure() {
    run(
        "us-general",
        [(Proof::Transcribed, 100), (Proof::Relation, 81), (Proof::SecondReading, 40), (Proof::Boundary, 91)],
    );
}

#[test]
fn marine_answers_every_published_figure() {
    run(
        "marine-0027-nd-2016",
        [(Proof::Transcribed, 49), (Proof::Relation, 38), (Proof::SecondReading, 15), (Proof::Boundary, 167)],
    );
}

#[test]
fn every_document_answers_its_published_figures() {
    let mut failures = Vec::new();
    for name in RuleSet::document_names() {
        let rules = RuleSet::built_in(name).unwrap();
        let checks = checks(name);
        let count = |proof: Proof| checks.iter().filter(|check| check.proof == proof).count();
        println!(
            "{name}: {} transcribed, {} by a relation, {} second readings, {} limits",
            count(Proof::Transcribed),
            count(Proof::Relation),
            count(Proof::SecondReading),
            count(Proof::Boundary)
        );
        assert!(checks.len() > count(Proof::Boundary), "no published figure is looked up in {name}");
        failures
            .extend(checks.iter().filter_map(|check| check.run(&rules).err()).map(|text| format!("{name}: {text}")));
    }
    assert!(failures.is_empty(), "{} failed:\n{}", failures.len(), failures.join("\n"));
}

/// Where documents part: what is left of a chain of grade 8 (80) at 350 °C, which is 662 °F.
#[test]
fn hot_chain_is_judged_otherwise_by_every_document() {
    let facts = |grade: &str| {
        let chain = Facts::new().word("construction", "chain").word("material", "steel").word("grade", grade);
        chain.word("exposure", "at temperature").number("temperature", 350.0, "degC")
    };
    let ask = |set: &str, question, grade| RuleSet::built_in(set).unwrap().ask(question, &facts(grade));
    let factor = |set: &str, grade| ask(set, Question::TemperatureFactor, grade).value();
    assert_eq!(factor("eu-en-818-6", "8"), Some(0.75));
    assert_eq!(factor("asme-b30-9", "80"), Some(0.7), "the hotter row, 700 °F, takes 30 % off");
    assert_eq!(factor("asme-b30-9", "100"), Some(0.6), "40 % off");
    assert!(matches!(ask("de-dguv-209-021", Question::TemperatureFactor, "4"), Answer::Withheld { .. }));
    assert_eq!(
        ask("us-general", Question::TemperatureFactor, "80"),
        Answer::Silent,
        "the law asks for the maker's figure"
    );
    let highest = ask("us-general", Question::HighestTemperature, "80").value().unwrap();
    assert!((highest - (273.15 + (600.0 - 32.0) / 1.8)).abs() < 1e-9 && highest < 273.15 + 350.0);
}

#[test]
fn what_is_not_used_is_named_and_counted() {
    let (us_checks, us) = us::published();
    let (marine_checks, marine) = marine::published();
    // Entries, not checks: one entry can be looked up in several ways.
    let entries = |checks: &[rules_cases::Check]| {
        let ids: BTreeSet<_> = checks.iter().map(|check| check.id.split(" by ").next().unwrap().to_owned()).collect();
        ids.len()
    };
    let mapped = rules_cases::entries::checks("us-general");
    println!(
        "entries used: {} US, {} marine, {} mapped as data",
        entries(&us_checks),
        entries(&marine_checks),
        entries(&mapped)
    );
    assert_eq!((entries(&us_checks), entries(&marine_checks), entries(&mapped)), (95, 67, 17));
    let all = |file: &str, source: &str| {
        rules_cases::entries(file).iter().filter(|entry| entry["source"].as_str().unwrap().starts_with(source)).count()
    };
    assert_eq!(all("published-us.json", "US OSHA (Dept. of Labor), Guidance on Safe Sling Use"), 95);
    assert_eq!(all("published-intl.json", "0027/ND Rev 11.2"), 67 + marine.values().sum::<usize>());
    let mut found = Vec::new();
    for (reason, count) in us.iter().chain(&marine) {
        println!("not used: {count:3} {reason}");
        found.push((reason.split(':').next().unwrap(), *count));
    }
    assert_eq!(
        found,
        [
            ("n184_16", 21),
            ("osha-proof-custom", 1),
            ("nd0027-2hook-", 4),
            ("nd0027-B1-", 2),
            ("nd0027-beam-proof-", 4),
            ("nd0027-oval-", 2),
            ("nd0027-padeye-", 2),
            ("nd0027-pinhole-", 5),
            ("nd0027-shackle-proof-", 5),
        ]
    );
}

//! The category of a lift under rule sets that name conditions.

use super::*;
use rigging_core::checks::{Category, TriggerState};

/// A firm's own conditions, with a word for every other lift.
const FIRM: &str = r#"
format = 1
name = "firm"
title = "Conditions of a firm"
edition = "2"
status = "in force"
[[source]]
id = "manual"
document = "lifting manual of the firm, invented"
standing = "stated"
[[rule]]
answers = "lift category"
name = "weight or center of gravity not known"
when = { "weight known" = "no" }
relation = "words"
words = ["critical"]
source = "manual"
clause = "a"
[[rule]]
answers = "lift category"
name = "center of gravity not known"
when = { "center of gravity known" = "no" }
relation = "words"
words = ["critical"]
source = "manual"
clause = "b"
[[rule]]
answers = "lift category"
name = "gear above nine tenths of its capacity"
input = [{ fact = "gear utilization" }]
requires = [{ name = "gear utilization", times = ["gear utilization"], more_than = 0.9, otherwise = "next rule", why = "nine tenths" }]
relation = "words"
words = ["critical"]
source = "manual"
clause = "c"
[[rule]]
answers = "lift category"
name = "weight of 45 t and more"
input = [{ fact = "gross weight", unit = "t" }]
requires = [{ name = "gross weight", times = ["gross weight"], at_least = 45, otherwise = "next rule", why = "45 t" }]
relation = "words"
words = ["critical"]
source = "manual"
clause = "d"
[[rule]]
answers = "lift category"
name = "travel with the load"
when = { "travel with load" = "yes" }
relation = "words"
words = ["critical"]
source = "manual"
clause = "e"
[[rule]]
answers = "lift category"
name = "near a power line"
when = { "near power line" = "yes" }
relation = "words"
words = ["critical"]
source = "manual"
clause = "f"
[[rule]]
answers = "lift category"
name = "every other lift"
relation = "words"
words = ["ordinary"]
source = "manual"
clause = "g"
"#;

fn firm() -> RuleSet {
    RuleSet::from_toml(&format!("{FIRM}\n{}", applies("manual"))).unwrap()
}

fn law() -> RuleSet {
    with_rules("us-29-cfr-1926-751", &applies("definition"))
}

fn corps() -> RuleSet {
    with_rules("us-em-385-1-1", &applies("EM"))
}

fn told(document: &Value, rules: &RuleSet) -> (Category, Finding) {
    let assessment = assess(document, rules);
    let finding = coded(&assessment, Code::LiftCategory)[0].clone();
    (assessment.category.unwrap(), finding)
}

fn states(category: &Category) -> Vec<TriggerState> {
    category.triggers.iter().map(|trigger| trigger.state).collect()
}

const SKID: &str = "generator-skid-round-edge";
use TriggerState::{Met, NotMet, Unknown};

/// The skid with every circumstance stated as absent.
fn plain() -> Value {
    let mut document = patching::demo(SKID);
    let none = [
        "steel_erection",
        "hazardous_load",
        "load_out_of_view",
        "center_of_gravity_can_move",
        "travel_with_load",
        "near_power_line",
    ];
    let stated: serde_json::Map<String, Value> = none.into_iter().map(|key| (key.to_owned(), json!(false))).collect();
    patching::set(&mut document, "/operation/circumstances", Value::Object(stated));
    document
}

#[test]
fn three_quarters_of_the_chart_is_a_condition_and_no_limit() {
    let mut document = plain();
    patching::set(&mut document, "/operation/circumstances/steel_erection", json!(true));
    let weight = 18.5 + 4.0 * (0.009 + 0.008);
    for (rated, state) in [(weight / 0.75 * 1.0001, NotMet), (weight / 0.75 * 0.9999, Met), (weight * 1.001, Met)] {
        patching::set(&mut document, "/hooks/0/rating/wll", json!(format!("{rated} t")));
        let (category, finding) = told(&document, &law());
        assert_eq!(states(&category), [state, NotMet], "{rated}");
        assert_eq!(finding.verdict, Verdict::Pass, "a condition fails no lift");
        assert_eq!(category.word.as_deref(), (state == Met).then_some("critical"));
        let assessment = assess(&document, &law());
        assert_eq!(assessment.verdict, Verdict::Pass, "{:?}", assessment.governing());
    }
    let (category, finding) = told(&document, &law());
    assert!(category.triggers[0].facts.iter().any(|fact| fact.name.as_str() == "crane utilization"));
    assert!(finding.text.contains("critical") && finding.text.contains("crane utilization"), "{}", finding.text);
    // The law is for steel erection.
    patching::set(&mut document, "/operation/circumstances/steel_erection", json!(false));
    let (category, _) = told(&document, &law());
    assert_eq!((states(&category), category.word), (vec![NotMet, NotMet], None));
}

#[test]
fn one_condition_is_enough_and_what_is_unknown_leaves_it_open() {
    // Two cranes: critical, although nobody says whether the load is out of view.
    let vessel = patching::demo("vessel-two-cranes");
    let (category, finding) = told(&vessel, &corps());
    assert_eq!(states(&category), [Unknown, NotMet, Met, Unknown, NotMet, Unknown]);
    assert_eq!((category.word.as_deref(), finding.verdict), (Some("critical"), Verdict::Pass));
    // One crane: it depends on what nobody says.
    let skid = patching::demo(SKID);
    let (category, finding) = told(&skid, &corps());
    assert_eq!(states(&category), [Unknown, NotMet, NotMet, Unknown, NotMet, Unknown]);
    assert_eq!((category.word, finding.verdict), (None, Verdict::CannotConclude));
    let circumstances = "/operation/circumstances";
    let keys = ["hazardous_load", "center_of_gravity_can_move", "load_out_of_view"];
    assert_eq!(missing(&finding), keys.map(|key| format!("{circumstances}/{key}")));
    assert_eq!(assess(&skid, &corps()).verdict, Verdict::CannotConclude);
    // Each alone makes it critical.
    let (category, _) = told(&plain(), &corps());
    assert!(category.word.is_none() && states(&category).iter().all(|state| *state == NotMet));
    for key in keys {
        let mut document = plain();
        patching::set(&mut document, &format!("{circumstances}/{key}"), json!(true));
        let (category, _) = told(&document, &corps());
        assert_eq!(states(&category).iter().filter(|state| **state == Met).count(), 1, "{key}");
        assert_eq!(category.word.as_deref(), Some("critical"), "{key}");
    }
    // Sets that name no category say nothing of it.
    let silent = assess(&skid, &built_in("us-general"));
    assert!(silent.category.is_none() && coded(&silent, Code::LiftCategory).is_empty());
}

#[test]
fn a_firm_may_have_a_word_for_every_other_lift() {
    let (category, finding) = told(&plain(), &firm());
    assert_eq!(category.word.as_deref(), Some("ordinary"), "{}", finding.text);
    assert_eq!(category.triggers.len(), 6, "the word for the rest is no condition");
    // Each of its conditions, one at a time.
    let changes: [(&str, Value, &str); 6] = [
        ("/load/mass/basis", json!("unknown"), "a"),
        ("/load/center_of_gravity/tolerance", json!("unknown"), "b"),
        ("/slings/1/strength/wll", json!("10.7 t"), "c"),
        ("/load/mass/value", json!("45.001 t"), "d"),
        ("/operation/circumstances/travel_with_load", json!(true), "e"),
        ("/operation/circumstances/near_power_line", json!(true), "f"),
    ];
    for (pointer, value, clause) in changes {
        let mut document = plain();
        patching::set(&mut document, pointer, value);
        if pointer.ends_with("wll") {
            patching::set(&mut document, "/slings/1/tag/wll", json!("10.7 t"));
        }
        let (category, _) = told(&document, &firm());
        let met: Vec<&str> = category
            .triggers
            .iter()
            .filter(|trigger| trigger.state == Met)
            .map(|trigger| trigger.source.clause.as_str())
            .collect();
        assert!(met.contains(&clause), "{pointer}: {met:?}");
        assert_eq!(category.word.as_deref(), Some("critical"));
    }
}

/// Whatever the category, the same is looked at and found.
#[test]
fn an_ordinary_lift_is_checked_like_a_critical_one() {
    let ordinary = assess(&plain(), &firm());
    let mut document = plain();
    patching::set(&mut document, "/operation/circumstances/near_power_line", json!(true));
    let critical = assess(&document, &firm());
    assert_ne!(ordinary.category.as_ref().unwrap().word, critical.category.as_ref().unwrap().word);
    let others = |assessment: &Assessment| -> Vec<Finding> {
        assessment.findings.iter().filter(|finding| finding.code != Code::LiftCategory).cloned().collect()
    };
    assert_eq!(others(&ordinary), others(&critical));
    assert_eq!((others(&ordinary).len() + 1, ordinary.verdict), (ordinary.findings.len(), critical.verdict));
    let told = rigging_core::report::json::assessment(&critical).unwrap();
    assert!(
        told.contains(r#""category":{"word":"critical","triggers":["#) && told.contains(r#""state":"met""#),
        "{told}"
    );
    let lift = lift(&document);
    let text = rigging_core::report::text(&critical, &critical.remedy(&lift).unwrap());
    assert!(text.contains("Category of the lift: critical") && text.contains("switches no check off"), "{text}");
}

#[test]
fn a_lug_off_its_axis_is_gear() {
    let state = |beyond: f64| {
        let document = strengths::off_axis(&plain(), &built_in("us-general"), 1, beyond);
        let (category, _) = told(&document, &firm());
        category.triggers.iter().find(|trigger| trigger.name.contains("nine tenths")).unwrap().state
    };
    assert_eq!([state(1.0 / 0.91), state(1.0 / 0.89)], [Met, NotMet]);
}

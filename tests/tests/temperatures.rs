//! Cold, heat and wet gear: what a temperature leaves open is never full strength, for slings and fittings alike.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use patching::{demo, remove, set};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

fn assess(document: &Value, rules: &str) -> Assessment {
    let lift = Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"));
    lift.assess(&RuleSet::built_in(rules).unwrap()).unwrap_or_else(|error| panic!("{error}"))
}

/// The generator skid on other slings and shackles, from one temperature to another.
fn skid(keys: &[(&str, Value)], low: &str, high: &str) -> Value {
    let mut document = demo("generator-skid");
    set(&mut document, "/environment/temperature", json!([low, high]));
    for sling in 0..4 {
        remove(&mut document, &format!("/slings/{sling}/temperature_range"));
        for (key, value) in keys {
            set(&mut document, &format!("/slings/{sling}/{key}"), value.clone());
        }
    }
    document
}

fn chain(grade: u32, maker: Option<[&str; 2]>, low: &str, high: &str) -> Value {
    let mut keys = vec![
        ("construction", json!("chain")),
        ("material", json!("alloy steel")),
        ("grade", json!(grade)),
        ("diameter", json!("18 mm")),
        ("termination", json!("link")),
    ];
    keys.extend(maker.map(|range| ("temperature_range", json!({ "value": range, "source": "maker" }))));
    skid(&keys, low, high)
}

fn rope(construction: &str, moisture: Option<&str>, low: &str) -> Value {
    let mut keys = vec![
        ("construction", json!(construction)),
        ("material", json!("polyamide")),
        ("diameter", json!("48 mm")),
        ("termination", json!("hand_splice")),
    ];
    keys.extend(moisture.map(|moisture| ("moisture", json!(moisture))));
    skid(&keys, low, "20 degC")
}

/// What is found of the temperature of slings, or of anything else.
fn of(assessment: &Assessment, slings: bool) -> Vec<&Finding> {
    let found = assessment.findings.iter().filter(|finding| finding.code == Code::Temperature);
    found.filter(|finding| finding.item.as_str().starts_with("roundsling") == slings).collect()
}

fn verdict(document: &Value, rules: &str, slings: bool) -> Verdict {
    Verdict::combined(of(&assess(document, rules), slings).iter().map(|finding| finding.verdict))
}

#[test]
fn a_chain_colder_than_a_document_speaks_of_asks_for_its_maker() {
    for (low, maker, due) in [
        ("-40 degF", None, Verdict::Pass),
        ("-40.1 degF", None, Verdict::CannotConclude),
        ("-200 degC", None, Verdict::CannotConclude),
        ("-50 degF", Some(["-60 degF", "400 degF"]), Verdict::Pass),
        ("-70 degF", Some(["-60 degF", "400 degF"]), Verdict::Fail),
    ] {
        let document = chain(80, maker, low, "50 degF");
        assert_eq!(verdict(&document, "us-consensus", true), due, "{low}");
        assert_eq!(verdict(&document, "asme-b30-9", true), due, "{low}");
    }
    let assessment = assess(&chain(80, None, "-200 degC", "50 degF"), "us-consensus");
    assert_eq!(of(&assessment, true)[0].missing[0].place.as_str(), "/slings/0/temperature_range");
}

#[test]
fn hotter_never_passes_where_cooler_does_not() {
    let rank = |verdict| match verdict {
        Verdict::Pass => 0,
        Verdict::CannotConclude => 1,
        _ => 2,
    };
    let mut asked = 0;
    for maker in [None, Some(["-40 degF", "300 degF"]), Some(["-40 degC", "200 degC"]), Some(["-40 degF", "400 degF"])]
    {
        for grade in [80, 100] {
            let mut last = 0;
            for hottest in [290, 310, 390, 395, 400, 410, 500, 600, 601, 700, 900, 1000, 1001, 1100] {
                let document = chain(grade, maker, "32 degF", &format!("{hottest} degF"));
                let found = verdict(&document, "us-consensus", true);
                assert!(rank(found) >= last, "grade {grade}, {maker:?}, {hottest} degF: {found:?}");
                last = rank(found);
                asked += 1;
            }
        }
    }
    println!("{asked} lifts");
    let at = |maker, hottest| verdict(&chain(100, maker, "32 degF", hottest), "us-consensus", true);
    // What its maker rates in full only up to 300 °F, no table rates beyond.
    assert_eq!(at(Some(["-40 degF", "300 degF"]), "410 degF"), Verdict::Fail);
    // The table lowers from where its maker stops.
    assert_eq!(at(Some(["-40 degC", "204 degC"]), "410 degF"), Verdict::Pass);
    // Above 600 °F the law asks for the maker, whatever a table leaves.
    assert_eq!(at(None, "600 degF"), Verdict::Pass);
    assert_eq!(at(None, "601 degF"), Verdict::CannotConclude);
    assert_eq!(at(Some(["-40 degF", "700 degF"]), "601 degF"), Verdict::Pass);
    assert_eq!(at(Some(["-40 degF", "700 degF"]), "701 degF"), Verdict::CannotConclude);
}

#[test]
fn a_chain_above_the_temperature_of_removal_fails() {
    for (rules, hottest, fails) in [
        ("us-consensus", "1000 degF", false),
        ("us-consensus", "1001 degF", true),
        ("us-consensus", "1100 degF", true),
        ("us-general", "1100 degF", true),
        ("us-washington", "1100 degF", true),
    ] {
        let document = chain(80, Some(["-60 degF", "1200 degF"]), "32 degF", hottest);
        assert_eq!(verdict(&document, rules, true) == Verdict::Fail, fails, "{rules}, {hottest}");
    }
}

#[test]
fn the_first_row_of_heat_begins_at_the_lower_of_its_two_figures() {
    for (hottest, text) in [("203.9 degC", "the full rating holds"), ("204 degC", "leaves 0.9 of the rating")] {
        let assessment = assess(&chain(80, None, "20 degC", hottest), "us-consensus");
        assert!(of(&assessment, true).iter().any(|finding| finding.text.contains(text)), "{hottest}");
    }
}

#[test]
fn braided_rope_is_not_read_from_rules_for_three_strands() {
    for rules in ["us-general", "us-consensus"] {
        assert_eq!(verdict(&rope("laid_rope", None, "5 degC"), rules, true), Verdict::Pass);
        let braided = assess(&rope("braided_rope", None, "5 degC"), rules);
        let found = of(&braided, true);
        assert!(found.iter().all(|finding| finding.verdict == Verdict::CannotConclude), "{found:?}");
        assert_eq!(found[0].missing[0].place.as_str(), "/slings/0/temperature_range");
        let named = |finding: &&Finding| finding.code == Code::Applicability && finding.verdict == Verdict::NotCovered;
        assert_eq!(braided.findings.iter().filter(named).count(), 4);
    }
}

#[test]
fn fiber_rope_that_may_be_wet_and_frozen_is_not_rated() {
    for (moisture, low, due) in [
        (Some("dry"), "-15 degC", Verdict::Pass),
        (Some("wet"), "-15 degC", Verdict::CannotConclude),
        (None, "-15 degC", Verdict::CannotConclude),
        (Some("wet"), "-0.1 degC", Verdict::CannotConclude),
        (Some("wet"), "0 degC", Verdict::Pass),
        (None, "0 degC", Verdict::Pass),
        // Colder than -20 °F it is too cold even when dry.
        (Some("dry"), "-30 degC", Verdict::Fail),
        (Some("wet"), "-30 degC", Verdict::Fail),
        (None, "-30 degC", Verdict::Fail),
    ] {
        for rules in ["us-general", "us-consensus"] {
            let found = verdict(&rope("laid_rope", moisture, low), rules, true);
            assert_eq!(found, due, "{rules}, {moisture:?}, {low}");
        }
    }
    let assessment = assess(&rope("laid_rope", None, "-15 degC"), "us-general");
    assert_eq!(of(&assessment, true)[0].missing[0].place.as_str(), "/slings/0/moisture");
}

/// The skid on wire rope.
fn on_wire_rope(low: &str, high: &str) -> Value {
    let keys = [
        ("construction", json!("wire_rope")),
        ("material", json!("steel")),
        ("diameter", json!("26 mm")),
        ("termination", json!("mechanical_splice")),
        ("core", json!("IWRC")),
    ];
    skid(&keys, low, high)
}

#[test]
fn fittings_are_asked_for_their_temperature() {
    for (rules, low, high, due) in [
        ("us-consensus", "5 degC", "35 degC", None),
        ("us-consensus", "-40 degC", "35 degC", None),
        ("us-consensus", "-50 degC", "20 degC", Some(Verdict::CannotConclude)),
        ("us-consensus", "20 degC", "500 degC", Some(Verdict::CannotConclude)),
        ("us-general", "5 degC", "200 degC", None),
        ("us-general", "5 degC", "205 degC", Some(Verdict::CannotConclude)),
        ("us-general", "-52 degC", "20 degC", Some(Verdict::CannotConclude)),
        ("de-general", "5 degC", "35 degC", None),
        ("marine-0027-nd-2016", "5 degC", "35 degC", Some(Verdict::NotCovered)),
    ] {
        let mut document = on_wire_rope(low, high);
        let assessment = assess(&document, rules);
        let open = |finding: &&&Finding| finding.verdict != Verdict::Pass;
        let found: Vec<&Finding> = of(&assessment, false).iter().filter(open).copied().collect();
        let verdicts: Vec<Verdict> = found.iter().map(|finding| finding.verdict).collect();
        assert_eq!(verdicts, due.into_iter().collect::<Vec<_>>(), "{rules}, {low}, {high}: {found:?}");
        if due == Some(Verdict::CannotConclude) {
            assert!(found[0].missing[0].place.as_str().starts_with("/fittings/"));
            // What the makers say settles it.
            let fittings = document["fittings"].as_array().unwrap().len();
            for (range, due) in [(["-60 degC", "550 degC"], Verdict::Pass), (["-20 degC", "100 degC"], Verdict::Fail)] {
                for fitting in 0..fittings {
                    let range = json!({ "value": range, "source": "maker" });
                    set(&mut document, &format!("/fittings/{fitting}/temperature_range"), range);
                }
                assert_eq!(verdict(&document, rules, false), due, "{rules}, {low}, {high}, {range:?}");
            }
        }
    }
}

/// DGUV Regel 109-017 has columns for ferrules and hand splices; of other ends it leaves nothing in full above 100 °C.
#[test]
fn an_end_without_a_column_is_not_rated_in_the_heat() {
    let rope = |end: &str, core: &str, high: &str| {
        let mut document = on_wire_rope("5 degC", high);
        for sling in 0..4 {
            set(&mut document, &format!("/slings/{sling}/termination"), json!(end));
            set(&mut document, &format!("/slings/{sling}/core"), json!(core));
            let range = json!({ "value": ["-40 degC", "600 degC"], "source": "maker" });
            set(&mut document, &format!("/slings/{sling}/temperature_range"), range);
        }
        verdict(&document, "de-general", true)
    };
    for core in ["fiber", "IWRC"] {
        for end in ["mechanical_splice", "swage", "resin_socket"] {
            for (high, due) in [
                ("100 degC", Verdict::Pass),
                ("100.1 degC", Verdict::CannotConclude),
                ("400 degC", Verdict::CannotConclude),
                ("400.1 degC", Verdict::Fail),
            ] {
                assert_eq!(rope(end, core, high), due, "{end}, {core}, {high}");
            }
        }
        // What has a column keeps to it.
        let (at_100, above) = (rope("steel_ferrule", core, "100 degC"), rope("steel_ferrule", core, "100.1 degC"));
        assert_eq!(at_100, Verdict::Pass);
        assert_eq!(above, if core == "fiber" { Verdict::Fail } else { Verdict::Pass });
    }
}

#[test]
fn natural_fiber_is_not_cooler_than_manila() {
    for material in ["manila", "natural fiber"] {
        for (high, due) in [("82 degC", Verdict::Pass), ("83 degC", Verdict::Fail)] {
            let mut document = rope("laid_rope", Some("dry"), "5 degC");
            set(&mut document, "/environment/temperature", json!(["5 degC", high]));
            for sling in 0..4 {
                set(&mut document, &format!("/slings/{sling}/material"), json!(material));
            }
            for rules in ["us-general", "us-consensus"] {
                assert_eq!(verdict(&document, rules, true), due, "{material} {high} {rules}");
            }
        }
    }
}

//! Dimensions that a rule set limits, and shackles that are looked at before each lift. Every expected figure is worked out here by
//! hand from the printed rule; each limit is met, kept and passed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_relative_eq;
use patching::{demo, remove, set};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Severity, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const SKID: &str = "generator-skid-round-edge";
const FURTHER: &str = "marine-0027-nd-2016-further";

fn assessed(document: &Value, rules: &str) -> Assessment {
    let lift = Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"));
    lift.assess(&RuleSet::built_in(rules).unwrap()).unwrap()
}

fn found(document: &Value, rules: &str, item: &str) -> Finding {
    let assessment = assessed(document, rules);
    let of_item =
        |finding: &&Finding| matches!(finding.code, Code::Geometry | Code::Inspection) && finding.item == item;
    let mut found = assessment.findings.iter().filter(of_item);
    let first = found.next().unwrap_or_else(|| panic!("nothing of {item}")).clone();
    assert!(found.next().is_none(), "one finding of {item}");
    first
}

fn with(base: &Value, changes: &[(&str, Value)]) -> Value {
    let mut document = base.clone();
    changes.iter().for_each(|(pointer, value)| set(&mut document, pointer, value.clone()));
    document
}

fn verdict(document: &Value, rules: &str, item: &str) -> Verdict {
    found(document, rules, item).verdict
}

/// The place of what is missing, and that nothing is concluded.
fn missing(document: &Value, rules: &str, item: &str) -> String {
    let finding = found(document, rules, item);
    assert_eq!((finding.verdict, finding.missing.len()), (Verdict::CannotConclude, 1), "{}", finding.text);
    assert!(finding.missing[0].add.starts_with('"'), "{}", finding.missing[0].add);
    finding.missing[0].place.as_str().to_owned()
}

fn asked(finding: &Finding) -> f64 {
    finding.demand.as_ref().unwrap_or_else(|| panic!("{}", finding.text)).value()
}

fn there(finding: &Finding) -> f64 {
    finding.capacity.as_ref().unwrap_or_else(|| panic!("{}", finding.text)).value()
}

// ---------------------------------------------------------------- lift points, 0027/ND, section 12

fn plate() -> Value {
    with(
        &demo(SKID),
        &[
            ("/load/lift_points/1/hole_diameter", json!("40 mm")),
            ("/load/lift_points/1/thickness", json!("30 mm")),
            ("/load/lift_points/1/pin_plate", json!({ "outer_radius": "62 mm", "cheek_thickness": "12 mm" })),
        ],
    )
}

#[test]
fn the_hole_for_a_pin() {
    // 38 mm: 2 mm more are 40, 3 % more are 39.14; 95 mm: 97 and 97.85; 210 mm: 216.3, but no more than 216.
    let item = "lug B, hole for the pin";
    let cases = [("38 mm", ["39.99 mm", "40 mm", "40.01 mm"]), ("95 mm", ["97.84 mm", "97.85 mm", "97.86 mm"])];
    for (pin, holes) in cases.into_iter().chain([("210 mm", ["215.9 mm", "216 mm", "216.3 mm"])]) {
        for (hole, expected) in holes.into_iter().zip([Verdict::NotCovered, Verdict::Pass, Verdict::CannotConclude]) {
            let changes =
                [("/fittings/1/pin_diameter", json!(pin)), ("/load/lift_points/1/hole_diameter", json!(hole))];
            let finding = found(&with(&plate(), &changes), FURTHER, item);
            assert_eq!(finding.verdict, expected, "{pin} in {hole}: {}", finding.text);
            assert_eq!(finding.source.as_ref().unwrap().clause.as_str(), "12.5.2");
            let notice = expected == Verdict::NotCovered;
            assert_eq!(finding.severity, if notice { Severity::Notice } else { Severity::Serious });
        }
    }
    let finding = found(&with(&plate(), &[("/fittings/1/pin_diameter", json!("95 mm"))]), FURTHER, item);
    assert_relative_eq!(there(&finding), 0.097_85, max_relative = 1e-12);
    // The same length in another unit is the same hole.
    let inches = [("/load/lift_points/1/hole_diameter", json!("1.5748031496 in"))];
    assert_eq!(verdict(&with(&plate(), &inches), FURTHER, item), Verdict::Pass);
    for pointer in ["/fittings/1/pin_diameter", "/load/lift_points/1/hole_diameter"] {
        let mut document = plate();
        remove(&mut document, pointer);
        assert_eq!(missing(&document, FURTHER, item), pointer);
    }
}

#[test]
fn the_plate_round_a_hole() {
    // The radius is at least the diameter of the hole; the cheeks on one side are no thicker than the main plate.
    for (key, item, clause, values) in [
        (
            "outer_radius",
            "lug B, outer radius",
            "12.5.1",
            [("40 mm", Verdict::Pass), ("40.1 mm", Verdict::Pass), ("39.9 mm", Verdict::Fail)],
        ),
        (
            "cheek_thickness",
            "lug B, cheek plates",
            "12.5.5",
            [("30 mm", Verdict::Pass), ("0 mm", Verdict::Pass), ("30.1 mm", Verdict::Fail)],
        ),
    ] {
        let pointer = format!("/load/lift_points/1/pin_plate/{key}");
        for (value, expected) in values {
            let finding = found(&with(&plate(), &[(&pointer, json!(value))]), FURTHER, item);
            assert_eq!(finding.verdict, expected, "{value}: {}", finding.text);
            assert_eq!(finding.source.as_ref().unwrap().clause.as_str(), clause);
        }
        let mut document = plate();
        remove(&mut document, &pointer);
        assert_eq!(missing(&document, FURTHER, item), pointer);
        remove(&mut document, "/load/lift_points/1/pin_plate");
        assert_eq!(missing(&document, FURTHER, item), "/load/lift_points/1/pin_plate");
    }
    let mut document = plate();
    remove(&mut document, "/load/lift_points/1/thickness");
    assert_eq!(missing(&document, FURTHER, "lug B, cheek plates"), "/load/lift_points/1/thickness");
}

#[test]
fn the_width_that_a_sling_finds() {
    // 91 mm: 1.3 times it is 118.3 mm; from 500 mm on, 25 mm more than 1.25 times it is less: 775 mm of 600 mm.
    let base = demo("module-hmpe-grommets");
    let item = "trunnion NE, width for slings";
    let place = "/load/lift_points/0/bearing_width";
    for (diameter, needed, kept, passed) in
        [("91 mm", 0.1183, "118.3 mm", "118.2 mm"), ("600 mm", 0.775, "775 mm", "774.9 mm")]
    {
        let of = |width: &str| with(&base, &[("/slings/0/diameter", json!(diameter)), (place, json!(width))]);
        let finding = found(&of(kept), FURTHER, item);
        assert_eq!(finding.verdict, Verdict::Pass, "{}", finding.text);
        assert_relative_eq!(asked(&finding), needed, max_relative = 1e-12);
        assert_eq!(verdict(&of(passed), FURTHER, item), Verdict::Fail);
        assert_eq!(verdict(&of("2 m"), FURTHER, item), Verdict::Pass);
    }
    assert_eq!(missing(&base, FURTHER, item), place);
    let mut document = base;
    remove(&mut document, "/slings/0/diameter");
    assert_eq!(missing(&document, FURTHER, item), "/slings/0/diameter");
    // Two slings on one trunnion lie side by side.
    let mut both = demo("module-hmpe-grommets");
    set(&mut both, "/legs/1/path/1/end", json!("trunnion NE"));
    assert_relative_eq!(asked(&found(&both, FURTHER, item)), 2.0 * 0.1183, max_relative = 1e-12);
}

// ---------------------------------------------------------------- shackles and bends, 0027/ND

#[test]
fn a_shackle_is_looked_at_above_four_fifths_of_its_marking() {
    let base = demo("tool-skid-offshore");
    let marine = "marine-0027-nd-2016";
    let name = base["fittings"][0]["name"].as_str().unwrap().to_owned();
    let worst = assessed(&base, marine).legs[0].worst;
    for (share, expected) in [(0.5, Verdict::Pass), (0.7999, Verdict::Pass), (0.8001, Verdict::NotCovered)] {
        let wll = format!("{} kN", worst / share / 1e3);
        let finding = found(&with(&base, &[("/fittings/0/rating/wll", json!(wll))]), marine, &name);
        assert_eq!((finding.verdict, finding.severity), (expected, Severity::Notice), "{}", finding.text);
        assert_relative_eq!(asked(&finding), share, max_relative = 1e-9);
        assert_eq!((there(&finding), finding.source.as_ref().unwrap().clause.as_str()), (0.8, "15.3.2"));
        assert!(finding.demand.as_ref().unwrap().is_coherent());
    }
    let mut document = base;
    remove(&mut document, "/fittings/0/rating/wll");
    assert_eq!(missing(&document, marine, &name), "/fittings/0/rating/wll");
}

#[test]
fn a_recommended_bend_is_told_and_decides_nothing() {
    let base = demo("tool-skid-offshore");
    let marine = "marine-0027-nd-2016";
    let item = format!("wire rope A round {}", base["fittings"][0]["name"].as_str().unwrap());
    // An eye of 38 mm: 76 mm.
    for (bow, expected) in [("76 mm", Verdict::Pass), ("90 mm", Verdict::Pass), ("75.9 mm", Verdict::NotCovered)] {
        let finding = found(&with(&base, &[("/fittings/0/bow_diameter", json!(bow))]), marine, &item);
        assert_eq!(finding.verdict, expected, "{bow}: {}", finding.text);
        assert_relative_eq!(asked(&finding), 0.076, max_relative = 1e-12);
        assert_eq!(finding.source.as_ref().unwrap().clause.as_str(), "7.8.5");
    }
    let mut document = base;
    remove(&mut document, "/fittings/0/bow_diameter");
    let finding = found(&document, marine, &item);
    assert_eq!((finding.verdict, finding.severity), (Verdict::NotCovered, Severity::Notice));
    assert_eq!((finding.place.as_str(), finding.missing.len()), ("/fittings/0/bow_diameter", 0));
}

// ---------------------------------------------------------------- slings, US

#[test]
fn rope_left_clear_between_the_ends() {
    // Ten diameters of 38 mm.
    let base = demo("tool-skid-offshore");
    let (washington, item) = ("us-washington", "wire rope A, clear length");
    for (clear, alone, cable) in [
        ("380 mm", Verdict::Pass, Verdict::Pass),
        ("381 mm", Verdict::Pass, Verdict::Pass),
        ("379.9 mm", Verdict::Fail, Verdict::CannotConclude),
    ] {
        let document = with(&base, &[("/slings/0/clear_length", json!(clear))]);
        let finding = found(&document, washington, item);
        assert_eq!(finding.verdict, alone, "{clear}: {}", finding.text);
        assert_relative_eq!(asked(&finding), 0.38, max_relative = 1e-12);
        // The ropes of a cable are thinner than it, and how much is not in the document.
        let document = with(&document, &[("/slings/0/construction", json!("cable_laid_wire_rope"))]);
        assert_eq!(verdict(&document, washington, item), cable, "{clear}");
    }
    assert_eq!(missing(&base, washington, item), "/slings/0/clear_length");
    let mut document = with(&base, &[("/slings/0/clear_length", json!("1 m"))]);
    remove(&mut document, "/slings/0/diameter");
    assert_eq!(missing(&document, washington, item), "/slings/0/diameter");
}

/// The offshore skid on one grommet of wire rope of 20 mm, 3 m long.
fn grommet() -> Value {
    let length = json!({ "value": "3 m", "measured": "whole_leg", "tolerance": "1 mm" });
    with(
        &demo("tool-skid-offshore"),
        &[
            ("/slings/0/construction", json!("grommet")),
            ("/slings/0/termination", json!("endless")),
            ("/slings/0/diameter", json!("20 mm")),
            ("/slings/0/length", length),
        ],
    )
}

#[test]
fn length_round_a_closed_sling() {
    // 96 diameters of 20 mm are 1.92 m, for which 0.96 m pulled straight are enough in any case.
    let item = "wire rope A, least circumference";
    for rules in ["us-doe-1090-96", "us-washington"] {
        for (round, expected) in [("1.92 m", Verdict::Pass), ("2 m", Verdict::Pass), ("1.919 m", Verdict::Fail)] {
            let finding = found(&with(&grommet(), &[("/slings/0/circumference", json!(round))]), rules, item);
            assert_eq!(finding.verdict, expected, "{round}: {}", finding.text);
            assert_relative_eq!(asked(&finding), 1.92, max_relative = 1e-12);
        }
        for (length, measured, expected) in [
            ("0.96 m", "bearing_to_bearing", Verdict::Pass),
            ("0.96 m", "inside", Verdict::Pass),
            ("0.959 m", "inside", Verdict::CannotConclude),
            ("1.92 m", "circumference", Verdict::Pass),
            ("1.919 m", "circumference", Verdict::Fail),
        ] {
            let length = json!({ "value": length, "measured": measured, "tolerance": "1 mm" });
            let document = with(&grommet(), &[("/slings/0/length", length.clone())]);
            assert_eq!(verdict(&document, rules, item), expected, "{length}");
        }
        assert_eq!(missing(&grommet(), rules, item), "/slings/0/circumference");
    }
    let short = json!({ "value": "0.9 m", "measured": "inside", "tolerance": "1 mm" });
    let document = with(&grommet(), &[("/slings/0/length", short)]);
    assert_eq!(missing(&document, "us-washington", item), "/slings/0/circumference");
}

#[test]
fn length_round_a_closed_sling_in_lays() {
    // Five lays of 400 mm are 2 m.
    let item = "wire rope A, least circumference in lays";
    let base = with(&grommet(), &[("/slings/0/lay_length", json!("400 mm"))]);
    for (round, expected) in [("2 m", Verdict::Pass), ("2.001 m", Verdict::Pass), ("1.999 m", Verdict::Fail)] {
        let finding = found(&with(&base, &[("/slings/0/circumference", json!(round))]), "marine-practice", item);
        assert_eq!(finding.verdict, expected, "{round}: {}", finding.text);
        assert_relative_eq!(asked(&finding), 2.0, max_relative = 1e-12);
    }
    assert_eq!(missing(&grommet(), "marine-practice", item), "/slings/0/lay_length");
}

#[test]
fn a_long_load_hangs_from_two_slings() {
    // 12 ft are 3.6576 m.
    let (washington, skid) = ("us-washington", demo(SKID));
    let load = skid["load"]["name"].as_str().unwrap().to_owned();
    assert_eq!(verdict(&skid, washington, &load), Verdict::Pass, "four legs, whatever the length");
    let mut alone = skid.clone();
    for (list, kept) in [("legs", 1), ("slings", 1), ("fittings", 1)] {
        alone[list].as_array_mut().unwrap().truncate(kept);
    }
    for (length, expected) in
        [("12 ft", Verdict::Pass), ("3.657 m", Verdict::Pass), ("3.658 m", Verdict::Fail), ("1 m", Verdict::Pass)]
    {
        let document = with(&alone, &[("/load/length", json!(length))]);
        assert_eq!(verdict(&document, washington, &load), expected, "{length}");
    }
    assert_eq!(missing(&alone, washington, &load), "/load/length");
}

#[test]
fn a_silent_rule_set_says_nothing_of_it() {
    for name in [SKID, "module-hmpe-grommets", "tool-skid-offshore"] {
        for rules in ["us-general", "bth-1-2008"] {
            let assessment = assessed(&demo(name), rules);
            let said = assessment.findings.iter().filter(|finding| finding.code == Code::Geometry);
            assert_eq!(said.count(), 0, "{name} under {rules}");
        }
    }
}

//! What a lift document states of operation, place and load reaches every rule of a firm's own, and a limit that is met is kept:
//! roundings decide nothing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

/// What the set is for; without it nothing can be concluded.
const SCOPE: &str = r#"
format = 1
name = "gull-yard"
title = "Instruction of the yard at Gull Point"
edition = "2026"
status = "in force"
source = [{ id = "own", document = "Instruction of the yard at Gull Point", edition = "2026", standing = "stated" }]
[[rule]]
answers = "applies to operation"
name = "lifting"
when = { operation = ["lifting", "lowering"] }
relation = "applies"
source = "own"
clause = "1"
[[rule]]
answers = "applies to place"
name = "yard and quay"
when = { place = ["onshore", "offshore"] }
relation = "applies"
source = "own"
clause = "1"
[[rule]]
answers = "applies to persons"
name = "loads only"
when = { "persons lifted" = "no" }
relation = "applies"
source = "own"
clause = "1"
"#;

fn rule(answers: &str, keys: &str) -> String {
    format!("[[rule]]\nanswers = \"{answers}\"\nname = \"{answers}\"\n{keys}\nsource = \"own\"\nclause = \"2\"\n")
}

fn basis(word: &str) -> String {
    rule("rating basis", &format!("relation = \"words\"\nwords = [\"{word}\"]"))
}

fn set(rules: &[String]) -> RuleSet {
    RuleSet::from_toml(&format!("{SCOPE}{}", rules.concat())).unwrap()
}

/// A load of this mass on two roundslings of 5 m that stand at an angle from vertical, in the plane of x and z.
fn two_legs(mass: &str, from_vertical: f64) -> Value {
    let reach = 5.0 * from_vertical.to_radians().sin();
    let point = |name: &str, x: f64| {
        json!({ "name": name, "position": [format!("{x} m"), "0 m", "0 m"], "rating": { "wll": "100 t", "source": "drawing 7" },
            "allowed_direction": { "axis": [0, 0, 1], "within": "80 deg", "source": "drawing 7" },
            "bearing_diameter": "100 mm", "bearing_width": "200 mm" })
    };
    let sling = |name: &str| {
        json!({ "name": name, "construction": "roundsling", "material": "polyester",
            "strength": { "wll": "5 t", "breaking_load": "35 t", "basis": "whole", "source": "tag" },
            "stiffness": { "law": { "ea": "4 MN" }, "basis": "whole", "condition": "bedded", "source": "record 3" },
            "width": "60 mm", "thickness": "9 mm",
            "length": { "value": "5 m", "measured": "whole_leg", "tolerance": "0 mm" }, "termination": "endless",
            "least_bend_diameter": { "value": "30 mm", "source": "data sheet" },
            "temperature_range": { "value": ["-40 degC", "100 degC"], "source": "data sheet" },
            "identity": name, "tag": { "legible": true, "wll": "5 t" }, "mass": "0 kg" })
    };
    let leg = |name: &str, point: &str, sling: &str| json!({ "name": name, "hitch": "straight", "path": [{ "end": "hook" }, { "end": point }], "items": [sling], "contacts": [] });
    json!({ "format": 1, "name": "crate", "gravity": "9.80665 m/s2",
        "operation": { "kind": "lifting", "persons_lifted": false, "region": "EU", "persons_below": false,
            "dynamic_analysis": "none", "consequence_of_failure": "total_loss" },
        "environment": { "location": "offshore", "temperature": ["10 degC", "20 degC"], "chemicals": [] },
        "load": { "name": "crate", "kind": "general",
            "mass": { "value": mass, "basis": "not_to_exceed", "source": "list" },
            "center_of_gravity": { "position": ["0 m", "0 m", "-1.5 m"], "tolerance": ["0 m", "0 m", "0 m"], "source": "list" },
            "allowed_tilt": { "value": "3 deg", "source": "method" },
            "lift_points": [point("P1", -reach), point("P2", reach)] },
        "hooks": [{ "name": "hook", "rating": { "wll": "200 t", "source": "plate" }, "bearing_diameter": "150 mm",
            "capacity_basis": "net_of_block" }],
        "slings": [sling("S1"), sling("S2")],
        "legs": [leg("L1", "P1", "S1"), leg("L2", "P2", "S2")] })
}

/// The same on one plumb leg.
fn one_leg(mass: &str) -> Value {
    let mut lift = two_legs(mass, 0.0);
    lift["load"]["lift_points"].as_array_mut().unwrap().truncate(1);
    lift["slings"].as_array_mut().unwrap().truncate(1);
    lift["legs"].as_array_mut().unwrap().truncate(1);
    lift
}

fn assess(lift: &Value, rules: &RuleSet) -> Assessment {
    Lift::from_json(&lift.to_string()).unwrap().assess(rules).unwrap()
}

fn of(assessment: &Assessment, code: Code) -> Vec<&Finding> {
    assessment.findings.iter().filter(|finding| finding.code == code).collect()
}

/// Conditions that the lift meets, each with one that it does not.
const STATED: [(&str, &str); 7] = [
    ("place = \"offshore\"", "place = \"onshore\""),
    ("operation = \"lifting\"", "operation = \"lowering\""),
    ("\"persons lifted\" = \"no\"", "\"persons lifted\" = \"yes\""),
    ("\"load kind\" = \"general\"", "\"load kind\" = \"offshore container\""),
    ("\"mass basis\" = \"not to exceed\"", "\"mass basis\" = \"weighed\""),
    ("\"consequence of failure\" = \"total loss\"", "\"consequence of failure\" = \"tolerable\""),
    ("\"dynamic analysis\" = \"none\"", "\"dynamic analysis\" = \"detailed\""),
];

#[test]
fn a_design_factor_is_asked_with_what_the_document_states_of_the_lift() {
    for (met, other) in STATED {
        let factor = |name: &str, when: &str, value: f64| {
            let keys = format!("{when}relation = \"constant\"\nvalue = {value}");
            rule("design factor", &keys).replace("name = \"design factor\"", &format!("name = \"{name}\""))
        };
        let rules = set(&[
            basis("breaking load divided by factor"),
            factor("elsewhere", &format!("when = {{ {other} }}\n"), 5.0),
            factor("here", &format!("when = {{ {met} }}\n"), 10.0),
        ]);
        let assessment = assess(&one_leg("3 t"), &rules);
        let found = of(&assessment, Code::SlingStrength)[0];
        let utilization = found.utilization.unwrap_or_else(|| panic!("{met}: {}", found.text));
        assert!((utilization - 3.0 / (35.0 / 10.0)).abs() < 1e-9, "{met}: {utilization}");
    }
}

#[test]
fn a_least_weight_of_items_is_asked_with_the_place() {
    let least =
        rule("least item weight", "when = { place = \"offshore\" }\nrelation = \"constant\"\nvalue = 3\nunit = \"t\"");
    let rules = set(&[basis("marked rating"), least]);
    let assessment = assess(&one_leg("1 t"), &rules);
    let utilization = of(&assessment, Code::SlingStrength)[0].utilization;
    // Silently light is the one thing it must not be.
    if let Some(utilization) = utilization {
        assert!(
            (utilization - 3.0 / 5.0).abs() < 1e-9,
            "a load of 1 t counts as 3 t at sea, and {utilization} was found"
        );
    } else {
        assert_eq!(assessment.verdict, Verdict::CannotConclude);
    }
}

#[test]
fn a_dynamic_factor_that_asks_for_the_operation_is_not_said_to_lack_the_place() {
    let factor = rule("dynamic factor", "when = { operation = \"lifting\" }\nrelation = \"constant\"\nvalue = 1.2");
    let rules = set(&[basis("marked rating"), factor]);
    let assessment = assess(&one_leg("2 t"), &rules);
    let missing: Vec<&str> =
        assessment.findings.iter().flat_map(|finding| &finding.missing).map(|missing| missing.place.as_str()).collect();
    assert!(!missing.contains(&"/environment/location"), "the place is stated: {missing:?}");
    let utilization = of(&assessment, Code::SlingStrength)[0].utilization.expect("the operation is stated");
    assert!((utilization - 1.2 * 2.0 / 5.0).abs() < 1e-9, "{utilization}");
}

#[test]
fn a_rating_that_is_met_to_the_last_digit_is_kept() {
    let rules = set(&[basis("marked rating")]);
    for mass in ["5 t", "5000 kg", "1 t", "0.1 t", "7.3 t", "12 t"] {
        let mut lift = one_leg(mass);
        lift["slings"][0]["strength"]["wll"] = json!(mass);
        lift["slings"][0]["strength"]["breaking_load"] = json!("100 t");
        lift["slings"][0]["tag"]["wll"] = json!(mass);
        let assessment = assess(&lift, &rules);
        let found = of(&assessment, Code::SlingStrength)[0];
        assert_eq!(found.verdict, Verdict::Pass, "{mass} on {mass}: {:?}", found.utilization);
    }
    // More than a rounding is more.
    let mut lift = one_leg("5.000001 t");
    lift["slings"][0]["stiffness"]["law"]["ea"] = json!("4 MN");
    assert_eq!(of(&assess(&lift, &rules), Code::SlingStrength)[0].verdict, Verdict::Fail);
}

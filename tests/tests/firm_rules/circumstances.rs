//! What a lift document states of operation, place and load reaches every rule of a firm's own, and a limit that is met is kept:
//! roundings decide nothing.

use super::{assess, basis, of, one_leg, rule, set};
use rigging_core::checks::{Code, Verdict};
use serde_json::json;

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

#[test]
fn what_is_sharp_is_asked_with_the_place() {
    let sharp = |place: &str, ratio: f64| {
        let keys = format!("when = {{ place = \"{place}\" }}\nrelation = \"constant\"\nvalue = {ratio}");
        rule("sharp edge ratio", &keys).replace("name = \"sharp edge ratio\"", &format!("name = \"{place}\""))
    };
    let mut lift = one_leg("1 t");
    lift["legs"][0]["contacts"] = json!([{ "name": "rail", "edge_radius": "12 mm" }]);
    // 9 mm thick: once that is 9 mm, three times it is 27 mm.
    for (offshore, verdict) in [(1.0, Verdict::Pass), (3.0, Verdict::Fail)] {
        let rules = set(&[basis("marked rating"), sharp("onshore", 4.0 - offshore), sharp("offshore", offshore)]);
        let assessment = assess(&lift, &rules);
        assert_eq!(of(&assessment, Code::Edge)[0].verdict, verdict, "{offshore}");
    }
}

//! What a lift document states of operation, place and load reaches every rule of a firm's own, and a limit that is met is kept:
//! roundings decide nothing.

use super::{assess, basis, of, one_leg, rule, set};
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::RuleSet;
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

/// Whatever a file says: the checks are not made for it.
#[test]
fn the_lifting_of_persons_never_passes() {
    let text = format!("{}{}", super::SCOPE, basis("marked rating"));
    let rules = RuleSet::from_toml(&text.replace("when = { \"persons lifted\" = \"no\" }\n", "")).unwrap();
    let mut lift = one_leg("3 t");
    assert_eq!(assess(&lift, &rules).verdict, Verdict::Pass);
    lift["operation"]["persons_lifted"] = json!(true);
    let assessment = assess(&lift, &rules);
    let place = |finding: &&&rigging_core::checks::Finding| finding.place.as_str() == "/operation/persons_lifted";
    let found = of(&assessment, Code::Applicability);
    let found = found.iter().find(place).unwrap();
    assert_eq!((found.verdict, assessment.verdict), (Verdict::CannotConclude, Verdict::CannotConclude));
    assert!(found.text.contains("not made for"), "{}", found.text);
}

#[test]
fn a_way_of_rating_that_is_kept_back_is_told_in_words() {
    let withheld = rule("rating basis", "relation = \"withheld\"\nwhy = \"ask the office for it\"");
    let assessment = assess(&one_leg("3 t"), &set(&[withheld]));
    let found = of(&assessment, Code::SlingStrength)[0];
    assert_eq!(found.verdict, Verdict::CannotConclude);
    assert!(found.text.contains("rating basis: ask the office for it (Instruction of the yard"), "{}", found.text);
    assert!(!found.text.contains('{'), "{}", found.text);
}

/// A leg that was forgotten leaves its gear behind.
#[test]
fn gear_that_no_leg_uses_is_told() {
    let rules = set(&[basis("marked rating")]);
    let unused = |lift: &serde_json::Value| -> Vec<String> {
        let assessment = assess(lift, &rules);
        let found = of(&assessment, Code::NotConsidered).into_iter();
        let told = found.filter(|finding| finding.text.contains("no leg"));
        told.map(|finding| format!("{} {}", finding.place, finding.item)).collect()
    };
    let mut lift = super::on_shackles(super::two_legs("3 t", 20.0));
    assert_eq!(unused(&lift), Vec::<String>::new());
    lift["legs"].as_array_mut().unwrap().truncate(1);
    let mut left = unused(&lift);
    left.sort();
    assert_eq!(left, ["/fittings/1 H2", "/load/lift_points/1 P2", "/slings/1 S2"]);
}

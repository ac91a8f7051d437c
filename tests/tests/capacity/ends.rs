//! What the ends of a sling leave of a table printed for others, and the strength of the fittings that a sling is made with.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Code, Finding, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

/// A table of 100 kN for these conditions, and the share after DGUV Regel 109-005: 12 percent less for a hand splice.
fn table(conditions: &[(&str, f64)], basis: &str, share: bool) -> RuleSet {
    let mut rules = format!(
        "[[rule]]\nanswers = \"rating basis\"\nname = \"way of rating\"\nrelation = \"words\"\nwords = [\"{basis}\"]\nsource = \
         \"note\"\nclause = \"2\"\n"
    );
    for (number, (condition, value)) in conditions.iter().enumerate() {
        rules += &format!(
            "[[rule]]\nanswers = \"rated value\"\nname = \"table {number}\"\nwhen = {{ \"taken from\" = \"table\", construction = \"wire \
             rope\", hitch = \"straight\", configuration = \"single leg\"{condition} }}\nrelation = \"constant\"\nvalue = {value}\nunit = \
             \"kN\"\nsource = \"note\"\nclause = \"3\"\n"
        );
    }
    if share {
        rules += "[[include]]\ndocument = \"de-dguv-109-005\"\n";
    }
    own("own-ropes", "", &rules)
}

fn rope(termination: &str) -> Value {
    let mut changes = Vec::new();
    for sling in 0..4 {
        for (key, value) in
            [("construction", "wire_rope"), ("material", "steel"), ("diameter", "26 mm"), ("termination", termination)]
        {
            changes.push((format!("/slings/{sling}/{key}"), json!(value)));
        }
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    changed("generator-skid-round-edge", &changes)
}

fn rated(termination: &str, rules: &RuleSet) -> f64 {
    let assessment = assess(&rope(termination), rules);
    let finding = first(&assessment, Code::SlingStrength);
    assert!(finding.capacity.as_ref().unwrap().is_coherent());
    capacity(finding)
}

#[test]
fn a_table_for_ferrules_is_lowered_for_a_hand_splice_and_for_no_other_end() {
    let ferrule = ", termination = [\"steel ferrule\", \"aluminum ferrule\"]";
    for (conditions, termination, kilonewtons) in [
        // Printed for ferrules: 100 kN, and 12 percent less for the hand splice.
        (vec![(ferrule, 100.0)], "steel_ferrule", 100.0),
        (vec![(ferrule, 100.0)], "hand_splice", 88.0),
        // Printed for whatever end: the same, for it says of the splice what it says of a ferrule.
        (vec![("", 100.0)], "steel_ferrule", 100.0),
        (vec![("", 100.0)], "hand_splice", 88.0),
        // Printed for the hand splice itself: nothing more is taken off.
        (vec![(ferrule, 100.0), (", termination = \"hand splice\"", 80.0)], "hand_splice", 80.0),
        (vec![(", termination = \"hand splice\"", 80.0)], "hand_splice", 80.0),
    ] {
        let found = rated(termination, &table(&conditions, "table", true));
        assert!((found - kilonewtons * 1e3).abs() < 1e-6, "{conditions:?}, {termination}: {found}");
    }
    // Without the document nothing is lowered, and a table for ferrules rates no hand splice: its marking is left.
    assert!((rated("hand_splice", &table(&[("", 100.0)], "table", false)) - 100e3).abs() < 1e-6);
    let assessment = assess(&rope("hand_splice"), &table(&[(ferrule, 100.0)], "table", false));
    assert_eq!(first(&assessment, Code::SlingStrength).verdict, Verdict::CannotConclude);
    // A resin socket is none that the share is for.
    let assessment = assess(&rope("resin_socket"), &table(&[(ferrule, 100.0)], "table", true));
    assert_eq!(first(&assessment, Code::SlingStrength).verdict, Verdict::CannotConclude);
}

#[test]
fn a_marking_is_that_of_the_sling_as_it_is_made() {
    let found = rated("hand_splice", &table(&[], "marked rating", true));
    assert!((found - 12_000.0 * GRAVITY).abs() < 1e-6, "{found}");
}

/// The skid on webbing, under the handbook that wants fittings of twice the rating of the sling.
fn web(keys: &[(&str, Value)]) -> Value {
    let mut changes = Vec::new();
    for sling in 0..4 {
        changes.push((format!("/slings/{sling}/construction"), json!("web")));
        changes.extend(keys.iter().map(|(key, value)| (format!("/slings/{sling}/{key}"), value.clone())));
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    changed("generator-skid-round-edge", &changes)
}

fn strength(value: &str) -> (&'static str, Value) {
    ("end_fitting_strength", json!({ "value": value, "source": "maker's data sheet DS-70" }))
}

fn told(document: &Value, rules: &str) -> Vec<Finding> {
    of(&assess(document, &built_in(rules)), Code::EndFittings).into_iter().cloned().collect()
}

#[test]
fn fittings_of_webbing_bear_twice_its_rating() {
    // The sling is marked 12 t: 24 t are needed, and 23.99 t are too little.
    for (value, verdict) in [("24.01 t", Verdict::Pass), ("24 t", Verdict::Pass), ("23.99 t", Verdict::Fail)] {
        let found = told(&web(&[("termination", json!("link")), strength(value)]), "us-doe-and-federal");
        assert_eq!((found.len(), found[0].verdict), (4, verdict), "{value}");
        let needed = found[0].demand.as_ref().unwrap();
        assert!((needed.value() - 24_000.0 * GRAVITY).abs() < 1e-6 && needed.is_coherent());
        assert_eq!(found[0].source.as_ref().unwrap().clause.as_str(), "11.3.5.c(1)");
    }
    let open = told(&web(&[("termination", json!("link"))]), "us-doe-and-federal");
    assert_eq!(
        (open[0].verdict, open[0].missing[0].place.as_str()),
        (Verdict::CannotConclude, "/slings/0/end_fitting_strength")
    );
    // Sewn eyes are no fittings.
    assert_eq!(told(&web(&[("termination", json!("sewn_eye"))]), "us-doe-and-federal")[0].verdict, Verdict::Pass);
    let open = told(&web(&[("termination", json!("unknown"))]), "us-doe-and-federal");
    assert_eq!(
        (open[0].verdict, open[0].missing[0].place.as_str()),
        (Verdict::CannotConclude, "/slings/0/termination")
    );
    // Another set says nothing of it, and the handbook says nothing of a roundsling.
    assert!(told(&web(&[("termination", json!("link"))]), "us-general").is_empty());
    assert!(told(&super::patching::demo("generator-skid-round-edge"), "us-doe-and-federal").is_empty());
}

#[test]
fn a_strength_of_nothing_or_without_its_source_is_refused() {
    for (value, source, code, key) in [
        ("0 t", "x", "out_of_domain", "value"),
        ("-1 kN", "x", "out_of_domain", "value"),
        ("1 t", " ", "missing", "source"),
    ] {
        let stated = json!({ "value": value, "source": source });
        let document = web(&[("end_fitting_strength", stated)]);
        let error = Lift::from_json(&document.to_string()).unwrap_err();
        let place = format!("/slings/0/end_fitting_strength/{key}");
        assert_eq!((error.code(), error.place().as_str()), (code, place.as_str()), "{value}");
    }
}

/// 0027/ND 7.8.5: the body of a sling over no less than its own diameter, whatever its eyes may. Where it passes over a hook it bends with
/// its body.
#[test]
fn what_passes_over_a_hook_bends_with_its_body() {
    let rope = [
        ("/slings/0/construction", json!("wire_rope")),
        ("/slings/0/material", json!("steel")),
        ("/slings/0/diameter", json!("38 mm")),
        ("/slings/0/core", json!("IWRC")),
        ("/slings/0/termination", json!("steel_ferrule")),
        ("/slings/0/service", json!("inspected_before_each_lift")),
        ("/slings/0/certification", json!("certified")),
        ("/slings/0/twisting_possible", json!(false)),
        ("/slings/0/stiffness/law/ea", json!("90.7 MN")),
        ("/slings/0/strength/breaking_load", json!("990 kN")),
        ("/slings/0/strength/wll", json!("unknown")),
        ("/slings/0/least_bend_diameter", json!("unknown")),
        ("/fittings/0/bow_diameter", json!("200 mm")),
        ("/fittings/1/bow_diameter", json!("200 mm")),
        ("/environment/location", json!("onshore")),
    ];
    for (hook, verdict) in [("37.9 mm", Verdict::Fail), ("38 mm", Verdict::Pass), ("20 mm", Verdict::Fail)] {
        let mut changes = rope.to_vec();
        changes.push(("/hooks/0/bearing_diameter", json!(hook)));
        let assessment = assess(&changed("pump-doubled-sling", &changes), &built_in("marine-0027-nd-2016"));
        let bend = first(&assessment, Code::Bend);
        assert_eq!((bend.verdict, bend.place.as_str()), (verdict, "/slings/0"), "{hook}: {}", bend.text);
        assert!(bend.item.as_str().ends_with("round crane hook"), "{}", bend.item);
        // Below it there is no factor either.
        let strength = first(&assessment, Code::SlingStrength);
        assert_eq!(strength.verdict == Verdict::CannotConclude, verdict == Verdict::Fail, "{hook}: {}", strength.text);
    }
}

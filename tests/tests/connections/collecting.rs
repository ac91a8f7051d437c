//! Fittings that collect several legs.

use super::patching::{demo, remove, set};
use super::{
    GRAVITY, SKID, assessed, bands, capacity, collecting, exact, found, lift, ring, with_master_link, with_plate,
};
use approx::assert_relative_eq;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::demand::Forces;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::LegsCounted;
use serde_json::{Value, json};
use std::f64::consts::FRAC_PI_2;

// ---------------------------------------------------------------- fittings that collect legs

#[test]
fn a_master_link_bears_all_legs() {
    let before = assessed(&demo(SKID), "us-general");
    let assessment = assessed(&with_master_link(), "us-general");
    let weight = 18_500.0 * GRAVITY;
    let strength = found(&assessment, Code::FittingStrength, "master link");
    // One hook: whatever the legs share, their resultant is the weight of the load.
    assert_relative_eq!(strength.demand.as_ref().unwrap().value(), weight, max_relative = 1e-9);
    assert_relative_eq!(capacity(strength), 21_000.0 * GRAVITY, max_relative = 1e-12);
    // The widest angle is that of opposite legs; no leg pair spreads more than twice the flattest leg.
    let spread = found(&assessment, Code::IncludedAngle, "master link").demand.as_ref().unwrap().value();
    let flattest = assessment.legs.iter().map(|leg| leg.angle_from_vertical).fold(0.0, f64::max);
    let steepest = assessment.legs.iter().map(|leg| leg.angle_from_vertical).fold(FRAC_PI_2, f64::min);
    assert!(spread < 2.0 * flattest && spread > steepest, "{}", spread.to_degrees());
    // Four slings of 70 mm side by side.
    let room = found(&assessment, Code::Fit, "master link");
    assert_relative_eq!(room.demand.as_ref().unwrap().value(), 0.28, max_relative = 1e-12);
    assert_eq!(room.verdict, Verdict::Pass);
    assert_eq!(found(&assessment, Code::Identity, "master link").verdict, Verdict::Pass);
    // It hangs on the hook with the rest of the gear, and changes no leg.
    let hook =
        |assessment: &Assessment| found(assessment, Code::HookLoad, "crane hook").demand.as_ref().unwrap().value();
    assert_relative_eq!(hook(&assessment) - hook(&before), 31.0 * GRAVITY, max_relative = 1e-9);
    assert_eq!(assessment.legs, before.legs);
}

#[test]
fn what_a_collecting_fitting_lacks_or_exceeds_is_told() {
    let verdict = |pointer: &str, value: Option<Value>, code: Code| {
        let mut document = with_master_link();
        match value {
            Some(value) => set(&mut document, pointer, value),
            None => drop(remove(&mut document, pointer)),
        }
        let assessment = assessed(&document, "us-general");
        found(&assessment, code, "master link").verdict
    };
    assert_eq!(verdict("/fittings/4/greatest_included_angle", None, Code::IncludedAngle), Verdict::CannotConclude);
    assert_eq!(
        verdict("/fittings/4/greatest_included_angle/value", Some(json!("30 deg")), Code::IncludedAngle),
        Verdict::Fail
    );
    assert_eq!(verdict("/fittings/4/inside_width", Some(json!("279 mm")), Code::Fit), Verdict::Fail);
    assert_eq!(verdict("/fittings/4/inside_width", None, Code::Fit), Verdict::CannotConclude);
    assert_eq!(verdict("/fittings/4/rating/wll", Some(json!("18 t")), Code::FittingStrength), Verdict::Fail);
    assert_eq!(verdict("/fittings/4/rating", None, Code::FittingStrength), Verdict::CannotConclude);
    assert_eq!(verdict("/fittings/4/tag/legible", Some(json!(false)), Code::Identity), Verdict::Fail);
    assert_eq!(verdict("/fittings/4/tag/wll", Some(json!("22 t")), Code::Identity), Verdict::CannotConclude);
}

#[test]
fn a_sling_bends_round_the_fitting_that_collects_it() {
    // The makers ask for 40 mm; the hook has 140 mm, and no sling lies on it.
    let bend = |document: &Value, item: &str| found(&assessed(document, "us-general"), Code::Bend, item).clone();
    let (link, item) = ("/fittings/4/bow_diameter", "roundsling A round master link");
    for (bow, verdict) in [("40.1 mm", Verdict::Pass), ("39.9 mm", Verdict::Fail)] {
        let mut document = with_master_link();
        set(&mut document, link, json!(bow));
        assert_eq!(bend(&document, item).verdict, verdict, "{bow}");
        assert!(
            assessed(&document, "us-general")
                .findings
                .iter()
                .all(|finding| !finding.item.contains("crane hook") || finding.code != Code::Bend)
        );
    }
    let mut document = with_master_link();
    remove(&mut document, link);
    let lacking = bend(&document, item);
    assert_eq!((lacking.verdict, lacking.missing[0].place.as_str()), (Verdict::CannotConclude, link));
    // At a lug likewise, whatever is stated of the lug.
    let mut document = collecting(&demo(SKID));
    set(&mut document, "/load/lift_points/1/bearing_diameter", json!("400 mm"));
    set(&mut document, "/fittings/1/bow_diameter", json!("30 mm"));
    assert_eq!(bend(&document, "roundsling B round shackle B").verdict, Verdict::Fail);
    remove(&mut document, "/fittings/1/bow_diameter");
    assert_eq!(bend(&document, "roundsling B round shackle B").missing[0].place.as_str(), "/fittings/1/bow_diameter");
    // And in a ring between slings.
    let mut document = ring();
    for sling in 0..3 {
        set(
            &mut document,
            &format!("/slings/{sling}/least_bend_diameter"),
            json!({ "value": "30 mm", "source": "data sheet" }),
        );
    }
    assert_eq!(bend(&document, "left round ring R-2").missing[0].place.as_str(), "/fittings/0/bow_diameter");
    for (bow, verdict) in [("31 mm", Verdict::Pass), ("29 mm", Verdict::Fail)] {
        set(&mut document, "/fittings/0/bow_diameter", json!(bow));
        assert_eq!(bend(&document, "left round ring R-2").verdict, verdict, "{bow}");
    }
}

#[test]
fn a_rope_in_a_ring_is_rated_for_the_bend_round_the_ring() {
    let sling = demo("tool-skid-offshore")["slings"][0]["name"].as_str().unwrap().to_owned();
    let allowed =
        |document: &Value| capacity(found(&assessed(document, "marine-0027-nd-2016"), Code::SlingStrength, &sling));
    let mut on_hook = demo("tool-skid-offshore");
    let fittings = on_hook["fittings"].as_array().unwrap().len();
    let mut in_ring = on_hook.clone();
    set(&mut on_hook, "/hooks/0/bearing_diameter", json!("38 mm"));
    set(&mut in_ring, "/hooks/0/fitting", json!("ring R-5"));
    let ring = json!({ "name": "ring R-5", "kind": "ring", "rating": { "wll": "50 t", "source": "marking" }, "bow_diameter": "38 mm", "mass": "9 kg" });
    set(&mut in_ring, &format!("/fittings/{fittings}"), ring);
    assert_relative_eq!(allowed(&in_ring), allowed(&on_hook), max_relative = 1e-12);
    assert!(allowed(&in_ring) < allowed(&demo("tool-skid-offshore")));
}

#[test]
fn a_shackle_that_collects_legs_goes_where_it_is() {
    let fit = |item: &str, change: &[(&str, Option<Value>)]| {
        let mut document = collecting(&with_plate());
        for (pointer, value) in change {
            match value {
                Some(value) => set(&mut document, pointer, value.clone()),
                None => drop(remove(&mut document, pointer)),
            }
        }
        found(&assessed(&document, "us-general"), Code::Fit, item).verdict
    };
    // A pin of 38 mm in a hole of 40 mm, a plate of 30 mm between jaws of 51 mm, a sling of 70 mm in a bow of 92 mm.
    let pin = "pin of shackle B in lug B";
    assert_eq!(fit(pin, &[]), Verdict::Pass);
    assert_eq!(fit(pin, &[("/fittings/1/pin_diameter", Some(json!("41 mm")))]), Verdict::Fail);
    assert_eq!(fit(pin, &[("/fittings/1/pin_diameter", None)]), Verdict::CannotConclude);
    assert_eq!(fit(pin, &[("/load/lift_points/1/hole_diameter", None)]), Verdict::CannotConclude);
    let jaws = "lug B between the jaws of shackle B";
    assert_eq!(fit(jaws, &[]), Verdict::Pass);
    assert_eq!(fit(jaws, &[("/fittings/1/jaw_width", Some(json!("29 mm")))]), Verdict::Fail);
    assert_eq!(fit(jaws, &[("/fittings/1/jaw_width", None)]), Verdict::CannotConclude);
    assert_eq!(fit("shackle B", &[]), Verdict::Pass);
    assert_eq!(fit("shackle B", &[("/fittings/1/inside_width", Some(json!("69 mm")))]), Verdict::Fail);
}

#[test]
fn a_shackle_that_collects_legs_bears_what_is_left_along_its_pin() {
    let mut document = exact();
    set(&mut document, "/load/lift_points/1/hole_axis", json!([2, 0, 0]));
    let said = |document: &Value| found(&assessed(document, "us-general"), Code::SideLoad, "shackle B").clone();
    assert_eq!(said(&collecting(&document)).verdict, Verdict::CannotConclude);
    // One leg pulls it as it pulls a shackle of its own.
    set(&mut document, "/fittings/1/side_load", bands("60 deg"));
    let (own, collects) = (said(&document), said(&collecting(&document)));
    assert_relative_eq!(capacity(&own), 0.7 * 13_500.0 * GRAVITY, max_relative = 1e-12);
    assert_relative_eq!(capacity(&collects), capacity(&own), max_relative = 1e-12);
    let demand = |finding: &Finding| finding.demand.as_ref().unwrap().value();
    assert_relative_eq!(demand(&collects), demand(&own), max_relative = 1e-9);
    // Where a rule speaks of side loads, the direction of the hole is asked for.
    let asked = assessed(&collecting(&demo(SKID)), "us-practice");
    let asked = found(&asked, Code::SideLoad, "shackle B").missing[0].place.clone();
    assert_eq!(asked.as_str(), "/load/lift_points/1/hole_axis");
    assert!(assessed(&collecting(&demo(SKID)), "us-general").findings.iter().all(|one| one.code != Code::SideLoad));
}

/// 8 t under one lug in a shackle; a leg at 30 degrees to either side, along the pin.
fn two_legs_in_a_shackle() -> Value {
    let mut document = ring();
    let hook = |name: &str, x: &str| json!({ "name": name, "position": [x, "0 m", "3 m"] });
    let leg = |name: &str, from: &str, item: &str| json!({ "name": name, "hitch": "straight", "path": [{ "end": from }, { "end": "lug" }], "items": [item], "contacts": [] });
    set(&mut document, "/joints", json!([]));
    set(&mut document, "/hooks", json!([hook("one", "-1.7320508075688772 m"), hook("other", "1.7320508075688772 m")]));
    set(&mut document, "/legs", json!([leg("left leg", "one", "left"), leg("right leg", "other", "right")]));
    for sling in [1, 2] {
        set(&mut document, &format!("/slings/{sling}/length/value"), json!("3.4641016151377544 m"));
    }
    let lug =
        json!({ "name": "lug", "position": ["0 m", "0 m", "0 m"], "hole_axis": [1, 0, 0], "fitting": "ring R-2" });
    set(&mut document, "/load/lift_points", json!([lug]));
    set(&mut document, "/fittings/0/kind", json!("bow_shackle"));
    set(&mut document, "/fittings/0/side_load", bands("46 deg"));
    document
}

#[test]
fn the_resultant_decides_how_far_a_collecting_shackle_is_pulled_along_its_pin() {
    let mut document = two_legs_in_a_shackle();
    let said = |document: &Value| found(&assessed(document, "us-general"), Code::SideLoad, "ring R-2").clone();
    // The legs lean along the pin, and together they pull across it.
    let finding = said(&document);
    assert_relative_eq!(capacity(&finding), 5_000.0 * GRAVITY, max_relative = 1e-12);
    assert_relative_eq!(finding.demand.as_ref().unwrap().value(), 4_000.0 * GRAVITY, max_relative = 1e-6);
    // A pin that slopes at 45 degrees.
    set(&mut document, "/load/lift_points/0/hole_axis", json!([1, 0, 1]));
    assert_relative_eq!(capacity(&said(&document)), 0.7 * 5_000.0 * GRAVITY, max_relative = 1e-12);
    set(&mut document, "/fittings/0/side_load", bands("44 deg"));
    assert_eq!(said(&document).verdict, Verdict::CannotConclude);
}

#[test]
fn by_a_rule_the_sizes_of_the_pulls_are_added() {
    let lift = lift(&with_master_link());
    let rules = RuleSet::built_in("us-general").unwrap();
    let assessment = lift.assess_by(&rules, Forces::Rule(&LegsCounted::two())).unwrap();
    let asked = found(&assessment, Code::FittingStrength, "master link").demand.as_ref().unwrap().value();
    let sum: f64 = assessment.by_rule.as_ref().unwrap().moving.iter().sum();
    assert_relative_eq!(asked, sum, max_relative = 1e-12);
}

#[test]
fn a_ring_between_slings_bears_what_hangs_from_it() {
    let assessment = assessed(&ring(), "us-general");
    let strength = found(&assessment, Code::FittingStrength, "ring R-2");
    assert_relative_eq!(strength.demand.as_ref().unwrap().value(), 4_000.0 * GRAVITY, max_relative = 1e-6);
    let missing = found(&assessment, Code::IncludedAngle, "ring R-2");
    assert_eq!(missing.verdict, Verdict::CannotConclude);
    // A stiff sling hardly stretches: a right angle to a hundredth of a degree.
    assert!(missing.text.contains("up to 90.0") || missing.text.contains("up to 89.9"), "{}", missing.text);
    // Three slings of 50 mm bear on it.
    let room = found(&assessment, Code::Fit, "ring R-2");
    assert_relative_eq!(room.demand.as_ref().unwrap().value(), 0.15, max_relative = 1e-12);
}

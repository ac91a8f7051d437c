//! How items are joined: plates round pins, pulls off the line of a rating, fittings that collect several legs, and papers
//! that disagree. Expected figures are worked out here from geometry and printed equations.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_relative_eq;
use patching::{demo, remove, set};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::demand::Forces;
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::LegsCounted;
use serde_json::{Value, json};
use std::f64::consts::{FRAC_PI_2, PI};

const GRAVITY: f64 = 9.806_65;
const SKID: &str = "generator-skid-round-edge";

fn lift(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

fn assessed(document: &Value, rules: &str) -> Assessment {
    lift(document).assess(&RuleSet::built_in(rules).unwrap()).unwrap()
}

fn found<'a>(assessment: &'a Assessment, code: Code, item: &str) -> &'a Finding {
    let mut found = assessment.findings.iter().filter(|finding| finding.code == code && finding.item == item);
    let first = found.next().unwrap_or_else(|| panic!("no {} of {item}", code.text()));
    assert!(found.next().is_none(), "one {} of {item}", code.text());
    first
}

fn capacity(finding: &Finding) -> f64 {
    finding.capacity.as_ref().unwrap_or_else(|| panic!("{}", finding.text)).value()
}

// ---------------------------------------------------------------- plates

/// A plate for the pin of 38 mm in the hole of 40 mm: 95 % of it, so that the pin counts as filling its hole.
fn plate() -> Value {
    json!({
        "edge_distance_along": "40 mm", "edge_distance_across": "45 mm", "outer_radius": "62 mm", "edge": "curved",
        "yield_strength": { "value": "355 MPa", "source": "mill sheet MS-9" },
        "tensile_strength": { "value": "490 MPa", "source": "mill sheet MS-9" },
        "nominal_design_factor": { "value": 2.0, "source": "design brief LB-2" }
    })
}

fn with_plate() -> Value {
    let mut document = demo(SKID);
    set(&mut document, "/load/lift_points/1/pin_plate", plate());
    set(&mut document, "/load/lift_points/1/hole_diameter", json!("40 mm"));
    set(&mut document, "/load/lift_points/1/thickness", json!("30 mm"));
    set(&mut document, "/fittings/1/jaw_width", json!("51 mm"));
    document
}

/// ASME BTH-1-2008, eqs. (3-45) to (3-53), in newtons and meters, for a pin that fills its hole.
fn by_hand() -> [(&'static str, f64); 4] {
    let (pin, hole, along) = (0.038_f64, 0.040_f64, 0.040_f64);
    let (across, radius, thickness) = (0.045_f64, 0.062_f64, 0.030_f64);
    let (fy, fu, nd) = (355e6, 490e6, 2.0);
    let effective = (4.0 * thickness).min(across).min(0.6 * across * fu / fy * (hole / across).sqrt());
    let tension = fu / (1.2 * nd) * 2.0 * thickness * effective;
    let fracture = fu / (1.2 * nd) * (1.13 * (radius - hole / 2.0) + 0.92 * across / (1.0 + across / hole)) * thickness;
    let angle = 55.0 * pin / hole * PI / 180.0;
    let lost = radius - (radius * radius - (pin / 2.0 * angle.sin()).powi(2)).sqrt();
    let shear = 0.70 * fu / (1.2 * nd) * 2.0 * (along + pin / 2.0 * (1.0 - angle.cos()) - lost) * thickness;
    let bearing = 1.25 * fy / nd * pin * thickness;
    [
        ("pin plate tension", tension),
        ("pin plate fracture", fracture),
        ("pin plate shear", shear),
        ("pin plate bearing", bearing),
    ]
}

#[test]
fn a_plate_is_held_against_each_equation_of_the_standard() {
    let assessment = assessed(&with_plate(), "bth-1-2008");
    for (limit, expected) in by_hand() {
        let finding = found(&assessment, Code::PinPlate, &format!("lug B, {limit}"));
        assert_relative_eq!(capacity(finding), expected, max_relative = 1e-12);
        assert_relative_eq!(finding.demand.as_ref().unwrap().value(), assessment.legs[1].worst, max_relative = 1e-15);
        assert_eq!(finding.source.as_ref().unwrap().clause.as_str(), "3-3.3, eqs. (3-45) to (3-53)");
    }
}

#[test]
fn what_a_plate_lacks_is_named_where_it_belongs() {
    let lacks = [
        ("/load/lift_points/1/pin_plate/edge_distance_along", "pin plate shear"),
        ("/load/lift_points/1/pin_plate/edge_distance_across", "pin plate tension"),
        ("/load/lift_points/1/pin_plate/outer_radius", "pin plate fracture"),
        ("/load/lift_points/1/pin_plate/edge", "pin plate shear"),
        ("/load/lift_points/1/pin_plate/yield_strength", "pin plate bearing"),
        ("/load/lift_points/1/pin_plate/tensile_strength", "pin plate tension"),
        ("/load/lift_points/1/pin_plate/nominal_design_factor", "pin plate bearing"),
        ("/load/lift_points/1/thickness", "pin plate bearing"),
        ("/load/lift_points/1/hole_diameter", "pin plate tension"),
        ("/fittings/1/pin_diameter", "pin plate tension"),
    ];
    for (pointer, limit) in lacks {
        let mut document = with_plate();
        remove(&mut document, pointer);
        let assessment = assessed(&document, "bth-1-2008");
        let finding = found(&assessment, Code::PinPlate, &format!("lug B, {limit}"));
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{pointer}");
        assert_eq!(finding.missing[0].place.as_str(), pointer, "{}", finding.text);
        let key = pointer.rsplit('/').next().unwrap();
        assert!(finding.missing[0].add.starts_with(&format!("\"{key}\":")), "{}", finding.missing[0].add);
    }
}

#[test]
fn a_way_to_fail_that_the_rules_leave_out_is_not_passed_over() {
    let edition_2005 = |pin_over_hole: bool, edge: &str| {
        let mut document = with_plate();
        set(&mut document, "/load/lift_points/1/pin_plate/edge", json!(edge));
        if pin_over_hole {
            set(&mut document, "/load/lift_points/1/hole_diameter", json!("44 mm"));
        }
        let set = "format = 1\nname = \"set\"\ntitle = \"A set\"\nedition = \"2026\"\nstatus = \"in force\"\n\
                   include = [{ document = \"us-general\" }, { document = \"bth-1-2005\" }]\n";
        lift(&document).assess(&RuleSet::from_toml(set).unwrap()).unwrap()
    };
    // Of a pin of 38 mm in 44 mm (0.86) that edition has no tension, of a curved edge no shear, and of none fracture.
    for (clearance, edge, open) in [
        (true, "curved", &["tension", "fracture", "shear"][..]),
        (true, "straight", &["tension", "fracture"]),
        (false, "curved", &["fracture", "shear"]),
        (false, "straight", &["fracture"]),
    ] {
        let assessment = edition_2005(clearance, edge);
        for limit in ["tension", "fracture", "shear", "bearing"] {
            let finding = found(&assessment, Code::PinPlate, &format!("lug B, pin plate {limit}"));
            let is_open = finding.verdict == Verdict::CannotConclude;
            assert_eq!(is_open, open.contains(&limit), "{clearance}, {edge}, {limit}: {}", finding.text);
            if is_open {
                assert!(finding.text.contains(limit) && finding.demand.is_some(), "{}", finding.text);
            }
        }
        assert_eq!(assessment.verdict, Verdict::CannotConclude);
    }
}

#[test]
fn the_weight_of_the_gear_counts_for_a_plate() {
    let mut document = with_plate();
    let least = |assessment: &Assessment| {
        let plates = assessment.findings.iter().filter(|finding| finding.code == Code::PinPlate);
        plates
            .max_by(|one, other| one.utilization.partial_cmp(&other.utilization).unwrap())
            .unwrap()
            .utilization
            .unwrap()
    };
    let factor = 2.0 / least(&assessed(&document, "bth-1-2008"));
    for (beyond, verdict) in [(1.0005, Verdict::CannotConclude), (1.02, Verdict::Pass)] {
        let pointer = "/load/lift_points/1/pin_plate/nominal_design_factor/value";
        set(&mut document, pointer, json!(factor / beyond));
        let assessment = assessed(&document, "bth-1-2008");
        let gear = assessment.findings.iter().find(|finding| finding.code == Code::OwnWeight).unwrap();
        assert_eq!(gear.verdict, verdict, "{}", gear.text);
        // The plate is of the leg that ends in it.
        assert_relative_eq!(assessment.legs[1].utilization.unwrap(), 1.0 / beyond, max_relative = 1e-12);
    }
}

#[test]
fn rules_without_equations_do_not_judge_a_plate() {
    let assessment = assessed(&with_plate(), "us-general");
    assert_eq!(found(&assessment, Code::PinPlate, "lug B").verdict, Verdict::NotCovered);
    assert!(assessed(&demo(SKID), "bth-1-2008").findings.iter().all(|finding| finding.code != Code::PinPlate));
}

#[test]
fn a_plate_goes_between_the_jaws() {
    let fit = |document: &Value| {
        let assessment = assessed(document, "us-general");
        found(&assessment, Code::Fit, "lug B between the jaws of shackle B").verdict
    };
    let mut document = with_plate();
    assert_eq!(fit(&document), Verdict::Pass);
    set(&mut document, "/fittings/1/jaw_width", json!("29 mm"));
    assert_eq!(fit(&document), Verdict::Fail);
    remove(&mut document, "/fittings/1/jaw_width");
    assert_eq!(fit(&document), Verdict::CannotConclude);
}

#[test]
fn cheek_plates_go_between_the_jaws_with_the_plate() {
    // A plate of 30 mm between jaws of 51 mm leaves 10.5 mm for the cheeks of either side.
    for (cheeks, verdict, offset) in [
        ("10.4 mm", Verdict::Pass, Verdict::NotCovered),
        ("10.6 mm", Verdict::Fail, Verdict::CannotConclude),
        ("20 mm", Verdict::Fail, Verdict::CannotConclude),
    ] {
        let mut document = with_plate();
        set(&mut document, "/load/lift_points/1/pin_plate/cheek_thickness", json!(cheeks));
        for document in [collecting(&document), document] {
            let assessment = assessed(&document, "us-general");
            assert_eq!(
                found(&assessment, Code::Fit, "lug B between the jaws of shackle B").verdict,
                verdict,
                "{cheeks}"
            );
            assert_eq!(found(&assessment, Code::PinOffset, "shackle B").verdict, offset, "{cheeks}");
        }
    }
}

// ---------------------------------------------------------------- off the line

/// The skid with exact lengths and center of gravity: one state.
fn exact() -> Value {
    let mut document = demo(SKID);
    for sling in 0..4 {
        set(&mut document, &format!("/slings/{sling}/length/tolerance"), json!("0 mm"));
    }
    set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    document
}

/// The pull of leg B on the skid as it hangs, in its own frame, of unit length.
fn pull(assessment: &Assessment) -> [f64; 3] {
    let nominal = &assessment.demand.as_ref().unwrap().nominal;
    let pull = nominal.bodies[0].rotation.inverse() * nominal.members[1].direction;
    pull.to_array()
}

fn bands(last: &str) -> Value {
    json!({ "value": [{ "up_to": "5 deg", "share": "100 %" }, { "up_to": last, "share": "70 %" }], "source": "maker's sheet SB-3" })
}

#[test]
fn a_shackle_pulled_along_its_pin_bears_what_its_maker_leaves() {
    let mut document = exact();
    // The holes of the lugs lie along the skid, so that the legs pull the shackles sideways.
    set(&mut document, "/load/lift_points/1/hole_axis", json!([2, 0, 0]));
    let angle = pull(&assessed(&document, "us-general"))[0].abs().asin();
    assert!(angle > 0.1);
    let said = |document: &Value| found(&assessed(document, "us-general"), Code::SideLoad, "shackle B").clone();
    // Nobody says what is left of it.
    assert_eq!(said(&document).verdict, Verdict::CannotConclude);
    set(&mut document, "/fittings/1/side_load", bands("60 deg"));
    let finding = said(&document);
    assert_relative_eq!(capacity(&finding), 0.7 * 13_500.0 * GRAVITY, max_relative = 1e-12);
    let chain = finding.capacity.unwrap();
    let share = &chain.steps.last().unwrap().term;
    assert_eq!(share.inputs[0].value.as_str(), format!("{:.2} deg", angle.to_degrees()));
    // At the end of the first band, just within and just beyond it.
    let degrees = angle.to_degrees();
    for (end, share) in [(degrees * (1.0 + 1e-12), 1.0), (degrees * (1.0 - 1e-12), 0.7)] {
        set(&mut document, "/fittings/1/side_load/value/0/up_to", json!(format!("{end} deg")));
        assert_relative_eq!(capacity(&said(&document)), share * 13_500.0 * GRAVITY, max_relative = 1e-12);
    }
    // Beyond the last nothing is said.
    set(&mut document, "/fittings/1/side_load", bands("6 deg"));
    assert_eq!(said(&document).verdict, Verdict::CannotConclude);
    // A hole across the skid lets the shackle turn into the pull.
    set(&mut document, "/load/lift_points/1/hole_axis", json!([0, 1, 0]));
    let across = pull(&assessed(&document, "us-general"))[1].abs().asin().to_degrees();
    assert!(said(&document).text.contains("rated capacity") || across < degrees, "{}", said(&document).text);
}

#[test]
fn a_rule_for_side_loads_asks_for_the_hole() {
    let assessment = assessed(&demo(SKID), "us-practice");
    let finding = found(&assessment, Code::SideLoad, "shackle B");
    assert_eq!(finding.missing[0].place.as_str(), "/load/lift_points/1/hole_axis");
    // Where no rule and no maker speaks of them, nothing is asked.
    assert!(assessed(&demo(SKID), "us-general").findings.iter().all(|finding| finding.code != Code::SideLoad));
    // Within 5 degrees a shackle counts as in line under one state's rules; beyond, the reduction was not seen.
    let mut document = exact();
    set(&mut document, "/load/lift_points/1/hole_axis", json!([1, 0, 0]));
    let off = assessed(&document, "us-washington");
    assert_eq!(found(&off, Code::SideLoad, "shackle B").verdict, Verdict::CannotConclude);
    let [x, y, _] = pull(&off);
    set(&mut document, "/load/lift_points/1/hole_axis", json!([-y, x, 0.0]));
    assert_eq!(found(&assessed(&document, "us-washington"), Code::SideLoad, "shackle B").verdict, Verdict::Pass);
}

#[test]
fn a_lift_point_off_its_axis_bears_what_its_maker_leaves() {
    let mut document = exact();
    let angle = pull(&assessed(&document, "us-general"))[2].acos().to_degrees();
    for (end, share) in [(angle * (1.0 + 1e-12), 1.0), (angle * (1.0 - 1e-12), 0.25)] {
        let shares = json!({ "value": [{ "up_to": format!("{end} deg"), "share": "100 %" }, { "up_to": "45 deg", "share": "25 %" }], "source": "maker's sheet EP-1" });
        set(&mut document, "/load/lift_points/1/allowed_direction/shares", shares);
        let assessment = assessed(&document, "us-general");
        assert_relative_eq!(
            capacity(found(&assessment, Code::SideLoad, "lug B")),
            share * 15_000.0 * GRAVITY,
            max_relative = 1e-12
        );
        // The leg is as good as its weakest item.
        assert_relative_eq!(
            assessment.legs[1].allowed.unwrap(),
            12_000.0_f64.min(share * 15_000.0) * GRAVITY,
            max_relative = 1e-12
        );
    }
}

// ---------------------------------------------------------------- fittings that collect legs

fn with_master_link() -> Value {
    let mut document = demo(SKID);
    set(&mut document, "/hooks/0/fitting", json!("master link"));
    let link = json!({
        "name": "master link", "kind": "ring", "rating": { "wll": "21 t", "source": "marking ML-4" },
        "inside_width": "280 mm", "bow_diameter": "42 mm", "identity": "ML-4", "tag": { "legible": true, "wll": "21 t" }, "mass": "31 kg",
        "greatest_included_angle": { "value": "120 deg", "source": "maker's sheet ML" }
    });
    set(&mut document, "/fittings/4", link);
    document
}

/// A document of the skid with its shackles named by the lugs instead of the legs.
fn collecting(document: &Value) -> Value {
    let mut document = document.clone();
    for (index, name) in ["A", "B", "C", "D"].into_iter().enumerate() {
        set(&mut document, &format!("/load/lift_points/{index}/fitting"), json!(format!("shackle {name}")));
        set(&mut document, &format!("/legs/{index}/items"), json!([format!("roundsling {name}")]));
    }
    document
}

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

/// 4 t under two legs to a ring, the ring on one sling to the hook; the legs stand at 45 degrees.
fn ring() -> Value {
    let sling = |name: &str, length: &str| {
        json!({ "name": name, "construction": "roundsling", "material": "polyester", "width": "50 mm", "mass": "3 kg",
            "strength": { "wll": "6 t", "basis": "whole", "source": "tag" },
            "stiffness": { "law": { "ea": "4000 MN" }, "basis": "whole", "source": "invented" },
            "length": { "value": length, "measured": "whole_leg", "tolerance": "0 mm" } })
    };
    let point = |name: &str, x: &str| json!({ "name": name, "position": [x, "0 m", "0 m"] });
    let leg = |name: &str, from: &str, to: &str, item: &str| json!({ "name": name, "hitch": "straight", "path": [{ "end": from }, { "end": to }], "items": [item], "contacts": [] });
    json!({
        "format": 1, "name": "two legs in a ring", "gravity": "9.80665 m/s2",
        "load": { "name": "beam", "mass": { "value": "4 t", "basis": "not_to_exceed", "source": "tag" },
            "center_of_gravity": { "position": ["0 m", "0 m", "-0.5 m"], "tolerance": ["0 m", "0 m", "0 m"], "source": "drawing" },
            "lift_points": [point("west", "-2 m"), point("east", "2 m")] },
        "hooks": [{ "name": "hook", "position": ["0 m", "0 m", "5 m"] }],
        "joints": [{ "name": "ring", "position": ["0 m", "0 m", "2 m"], "fitting": "ring R-2" }],
        "slings": [sling("top", "3 m"), sling("left", "2.82842712474619 m"), sling("right", "2.82842712474619 m")],
        "fittings": [{ "name": "ring R-2", "kind": "ring", "rating": { "wll": "5 t", "source": "marking" },
            "inside_width": "160 mm", "mass": "4 kg" }],
        "legs": [leg("up", "hook", "ring", "top"), leg("left leg", "ring", "west", "left"), leg("right leg", "ring", "east", "right")]
    })
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

// ---------------------------------------------------------------- passed over

/// 4 t under two slings, each from the hook over a shackle at a lug and back, at 30 degrees.
fn over() -> Value {
    let mut document = ring();
    let leg = |name: &str, over: &str, item: &str| {
        json!({ "name": name, "hitch": "straight", "items": [item], "contacts": [], "path": [
        { "end": "hook" },
        { "over": { "station": over, "bearing_diameter": "50 mm", "friction": { "value": [0.1, 0.3], "source": "trial" } } },
        { "end": "hook" }] })
    };
    set(&mut document, "/joints", json!([]));
    set(&mut document, "/legs", json!([leg("left leg", "west", "left"), leg("right leg", "east", "right")]));
    for sling in [1, 2] {
        set(&mut document, &format!("/slings/{sling}/length/value"), json!("8 m"));
        let point = format!("/load/lift_points/{}", sling - 1);
        set(&mut document, &format!("{point}/rating"), json!({ "wll": "20 t", "source": "drawing" }));
        set(
            &mut document,
            &format!("{point}/allowed_direction"),
            json!({ "axis": [0, 0, 1], "within": "60 deg", "source": "drawing" }),
        );
        set(&mut document, &format!("{point}/fitting"), json!(format!("shackle {sling}")));
        let shackle = json!({ "name": format!("shackle {sling}"), "kind": "bow_shackle", "rating": { "wll": "5 t", "source": "marking" },
            "pin_diameter": "38 mm", "inside_width": "60 mm", "mass": "4 kg" });
        set(&mut document, &format!("/fittings/{sling}"), shackle);
    }
    document
}

/// The pull on either lug, in newtons.
fn pull_over() -> f64 {
    4_000.0 * GRAVITY / (2.0 * (PI / 6.0).cos())
}

#[test]
fn a_plate_that_a_sling_passes_over_is_checked() {
    let mut document = over();
    let mut weak = plate();
    set(&mut weak, "/nominal_design_factor/value", json!(24.0));
    let point = "/load/lift_points/0";
    for (key, value) in [("pin_plate", weak), ("hole_diameter", json!("40 mm")), ("thickness", json!("30 mm"))] {
        set(&mut document, &format!("{point}/{key}"), value);
    }
    let assessment = assessed(&document, "bth-1-2008");
    let bearing = found(&assessment, Code::PinPlate, "west, pin plate bearing");
    assert_relative_eq!(capacity(bearing), 1.25 * 355e6 / 24.0 * 0.038 * 0.030, max_relative = 1e-12);
    assert_relative_eq!(bearing.demand.as_ref().unwrap().value(), pull_over(), max_relative = 1e-4);
    assert_eq!(bearing.verdict, Verdict::Fail);
}

#[test]
fn a_point_that_a_sling_passes_over_bears_what_is_left_off_its_axis() {
    let mut document = over();
    for (share, verdict) in [("11 %", Verdict::Fail), ("12 %", Verdict::Pass)] {
        let shares = json!({ "value": [{ "up_to": "29 deg", "share": "100 %" }, { "up_to": "31 deg", "share": share }], "source": "sheet" });
        set(&mut document, "/load/lift_points/0/allowed_direction/shares", shares);
        let assessment = assessed(&document, "us-general");
        let finding = found(&assessment, Code::SideLoad, "west");
        assert_relative_eq!(finding.demand.as_ref().unwrap().value(), pull_over(), max_relative = 1e-4);
        // 20 t leave 2.2 t and 2.4 t; 2.31 t are asked.
        assert_eq!(finding.verdict, verdict, "{}", finding.text);
    }
    // The sling lies in the bow of the shackle there, and the shackle bears what its maker leaves.
    assert_eq!(found(&assessed(&document, "us-general"), Code::Fit, "shackle 1").verdict, Verdict::Pass);
    set(&mut document, "/fittings/1/inside_width", json!("49 mm"));
    assert_eq!(found(&assessed(&document, "us-general"), Code::Fit, "shackle 1").verdict, Verdict::Fail);
    set(&mut document, "/load/lift_points/0/hole_axis", json!([1, 0, 0]));
    set(&mut document, "/fittings/1/side_load", bands("31 deg"));
    let finding = found(&assessed(&document, "us-general"), Code::SideLoad, "shackle 1").clone();
    assert_relative_eq!(capacity(&finding), 0.7 * 5_000.0 * GRAVITY, max_relative = 1e-12);
}

/// The same on bare lugs, whose holes and edges the ropes of 40 mm pass over.
fn over_bare_lugs() -> Value {
    let mut document = over();
    for sling in [1, 2] {
        set(&mut document, &format!("/slings/{sling}/diameter"), json!("40 mm"));
        let point = format!("/load/lift_points/{}", sling - 1);
        document.pointer_mut(&point).unwrap().as_object_mut().unwrap().remove("fitting");
        for (key, value) in [("hole_diameter", json!("60 mm")), ("thickness", json!("30 mm"))] {
            set(&mut document, &format!("{point}/{key}"), value);
        }
        set(&mut document, &format!("{point}/bearing_width"), json!("52 mm"));
        let plate = json!({ "outer_radius": "60 mm", "cheek_thickness": "0 mm" });
        set(&mut document, &format!("{point}/pin_plate"), plate);
    }
    document["fittings"].as_array_mut().unwrap().clear();
    document
}

#[test]
fn dimensions_of_a_point_that_a_sling_passes_over_are_held_against_it() {
    const FURTHER: &str = "marine-0027-nd-2016-further";
    let width = "west, width for slings";
    // 1.3 times 40 mm is 52 mm.
    let assessment = assessed(&over_bare_lugs(), FURTHER);
    let finding = found(&assessment, Code::Geometry, width);
    assert_relative_eq!(finding.demand.as_ref().unwrap().value(), 0.052, max_relative = 1e-12);
    assert_eq!(finding.verdict, Verdict::Pass, "{}", finding.text);
    for (key, value, item, verdict) in [
        ("bearing_width", json!("51.9 mm"), width, Verdict::Fail),
        ("bearing_width", json!("unknown"), width, Verdict::CannotConclude),
        ("pin_plate/outer_radius", json!("59 mm"), "west, outer radius", Verdict::Fail),
        ("pin_plate/outer_radius", json!("unknown"), "west, outer radius", Verdict::CannotConclude),
        ("pin_plate/cheek_thickness", json!("31 mm"), "west, cheek plates", Verdict::Fail),
    ] {
        let mut document = over_bare_lugs();
        set(&mut document, &format!("/load/lift_points/0/{key}"), value);
        let assessment = assessed(&document, FURTHER);
        let finding = found(&assessment, Code::Geometry, item);
        assert_eq!(finding.verdict, verdict, "{item}: {}", finding.text);
        assert_eq!(finding.missing.is_empty(), verdict != Verdict::CannotConclude, "{item}");
    }
    // A second sling over the same lug lies beside the first.
    let mut both = over_bare_lugs();
    set(&mut both, "/legs/1/path/1/over/station", json!("west"));
    let assessment = assessed(&both, FURTHER);
    let finding = found(&assessment, Code::Geometry, width);
    assert_relative_eq!(finding.demand.as_ref().unwrap().value(), 0.104, max_relative = 1e-12);
    // In a shackle at the lug the slings lie on that, and its pin is held against the hole.
    let mut pinned = over();
    set(&mut pinned, "/load/lift_points/0/hole_diameter", json!("40 mm"));
    for (hole, verdict) in [("40 mm", Verdict::Pass), ("41 mm", Verdict::CannotConclude)] {
        set(&mut pinned, "/load/lift_points/0/hole_diameter", json!(hole));
        let assessment = assessed(&pinned, FURTHER);
        assert_eq!(found(&assessment, Code::Geometry, "west, hole for the pin").verdict, verdict, "{hole}");
        assert!(assessment.findings.iter().all(|finding| finding.item != width));
    }
}

// ---------------------------------------------------------------- papers

#[test]
fn a_certificate_that_disagrees_is_a_finding() {
    let paper = json!({ "number": "TC-12", "identity": "SH-71", "wll": "13.5 t" });
    let said = |change: (&str, Value)| {
        let mut document = demo(SKID);
        set(&mut document, "/fittings/0/test_certificate", paper.clone());
        set(&mut document, &format!("/fittings/0/test_certificate/{}", change.0), change.1);
        let assessment = assessed(&document, "us-general");
        let finding = found(&assessment, Code::Identity, "shackle A");
        (finding.verdict, finding.text.to_string())
    };
    assert_eq!(said(("number", json!("TC-12"))).0, Verdict::Pass);
    // 13.5 t is also marked 29 800 lb, rounded.
    assert_eq!(said(("wll", json!("29800 lb"))).0, Verdict::Pass);
    for (change, word) in [
        (("identity", json!("SH-17")), "not the paper of this item"),
        (("wll", json!("17 t")), "states a working load limit of 17 t"),
    ] {
        let (verdict, text) = said(change);
        assert_eq!(verdict, Verdict::CannotConclude);
        assert!(text.contains(word), "{text}");
    }
    let mut document = demo(SKID);
    set(&mut document, "/slings/0/test_certificate", json!({ "number": "TC-9", "breaking_load": "60 t" }));
    assert_eq!(
        found(&assessed(&document, "us-general"), Code::Identity, "roundsling A").verdict,
        Verdict::CannotConclude
    );
}

// ---------------------------------------------------------------- refusals

#[test]
fn what_makes_no_sense_is_refused_where_it_stands() {
    let refused = |start: &dyn Fn() -> Value, pointer: &str, value: Value| {
        let mut document = start();
        set(&mut document, pointer, value);
        Lift::from_json(&document.to_string()).unwrap_err()
    };
    let cases: [(&dyn Fn() -> Value, &str, Value, &str); 12] = [
        (&with_master_link, "/hooks/0/fitting", json!("shackle A"), "/hooks/0/fitting"),
        (&with_master_link, "/hooks/0/fitting", json!("roundsling A"), "/hooks/0/fitting"),
        (&with_master_link, "/hooks/0/fitting", json!("master ring"), "/hooks/0/fitting"),
        (&with_master_link, "/load/lift_points/0/fitting", json!("master link"), "/load/lift_points/0/fitting"),
        (&with_plate, "/load/lift_points/1/hole_axis", json!([0, 0, 0]), "/load/lift_points/1/hole_axis"),
        (
            &with_plate,
            "/load/lift_points/1/pin_plate/nominal_design_factor/value",
            json!(0.9),
            "/load/lift_points/1/pin_plate/nominal_design_factor/value",
        ),
        (
            &with_plate,
            "/load/lift_points/1/pin_plate/edge_distance_along",
            json!("0 mm"),
            "/load/lift_points/1/pin_plate/edge_distance_along",
        ),
        (
            &with_plate,
            "/load/lift_points/1/pin_plate/yield_strength/source",
            json!(" "),
            "/load/lift_points/1/pin_plate/yield_strength/source",
        ),
        (
            &with_plate,
            "/fittings/1/side_load",
            json!({ "value": [], "source": "sheet" }),
            "/fittings/1/side_load/value",
        ),
        (
            &with_plate,
            "/fittings/1/side_load",
            json!({ "value": [{ "up_to": "10 deg", "share": "120 %" }], "source": "sheet" }),
            "/fittings/1/side_load/value/0/share",
        ),
        (
            &with_plate,
            "/fittings/1/side_load",
            json!({ "value": [{ "up_to": "10 deg", "share": "70 %" }, { "up_to": "9 deg", "share": "60 %" }], "source": "sheet" }),
            "/fittings/1/side_load/value/1",
        ),
        (&with_master_link, "/fittings/4/side_load", bands("45 deg"), "/fittings/4/side_load"),
    ];
    for (start, pointer, value, place) in cases {
        let error = refused(start, pointer, value);
        assert_eq!(error.place().as_str(), place, "{error}");
        assert!(!matches!(error, Error::Unsupported { .. }), "{error}");
    }
}

//! Plates round pins, against the equations of their standard.

use super::patching::{demo, remove, set};
use super::{SKID, assessed, capacity, collecting, found, lift, with_plate};
use approx::assert_relative_eq;
use rigging_core::checks::{Assessment, Code, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};
use std::f64::consts::PI;

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

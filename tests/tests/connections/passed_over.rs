//! Points that a sling passes over.

use super::patching::set;
use super::{GRAVITY, assessed, bands, capacity, found, plate, ring};
use approx::assert_relative_eq;
use rigging_core::checks::{Code, Verdict};
use serde_json::{Value, json};
use std::f64::consts::PI;

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

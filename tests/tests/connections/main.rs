//! How items are joined: plates round pins, pulls off the line of a rating, fittings that collect several legs, and papers
//! that disagree. Expected figures are worked out here from geometry and printed equations.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod collecting;
mod passed_over;
#[path = "../support/patching.rs"]
mod patching;
mod plates;
mod side_loads;

use patching::{demo, set};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

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

/// A document of the skid with its shackles named by the lugs instead of the legs.
fn collecting(document: &Value) -> Value {
    let mut document = document.clone();
    for (index, name) in ["A", "B", "C", "D"].into_iter().enumerate() {
        set(&mut document, &format!("/load/lift_points/{index}/fitting"), json!(format!("shackle {name}")));
        set(&mut document, &format!("/legs/{index}/items"), json!([format!("roundsling {name}")]));
    }
    document
}

fn bands(last: &str) -> Value {
    json!({ "value": [{ "up_to": "5 deg", "share": "100 %" }, { "up_to": last, "share": "70 %" }], "source": "maker's sheet SB-3" })
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

fn with_plate() -> Value {
    let mut document = demo(SKID);
    set(&mut document, "/load/lift_points/1/pin_plate", plate());
    set(&mut document, "/load/lift_points/1/hole_diameter", json!("40 mm"));
    set(&mut document, "/load/lift_points/1/thickness", json!("30 mm"));
    set(&mut document, "/fittings/1/jaw_width", json!("51 mm"));
    document
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

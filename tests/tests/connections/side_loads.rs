//! Pulls off the line of a shackle or a lift point.

use super::patching::{demo, set};
use super::{GRAVITY, SKID, assessed, bands, capacity, exact, found};
use approx::assert_relative_eq;
use rigging_core::checks::{Assessment, Code, Verdict};
use serde_json::{Value, json};

/// The pull of leg B on the skid as it hangs, in its own frame, of unit length.
fn pull(assessment: &Assessment) -> [f64; 3] {
    let nominal = &assessment.demand.as_ref().unwrap().nominal;
    let pull = nominal.bodies[0].rotation.inverse() * nominal.members[1].direction;
    pull.to_array()
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

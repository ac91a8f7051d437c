//! Wind on the hung load: what is stated, what follows, and what is left open.

use super::*;

const SKID: &str = "generator-skid-round-edge";

/// A face of 6 m by 2.5 m, drag 1.2, 200 Pa: 3.6 kN on 181.4 kN.
fn windy() -> Value {
    let mut document = patching::demo(SKID);
    let cited = |value: Value| json!({ "value": value, "source": "wind note WN-4" });
    patching::set(&mut document, "/load/mass/at_least", cited(json!("18.5 t")));
    patching::set(&mut document, "/load/allowed_tilt/value", json!("20 deg"));
    patching::set(
        &mut document,
        "/environment/wind",
        json!({
            "face": cited(json!(["6.0 m", "2.5 m"])),
            "drag_coefficient": cited(json!(1.2)),
            "pressure": cited(json!("200 Pa")),
            "above_center_of_gravity": "0 m",
            "allowed_off_plumb": cited(json!("3 deg")),
            "negligible_share": cited(json!("1 %")),
        }),
    );
    document
}

fn found(document: &Value) -> (Vec<Finding>, Verdict) {
    let assessment = assess(document, &built_in("us-general"));
    (coded(&assessment, Code::Wind).into_iter().cloned().collect(), assessment.verdict)
}

#[test]
fn the_push_is_pressure_times_area_times_drag_and_tilts_the_line() {
    let (findings, verdict) = found(&windy());
    assert_eq!((findings.len(), verdict), (2, Verdict::Pass), "{findings:?}");
    let angle = findings.iter().find(|finding| finding.demand.is_some()).unwrap();
    let push = 200.0 * 6.0 * 2.5 * 1.2;
    let weight = 18_500.0 * GRAVITY;
    let expected = (push / weight).atan();
    assert!((demand(angle).value() - expected).abs() < 1e-15, "{}", demand(angle).value());
    assert!(demand(angle).is_coherent() && demand(angle).steps.iter().any(|step| (step.result - push).abs() < 1e-9));
    let raised = findings.iter().find(|finding| finding.demand.is_none()).unwrap();
    let factor = 1.0_f64.hypot(push / weight);
    assert!(
        raised.text.contains(&format!("{factor:.6}")) && raised.text.contains("tag lines not counted"),
        "{}",
        raised.text
    );
    // The limit of the crane, from both sides.
    for (limit, verdict) in [(expected * 1.0001, Verdict::Pass), (expected * 0.9999, Verdict::Fail)] {
        let mut document = windy();
        patching::set(&mut document, "/environment/wind/allowed_off_plumb/value", json!(format!("{limit} rad")));
        assert_eq!(found(&document).1, verdict);
    }
}

#[test]
fn a_push_that_takes_an_item_over_its_capacity_fails() {
    let mut document = windy();
    patching::set(&mut document, "/environment/wind/pressure/value", json!("6 kPa"));
    patching::set(&mut document, "/environment/wind/allowed_off_plumb/value", json!("45 deg"));
    let factor = 1.0_f64.hypot(6_000.0 * 6.0 * 2.5 * 1.2 / (18_500.0 * GRAVITY));
    assert!(0.881 < 1.0 && 0.881 * factor > 1.0, "the governing sling stands at 0.881: {factor}");
    let (findings, verdict) = found(&document);
    assert_eq!(verdict, Verdict::Fail);
    assert!(
        findings.iter().any(|finding| finding.text.contains("over its capacity") && finding.verdict == Verdict::Fail)
    );
    // And in still air the same lift passes.
    patching::remove(&mut document, "/environment/wind");
    assert_eq!(found(&document), (Vec::new(), Verdict::Pass));
}

#[test]
fn a_push_that_misses_the_center_of_gravity_is_left_open_unless_stated_negligible() {
    let mut document = windy();
    patching::set(&mut document, "/environment/wind/above_center_of_gravity", json!("0.6 m"));
    // 1.98 percent of the weight: above the 1 percent that is stated.
    let (findings, verdict) = found(&document);
    assert_eq!(verdict, Verdict::CannotConclude);
    assert!(
        findings.iter().any(|finding| finding.text.contains("not calculated: effect on leg forces")),
        "{findings:?}"
    );
    patching::set(&mut document, "/environment/wind/negligible_share/value", json!("2 %"));
    assert_eq!(found(&document).1, Verdict::Pass);
    // Each input that is left out is named.
    for key in ["face", "drag_coefficient", "pressure", "allowed_off_plumb", "negligible_share"] {
        let mut open = document.clone();
        patching::remove(&mut open, &format!("/environment/wind/{key}"));
        let (findings, verdict) = found(&open);
        let named: Vec<&str> = findings.iter().flat_map(missing).collect();
        assert_eq!(
            (verdict, named),
            (Verdict::CannotConclude, vec![format!("/environment/wind/{key}").as_str()]),
            "{key}"
        );
    }
    // Where it acts is not known: the same as missing the center of gravity.
    patching::remove(&mut document, "/environment/wind/above_center_of_gravity");
    patching::set(&mut document, "/environment/wind/negligible_share/value", json!("1 %"));
    assert_eq!(found(&document).1, Verdict::CannotConclude);
    // Several hooks are not calculated at all.
    let mut cranes = patching::demo("vessel-two-cranes");
    patching::set(&mut cranes, "/environment/wind", windy()["environment"]["wind"].clone());
    assert_eq!(found(&cranes).1, Verdict::CannotConclude);
}

#[test]
fn values_out_of_range_are_refused_with_their_place() {
    for (key, value) in [
        ("drag_coefficient", json!(0.0)),
        ("drag_coefficient", json!(11.0)),
        ("pressure", json!("-1 Pa")),
        ("pressure", json!("200 kPa")),
        ("negligible_share", json!("101 %")),
        ("allowed_off_plumb", json!("91 deg")),
    ] {
        let mut document = windy();
        let pointer = format!("/environment/wind/{key}/value");
        patching::set(&mut document, &pointer, value);
        let error = Lift::from_json(&document.to_string()).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", pointer.as_str()));
    }
    let mut document = windy();
    patching::set(&mut document, "/environment/wind/face/source", json!(" "));
    assert_eq!(Lift::from_json(&document.to_string()).unwrap_err().code(), "missing");
}

#[test]
fn the_angle_is_that_of_the_mass_as_stated_and_not_of_what_it_counts_for() {
    // 0027/ND takes an item below 3 t for 3 t: the forces are those of 3 t, the angle is that of 1 t.
    let mut document = patching::demo("tool-skid-offshore");
    let cited = |value: Value| json!({ "value": value, "source": "wind note WN-4" });
    let wind = json!({
        "face": cited(json!(["2 m", "2 m"])),
        "drag_coefficient": cited(json!(1.0)),
        "pressure": cited(json!("400 Pa")),
        "above_center_of_gravity": "0 m",
        "allowed_off_plumb": cited(json!("5 deg")),
    });
    patching::set(&mut document, "/environment/wind", wind);
    patching::set(&mut document, "/load/mass/value", json!("1.0 t"));
    patching::set(&mut document, "/load/mass/basis", json!("weighed"));
    patching::set(&mut document, "/load/mass/contingency", json!("5 %"));
    let assessment = assess(&document, &built_in("marine-0027-nd-2016"));
    let wind = coded(&assessment, Code::Wind);
    let angle = wind.iter().find(|finding| finding.demand.is_some()).unwrap();
    let expected = (1600.0_f64 / (1000.0 * GRAVITY)).atan();
    assert!((demand(angle).value() - expected).abs() < 1e-14, "{}", demand(angle).value().to_degrees());
    assert_eq!((angle.verdict, assessment.verdict), (Verdict::Fail, Verdict::Fail));
    let raised = wind.iter().find(|finding| finding.demand.is_none()).unwrap();
    let factor = 1.0_f64.hypot(1600.0 / (3000.0 * 1.0 * GRAVITY));
    assert!(raised.text.contains(&format!("{factor:.6}")), "{}", raised.text);
}

#[test]
fn no_angle_passes_on_what_the_mass_does_not_exceed() {
    let mut document = windy();
    patching::remove(&mut document, "/load/mass/at_least");
    let assessment = assess(&document, &built_in("us-general"));
    let at_least = vec!["/load/mass/at_least"];
    let open: Vec<&Finding> =
        assessment.findings.iter().filter(|finding| finding.verdict == Verdict::CannotConclude).collect();
    let codes: Vec<Code> = open.iter().map(|finding| finding.code).collect();
    assert_eq!(codes.len(), 2, "{open:?}");
    assert!(codes.contains(&Code::Wind) && codes.contains(&Code::Tilt));
    assert!(open.iter().all(|finding| missing(finding) == at_least));
    // A lighter load turns farther.
    patching::set(
        &mut document,
        "/load/mass/at_least",
        json!({ "value": "3 t", "source": "weight control sheet W-118" }),
    );
    let (findings, verdict) = found(&document);
    let angle = findings.iter().find(|finding| finding.demand.is_some()).unwrap();
    let expected = (3600.0 / (3000.0 * GRAVITY)).atan();
    assert!((demand(angle).value() - expected).abs() < 1e-15);
    assert_eq!((angle.verdict, verdict), (Verdict::Fail, Verdict::Fail));
    // It is no more than the mass, and somebody says so.
    for (pointer, value, code) in [("value", "19 t", "out_of_domain"), ("source", " ", "missing")] {
        let mut document = windy();
        patching::set(&mut document, &format!("/load/mass/at_least/{pointer}"), json!(value));
        let error = Lift::from_json(&document.to_string()).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, &*format!("/load/mass/at_least/{pointer}")));
    }
}

#[test]
fn the_load_tilts_with_its_line() {
    let document = windy();
    let tilts = |document: &Value| -> Vec<f64> {
        let assessment = assess(document, &built_in("us-general"));
        let mut tilts: Vec<f64> =
            coded(&assessment, Code::Tilt).into_iter().map(|finding| demand(finding).value()).collect();
        tilts.sort_by(f64::total_cmp);
        tilts
    };
    let found = tilts(&document);
    let turned = (3600.0 / (18_500.0 * GRAVITY)).atan();
    assert_eq!(found.len(), 2);
    assert!((found[1] - found[0] - turned).abs() < 1e-12, "{found:?}");
    // Between the two, and beyond both.
    for (limit, verdict) in [(found[1] * 1.0001, Verdict::Pass), (found[1] * 0.9999, Verdict::Fail)] {
        let mut document = document.clone();
        patching::set(&mut document, "/load/allowed_tilt/value", json!(format!("{limit} rad")));
        assert_eq!(assess(&document, &built_in("us-general")).verdict, verdict);
    }
}

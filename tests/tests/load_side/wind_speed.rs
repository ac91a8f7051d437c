//! The pressure of the wind from its speed, and what happens where it is stated twice.

use super::*;

const AT: &str = "/environment/wind";

fn cited(value: Value) -> Value {
    json!({ "value": value, "source": "wind note WN-4" })
}

/// 20 m/s at 10 m, averaged over ten minutes, 1.4 to a gust at the load, 1.25 kg/m³: 490 Pa.
fn speed() -> Value {
    json!({
        "value": "20 m/s",
        "source": "forecast F-7",
        "height": "10 m",
        "averaged_over": "10 min",
        "to_gust_at_load": cited(json!(1.4)),
    })
}

fn windy() -> Value {
    let mut document = patching::demo("generator-skid-round-edge");
    patching::set(&mut document, "/load/mass/at_least", cited(json!("18.5 t")));
    patching::set(&mut document, "/load/allowed_tilt/value", json!("20 deg"));
    patching::set(
        &mut document,
        AT,
        json!({
            "face": cited(json!(["6.0 m", "2.5 m"])),
            "drag_coefficient": cited(json!(1.2)),
            "speed": speed(),
            "air_density": cited(json!("1.25 kg/m3")),
            "above_center_of_gravity": "0 m",
            "allowed_off_plumb": cited(json!("5 deg")),
        }),
    );
    document
}

fn found(document: &Value) -> (Vec<Finding>, Verdict) {
    let assessment = assess(document, &built_in("us-general"));
    (coded(&assessment, Code::Wind).into_iter().cloned().collect(), assessment.verdict)
}

fn angle(findings: &[Finding]) -> f64 {
    let finding = findings.iter().find(|finding| finding.demand.is_some()).unwrap();
    assert!(demand(finding).is_coherent());
    demand(finding).value()
}

/// Angle off plumb of a pressure on the face, by hand.
fn off_plumb(pressure: f64) -> f64 {
    (pressure * 6.0 * 2.5 * 1.2 / (18_500.0 * GRAVITY)).atan()
}

#[test]
fn the_pressure_is_half_the_density_times_the_square_of_the_gust() {
    let (findings, verdict) = found(&windy());
    // By hand: 20 m/s times 1.4 is 28 m/s; 0.5 times 1.25 times 784 is 490 Pa; times 15 m² and 1.2 is 8.82 kN.
    assert!((angle(&findings) - off_plumb(490.0)).abs() < 1e-15);
    assert_eq!(verdict, Verdict::Pass, "{findings:?}");
    let chain = findings.iter().find_map(|finding| finding.demand.as_deref()).unwrap();
    let values: Vec<f64> =
        std::iter::once(chain.base.value).chain(chain.steps.iter().map(|step| step.result)).collect();
    for due in [20.0, 28.0, 490.0, 7350.0, 8820.0] {
        assert!(values.iter().any(|value| (value - due).abs() < 1e-9), "{due} among {values:?}");
    }
    let sources: Vec<&str> = chain.sources().map(|source| source.document.as_str()).collect();
    assert!(sources.contains(&"forecast F-7") && sources.contains(&"wind note WN-4"), "{sources:?}");
    // The same speed in other units.
    for text in ["72 km/h", "65.6167979002625 ft/s"] {
        let mut document = windy();
        patching::set(&mut document, &format!("{AT}/speed/value"), json!(text));
        assert!((angle(&found(&document).0) - off_plumb(490.0)).abs() < 1e-12, "{text}");
    }
    // No wind at all is a speed, too.
    let mut still = windy();
    patching::set(&mut still, &format!("{AT}/speed/value"), json!("0 m/s"));
    assert_eq!((angle(&found(&still).0), found(&still).1), (0.0, Verdict::Pass));
}

#[test]
fn the_limit_is_met_just_below_and_not_just_above() {
    for (speed, verdict) in [(19.99, Verdict::Pass), (20.01, Verdict::Fail)] {
        let mut document = windy();
        let limit = off_plumb(490.0);
        patching::set(&mut document, &format!("{AT}/allowed_off_plumb/value"), json!(format!("{limit} rad")));
        patching::set(&mut document, &format!("{AT}/speed/value"), json!(format!("{speed} m/s")));
        assert_eq!(found(&document).1, verdict, "{speed}");
    }
}

#[test]
fn every_part_that_is_not_stated_is_asked_for_and_none_is_assumed() {
    for key in
        ["speed/height", "speed/averaged_over", "speed/to_gust_at_load", "air_density", "drag_coefficient", "face"]
    {
        let mut document = windy();
        patching::remove(&mut document, &format!("{AT}/{key}"));
        let (findings, verdict) = found(&document);
        let places: Vec<&str> = findings.iter().flat_map(missing).collect();
        assert_eq!((verdict, places), (Verdict::CannotConclude, vec![format!("{AT}/{key}").as_str()]));
        // With a pressure beside it, that counts, and what the speed lacks is still told.
        if !["drag_coefficient", "face"].contains(&key) {
            patching::set(&mut document, &format!("{AT}/pressure"), cited(json!("490 Pa")));
            let (findings, verdict) = found(&document);
            let places: Vec<&str> = findings.iter().flat_map(missing).collect();
            assert_eq!((verdict, places), (Verdict::CannotConclude, vec![format!("{AT}/{key}").as_str()]));
            assert!((angle(&findings) - off_plumb(490.0)).abs() < 1e-15);
        }
    }
    let mut document = windy();
    patching::remove(&mut document, &format!("{AT}/speed"));
    let places: Vec<String> = found(&document).0.iter().flat_map(missing).map(str::to_owned).collect();
    assert_eq!(places, [format!("{AT}/pressure")]);
}

#[test]
fn a_wind_that_is_stated_twice_and_not_alike_is_not_concluded_upon() {
    // One percent apart counts as rounded: 490 Pa and up to 494.9, or down to 485.1.
    for (pressure, alike) in
        [(490.0, true), (494.9, true), (495.0, false), (485.2, true), (485.0, false), (600.0, false)]
    {
        let mut document = windy();
        patching::set(&mut document, &format!("{AT}/pressure"), cited(json!(format!("{pressure} Pa"))));
        let (findings, verdict) = found(&document);
        let told = findings.iter().filter(|finding| finding.text.contains("stated twice and not alike"));
        let places: Vec<&str> = told.map(|finding| finding.place.as_str()).collect();
        assert_eq!(places.len(), usize::from(!alike), "{pressure}");
        assert_eq!(verdict, if alike { Verdict::Pass } else { Verdict::CannotConclude }, "{pressure}");
        assert!(places.iter().all(|place| *place == format!("{AT}/pressure")));
        // The greater counts, whichever it is.
        assert!((angle(&findings) - off_plumb(490.0_f64.max(pressure))).abs() < 1e-15, "{pressure}");
    }
}

#[test]
fn values_out_of_range_are_refused_with_their_place() {
    for (key, value, code) in [
        ("speed/value", json!("-1 m/s"), "out_of_domain"),
        ("speed/value", json!("151 m/s"), "out_of_domain"),
        ("speed/value", json!(20), "bare_number"),
        ("speed/value", json!("20 m"), "wrong_unit"),
        ("speed/source", json!(" "), "missing"),
        ("speed/height", json!("0 m"), "out_of_domain"),
        ("speed/averaged_over", json!("-3 s"), "out_of_domain"),
        ("speed/averaged_over", json!("25 h"), "out_of_domain"),
        ("speed/to_gust_at_load/value", json!(0.0), "out_of_domain"),
        ("speed/to_gust_at_load/value", json!(10.1), "out_of_domain"),
        ("speed/to_gust_at_load/source", json!(""), "missing"),
        ("air_density/value", json!("0 kg/m3"), "out_of_domain"),
        ("air_density/value", json!("1.25 t/m3"), "out_of_domain"),
    ] {
        let mut document = windy();
        patching::set(&mut document, &format!("{AT}/{key}"), value.clone());
        let error = Lift::from_json(&document.to_string()).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, format!("{AT}/{key}").as_str()), "{value}");
    }
}

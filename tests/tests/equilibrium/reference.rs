//! Reference cases from an independent 50-digit solver, and worked examples from textbooks and closed forms.

use crate::document::{list, number, read, single, system, vector};
use rigging_core::equilibrium::{Certificate, State, solve};
use serde_json::Value;

/// Tensions agree to this share of the largest one, or to 100 times the noise of double precision on the case.
const TENSION: f64 = 1.0e-9;
/// Components of the upward direction in the body's frame.
const UP: f64 = 1.0e-9;
/// The same for nearly inextensible members.
const UP_INEXTENSIBLE: f64 = 1.0e-8;

/// Compares a certificate with a reference; the text says what differs.
pub fn deviation(certificate: &Certificate, reference: &Value, up_tolerance: f64) -> Result<(), String> {
    let largest = number(&reference["max_tension"]);
    let allowed = TENSION.max(100.0 * number(&reference["double_noise_rel"])) * largest;
    for (i, (member, leg)) in certificate.members.iter().zip(list(reference, "legs")).enumerate() {
        let expected = number(&leg["tension"]);
        if (member.tension - expected).abs() > allowed {
            return Err(format!("tension {i}: {} against {expected}, allowed {allowed:e}", member.tension));
        }
        if member.slack != leg["slack"].as_bool().unwrap() {
            return Err(format!("slack {i}: {}", member.slack));
        }
        if (member.length / number(&leg["length"]) - 1.0).abs() > 1.0e-9 {
            return Err(format!("length {i}: {} against {}", member.length, leg["length"]));
        }
    }
    for (i, (found, pose)) in certificate.bodies.iter().zip(list(reference, "bodies")).enumerate() {
        let up = vector(&pose["up_in_body"]);
        if (found.up_in_body - up).abs().max_element() > up_tolerance {
            return Err(format!("up of body {i}: {} against {up}", found.up_in_body));
        }
        // The printed tilt of a nearly upright body comes from an arc cosine: half of its digits are gone.
        if (found.tilt.to_degrees() - number(&pose["tilt_deg"])).abs() > 1.0e-6 {
            return Err(format!("tilt of body {i}: {} against {}", found.tilt.to_degrees(), pose["tilt_deg"]));
        }
        if !pose["hook_in_body"].is_null() {
            let hook = vector(&pose["hook_in_body"]);
            // Under one hook, a free turn of an upper body against a lower one moves the hook in the lower one's frame.
            let free = certificate.null_modes > 1;
            if !free && (found.hook_in_body - hook).length() > 1.0e-8 * hook.length().max(1.0) {
                return Err(format!("hook in body {i}: {} against {hook}", found.hook_in_body));
            }
        }
    }
    for (i, (pull, hook)) in certificate.hooks.iter().zip(list(reference, "hooks")).enumerate() {
        let expected = number(&hook["magnitude"]);
        if (pull.length() - expected).abs() > 1.0e-9 * expected.max(largest) {
            return Err(format!("force on hook {i}: {} against {expected}", pull.length()));
        }
    }
    Ok(())
}

#[test]
fn every_case_agrees_with_the_reference() {
    let file = read("cases.json");
    let (mut ran, mut networks, mut failed) = (0, 0, Vec::new());
    for case in list(&file, "cases") {
        ran += 1;
        networks += usize::from(!single(&case["input"]));
        let family = case["family"].as_str().unwrap();
        let certificate = match system(&case["input"]).and_then(|system| solve(&system)) {
            Ok(certificate) => certificate,
            Err(error) => {
                failed.push(format!("{}: {error}", case["id"]));
                continue;
            }
        };
        let up = if family == "bridle_near_inextensible" { UP_INEXTENSIBLE } else { UP };
        let stability = &case["reference"]["stability"];
        if let Err(text) = deviation(&certificate, &case["reference"], up) {
            failed.push(format!("{}: {text}", case["id"]));
        }
        let modes = (certificate.negative_modes as u64, certificate.null_modes as u64);
        if certificate.state != State::Stable
            || modes != (stability["n_negative"].as_u64().unwrap(), stability["n_null"].as_u64().unwrap())
        {
            failed.push(format!("{}: {:?}, modes {modes:?}", case["id"], certificate.state));
        }
        if std::env::var("SHOW").is_ok() { println!("{} {} {}", case["id"], certificate.iterations, certificate.residual_over_weight); }
    }
    println!("reference cases: {ran} ran, {networks} of them with several hooks, bodies or joints");
    assert!(failed.is_empty(), "{failed:#?}");
    assert_eq!((ran, networks), (128, 50));
}

/// The quantity of a worked example, by the name the file gives it.
fn quantity(name: &str, certificate: &Certificate, occurrence: usize) -> f64 {
    let pose = certificate.bodies[0];
    match name {
        "tilt_deg" => pose.tilt.to_degrees(),
        "T" => certificate.members[occurrence].tension,
        "T_short" | "T_18" => certificate.members[0].tension,
        "T_long" | "T_24" => certificate.members[1].tension,
        "angle short" => certificate.members[0].direction.z.asin().to_degrees(),
        // The rod lies along x of the body: the sine of its angle to the plumb line.
        "sin(rod to vertical)" => (1.0 - pose.up_in_body.x * pose.up_in_body.x).sqrt(),
        other => panic!("the quantity {other} has no reading"),
    }
}

#[test]
fn worked_examples_agree_with_what_is_published() {
    let file = read("worked-examples.json");
    let examples = file.as_object().unwrap().values().find_map(Value::as_array).unwrap();
    let (mut ran, mut numbers, mut skipped) = (0, 0, 0);
    for example in examples {
        if !single(&example["input"]) {
            skipped += 1;
            continue;
        }
        ran += 1;
        assert_ne!(example["standing"], "memory", "{}: never an oracle", example["id"]);
        let certificate = solve(&system(&example["input"]).unwrap()).unwrap();
        let tolerance = number(&example["tolerance_rel"]);
        for (occurrence, line) in list(example, "comparison").iter().enumerate() {
            let name = line["quantity"].as_str().unwrap();
            let published = number(&line["published"]);
            let found = quantity(name, &certificate, occurrence);
            // A published zero has no relative tolerance; it is an angle in degrees.
            let allowed = if published == 0.0 { 1.0e-3 } else { tolerance * published.abs() };
            assert!((found - published).abs() <= allowed, "{} {name}: {found} against {published}", example["id"]);
            numbers += 1;
        }
        let state = if example["n_null"] == 1 { State::Stable } else { State::Neutral };
        assert_eq!(certificate.state, state, "{}", example["id"]);
        assert_eq!(certificate.null_modes as u64, example["n_null"].as_u64().unwrap(), "{}", example["id"]);
    }
    println!(
        "worked examples: {ran} ran ({numbers} published numbers), {skipped} skipped (several hooks, bodies or joints)"
    );
    assert_eq!((ran, numbers, skipped), (12, 22, 38));
}

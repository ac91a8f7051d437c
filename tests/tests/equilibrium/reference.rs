//! Reference cases from an independent 50-digit solver, and worked examples from textbooks and closed forms.

use crate::document::{list, number, read, single, system, vector};
use glam::DVec3;
use rigging_core::equilibrium::{Certificate, State, angle_between, solve};
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
        // A pose that may drift is one of many.
        if certificate.state == State::Neutral {
            continue;
        }
        if (found.up_in_body - up).abs().max_element() > up_tolerance {
            return Err(format!("up of body {i}: {} against {up}", found.up_in_body));
        }
        // Against the body's own z; the printed angle comes from an arc cosine, which loses half of its digits.
        let tilt = angle_between(found.up_in_body, DVec3::Z).to_degrees();
        if (tilt - number(&pose["tilt_deg"])).abs() > 1.0e-6 {
            return Err(format!("tilt of body {i}: {tilt} against {}", pose["tilt_deg"]));
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
        if std::env::var("SHOW").is_ok() {
            println!("{} {} {}", case["id"], certificate.iterations, certificate.residual_over_weight);
        }
    }
    println!("reference cases: {ran} ran, {networks} of them with several hooks, bodies or joints");
    assert!(failed.is_empty(), "{failed:#?}");
    assert_eq!((ran, networks), (128, 50));
}

/// Section of each wire of the example "timo-p30-9", in²: its stiffness over the moduli 30e6 and 16e6 psi.
const SECTION: f64 = 0.1;

/// The quantity of a worked example, by the name the file gives it; `occurrence` is its place in the comparison.
fn quantity(example: &str, name: &str, certificate: &Certificate, occurrence: usize) -> f64 {
    let pose = certificate.bodies[0];
    let tension = |member: usize| certificate.members[member].tension;
    match (example, name) {
        (_, "tilt_deg") => angle_between(pose.up_in_body, DVec3::Z).to_degrees(),
        (_, "angle short") => certificate.members[0].direction.z.asin().to_degrees(),
        // The rod lies along x of the body: the sine of its angle to the plumb line.
        (_, "sin(rod to vertical)") => (1.0 - pose.up_in_body.x * pose.up_in_body.x).sqrt(),
        (_, "T_short" | "T_18") => tension(0),
        (_, "T_long" | "T_24") => tension(1),
        ("bj-2.105", "T_AC/T_AB") => tension(1) / tension(0),
        ("bj-2.105", "T_AD/T_AB") => tension(2) / tension(0),
        ("bj-2.105", "T_AB") => tension(0),
        // The second weight hangs from the second ring by the last member.
        ("hib-3.3", "W_B") => tension(4),
        ("lever-6000" | "lever-6500", "R2") => tension(1),
        ("lever-6000" | "lever-6500", "R1") => tension(0),
        ("spreader-60", "T_low") => tension(2),
        // What the upper sling pulls along the bar beyond the lower one, the bar must carry.
        ("spreader-60", "compression") => {
            (tension(0) * certificate.members[0].direction.x + tension(2) * certificate.members[2].direction.x).abs()
        }
        ("timo-p30-9", "sigma_steel") => tension(1) / SECTION,
        ("timo-p30-9", "sigma_copper") => tension(2 * (occurrence - 1)) / SECTION,
        _ => tension(occurrence),
    }
}

#[test]
fn worked_examples_agree_with_what_is_published() {
    let file = read("worked-examples.json");
    let (mut ran, mut numbers, mut from_memory, mut failed) = (0, 0, 0, Vec::new());
    for example in list(&file, "cases") {
        let id = example["id"].as_str().unwrap();
        ran += 1;
        let certificate = solve(&system(&example["input"]).unwrap()).unwrap();
        // What the independent solver found, for all of them.
        if let Err(text) = deviation(&certificate, &example["reference"], UP_INEXTENSIBLE) {
            failed.push(format!("{id}: {text}"));
        }
        let null = example["n_null"].as_u64().unwrap();
        if certificate.null_modes as u64 != null || certificate.negative_modes != 0 {
            failed.push(format!("{id}: {} null modes against {null}", certificate.null_modes));
        }
        if example["standing"] == "memory" {
            // A value from memory is no oracle: the independent solver is the only comparison.
            from_memory += 1;
            continue;
        }
        let tolerance = number(&example["tolerance_rel"]);
        for (occurrence, line) in list(example, "comparison").iter().enumerate() {
            let name = line["quantity"].as_str().unwrap();
            let published = number(&line["published"]);
            let found = quantity(id, name, &certificate, occurrence);
            // A published zero has no relative tolerance: an angle in degrees, or a share of the largest tension.
            let largest = certificate.members.iter().map(|member| member.tension).fold(0.0, f64::max);
            let allowed = if published == 0.0 { 1.0e-3 * largest.max(1.0) } else { tolerance * published.abs() };
            if (found - published).abs() > allowed {
                failed.push(format!("{id} {name}: {found} against {published}"));
            }
            numbers += 1;
        }
    }
    println!(
        "worked examples: {ran} ran, {numbers} published numbers compared, {from_memory} examples from memory compared with the independent solver only"
    );
    assert!(failed.is_empty(), "{failed:#?}");
    assert_eq!((ran, numbers, from_memory), (50, 126, 3));
}

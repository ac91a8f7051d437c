//! Infeasible, unstable, neutral and malformed inputs, and traps that must solve.

use crate::document::{list, number, read, system};
use crate::reference::deviation;
use rigging_core::equilibrium::{Certificate, State, solve};

fn finite(certificate: &Certificate) -> bool {
    let pose = certificate.bodies[0];
    let numbers = certificate.members.iter().flat_map(|m| [m.tension, m.length, m.strain, m.direction.length()]);
    numbers
        .chain(certificate.eigenvalues.iter().copied())
        .chain([pose.tilt, pose.position.length(), pose.center_of_gravity.length(), pose.hook_in_body.length()])
        .all(f64::is_finite)
}

#[test]
fn every_degenerate_input_gets_its_verdict() {
    let file = read("degenerate.json");
    let table = read("verdicts.json");
    let (mut ran, mut compared, mut failed) = (0, 0, Vec::new());
    for case in list(&file, "cases") {
        let id = case["id"].as_str().unwrap();
        let input = &case["input"];
        let expected = case["expected"].as_str().unwrap();
        let result = system(input).and_then(|system| solve(&system));
        ran += 1;
        let word = match &result {
            Ok(certificate) => certificate.state.word(),
            Err(error) => error.code(),
        };
        let allowed = list(&table["verdicts"], expected);
        if !allowed.iter().any(|allowed| allowed == word) {
            failed.push(format!("{id}: {word}, expected {expected}: {}", case["detail"]));
        }
        match &result {
            Err(error) => {
                if error.place().as_str().is_empty() {
                    failed.push(format!("{id}: the error has no place: {error}"));
                }
            }
            Ok(certificate) => {
                if !finite(certificate) {
                    failed.push(format!("{id}: a number is not finite"));
                }
                if certificate.state == State::Unstable {
                    let destination = certificate.destination.as_deref();
                    if certificate.negative_modes == 0 || destination.is_none_or(|d| d.state == State::Unstable) {
                        failed.push(format!("{id}: an unstable balance without a mode or a destination"));
                    }
                }
                // A neutral pose is one of many: only its tensions can be compared.
                if matches!(expected, "ok" | "ok_large_tilt" | "overstrained") {
                    compared += 1;
                    if let Err(text) = deviation(certificate, &case["reference"], 1.0e-9) {
                        failed.push(format!("{id}: {text}"));
                    }
                } else if expected == "neutral" {
                    compared += 1;
                    for (member, leg) in certificate.members.iter().zip(list(&case["reference"], "legs")) {
                        if (member.tension / number(&leg["tension"]) - 1.0).abs() > 1.0e-9 {
                            failed.push(format!("{id}: tension {} against {}", member.tension, leg["tension"]));
                        }
                    }
                    let expected = case["reference"]["stability"]["n_null"].as_u64();
                    if expected.is_some_and(|expected| certificate.null_modes as u64 != expected) {
                        failed.push(format!("{id}: {} null modes against {expected:?}", certificate.null_modes));
                    }
                }
            }
        }
    }
    println!("degenerate inputs: {ran} ran, {compared} compared with reference numbers");
    assert!(failed.is_empty(), "{failed:#?}");
    assert_eq!((ran, compared), (58, 21));
}

//! The checker in Python (`tests/python/verify_certificate.py`, NumPy only) over reference cases and random networks: it
//! accepts every certificate and refuses every one that was tampered with.
//!
//! It runs with the first interpreter that has NumPy: that of the test command's environment, then `python3`.

use crate::document::{list, read, system};
use crate::network_generator::random_network;
use rigging_core::equilibrium::solve;
use rigging_core::system::System;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::Command;

/// Random networks besides the reference cases.
const NETWORKS: u64 = 200;
const REFERENCES: usize = 128;

fn interpreter() -> Option<PathBuf> {
    let own = Path::new(env!("CARGO_TARGET_TMPDIR")).join("../xtask/python/bin/python");
    [own, PathBuf::from("python3")].into_iter().find(|program| {
        Command::new(program).args(["-c", "import numpy"]).output().is_ok_and(|output| output.status.success())
    })
}

fn systems() -> Vec<System> {
    let file = read("cases.json");
    let references = list(&file, "cases").iter().map(|case| system(&case["input"]).unwrap());
    references.chain((0..NETWORKS).map(|case| random_network(31, case).system)).collect()
}

/// What the checker says of each pair of system and certificate.
fn told(interpreter: &Path, name: &str, pairs: &[Value]) -> Vec<String> {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let lines: String = pairs.iter().map(|pair| format!("{pair}\n")).collect();
    std::fs::write(&path, lines).unwrap();
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("python/verify_certificate.py");
    let output = Command::new(interpreter).arg("-B").arg(script).arg(&path).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).unwrap();
    let told: Vec<String> = text.lines().map(|line| line.split_once(' ').unwrap().1.to_owned()).collect();
    assert_eq!(told.len(), pairs.len());
    told
}

fn pair(system: &System) -> Value {
    json!({ "system": system, "certificate": solve(system).unwrap() })
}

#[test]
fn a_checker_in_another_language_accepts_every_certificate() {
    let Some(interpreter) = interpreter() else {
        println!("certificates checked in Python: 0 ran, all skipped: no python3 with NumPy");
        return;
    };
    let pairs: Vec<Value> = systems().iter().map(pair).collect();
    let told = told(&interpreter, "certificates.jsonl", &pairs);
    let refused: Vec<(usize, &String)> = told.iter().enumerate().filter(|(_, text)| *text != "verified").collect();
    println!("certificates checked in Python: {} ran, 0 skipped, {} refused", told.len(), refused.len());
    assert!(refused.is_empty(), "{refused:#?}");
    assert_eq!(told.len(), REFERENCES + NETWORKS as usize);
}

/// What is changed, each in a copy of its own: one tension by 1e-6 of itself, one slack flag, the attitude of one body by
/// 1e-6 rad, the weight of one body by 1e-6 of everything, and the state.
const CHANGES: [&str; 5] = ["tension", "slack", "tilt", "weight", "state"];

fn tampered(pair: &Value, case: usize) -> [Value; CHANGES.len()] {
    let [mut tension, mut slack, mut tilt, mut weight, mut state] = std::array::from_fn(|_| pair.clone());
    let members = pair["certificate"]["members"].as_array().unwrap();
    let taut: Vec<usize> = (0..members.len()).filter(|index| members[*index]["slack"] == false).collect();
    let member = taut[case % taut.len()];
    let found = &mut tension["certificate"]["members"][member]["tension"];
    *found = json!(found.as_f64().unwrap() * (1.0 + 1.0e-6));
    let found = &mut slack["certificate"]["members"][case % members.len()]["slack"];
    *found = json!(!found.as_bool().unwrap());
    let bodies = pair["certificate"]["bodies"].as_array().unwrap().len();
    let found = &mut tilt["certificate"]["bodies"][case % bodies]["rotation"];
    let [x, y, z, w] = [0, 1, 2, 3].map(|index| found[index].as_f64().unwrap());
    // A turn by 1e-6 rad about the world's x or y axis, first order: the quaternion need not be of unit length.
    let h = 0.5e-6;
    *found = if case.is_multiple_of(2) {
        json!([x + h * w, y - h * z, z + h * y, w - h * x])
    } else {
        json!([x + h * z, y + h * w, z - h * x, w - h * y])
    };
    let masses: Vec<f64> =
        pair["system"]["bodies"].as_array().unwrap().iter().map(|body| body["mass"].as_f64().unwrap()).collect();
    weight["system"]["bodies"][case % bodies]["mass"] =
        json!(masses[case % bodies] + 1.0e-6 * masses.iter().sum::<f64>());
    let found = &mut state["certificate"]["state"];
    *found = json!(match found.as_str().unwrap() {
        "stable" => "unstable",
        "neutral" => "lost",
        _ => "stable",
    });
    [tension, slack, tilt, weight, state]
}

#[test]
fn a_checker_in_another_language_refuses_what_was_tampered_with() {
    let Some(interpreter) = interpreter() else {
        println!("tampered certificates: 0 ran, all skipped: no python3 with NumPy");
        return;
    };
    let systems = systems();
    let pairs: Vec<Value> =
        systems.iter().enumerate().flat_map(|(case, system)| tampered(&pair(system), case)).collect();
    let told = told(&interpreter, "tampered.jsonl", &pairs);
    let accepted: Vec<usize> = (0..told.len()).filter(|index| told[*index] == "verified").collect();
    println!("tampered certificates: {} ran, 0 skipped, {} accepted", told.len(), accepted.len());
    for index in accepted.iter().take(20) {
        println!("accepted: case {}, change {}", index / CHANGES.len(), CHANGES[index % CHANGES.len()]);
    }
    assert!(accepted.is_empty());
    assert_eq!(told.len(), CHANGES.len() * (REFERENCES + NETWORKS as usize));
}

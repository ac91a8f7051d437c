//! The generator skid on four roundslings, from its document to the printed report.
//!
//! Origin of the anchors: independent, two solvers written apart from this library and agreeing in every printed digit.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_abs_diff_eq;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::OnceLock;

/// Half of the last printed digit of a nominal force, in N.
const NOMINAL: f64 = 0.5;
/// Half of the last printed digit of a worst force, in N.
const WORST: f64 = 5.0;
/// Half of the last printed digit of an angle, in degrees.
const TILT: f64 = 0.0005;
/// Half of the last printed digit of a utilization.
const UTILIZATION: f64 = 0.0005;
/// Forces of one lift described in two ways agree to this fraction of its weight: the document's numbers are rounded to
/// a double each, and the solver ends on different last digits.
const SAME_LIFT: f64 = 1e-11;

const PASS: &str = "generator-skid-round-edge";
const FAIL: &str = "generator-skid-stiff-slings";
const OPEN: &str = "generator-skid";
const WEIGHT: f64 = 18_500.0 * 9.806_65;

fn lift(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap()
}

fn assess(document: &Value) -> Assessment {
    lift(document).assess(&RuleSet::built_in("us-general").unwrap()).unwrap()
}

fn worst(document: &Value) -> Vec<f64> {
    assess(document).legs.iter().map(|leg| leg.worst).collect()
}

fn nominal(document: &Value) -> Vec<f64> {
    lift(document).solve().unwrap().members.iter().map(|leg| leg.tension).collect()
}

fn near(found: &[f64], kilonewtons: [f64; 4], tolerance: f64) {
    for (found, expected) in found.iter().zip(kilonewtons) {
        assert_abs_diff_eq!(*found, expected * 1e3, epsilon = tolerance);
    }
    assert_eq!(found.len(), 4);
}

#[test]
fn nominal_forces_and_tilt() {
    let certificate = lift(&patching::demo(PASS)).solve().unwrap();
    let tensions: Vec<f64> = certificate.members.iter().map(|leg| leg.tension).collect();
    near(&tensions, [54.205, 69.116, 47.606, 32.641], NOMINAL);
    let tilt = certificate.bodies[0].tilt.to_degrees();
    assert_abs_diff_eq!(tilt, 6.423, epsilon = TILT);
}

#[test]
fn worst_forces_over_lengths_and_over_both_boxes() {
    let cases = [
        (PASS, false, [84.48, 99.46, 77.84, 62.80]),
        (PASS, true, [88.75, 103.65, 82.21, 67.19]),
        (FAIL, false, [86.12, 116.52, 80.26, 80.36]),
        (FAIL, true, [92.69, 121.41, 82.81, 82.87]),
    ];
    for (name, boxed, expected) in cases {
        let mut document = patching::demo(name);
        if !boxed {
            patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
        }
        near(&worst(&document), expected, WORST);
    }
    println!("{} boxes run, 0 skipped", cases.len());
    for (name, utilization, verdict) in [(PASS, 0.881, Verdict::Pass), (FAIL, 1.032, Verdict::Fail)] {
        let assessment = assess(&patching::demo(name));
        let governing = assessment.governing().unwrap();
        assert_eq!((governing.item.as_str(), assessment.verdict), ("roundsling B", verdict));
        let found = governing.utilization.unwrap();
        assert_abs_diff_eq!(found, utilization, epsilon = UTILIZATION);
    }
    assert_eq!(assess(&patching::demo(OPEN)).verdict, Verdict::CannotConclude);
}

/// Every coordinate of the document changed by `change`; the box is taken along by its absolute value.
fn moved(document: &Value, change: impl Fn([f64; 3]) -> [f64; 3]) -> Value {
    let mut document = document.clone();
    let read = |value: &Value| -> [f64; 3] {
        let meters = |index: usize| {
            let text = value[index].as_str().unwrap();
            match text.strip_suffix(" mm") {
                Some(number) => number.parse::<f64>().unwrap() / 1e3,
                None => text.strip_suffix(" m").unwrap().parse().unwrap(),
            }
        };
        [meters(0), meters(1), meters(2)]
    };
    let write = |point: [f64; 3]| json!(point.map(|coordinate| format!("{coordinate} m")));
    for index in 0..4 {
        let pointer = format!("/load/lift_points/{index}/position");
        let point = change(read(&document.pointer(&pointer).unwrap().clone()));
        patching::set(&mut document, &pointer, write(point));
    }
    let center = change(read(&document["load"]["center_of_gravity"]["position"].clone()));
    patching::set(&mut document, "/load/center_of_gravity/position", write(center));
    let sides = change(read(&document["load"]["center_of_gravity"]["tolerance"].clone()));
    patching::set(&mut document, "/load/center_of_gravity/tolerance", write(sides.map(f64::abs)));
    document
}

fn same(found: &[f64], expected: &[f64], what: &str) {
    let largest = found.iter().zip(expected).map(|(one, other)| (one - other).abs() / WEIGHT).fold(0.0, f64::max);
    println!("{what}: largest difference {largest:.1e} of the weight");
    assert!(largest <= SAME_LIFT && found.len() == expected.len(), "{what}: {found:?} and {expected:?}");
}

#[test]
fn turned_and_mirrored_it_is_the_same_lift() {
    let document = patching::demo(FAIL);
    let (plain, boxed) = (nominal(&document), worst(&document));
    for degrees in [17.0f64, 90.0, 143.0, -60.0] {
        let (sin, cos) = degrees.to_radians().sin_cos();
        let turned = moved(&document, |[x, y, z]| [cos * x - sin * y, sin * x + cos * y, z]);
        same(&nominal(&turned), &plain, "turned about the vertical");
    }
    // The box has its sides along the axes: it turns along by quarters only.
    same(&worst(&moved(&document, |[x, y, z]| [-y, x, z])), &boxed, "turned by a quarter");
    same(&worst(&moved(&document, |[x, y, z]| [-x, -y, z])), &boxed, "turned by half");
    same(&worst(&moved(&document, |[x, y, z]| [-x, y, z])), &boxed, "mirrored in x");
    same(&worst(&moved(&document, |[x, y, z]| [x, -y, z])), &boxed, "mirrored in y");
    // What is not the same lift is seen.
    let shifted = moved(&document, |[x, y, z]| [if x == 0.45 { 0.46 } else { x }, y, z]);
    assert!((nominal(&shifted)[0] - plain[0]).abs() > 1e-4 * WEIGHT);
}

#[test]
fn relabelled_it_is_the_same_lift() {
    let document = patching::demo(FAIL);
    let mut relabelled = document.clone();
    for list in ["/load/lift_points", "/slings", "/fittings", "/legs"] {
        relabelled.pointer_mut(list).unwrap().as_array_mut().unwrap().rotate_left(1);
    }
    let mut text = relabelled.to_string();
    for (from, to) in [("lug A", "padeye 9"), ("roundsling B", "s-1"), ("shackle C", "bow 3"), ("crane hook", "H")] {
        text = text.replace(&format!("\"{from}\""), &format!("\"{to}\""));
    }
    let mut relabelled: Value = serde_json::from_str(&text).unwrap();
    // A path may be written from either end.
    relabelled.pointer_mut("/legs/2/path").unwrap().as_array_mut().unwrap().reverse();
    relabelled.pointer_mut("/legs/2/items").unwrap().as_array_mut().unwrap().reverse();
    let mut expected = worst(&document);
    expected.rotate_left(1);
    same(&worst(&relabelled), &expected, "relabelled");
    assert_eq!(assess(&relabelled).governing().unwrap().item, "s-1");
    assert_eq!(assess(&relabelled).verdict, Verdict::Fail);
}

#[test]
fn forces_scale_with_mass_and_stiffness_and_not_with_size() {
    let document = patching::demo(FAIL);
    let expected = worst(&document);
    for factor in [0.125, 3.0, 40.0] {
        let mut heavier = document.clone();
        patching::set(&mut heavier, "/load/mass/value", json!(format!("{} t", 18.5 * factor)));
        for index in 0..4 {
            let ea = json!(format!("{} MN", 9.6 * factor));
            patching::set(&mut heavier, &format!("/slings/{index}/stiffness/law/ea"), ea);
        }
        let found: Vec<f64> = worst(&heavier).iter().map(|force| force / factor).collect();
        same(&found, &expected, "mass and stiffness scaled");
        let mut larger = moved(&document, |point| point.map(|coordinate| coordinate * factor));
        for index in 0..4 {
            let place = format!("/slings/{index}/length");
            patching::set(&mut larger, &format!("{place}/value"), json!(format!("{} m", 6.0 * factor)));
            patching::set(&mut larger, &format!("{place}/tolerance"), json!(format!("{} mm", 30.0 * factor)));
        }
        same(&worst(&larger), &expected, "lengths scaled");
    }
}

/// The value of a text in `from`, written in `to`, where `to` is `scale` times `from`.
fn converted(text: &str, units: &[(&str, &str, f64)]) -> Option<String> {
    let (number, unit) = text.split_once(' ')?;
    let (_, to, scale) = units.iter().find(|(from, ..)| *from == unit)?;
    Some(format!("{} {to}", number.parse::<f64>().ok()? / scale))
}

fn in_customary_units(value: &mut Value) {
    const UNITS: [(&str, &str, f64); 7] = [
        ("t", "lb", 0.000_453_592_37),
        ("kg", "lb", 0.453_592_37),
        ("m", "ft", 0.3048),
        ("mm", "in", 25.4),
        ("MN", "kip", 0.004_448_221_615_260_5),
        ("deg", "rad", 180.0 / std::f64::consts::PI),
        ("m/s2", "m/s2", 1.0),
    ];
    match value {
        Value::String(text) => {
            if let Some(other) = converted(text, &UNITS) {
                *text = other;
            }
        }
        Value::Array(list) => list.iter_mut().for_each(in_customary_units),
        Value::Object(object) => object.values_mut().for_each(in_customary_units),
        _ => {}
    }
}

#[test]
fn in_pounds_feet_and_kips_it_is_the_same_lift() {
    for (name, verdict) in [(PASS, Verdict::Pass), (FAIL, Verdict::Fail), (OPEN, Verdict::CannotConclude)] {
        let document = patching::demo(name);
        let mut customary = document.clone();
        in_customary_units(&mut customary);
        patching::set(&mut customary, "/environment/temperature", json!(["41 degF", "95 degF"]));
        let text = customary.to_string();
        assert!(!text.contains(" mm\"") && !text.contains(" t\"") && text.contains(" kip\"") && text.contains(" ft\""));
        same(&worst(&customary), &worst(&document), "customary units");
        same(&nominal(&customary), &nominal(&document), "customary units, nominal");
        let (one, other) = (assess(&customary), assess(&document));
        assert_eq!((one.verdict, other.verdict), (verdict, verdict));
        let items = |assessment: &Assessment| -> Vec<_> {
            assessment.findings.iter().map(|finding| (finding.code, finding.verdict)).collect()
        };
        let (mut one, mut other) = (items(&one), items(&other));
        // Equal utilizations may change places by their last digit.
        one.sort_by_key(|(code, verdict)| (code.text(), verdict.words()));
        other.sort_by_key(|(code, verdict)| (code.text(), verdict.words()));
        assert_eq!(one, other);
    }
}

/// The example program, built once in the profile of this test.
fn example() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        // target/<profile>/deps/<this test>
        let own = std::env::current_exe().unwrap();
        let directory = own.parent().and_then(Path::parent).unwrap();
        let profile = if directory.file_name().is_some_and(|name| name == "release") { "release" } else { "test" };
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let built = Command::new(cargo)
            .current_dir(patching::file(""))
            .args(["build", "--quiet", "--package", "rigging-core", "--example", "assess", "--profile", profile])
            .arg("--target-dir")
            .arg(directory.parent().unwrap())
            .status()
            .unwrap();
        assert!(built.success());
        directory.join("examples").join(format!("assess{}", std::env::consts::EXE_SUFFIX))
    })
}

fn run(arguments: &[&str]) -> Output {
    Command::new(example()).current_dir(patching::file("")).args(arguments).output().unwrap()
}

fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn path(name: &str) -> String {
    format!("rigging-core/examples/lifts/{name}.json")
}

#[test]
fn the_example_prints_the_verdict_and_exits_by_it() {
    let rule = "29 CFR 1926.251, rigging equipment for material handling, (a)(2)(ii) [secondary]";
    let cases = [
        (
            OPEN,
            2,
            "cannot conclude",
            "roundsling B over rail flange: the radius of the edge \"rail flange\" is not known".to_owned(),
            "add \"edge_radius\": \"… mm\" at /legs/1/contacts/0/edge_radius",
        ),
        (
            PASS,
            0,
            "pass",
            format!(
                "roundsling B: tension of leg B against rated capacity of roundsling B, 103.65 kN of 117.68 kN, utilization 0.881; {}",
                rule
            ),
            "passes up to 43 mm on every length, or down to a WLL of 10.64 t",
        ),
        (
            FAIL,
            1,
            "fail",
            format!(
                "roundsling B: tension of leg B against rated capacity of roundsling B, 121.41 kN of 117.68 kN, utilization 1.032; {}",
                rule
            ),
            "passes if every length is within 27 mm, or with a WLL of 12.45 t",
        ),
    ];
    for (name, status, verdict, governing, change) in &cases {
        let output = run(&[&path(name)]);
        assert_eq!(output.status.code(), Some(*status), "{name}");
        let text = printed(&output);
        let mut lines = text.lines();
        let first = format!("verdict: {verdict} — Generator skid GS-4, yard Y4, rule set us-general");
        assert_eq!(lines.next(), Some(first.as_str()));
        assert_eq!(lines.next(), Some(format!("governed by: {governing}").as_str()));
        // Regression: what it promises is proved in the properties of assessments.
        assert_eq!(lines.next(), Some(format!("what would change it: {change}").as_str()));
        assert!(output.stderr.is_empty());
    }
    println!("{} documents run, 0 skipped", cases.len());
    // The same slings, only stiffer: stiffness decides.
    let (pass, fail) = (patching::text(&path(PASS)), patching::text(&path(FAIL)));
    let changed: Vec<_> = pass.lines().zip(fail.lines()).filter(|(one, other)| one != other).collect();
    assert_eq!(changed.len(), 5);
    assert!(
        changed
            .iter()
            .all(|(one, other)| one.contains("notes") || (one.contains("\"ea\"") && other.contains("9.6 MN")))
    );
}

#[test]
fn without_arguments_it_assesses_the_demo() {
    let (bare, named, full) = (run(&[]), run(&[&path(OPEN)]), run(&[&path(OPEN), "us-general"]));
    assert_eq!(bare.status.code(), Some(2));
    assert_eq!(bare.stdout, named.stdout);
    assert_eq!(bare.stdout, full.stdout);
    let elsewhere = Command::new(example()).current_dir(std::env::temp_dir()).output().unwrap();
    assert_eq!((elsewhere.status.code(), &elsewhere.stdout), (Some(2), &bare.stdout));
    let list = run(&["--rule-sets"]);
    assert_eq!(list.status.code(), Some(0));
    for name in RuleSet::built_in_names().iter().chain(RuleSet::document_names()) {
        assert!(printed(&list).lines().any(|line| line.split_whitespace().next() == Some(name)), "{name}");
    }
}

#[test]
fn an_error_names_file_place_and_reason() {
    let directory = std::env::temp_dir().join(format!("skid-{}", std::process::id()));
    std::fs::create_dir_all(&directory).unwrap();
    let mut document = patching::demo(OPEN);
    let gravity = patching::remove(&mut document, "/gravity");
    patching::set(&mut document, "/gravty", gravity);
    let slip = directory.join("slip.json");
    std::fs::write(&slip, document.to_string()).unwrap();
    let own = directory.join("own-rules.toml");
    std::fs::write(&own, "format = 1\nnmae = \"x\"\n").unwrap();
    let (slip, own) = (slip.to_str().unwrap(), own.to_str().unwrap());
    let demo = path(OPEN);
    let cases: [(&[&str], &[&str]); 6] = [
        (&["nowhere.json"], &["nowhere.json"]),
        (&[slip], &[slip, "/gravty", "unknown key", "\"gravity\"", "unknown_key"]),
        (&[&demo, "us-genral"], &["us-genral", "\"us-general\"", "--rule-sets"]),
        (&[&demo, own], &[own, "nmae"]),
        (&["--rules"], &["unknown option --rules", "usage"]),
        (&[&demo, "us-general", "more"], &["no rule set named \"more\"", "--rule-sets"]),
    ];
    for (arguments, said) in cases {
        let output = run(arguments);
        assert_eq!(output.status.code(), Some(3), "{arguments:?}");
        assert!(output.stdout.is_empty(), "no partial report: {arguments:?}");
        let message = String::from_utf8(output.stderr).unwrap();
        for words in said {
            assert!(message.contains(words), "{arguments:?} does not say {words}: {message}");
        }
    }
    println!("{} refusals run, 0 skipped", cases.len());
    std::fs::remove_dir_all(directory).unwrap();
}

#[test]
fn the_report_is_the_same_each_time_and_names_no_path() {
    let root = patching::file("").canonicalize().unwrap();
    for name in [OPEN, PASS, FAIL] {
        for rules in RuleSet::built_in_names() {
            let relative = path(name);
            let absolute = root.join(&relative);
            let first = run(&[&relative, rules]);
            let second = run(&[absolute.to_str().unwrap(), rules]);
            assert_eq!(first.stdout, second.stdout, "{name} under {rules}");
            assert!(matches!(first.status.code(), Some(0..=2)), "{name} under {rules}");
            let text = printed(&first);
            let home = std::env::var("HOME").unwrap_or_else(|_| "/home".to_owned());
            let temporary = std::env::temp_dir();
            for place in [root.to_str().unwrap(), &home, temporary.to_str().unwrap(), ".json", ".toml"] {
                assert!(place == "/" || !text.contains(place), "{name} under {rules} names {place}");
            }
        }
    }
}

/// A meter typed where a point was meant: the load turns until a sling leads down to its hook. That is told, and is no error.
#[test]
fn a_sling_that_leads_down_is_held_against_every_limit_of_its_angle() {
    let mut document = patching::demo("generator-skid-round-edge");
    patching::set(&mut document, "/load/lift_points/0/position/0", json!("26 m"));
    let lift = lift(&document);
    for rules in RuleSet::built_in_names() {
        let assessment =
            lift.assess(&RuleSet::built_in(rules).unwrap()).unwrap_or_else(|error| panic!("{rules}: {error}"));
        assert!(assessment.verdict != Verdict::Pass, "{rules}");
    }
    let assessment = lift.assess(&RuleSet::built_in("us-general").unwrap()).unwrap();
    assert!(assessment.legs.iter().any(|leg| leg.angle_from_vertical > std::f64::consts::FRAC_PI_2));
    assert_eq!(assessment.verdict, Verdict::Fail);
}

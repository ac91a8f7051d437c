//! Mechanisms: each kind built on purpose.

use crate::document::{list, read, system};
use crate::rebuilt::{at, body, flat, hessian, made, times};
use rigging_core::equilibrium::mechanism::{Kind, Motion, Names, Part, mechanisms};
use rigging_core::equilibrium::solve;
use rigging_core::system::{End, System};

fn motions(system: &System) -> Vec<Motion> {
    let certificate = solve(system).unwrap();
    let found = mechanisms(system, &certificate).unwrap();
    assert_eq!(found.motions.len(), certificate.null_modes);
    // Nothing resists any of them, in the matrix put together anew.
    let matrix = hessian(system, &certificate);
    let size = matrix.iter().flatten().fold(0.0, |most: f64, value| most.max(value.abs()));
    for motion in &found.motions {
        let x = flat(&motion.shape);
        let length = x.iter().map(|x| x * x).sum::<f64>().sqrt();
        let force = times(&matrix, &x).iter().map(|f| f * f).sum::<f64>().sqrt();
        assert!(force < 1.0e-6 * size * length, "{motion:?}: {}", force / size / length);
    }
    found.motions
}

fn words(system: &System, bodies: &[&str]) -> Vec<String> {
    let names = Names { hooks: &["A", "B"], joints: &["ring R", "ring Q"], bodies };
    motions(system).iter().map(|motion| motion.words(&names)).collect()
}

const BAR: [[f64; 3]; 2] = [[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]];

#[test]
fn every_kind_is_told_as_what_it_is() {
    let mut ran = 0;
    let mut check = |system: &System, bodies: &[&str], expected: &[&str]| {
        ran += 1;
        assert_eq!(words(system, bodies), expected);
    };
    let legs = [(End::Hook(0), at(0, 0), 2.0, 1.0e6), (End::Hook(0), at(0, 1), 2.0, 1.0e6)];
    // A bar whose points and center of gravity stand on one axis.
    let bar = body(500.0, [0.1, 0.0, 0.0], &BAR, [0.0; 3]);
    check(
        &made(&[[0.0, 0.0, 2.0]], &[], vec![bar], &legs),
        &["spreader S"],
        &["spreader S free to turn about the vertical through hook A", "spreader S free to roll about its own axis"],
    );
    // With the center of gravity below, it does not roll.
    let bar = body(500.0, [0.1, 0.0, -0.1], &BAR, [0.0; 3]);
    check(
        &made(&[[0.0, 0.0, 2.0]], &[], vec![bar], &legs),
        &["spreader S"],
        &["spreader S free to turn about the vertical through hook A"],
    );
    // A load from one point under a spreader.
    let points = [[-1.0, 0.0, 0.1], [1.0, 0.0, 0.1], [0.2, 0.0, -0.1]];
    let spreader = body(100.0, [0.0, 0.0, -0.05], &points, [0.0, 0.0, -2.0]);
    let load = body(1000.0, [0.0, 0.0, -0.5], &[[0.0; 3]], [0.2, 0.0, -4.0]);
    let mut members = legs.to_vec();
    members.push((at(0, 2), at(1, 0), 2.0, 1.0e6));
    check(
        &made(&[[0.0; 3]], &[], vec![spreader, load], &members),
        &["spreader S", "load L"],
        &[
            "spreader S, load L free to turn about the vertical through hook A",
            "load L free to turn about the vertical through point 2 of spreader S",
        ],
    );
    // Two loads under one hook.
    let load = |x: f64| body(300.0, [0.0, 0.0, -0.4], &[[-0.3, 0.0, 0.0], [0.3, 0.0, 0.0]], [x, 0.0, -2.0 + x]);
    let two = [
        (End::Hook(0), at(0, 0), 2.0, 1.0e6),
        (End::Hook(0), at(0, 1), 2.0, 1.0e6),
        (End::Hook(0), at(1, 0), 5.0, 1.0e6),
        (End::Hook(0), at(1, 1), 5.0, 1.0e6),
    ];
    check(
        &made(&[[0.0; 3]], &[], vec![load(0.0), load(-2.5)], &two),
        &["load K", "load L"],
        &[
            "load K free to turn about the vertical through hook A",
            "load L free to turn about the vertical through hook A",
        ],
    );
    // The center of gravity on the line of the lugs, under two hooks.
    let vessel = body(900.0, [0.2, 0.0, 0.0], &BAR, [0.0, 0.0, -3.0]);
    let pair = [(End::Hook(0), at(0, 0), 3.0, 1.0e7), (End::Hook(1), at(0, 1), 3.0, 1.0e7)];
    check(
        &made(&[[-1.0, 0.0, 0.0], [1.0, 0.0, 0.0]], &[], vec![vessel], &pair),
        &["vessel V"],
        &["vessel V free to roll about its own axis"],
    );
    println!("mechanisms: {ran} ran, 0 skipped");
    assert_eq!(ran, 5);
}

#[test]
fn a_joint_that_hangs_slack_moves_every_way() {
    let load = body(1000.0, [0.0, 0.0, -1.0], &[[0.0; 3]], [0.0; 3]);
    let members = [(End::Hook(0), at(0, 0), 10.0, 1.0e9), (End::Hook(0), End::Joint(0), 5.0, 1.0e6)];
    let system = made(&[[0.0, 0.0, 10.0]], &[[0.3, 0.0, 9.0]], vec![load], &members);
    let found = motions(&system);
    assert_eq!(found.len(), 4);
    for motion in &found[1..] {
        assert_eq!((motion.leader, motion.parts.len()), (Part::Joint(0), 1));
        assert!(matches!(motion.kind, Kind::Slide { .. }));
        assert!(motion.words(&Names::default()).starts_with("joint 0 free to move along ("));
    }
}

#[test]
fn numbers_stand_in_for_names() {
    let bar = body(500.0, [0.1, 0.0, 0.0], &BAR, [0.0; 3]);
    let legs = [(End::Hook(0), at(0, 0), 2.0, 1.0e6), (End::Hook(0), at(0, 1), 2.0, 1.0e6)];
    let found = motions(&made(&[[0.0, 0.0, 2.0]], &[], vec![bar], &legs));
    assert_eq!(found[0].words(&Names::default()), "body 0 free to turn about the vertical through hook 0");
}

#[test]
fn every_reference_case_has_as_many_motions_as_null_modes() {
    let file = read("cases.json");
    let (mut ran, mut all, mut failed) = (0, 0, Vec::new());
    for case in list(&file, "cases") {
        let system = system(&case["input"]).unwrap();
        let certificate = solve(&system).unwrap();
        match mechanisms(&system, &certificate) {
            Ok(found) => all += found.motions.len(),
            Err(error) => failed.push(format!("{}: {error}", case["id"])),
        }
        ran += 1;
    }
    println!("mechanisms of reference cases: {ran} ran, 0 skipped, {all} motions");
    assert!(failed.is_empty(), "{failed:#?}");
    assert_eq!(ran, 128);
}

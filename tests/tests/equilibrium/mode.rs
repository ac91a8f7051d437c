//! Modes against the Hessian put together anew, and sign counts against elimination.

use crate::document::{list, read, system};
use crate::rebuilt::{at, below, body, flat, hessian, made, squares, times, unknowns};
use rigging_core::equilibrium::{mode::softest_modes, solve};
use rigging_core::system::{Body, End, System};

/// What rounding leaves of an eigenvalue, over the largest entry of the matrix.
const ROUNDING: f64 = 1.0e-12;
/// Accuracy of an iterated eigenvalue.
const ITERATED: f64 = 1.0e-8;

#[test]
fn every_mode_of_the_reference_cases_belongs_to_the_rebuilt_matrix() {
    let file = read("cases.json");
    let (mut ran, mut whole, mut modes, mut failed) = (0, 0, 0, Vec::new());
    for case in list(&file, "cases") {
        let id = &case["id"];
        let system = system(&case["input"]).unwrap();
        let certificate = solve(&system).unwrap();
        let found = softest_modes(&system, &certificate, 8).unwrap();
        let n = unknowns(&system);
        let matrix = hessian(&system, &certificate);
        let squares = squares(&system, &found.reaches);
        let size = matrix.iter().flatten().fold(0.0, |most: f64, value| most.max(value.abs()));
        ran += 1;
        whole += usize::from(found.complete);
        assert_eq!(found.complete, n <= 48, "{id}");
        assert_eq!(found.modes.len(), if n <= 48 { n - found.free_turns } else { 8 }, "{id}");
        let soft = found.modes[0].stiffness.abs().max(1.0);
        for (index, mode) in found.modes.iter().enumerate() {
            modes += 1;
            let x = flat(&mode.shape);
            let forces = times(&matrix, &x);
            let allowed = ROUNDING * size + if found.complete { 0.0 } else { ITERATED.sqrt() * mode.stiffness.abs() };
            let left: f64 =
                forces.iter().zip(&x).zip(&squares).map(|((f, x), s)| (f - mode.stiffness * s * x).powi(2) / s).sum();
            let energy: f64 = forces.iter().zip(&x).map(|(f, x)| f * x).sum();
            let length: f64 = x.iter().zip(&squares).map(|(x, s)| s * x * x).sum();
            if left.sqrt() > allowed
                || (length - 1.0).abs() > 1.0e-12
                || (energy - mode.stiffness).abs() > ROUNDING * size + ITERATED * mode.stiffness.abs()
            {
                failed.push(format!(
                    "{id} mode {index}: {} leaves {:e} of {size:e}, length {length}",
                    mode.stiffness,
                    left.sqrt()
                ));
            }
        }
        // Between two modes that differ, the count of signs knows how many lie below.
        for (index, pair) in found.modes.windows(2).enumerate() {
            let [low, high] = [pair[0].stiffness, pair[1].stiffness];
            if high - low > 1.0e-6 * high.abs() + 1.0e3 * ROUNDING * size {
                let cut = 0.5 * (low + high);
                let free = if cut > 0.0 { found.free_turns } else { 0 };
                let counted = below(&matrix, &squares, cut);
                if counted != index + 1 + free {
                    failed.push(format!("{id}: {counted} below {cut}, {} expected", index + 1 + free));
                }
            }
        }
        // The signs are those of the certificate.
        let zero = 1.0e-6 * soft + ROUNDING * size;
        let negative = found.modes.iter().filter(|mode| mode.stiffness < -zero).count();
        let null = found.free_turns + found.modes.iter().filter(|mode| mode.stiffness.abs() <= zero).count();
        if (negative, null) != (certificate.negative_modes, certificate.null_modes) {
            failed.push(format!("{id}: {negative} negative and {null} null against the certificate"));
        }
        if unknowns(&system) > 6 {
            let stated: Vec<f64> = found.modes.iter().map(|mode| mode.stiffness).collect();
            assert_eq!(certificate.eigenvalues, stated, "{id}");
        }
    }
    println!("modes: {ran} cases ran, 0 skipped, {whole} of them whole, {modes} modes");
    assert!(failed.is_empty(), "{} failed: {failed:#?}", failed.len());
    assert_eq!((ran, whole, modes), (128, 128, 1092));
}

/// A tree of beams as symmetric as can be, so that eigenvalues come in groups: a beam on two legs, a ring under each end,
/// two legs from there to the next beam; each of the lowest ends carries a load of its own by two legs.
fn tree(levels: u32) -> System {
    fn beam(top: End, place: [f64; 3], level: u32, parts: &mut Parts) {
        let half = f64::from(1 << level) * 0.5;
        let drop = half * 1.5;
        let length = (half * half + drop * drop).sqrt();
        let own = parts.bodies.len();
        let center = [place[0], place[1], place[2] - drop];
        let mass = if level == 0 { 1000.0 } else { 50.0 };
        parts.bodies.push(body(mass, [0.0, 0.0, -0.2], &[[-half, 0.0, 0.0], [half, 0.0, 0.0]], center));
        for (point, side) in [(0, -half), (1, half)] {
            parts.members.push((top, at(own, point), length, 2.0e7));
            if level > 0 {
                let ring = [center[0] + side, center[1], center[2] - 1.0];
                parts.joints.push(ring);
                let joint = End::Joint(parts.joints.len() - 1);
                parts.members.push((at(own, point), joint, 1.0, 2.0e7));
                beam(joint, ring, level - 1, parts);
            }
        }
    }
    let mut parts = Parts { joints: Vec::new(), bodies: Vec::new(), members: Vec::new() };
    beam(End::Hook(0), [0.0; 3], levels, &mut parts);
    made(&[[0.0; 3]], &parts.joints, parts.bodies, &parts.members)
}

struct Parts {
    joints: Vec<[f64; 3]>,
    bodies: Vec<Body>,
    members: Vec<(End, End, f64, f64)>,
}

#[test]
fn iterated_modes_of_symmetric_trees_are_the_softest() {
    let (mut ran, mut equal) = (0, 0);
    for levels in [3, 4, 5] {
        let system = tree(levels);
        let certificate = solve(&system).unwrap();
        let n = unknowns(&system);
        assert!(n > 48);
        for count in [1, 8, 20] {
            let found = softest_modes(&system, &certificate, count).unwrap();
            ran += 1;
            assert!(!found.complete && found.modes.len() == count, "{levels} {count}");
            assert_eq!(found.free_turns, certificate.null_modes, "every part under a ring may turn");
            let matrix = hessian(&system, &certificate);
            let squares = squares(&system, &found.reaches);
            let vectors: Vec<Vec<f64>> = found.modes.iter().map(|mode| flat(&mode.shape)).collect();
            for (i, (mode, x)) in found.modes.iter().zip(&vectors).enumerate() {
                let forces = times(&matrix, x);
                let left: f64 = forces
                    .iter()
                    .zip(x)
                    .zip(&squares)
                    .map(|((f, x), s)| (f - mode.stiffness * s * x).powi(2) / s)
                    .sum();
                assert!(left.sqrt() < 1.0e-4 * mode.stiffness, "{levels} {i}: {}", left.sqrt() / mode.stiffness);
                let energy: f64 = forces.iter().zip(x).map(|(f, x)| f * x).sum();
                assert!((energy / mode.stiffness - 1.0).abs() < 1.0e-9, "{levels} {i}: {energy} {}", mode.stiffness);
                for (j, y) in vectors.iter().enumerate() {
                    let product: f64 = x.iter().zip(y).zip(&squares).map(|((x, y), s)| x * y * s).sum();
                    assert!((product - f64::from(u8::from(i == j))).abs() < 1.0e-9, "{levels} {i} {j}: {product}");
                }
            }
            // As many below the last as were found, and no more.
            let last = found.modes.last().unwrap().stiffness;
            let less = found.modes.iter().filter(|mode| mode.stiffness < last * (1.0 - 1.0e-6)).count();
            assert_eq!(below(&matrix, &squares, last * (1.0 - 1.0e-6)), less + found.free_turns, "{levels} {count}");
            assert!(below(&matrix, &squares, last * (1.0 + 1.0e-6)) >= count + found.free_turns);
            equal +=
                found.modes.windows(2).filter(|pair| pair[1].stiffness < pair[0].stiffness * (1.0 + 1.0e-9)).count();
            if count == 8 {
                let stated: Vec<f64> = found.modes.iter().map(|mode| mode.stiffness).collect();
                // A certificate of more than 200 unknowns states none.
                assert_eq!(certificate.eigenvalues, if n > 200 { Vec::new() } else { stated });
            }
        }
    }
    println!("iterated modes: {ran} ran, 0 skipped, {equal} pairs of equal eigenvalues");
    assert_eq!(ran, 9);
    assert!(equal > 0, "the trees are meant to have equal eigenvalues");
}

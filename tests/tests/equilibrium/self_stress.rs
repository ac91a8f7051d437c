//! Self-stress: known counts, an independent rank, and solves with lengths that are off.

use crate::document::{list, read, system};
use crate::rebuilt::{at, body, made};
use rigging_core::equilibrium::self_stress::{interchangeable, self_stress};
use rigging_core::equilibrium::{Certificate, solve};
use rigging_core::error::Error;
use rigging_core::system::{End, Member, System};

/// What geometry makes exact.
const EXACT: f64 = 1.0e-9;

/// Panel under a spreader: two upper slings to each end of the bar, two lower ones from there in a V.
fn spreader() -> System {
    let bar = body(1100.0, [0.0, 0.0, 0.0], &[[-4.5, 0.0, 0.0], [4.5, 0.0, 0.0]], [0.0, 0.0, -7.794]);
    let anchors = [[-4.5, -1.0, 0.11], [-4.5, 1.0, 0.11], [4.5, -1.0, 0.11], [4.5, 1.0, 0.11]];
    let panel = body(20_700.0, [0.0, 0.0, 0.0], &anchors, [0.0, 0.0, -10.8]);
    let mut members = Vec::new();
    for end in 0..2 {
        for _ in 0..2 {
            members.push((End::Hook(0), at(0, end), 9.0, 2.0e7));
        }
    }
    for anchor in 0..4 {
        members.push((at(0, anchor / 2), at(1, anchor), 3.0, 1.0e7));
    }
    made(&[[0.0; 3]], &[], vec![bar, panel], &members)
}

/// A load on four vertical slings under a frame on four legs.
fn frame(center: [f64; 3]) -> System {
    let corners = [[1.0, 1.0, 0.0], [-1.0, 1.0, 0.0], [-1.0, -1.0, 0.0], [1.0, -1.0, 0.0]];
    let upper = body(600.0, [0.0, 0.0, 0.0], &corners, [0.0, 0.0, -2.0]);
    let load = body(6000.0, center, &corners, [0.0, 0.0, -5.0]);
    let mut members = Vec::new();
    for corner in 0..4 {
        members.push((End::Hook(0), at(0, corner), 6.0_f64.sqrt(), 4.0e6));
    }
    for corner in 0..4 {
        members.push((at(0, corner), at(1, corner), 3.0, 4.0e6));
    }
    made(&[[0.0; 3]], &[], vec![upper, load], &members)
}

fn bridle(corners: &[[f64; 3]], center: [f64; 3]) -> System {
    let load = body(5000.0, center, corners, [0.0; 3]);
    let members: Vec<_> = (0..corners.len()).map(|corner| (End::Hook(0), at(0, corner), 4.0, 4.0e6)).collect();
    made(&[[0.0, 0.0, 4.0]], &[], vec![load], &members)
}

const FOUR: [[f64; 3]; 4] = [[2.0, 1.0, 0.0], [-2.0, 1.0, 0.0], [-2.0, -1.0, 0.0], [2.0, -1.0, 0.0]];

#[test]
fn known_arrangements_have_the_states_that_mechanics_gives_them() {
    let mut ran = 0;
    let mut check = |name: &str, system: &System, states: usize, groups: Vec<Vec<usize>>| {
        ran += 1;
        let certificate = solve(system).unwrap();
        let found = self_stress(system, &certificate, EXACT).unwrap();
        println!("{name}: {} states, gap {:?}", found.states.len(), found.gap());
        assert_eq!(found.states.len(), states, "{name}: {:?}", found.singular_values);
        assert_eq!(found.groups, groups, "{name}");
        let (kept, dropped) = found.gap();
        assert!(kept.unwrap() > 1.0e-3, "{name}");
        assert!(dropped.is_none_or(|value| value < 1.0e-13), "{name}: {dropped:?}");
        let determinate = (0..system.members().len()).filter(|member| !groups.iter().flatten().any(|m| m == member));
        for member in determinate {
            assert!(found.own_tension_per_length(member).unwrap().abs() < 1.0e-3, "{name}: {member}");
        }
    };
    check("spreader with pairs above and V below", &spreader(), 2, vec![vec![0, 1], vec![2, 3]]);
    check("frame with four vertical slings", &frame([0.0, 0.0, 0.5]), 2, vec![vec![0, 1, 2, 3], vec![4, 5, 6, 7]]);
    check("three-leg bridle", &bridle(&FOUR[..3], [-0.6, 0.3, -1.0]), 0, vec![]);
    check("four-leg bridle", &bridle(&FOUR, [0.0, 0.0, -1.0]), 1, vec![vec![0, 1, 2, 3]]);
    let h = 3.0_f64.sqrt();
    let six = [[2.0, 0.0, 0.0], [1.0, h, 0.0], [-1.0, h, 0.0], [-2.0, 0.0, 0.0], [-1.0, -h, 0.0], [1.0, -h, 0.0]];
    check("six-leg bridle", &bridle(&six, [0.0, 0.0, -1.0]), 3, vec![vec![0, 1, 2, 3, 4, 5]]);
    println!("known self-stress: {ran} ran, 0 skipped");
    assert_eq!(ran, 5);
}

#[test]
fn nearly_parallel_slings_are_told_by_the_tolerance() {
    let system = frame([0.15, -0.1, 0.5]);
    let certificate = solve(&system).unwrap();
    let exact = self_stress(&system, &certificate, EXACT).unwrap();
    let near = self_stress(&system, &certificate, 0.02).unwrap();
    println!("{:?}", exact.singular_values);
    // The bridle's state is exact; that of the slings only nearly so, since frame and load tilt by different angles.
    assert_eq!((exact.states.len(), near.states.len()), (1, 2));
    assert_eq!(near.groups, [vec![0, 1, 2, 3], vec![4, 5, 6, 7]]);
    let (kept, dropped) = near.gap();
    assert!(kept.unwrap() > 20.0 * dropped.unwrap());
}

/// Rank by elimination with complete pivoting, of forces and moments written down from the certificate alone.
fn rank(system: &System, certificate: &Certificate) -> usize {
    let joints = system.joints().len();
    let rows = 3 * joints + 6 * system.bodies().len();
    let mut columns: Vec<Vec<f64>> = Vec::new();
    for (member, state) in system.members().iter().zip(&certificate.members).filter(|(_, state)| !state.slack) {
        let mut column = vec![0.0; rows];
        for (end, force) in [(member.a, state.direction), (member.b, -state.direction)] {
            match end {
                End::Hook(_) => {}
                End::Joint(joint) => (0..3).for_each(|i| column[3 * joint + i] += force[i]),
                End::Body { body, point } => {
                    let own = &system.bodies()[body];
                    let arm = certificate.bodies[body].rotation * (own.points[point] - own.center_of_gravity);
                    let moment = arm.cross(force);
                    (0..3).for_each(|i| column[3 * joints + 6 * body + i] += force[i]);
                    (0..3).for_each(|i| column[3 * joints + 6 * body + 3 + i] += moment[i]);
                }
            }
        }
        columns.push(column);
    }
    let mut rank = 0;
    while rank < columns.len().min(rows) {
        let (mut most, mut at) = (0.0, (rank, rank));
        for (j, column) in columns.iter().enumerate().skip(rank) {
            for (i, value) in column.iter().enumerate().skip(rank) {
                if value.abs() > most {
                    (most, at) = (value.abs(), (j, i));
                }
            }
        }
        if most < 1.0e-8 {
            break;
        }
        columns.swap(rank, at.0);
        columns.iter_mut().for_each(|column| column.swap(rank, at.1));
        let pivot = columns[rank].clone();
        for column in columns.iter_mut().skip(rank + 1) {
            let factor = column[rank] / pivot[rank];
            column.iter_mut().zip(&pivot).for_each(|(value, pivot)| *value -= factor * pivot);
        }
        rank += 1;
    }
    rank
}

#[test]
fn the_count_is_members_minus_rank_in_every_reference_case() {
    let file = read("cases.json");
    let (mut ran, mut states) = (0, 0);
    for case in list(&file, "cases") {
        let system = system(&case["input"]).unwrap();
        let certificate = solve(&system).unwrap();
        let found = self_stress(&system, &certificate, EXACT).unwrap();
        let taut = certificate.members.iter().filter(|member| !member.slack).count();
        assert_eq!(found.taut.len(), taut, "{}", case["id"]);
        assert_eq!(
            found.states.len(),
            taut - rank(&system, &certificate),
            "{} {:?}",
            case["id"],
            found.singular_values
        );
        ran += 1;
        states += found.states.len();
    }
    println!("rank: {ran} cases ran, 0 skipped, {states} states of self-stress");
    assert_eq!(ran, 128);
    assert!(states > 0);
}

fn with_errors(system: &System, errors: &[f64]) -> System {
    let members = system.members().iter().zip(errors);
    let members = members.map(|(member, error)| Member { length: member.length + error, ..member.clone() });
    System::new(
        system.gravity(),
        system.hooks().to_vec(),
        system.joints().to_vec(),
        system.bodies().to_vec(),
        members.collect(),
    )
    .unwrap()
}

/// The map leaves out how the load shifts its weight when it tilts; with errors that differ between the members of a
/// group only, what is left of that is this share of the change.
const SHIFTED: f64 = 0.02;

#[test]
fn small_length_errors_make_the_tensions_that_a_new_solve_finds() {
    let mut ran = 0;
    for (name, system, errors) in [
        ("pairs above a spreader", spreader(), vec![1.0e-4, -1.0e-4, 2.0e-4, -2.0e-4, 0.0, 0.0, 0.0, 0.0]),
        ("four-leg bridle", bridle(&FOUR, [0.0, 0.0, -1.0]), vec![1.0e-4, -1.0e-4, 1.0e-4, -1.0e-4]),
        ("vertical slings", frame([0.0, 0.0, 0.5]), vec![0.0, 0.0, 0.0, 0.0, 1.0e-4, -1.0e-4, 1.0e-4, -1.0e-4]),
    ] {
        let before = solve(&system).unwrap();
        let found = self_stress(&system, &before, EXACT).unwrap();
        let foreseen = found.tensions(&errors).unwrap();
        let after = solve(&with_errors(&system, &errors)).unwrap();
        let largest = foreseen.iter().fold(0.0, |most: f64, change| most.max(change.abs()));
        assert!(largest > 10.0, "{name}: {foreseen:?}");
        let mut worst: f64 = 0.0;
        for (member, change) in foreseen.iter().enumerate() {
            let real = after.members[member].tension - before.members[member].tension;
            worst = worst.max((real - change).abs() / largest);
        }
        println!("{name}: changes up to {largest:.1} N, foreseen within {:.3} %", 100.0 * worst);
        assert!(worst < SHIFTED, "{name}");
        ran += 1;
    }
    println!("length errors: {ran} ran, 0 skipped");
    assert_eq!(ran, 3);
}

#[test]
fn parallel_slings_share_evenly_only_if_matched() {
    // k/2 for each of a pair: one 3 mm short by the stiffness of 2.2 MN/m takes 3.3 kN from the other.
    let system = spreader();
    let found = self_stress(&system, &solve(&system).unwrap(), EXACT).unwrap();
    let k = 2.0e7 / 9.0;
    assert!((found.own_tension_per_length(0).unwrap() / (-0.5 * k) - 1.0).abs() < 1.0e-9);
    let change = found.tensions(&[-0.003, 0.0, 0.0, 0.0, 0.004, -0.004, 0.0, 0.01]).unwrap();
    assert!((change[0] - 0.0015 * k).abs() < 1.0e-3 && (change[1] + 0.0015 * k).abs() < 1.0e-3);
    assert!(change[2..].iter().all(|change| change.abs() < 1.0e-3), "the lower slings need no matching: {change:?}");
}

#[test]
fn the_order_found_is_the_best_of_all() {
    let system = spreader();
    let found = self_stress(&system, &solve(&system).unwrap(), EXACT).unwrap();
    assert_eq!(interchangeable(&system), [vec![0, 1, 2, 3], vec![4, 5, 6, 7]]);
    // Two long and two short ones, mixed: like goes to like.
    let errors = [0.004, -0.004, 0.003, -0.005, 0.0, 0.0, 0.0, 0.0];
    let order = found.assign(&errors, &[vec![0, 1, 2, 3]]).unwrap();
    assert!(order.exhaustive);
    let placed: Vec<f64> = order.members.iter().map(|from| errors[*from]).collect();
    assert!((placed[0] - placed[1]).abs() < 0.0011 && (placed[2] - placed[3]).abs() < 0.0011, "{placed:?}");
    let k = 2.0e7 / 9.0;
    assert!((order.before - 0.004 * k).abs() < 1.0 && (order.after - 0.0005 * k).abs() < 1.0, "{order:?}");
    let worst = found.tensions(&placed).unwrap().iter().fold(0.0, |most: f64, t| most.max(t.abs()));
    assert!((worst - order.after).abs() < 1.0e-9);
    // All 24 orders by hand.
    let mut least = f64::INFINITY;
    for a in 0..4 {
        for b in 0..4 {
            for c in 0..4 {
                for d in 0..4 {
                    let mut seen = [a, b, c, d];
                    seen.sort_unstable();
                    if seen == [0, 1, 2, 3] {
                        least = least.min(0.5 * k * (errors[a] - errors[b]).abs().max((errors[c] - errors[d]).abs()));
                    }
                }
            }
        }
    }
    assert!((least - order.after).abs() < 1.0e-6);
    // Ten members are too many to try all orders, and the answer says so.
    let ten: Vec<[f64; 3]> = (0..10).map(|i| [f64::from(i % 5) - 2.0, f64::from(i / 5) * 2.0 - 1.0, 0.0]).collect();
    let system = bridle(&ten, [0.0, 0.0, -1.0]);
    let found = self_stress(&system, &solve(&system).unwrap(), EXACT).unwrap();
    let errors: Vec<f64> = (0..10).map(|i| 0.001 * f64::from((i * 7) % 10 - 5)).collect();
    let order = found.assign(&errors, &interchangeable(&system)).unwrap();
    assert!(!order.exhaustive && order.after < order.before, "{order:?}");
    let mut sorted = order.members.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (0..10).collect::<Vec<_>>());
}

#[test]
fn what_makes_no_sense_is_refused() {
    let system = spreader();
    let certificate = solve(&system).unwrap();
    for tolerance in [0.0, 1.0, -1.0, f64::NAN] {
        assert!(matches!(self_stress(&system, &certificate, tolerance), Err(Error::OutOfDomain { .. })));
    }
    let found = self_stress(&system, &certificate, EXACT).unwrap();
    assert!(matches!(found.tensions(&[0.0; 7]), Err(Error::Inconsistent { .. })));
    let mut errors = [0.0; 8];
    errors[3] = f64::NAN;
    let error = found.tensions(&errors).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", "/errors/3"));
    let error = found.assign(&[0.0; 8], &[vec![0, 1], vec![1, 2]]).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", "/interchangeable/1/0"));
    let error = found.assign(&[0.0; 8], &[vec![8]]).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", "/interchangeable/0/0"));
    assert!(matches!(self_stress(&bridle(&FOUR, [0.0; 3]), &certificate, EXACT), Err(Error::Inconsistent { .. })));
}

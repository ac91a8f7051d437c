#![allow(clippy::unwrap_used)]
use super::super::Effort;
use super::super::balances::Hangs;
use super::super::kept::{drawn, is_kept, noise};
use super::super::region::Region;
use super::super::several::Hanging;
use super::*;
use crate::equilibrium::State;
use crate::system::{Body, Hook, Law, Member};

/// A body on four hooks, two of its legs at the first: legs go slack where their lengths differ.
fn lift(law: &Law) -> System {
    let hooks = [[0.0, 2.0, 6.0], [8.0, 2.0, 6.7], [8.0, -2.0, 5.6], [0.0, -2.0, 6.2]].map(DVec3::from_array);
    let points = [[0.3, 2.2], [7.5, 1.8], [7.7, -2.1], [0.2, -1.7], [0.4, 1.4]].map(|[x, y]| DVec3::new(x, y, 0.1 * x));
    let ends = [(0, 0), (1, 1), (2, 2), (3, 3), (0, 4)];
    let members = ends.map(|(hook, point): (usize, usize)| Member {
        a: End::Hook(hook),
        b: End::Body { body: 0, point },
        length: (hooks[hook] - points[point]).length() - 0.01,
        law: law.clone(),
    });
    let body = Body {
        mass: 9.0e3,
        center_of_gravity: DVec3::new(3.7, 0.2, -0.4),
        points: points.to_vec(),
        position: DVec3::new(0.0, 0.0, 0.0),
        rotation: DQuat::from_xyzw(0.01, -0.02, 0.005, 1.0).normalize(),
    };
    let hooks = hooks.map(|position| Hook { position }).to_vec();
    System::new(9.81, hooks, vec![], vec![body], members.to_vec()).unwrap()
}

/// Half of each side: lengths, stiffnesses, center of gravity, weight, heights.
fn sides(length: f64) -> Vec<f64> {
    let others = [vec![0.05; 5], vec![0.05, 0.03, 0.05, 0.03], vec![0.002, 0.0, 0.002, 0.002]];
    [vec![length; 5], others.concat()].concat()
}

fn laws() -> [Law; 3] {
    [
        Law::linear(16.0e6).unwrap(),
        Law::polynomial(vec![4.0e6, 3.0e8]).unwrap(),
        Law::piecewise_linear(vec![[0.002, 1.2e4], [0.01, 6.8e4]]).unwrap(),
    ]
}

/// States drawn from a box, legs going slack in some: each lies in a piece of the region, keeps every condition over it, and
/// has no more than the form of a target says. Shares are taken from tensions, not from the conditions.
#[test]
fn every_state_that_hangs_keeps_all_conditions() {
    let (mut states, mut slack) = (0, 0);
    for (law, length) in laws().into_iter().zip([0.012, 0.006, 0.008]) {
        let system = lift(&law);
        let sides = sides(length);
        let mut hanging = Hanging::new(&system);
        hanging.start(&vec![0.0; sides.len()]).unwrap();
        let stance = hanging.stance();
        let lift = Hooks::new(&system, &sides, stance).unwrap();
        let nominal = lift.nominal(stance);
        let mut found = nominal.map(Interval::point).to_vec();
        for draw in 0..300 {
            let (_, place) = hanging.hang(&drawn(sides.iter().copied(), draw)).unwrap().unwrap();
            found = found.iter().zip(place).map(|(side, at)| side.hull(Interval::point(at))).collect();
        }
        let region =
            Region::enclose(&lift, &nominal, &found, &Effort { gap: 0.01, parts: 8000 }).map_err(drop).unwrap();
        println!("{} pieces of {}", region.pieces.len(), region.count);
        for draw in 300..1300 {
            let numbers = drawn(sides.iter().copied(), draw);
            let (state, place) = hanging.hang(&numbers).unwrap().unwrap();
            assert_eq!(state, State::Stable);
            let mut symbols = [0.0; SYMBOLS];
            symbols[..CENTER].copy_from_slice(&place);
            symbols[CENTER..WEIGHT].copy_from_slice(&numbers[10..13]);
            let weight = 9.0e3 * 9.81 * (1.0 + numbers[13]);
            symbols[WEIGHT] = weight;
            for hook in 1..4 {
                symbols[HEIGHTS + hook - 1] = numbers[14 + hook] - numbers[14];
            }
            for leg in 0..5 {
                let tension = hanging.value(Target { legs: 1 << leg });
                let length = (system.members()[leg].length + numbers[leg]) + hanging.elongation(leg);
                symbols[lift.shares() + leg] = tension / length / (weight / lift.height);
                slack += usize::from(tension == 0.0);
            }
            let targets = [0b1, 0b100, 0b10001, 0b1000].map(|legs| Target { legs });
            let values = targets.map(|target| (target, hanging.value(target)));
            assert!(is_kept(&lift, &region, &symbols, &values), "draw {draw}: {numbers:?}");
            states += 1;
        }
    }
    println!("{states} states, {slack} slack legs");
    assert!(states == 3000 && slack > 100);
}

/// The energy's second difference along any motion is what the form of second derivatives says.
#[test]
fn second_derivatives_are_those_of_the_energy() {
    let law = Law::linear(6.0e6).unwrap();
    let system = lift(&law);
    let sides = vec![0.0; sides(0.0).len()];
    let mut hanging = Hanging::new(&system);
    hanging.start(&sides).unwrap();
    let stance = hanging.stance();
    let lift = Hooks::new(&system, &sides, stance).unwrap();
    let mut piece = lift.all(&lift.nominal(stance).map(Interval::point)).unwrap();
    for leg in 0..5 {
        let (tension, length) =
            (hanging.value(Target { legs: 1 << leg }), system.members()[leg].length + hanging.elongation(leg));
        assert!(tension > 0.0);
        piece.ranges[lift.shares() + leg] = Interval::point(tension / length / (lift.nominal / lift.height));
    }
    let forms = lift.forms(&mut piece).unwrap();
    let matrix = lift.second(&piece, &forms).unwrap();
    let body = &system.bodies()[0];
    let energy = |u: DVec3, turn: DVec3| {
        let rotation = DQuat::from_scaled_axis(turn) * stance.1;
        let position = stance.0 + u;
        let mut sum = lift.nominal * position.z;
        for member in system.members() {
            let (End::Hook(hook), End::Body { point, .. }) = (member.a, member.b) else { panic!("a leg") };
            let arm = rotation * (body.points[point] - body.center_of_gravity);
            let longer = (system.hooks()[hook].position - position - arm).length() - member.length;
            sum += 0.5 * 6.0e6 / member.length * longer.max(0.0).powi(2);
        }
        sum
    };
    for draw in 0..40 {
        let v: [f64; 6] = std::array::from_fn(|k| noise(draw * 7 + k as u64));
        let step = 1.0e-4;
        let at = |s: f64| energy(DVec3::new(v[0], v[1], v[2]) * s, DVec3::new(v[3], v[4], v[5]) * s);
        let found = (at(step) - 2.0 * at(0.0) + at(-step)) / (step * step);
        let mut expected = 0.0;
        for row in 0..6 {
            for column in 0..6 {
                expected += matrix[row][column].middle * v[row] * v[column] * lift.nominal / lift.height;
            }
        }
        assert!((found - expected).abs() < 2.0e-4 * expected.abs() + 2.0, "{found} against {expected}");
    }
}

/// Where states of the box leave the places that a region is made around, nothing is proven.
#[test]
fn a_region_that_states_leave_is_not_proven() {
    let system = lift(&Law::linear(6.0e6).unwrap());
    let mut sides = vec![0.0; sides(0.0).len()];
    let mut hanging = Hanging::new(&system);
    hanging.start(&sides).unwrap();
    let stance = hanging.stance();
    let enclosed = |sides: &[f64]| {
        let lift = Hooks::new(&system, sides, stance).unwrap();
        let nominal = lift.nominal(stance);
        let found = nominal.map(Interval::point);
        Region::enclose(&lift, &nominal, &found, &Effort { gap: 0.01, parts: 400 }).is_ok()
    };
    assert!(enclosed(&sides));
    for (number, side) in [(1, 0.3), (15, 0.2)] {
        sides[number] = side;
        assert!(!enclosed(&sides), "number {number}");
        sides[number] = 0.0;
    }
}

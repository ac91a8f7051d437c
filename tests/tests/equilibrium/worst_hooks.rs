//! The worst case of several hooks: anchors of a tandem lift, heights of hooks, bounds against samples.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::network::{Network, Workspace};
use rigging_core::equilibrium::worst::{Effort, Reason, Tolerances, Worst, worst, worst_of_system};
use rigging_core::system::{Body, End, Hook, Law, Member, System};

const GRAVITY: f64 = 9.80665;
/// Over a wide flat top one state is as good as another: what a search ends with is its height to this fraction.
const FLAT: f64 = 1.0e-6;

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} against {expected}");
}

/// A body of a mass, drawn level with its points at z = 0, under hooks at a height. A leg from each hook to each of its points,
/// straight as drawn.
fn under(hooks: &[([f64; 2], &[[f64; 2]])], height: f64, center: [f64; 3], ea: f64, mass: f64) -> System {
    let (mut points, mut members) = (Vec::new(), Vec::new());
    for (index, ([x, y], own)) in hooks.iter().enumerate() {
        for [a, b] in own.iter() {
            let ends = (End::Hook(index), End::Body { body: 0, point: points.len() });
            // Either end may be the hook.
            let (a_end, b_end) = if members.len() % 2 == 0 { ends } else { (ends.1, ends.0) };
            let length = DVec3::new(a - x, b - y, height).length();
            members.push(Member { a: a_end, b: b_end, length, law: Law::linear(ea).unwrap() });
            points.push(DVec3::new(*a, *b, 0.0));
        }
    }
    let hooks = hooks.iter().map(|([x, y], _)| Hook { position: DVec3::new(*x, *y, height) }).collect();
    let center_of_gravity = DVec3::from_array(center);
    let body = Body { mass, center_of_gravity, points, position: DVec3::ZERO, rotation: DQuat::IDENTITY };
    System::new(GRAVITY, hooks, vec![], vec![body], members).unwrap()
}

/// A vessel of 96 t and 3 % on two hooks 24 m apart, its center of gravity `below` the line of the lugs.
fn vessel(below: f64, ea: f64) -> System {
    let hooks: [([f64; 2], &[[f64; 2]]); 2] = [([0.0, 0.0], &[[0.0, 0.0]]), ([24.0, 0.0], &[[24.0, 0.0]])];
    under(&hooks, 9.0, [10.4, 0.0, -below], ea, 96.0e3 * 1.03)
}

/// The same with two lugs under each hook, 5 m apart across, so that the center of gravity may be above them.
fn pairs(above: f64, ea: f64) -> System {
    let hooks: [([f64; 2], &[[f64; 2]]); 2] =
        [([0.0, 0.0], &[[0.0, 2.5], [0.0, -2.5]]), ([24.0, 0.0], &[[24.0, 2.5], [24.0, -2.5]])];
    under(&hooks, 9.0, [10.4, 0.0, above], ea, 96.0e3 * 1.03)
}

fn three() -> System {
    let hooks: [([f64; 2], &[[f64; 2]]); 3] =
        [([0.0, 0.0], &[[0.5, 0.0]]), ([12.0, 6.0], &[[11.5, 5.5]]), ([12.0, -6.0], &[[11.5, -5.5]])];
    under(&hooks, 10.0, [7.0, 0.3, -1.0], 120.0e6, 60.0e3)
}

/// Two legs at the first of three hooks, and one more than balance needs.
fn tied() -> System {
    let hooks: [([f64; 2], &[[f64; 2]]); 3] =
        [([0.0, 0.0], &[[0.3, 2.0], [0.3, -2.0]]), ([12.0, 2.0], &[[11.5, 2.0]]), ([12.0, -2.0], &[[11.5, -2.0]])];
    under(&hooks, 8.0, [6.2, 0.1, -0.8], 30.0e6, 40.0e3)
}

fn four() -> System {
    let hooks: [([f64; 2], &[[f64; 2]]); 4] = [
        ([0.0, 3.0], &[[0.5, 2.5]]),
        ([12.0, 3.0], &[[11.5, 2.5]]),
        ([12.0, -3.0], &[[11.5, -2.5]]),
        ([0.0, -3.0], &[[0.5, -2.5]]),
    ];
    under(&hooks, 10.0, [6.3, 0.3, -1.0], 60.0e6, 60.0e3)
}

/// Tolerances of each length, stiffness, the weight and each height; of the center of gravity.
fn within(system: &System, [length, stiffness, weight, height]: [f64; 4], center_of_gravity: [f64; 3]) -> Tolerances {
    let legs = system.members().len();
    Tolerances {
        lengths: vec![length; legs],
        stiffness: vec![stiffness; legs],
        center_of_gravity,
        weight,
        hook_heights: vec![height; system.hooks().len()],
    }
}

/// The worst case, with a bound of every force within a gap.
fn bounded(system: &System, tolerances: &Tolerances, gap: f64) -> Worst {
    let found = worst_of_system(system, tolerances, &Effort { gap, parts: 4000 }).unwrap();
    assert_eq!(found.open, None);
    let points = found.points.iter().map(|point| &point.pull);
    for force in found.legs.iter().chain(&found.hooks).chain(points) {
        let bound = force.bound.unwrap();
        assert!(force.nominal <= force.attained && force.attained <= bound, "{force:?}");
        assert!(bound <= force.attained * (1.0 + gap), "{force:?}");
    }
    found
}

/// Origin of the anchors: independent, as those of `worst`; in tonnes with two digits.
#[test]
fn two_hooks_have_the_anchors_of_center_and_height_within_bounds() {
    let tonnes = |force: f64| force / GRAVITY / 1.0e3;
    let anchored = |found: &Worst, hook: usize, expected: f64| {
        near(tonnes(found.hooks[hook].attained), expected, 0.005);
        let bound = tonnes(found.hooks[hook].bound.unwrap());
        assert!((expected - 0.005..expected * 1.001).contains(&bound), "{bound} against {expected}");
    };
    let stiff = vessel(1.1, 2.0e9);
    let found = bounded(&stiff, &within(&stiff, [0.0; 4], [0.4, 0.0, 0.0]), 1.0e-3);
    near(tonnes(found.hooks[0].nominal), 56.03, 0.005);
    anchored(&found, 0, 57.68);
    anchored(&found, 1, 44.50);
    // One hook 1.0 m above the other, as half a meter of each in opposite ways.
    for (system, expected) in [(stiff, 0.19), (pairs(4.0, 2.0e9), 0.69)] {
        let found = bounded(&system, &within(&system, [0.0, 0.0, 0.0, 0.5], [0.0; 3]), 1.0e-3);
        let nominal = tonnes(found.hooks[0].nominal);
        // Legs that lean with the load take 0.002 t of the second.
        near(tonnes(found.hooks[0].attained) - nominal, expected, 0.006);
        assert!(tonnes(found.hooks[0].bound.unwrap()) - nominal < expected + 0.06);
        let [one, other] = found.hooks[0].at.hook_heights[..] else { panic!("two hooks") };
        assert!(one * other < 0.0);
    }
}

/// Lift, tolerances, gap.
fn boxes() -> Vec<(&'static str, System, Tolerances, f64)> {
    let of = |name, system: System, numbers, center, gap| {
        let tolerances = within(&system, numbers, center);
        (name, system, tolerances, gap)
    };
    vec![
        of("vessel, center", vessel(1.1, 200.0e6), [0.0; 4], [0.4, 0.0, 0.0], 0.02),
        of("vessel, lengths, center, heights", vessel(1.1, 200.0e6), [0.02, 0.0, 0.0, 0.5], [0.4, 0.1, 0.1], 0.02),
        of("vessel, all", vessel(1.1, 200.0e6), [0.02, 0.1, 0.03, 0.5], [0.4, 0.1, 0.1], 0.10),
        of("pairs, heights", pairs(4.0, 200.0e6), [0.0, 0.0, 0.0, 0.5], [0.0; 3], 0.02),
        of("pairs, all", pairs(4.0, 200.0e6), [0.01, 0.1, 0.03, 0.1], [0.1, 0.05, 0.1], 0.10),
        of("three hooks, all", three(), [0.02, 0.1, 0.03, 0.3], [0.2, 0.2, 0.1], 0.10),
        of("tied, lengths, center, heights", tied(), [0.01, 0.0, 0.0, 0.01], [0.1, 0.1, 0.1], 0.02),
        of("tied, all", tied(), [0.01, 0.1, 0.03, 0.01], [0.1, 0.1, 0.1], 0.10),
        of("four hooks, lengths", four(), [0.03, 0.0, 0.0, 0.0], [0.0; 3], 0.02),
        of("four hooks, all", four(), [0.015, 0.1, 0.03, 0.005], [0.1, 0.1, 0.1], 0.10),
    ]
}

fn noise(seed: u64) -> f64 {
    let mut z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
}

/// The system with every number at a share, from −1 to 1, of its tolerance.
fn moved(system: &System, tolerances: &Tolerances, share: impl Fn(usize) -> f64) -> System {
    let legs = system.members().len();
    let members = system.members().iter().enumerate().map(|(leg, member)| {
        let Law::Linear { ea } = member.law else { panic!("a linear law") };
        Member {
            length: member.length + share(leg) * tolerances.lengths[leg],
            law: Law::linear(ea * (1.0 + share(legs + leg) * tolerances.stiffness[leg])).unwrap(),
            ..member.clone()
        }
    });
    let mut body = system.bodies()[0].clone();
    let shift = [0, 1, 2].map(|axis| share(2 * legs + axis) * tolerances.center_of_gravity[axis]);
    body.center_of_gravity += DVec3::from_array(shift);
    body.mass *= 1.0 + share(2 * legs + 3) * tolerances.weight;
    let hooks = system.hooks().iter().zip(&tolerances.hook_heights).enumerate();
    let hooks = hooks.map(|(index, (hook, height))| Hook {
        position: hook.position + DVec3::Z * (share(2 * legs + 4 + index) * height),
    });
    System::new(GRAVITY, hooks.collect(), vec![], vec![body], members.collect()).unwrap()
}

/// Tensions of the legs, then pulls on the hooks, as the solver for any arrangement finds them.
fn hung(system: &System) -> Vec<f64> {
    let mut workspace = Workspace::default();
    assert_eq!(Network::new(system).solve(&mut workspace).unwrap().state, State::Stable);
    let mut forces: Vec<f64> = workspace.tensions().collect();
    let mut pulls = vec![DVec3::ZERO; system.hooks().len()];
    for (member, (tension, u)) in system.members().iter().zip(workspace.tensions().zip(workspace.directions())) {
        match (member.a, member.b) {
            (End::Hook(hook), _) => pulls[hook] += tension * u,
            (_, End::Hook(hook)) => pulls[hook] -= tension * u,
            _ => panic!("a hook"),
        }
    }
    forces.extend(pulls.iter().map(|pull| pull.length()));
    forces
}

/// Half of the draws are vertices, the others inside with a third of the numbers at an end.
#[test]
fn no_state_of_ten_thousand_exceeds_its_bound() {
    let cases = boxes();
    let (mut states, mut slack) = (0, 0);
    for (index, (name, system, tolerances, gap)) in cases.iter().enumerate() {
        let found = bounded(system, tolerances, *gap);
        let legs = system.members().len();
        let mut largest = vec![0.0_f64; legs + system.hooks().len()];
        for draw in 0..10_000 {
            let seed = 1_000_000_007 * index as u64 + 64 * draw;
            let share = |number: usize| {
                let x = noise(seed + number as u64);
                let at_end = draw % 2 == 0 || noise(seed + number as u64 + 32) < -1.0 / 3.0;
                if at_end { x.signum() } else { x }
            };
            let forces = hung(&moved(system, tolerances, share));
            slack += forces[..legs].iter().filter(|tension| **tension == 0.0).count();
            largest.iter_mut().zip(forces).for_each(|(largest, force)| *largest = largest.max(force));
            states += 1;
        }
        for (force, sample) in found.legs.iter().chain(&found.hooks).zip(largest) {
            assert!(sample <= force.bound.unwrap(), "{name}: {sample} drawn, bound {:?}", force.bound);
            assert!(sample <= force.attained * (1.0 + FLAT), "{name}: {sample} drawn, {} attained", force.attained);
        }
    }
    println!("{states} states of {} boxes, {slack} slack legs", cases.len());
    assert!(states == 100_000 && slack > 500);
}

/// What is attained is there where it says.
#[test]
fn attained_forces_are_found_again_where_they_were() {
    for (name, system, tolerances, gap) in boxes().iter().filter(|(_, _, _, gap)| *gap < 0.05) {
        let found = bounded(system, tolerances, *gap);
        let legs = system.members().len();
        for (index, force) in found.legs.iter().chain(&found.hooks).enumerate() {
            let at = &force.at;
            let numbers =
                [&at.lengths, &at.stiffness, &at.center_of_gravity.to_vec(), &vec![at.weight], &at.hook_heights];
            let numbers: Vec<f64> = numbers.into_iter().flatten().copied().collect();
            let one = within(system, [1.0, 1.0, 1.0, 1.0], [1.0; 3]);
            assert!(at.hook_heights.iter().zip(&tolerances.hook_heights).all(|(at, side)| at.abs() <= *side));
            near(hung(&moved(system, &one, |number| numbers[number]))[index], force.attained, 1.0e-8 * force.attained);
        }
        println!("{name}: {} forces of {legs} legs", found.legs.len() + found.hooks.len());
    }
}

#[test]
fn where_nothing_is_proven_it_says_why() {
    let effort = Effort::default();
    // The center of gravity may come above the line of the lugs.
    let low = vessel(0.05, 200.0e6);
    let found = worst_of_system(&low, &within(&low, [0.0; 4], [0.0, 0.0, 0.2]), &effort).unwrap();
    let open = found.open.unwrap();
    assert_eq!(open.reason, Reason::NotStable);
    assert!(open.at.center_of_gravity[2] > 0.04);
    assert!(found.legs.iter().chain(&found.hooks).all(|force| force.bound.is_none()));
    // Too few pieces.
    let four = four();
    let found =
        worst_of_system(&four, &within(&four, [0.02, 0.0, 0.0, 0.0], [0.0; 3]), &Effort { gap: 0.01, parts: 3 });
    assert_eq!(found.unwrap().open.unwrap().reason, Reason::NotEnclosed);
    // Eighteen legs under three hooks.
    let points = [[0.0, 1.0], [0.0, -1.0], [1.0, 0.0], [1.0, 1.0], [1.0, -1.0], [0.5, 0.0]];
    let many = [[0.0, 0.0], [4.0, 0.0], [2.0, 3.0]].map(|hook| (hook, &points[..]));
    let many = under(&many, 8.0, [1.0, 0.5, -0.5], 30.0e6, 9.0e3);
    let found = worst_of_system(&many, &within(&many, [0.0; 4], [0.0; 3]), &effort);
    assert_eq!(found.unwrap().open.unwrap().reason, Reason::ManyLegs);
}

/// Under one hook its height changes nothing; two heights there, or none for two hooks, are refused.
#[test]
fn heights_of_hooks_are_one_for_each() {
    let with = |hook_heights: Vec<f64>| Tolerances { hook_heights, lengths: vec![0.02; 4], ..Tolerances::none(4) };
    let effort = Effort::default();
    let points = [[9.5, 6.2], [9.5, -6.2], [-9.5, -6.2], [-9.5, 6.2]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let laws = vec![Law::linear(595.0e6).unwrap(); 4];
    let module =
        Bridle::new(points.to_vec(), vec![22.0; 4], laws, DVec3::new(0.6, -0.25, -3.1), 742.0e3 * GRAVITY).unwrap();
    assert_eq!(worst(&module, &with(vec![0.5]), &effort), worst(&module, &with(vec![0.0]), &effort));
    assert!(worst(&module, &with(vec![0.5; 2]), &effort).is_err());
    assert!(worst(&module, &with(vec![-0.5]), &effort).is_err());
    assert!(worst_of_system(&vessel(1.1, 2.0e9), &Tolerances::none(2), &effort).is_err());
}

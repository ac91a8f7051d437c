//! The worst case over boxes of tolerances: `cargo bench -p rigging-benches --bench worst`.
//!
//! With words after `--`, lines that hold all of them only. Each line is the median of some rounds of the whole question, for all four legs: attained values, proof of the branch,
//! bounds; of bridles, of one body under several hooks, and of tiers. Beside it the largest gap between bound and attained value, and the parts and states that were looked at.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::worst::{Effort, Tolerances, Worst, worst, worst_of_system};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};
use std::hint::black_box;
use std::time::Instant;

const ROUNDS: usize = 7;
const GRAVITY: f64 = 9.80665;

/// Four legs of one length and stiffness from a rectangle of points.
fn rectangle([a, b]: [f64; 2], center: [f64; 3], length: f64, ea: f64, mass: f64) -> Result<Bridle, Error> {
    let points = [[a, b], [a, -b], [-a, -b], [-a, b]].map(|[x, y]| DVec3::new(x, y, 0.0));
    Bridle::new(points.to_vec(), vec![length; 4], vec![Law::linear(ea)?; 4], DVec3::from_array(center), mass * GRAVITY)
}

/// A body of `mass` under hooks plumb above (x, y) at a height. Each hook has a leg to each of its points, given by where they
/// lie at z = 0.
fn under(
    hooks: &[([f64; 2], &[[f64; 2]])],
    height: f64,
    center: [f64; 3],
    ea: f64,
    mass: f64,
) -> Result<System, Error> {
    let (mut points, mut members) = (Vec::new(), Vec::new());
    for (index, ([x, y], own)) in hooks.iter().enumerate() {
        for [a, b] in own.iter() {
            members.push(Member {
                a: End::Hook(index),
                b: End::Body { body: 0, point: points.len() },
                length: DVec3::new(a - x, b - y, height).length(),
                law: Law::linear(ea)?,
            });
            points.push(DVec3::new(*a, *b, 0.0));
        }
    }
    let hooks = hooks.iter().map(|([x, y], _)| Hook { position: DVec3::new(*x, *y, height) }).collect();
    let body = Body {
        mass,
        center_of_gravity: DVec3::from_array(center),
        points,
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    System::new(GRAVITY, hooks, vec![], vec![body], members)
}

fn time(name: &str, gap: f64, question: impl Fn(&Effort) -> Result<Worst, Error>) -> Result<(), Error> {
    if std::env::args().skip(1).any(|word| !word.starts_with('-') && !name.contains(&word)) {
        return Ok(());
    }
    let effort = Effort { gap, parts: 4000 };
    let mut times = Vec::new();
    let mut found = question(&effort)?;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        found = black_box(question(&effort)?);
        times.push(start.elapsed().as_secs_f64() * 1.0e3);
    }
    times.sort_by(f64::total_cmp);
    let median = times.get(times.len() / 2).copied().unwrap_or(f64::NAN);
    let forces = found.legs.iter().chain(&found.hooks).chain(found.points.iter().map(|point| &point.pull));
    let gaps: Option<Vec<f64>> = forces.map(|force| force.gap()).collect();
    let gap = gaps.map_or_else(
        || format!("no bound {:?}", found.open),
        |gaps| format!("gap {:.3} %", 100.0 * gaps.into_iter().fold(0.0, f64::max)),
    );
    println!("{name:<44} {median:9.2} ms  {gap:<12} {:5} parts {:6} states", found.parts, found.states);
    Ok(())
}

fn main() -> Result<(), Error> {
    let module = rectangle([9.5, 6.2], [0.6, -0.25, -3.1], 22.0, 595.0e6, 742.0e3 * 1.03)?;
    let skid = rectangle([2.6, 1.05], [0.45, -0.12, 0.9], 6.0, 6.0e6, 18.5e3)?;
    let stiff = rectangle([2.6, 1.05], [0.45, -0.12, 0.9], 6.0, 9.6e6, 18.5e3)?;
    let yard = |ea: f64| rectangle([4.0, 2.2], [0.0, 0.0, -1.5], 11.0, ea, 60.0e3);
    let of = |length: f64, center_of_gravity: [f64; 3], stiffness: f64, weight: f64| Tolerances {
        lengths: vec![length; 4],
        stiffness: vec![stiffness; 4],
        center_of_gravity,
        weight,
        hook_heights: Vec::new(),
    };
    let (none, far, near) = ([0.0; 3], [0.5, 0.3, 0.2], [0.05; 3]);
    time("module, lengths, 4 numbers", 0.01, |effort| worst(black_box(&module), &of(0.02, none, 0.0, 0.0), effort))?;
    time("module, lengths and center, 7", 0.01, |effort| worst(black_box(&module), &of(0.02, far, 0.0, 0.0), effort))?;
    time("module, lengths, center, mass, 8", 0.01, |effort| {
        worst(black_box(&module), &of(0.02, far, 0.0, 0.03), effort)
    })?;
    time("module, lengths and stiffness, 8", 0.01, |effort| {
        worst(black_box(&module), &of(0.02, none, 0.1, 0.0), effort)
    })?;
    time("module, all, 12", 0.10, |effort| worst(black_box(&module), &of(0.02, far, 0.1, 0.03), effort))?;
    time("skid, lengths, 4", 0.01, |effort| worst(black_box(&skid), &of(0.03, none, 0.0, 0.0), effort))?;
    time("skid, lengths and center, 7", 0.01, |effort| worst(black_box(&skid), &of(0.03, near, 0.0, 0.0), effort))?;
    time("skid, lengths, center, mass, 8", 0.01, |effort| worst(black_box(&skid), &of(0.03, near, 0.0, 0.03), effort))?;
    time("skid, lengths and stiffness, 8", 0.01, |effort| worst(black_box(&skid), &of(0.03, none, 0.1, 0.0), effort))?;
    time("skid, all, 12", 0.10, |effort| worst(black_box(&skid), &of(0.03, near, 0.1, 0.03), effort))?;
    time("stiff skid, lengths, 4", 0.01, |effort| worst(black_box(&stiff), &of(0.03, none, 0.0, 0.0), effort))?;
    time("stiff skid, lengths and center, 7", 0.02, |effort| {
        worst(black_box(&stiff), &of(0.03, near, 0.0, 0.0), effort)
    })?;
    for (name, ea) in [("wire rope", 169.8e6), ("soft", 55.0e6), ("stiff", 230.0e6)] {
        let yard = yard(ea)?;
        time(&format!("yard, {name}, lengths, 4"), 0.02, |effort| {
            worst(black_box(&yard), &of(0.026, none, 0.0, 0.0), effort)
        })?;
        time(&format!("yard, {name}, lengths and center, 7"), 0.02, |effort| {
            worst(black_box(&yard), &of(0.026, [0.1; 3], 0.0, 0.0), effort)
        })?;
        time(&format!("yard, {name}, all, 12"), 0.10, |effort| {
            worst(black_box(&yard), &of(0.026, [0.1; 3], 0.1, 0.03), effort)
        })?;
    }
    hooks()
}

/// One body under several hooks.
fn hooks() -> Result<(), Error> {
    let of = |legs: usize, hooks: usize, [length, stiffness, weight, height]: [f64; 4], center: [f64; 3]| Tolerances {
        lengths: vec![length; legs],
        stiffness: vec![stiffness; legs],
        center_of_gravity: center,
        weight,
        hook_heights: vec![height; hooks],
    };
    let vessel =
        under(&[([0.0, 0.0], &[[0.0, 0.0]]), ([24.0, 0.0], &[[24.0, 0.0]])], 9.0, [10.4, 0.0, -1.1], 200.0e6, 98.88e3)?;
    let one = |t: [f64; 4], center: [f64; 3]| of(2, 2, t, center);
    let ask = |name: &str, gap: f64, system: &System, tolerances: Tolerances| {
        time(name, gap, |effort| worst_of_system(black_box(system), &tolerances, effort))
    };
    ask("vessel, center", 0.02, &vessel, one([0.0; 4], [0.4, 0.0, 0.0]))?;
    ask("vessel, height", 0.02, &vessel, one([0.0, 0.0, 0.0, 0.5], [0.0; 3]))?;
    ask("vessel, lengths, center, height", 0.02, &vessel, one([0.02, 0.0, 0.0, 0.5], [0.4, 0.1, 0.1]))?;
    ask("vessel, all", 0.10, &vessel, one([0.02, 0.1, 0.03, 0.5], [0.4, 0.1, 0.1]))?;
    let pairs = under(
        &[([0.0, 0.0], &[[0.0, 2.5], [0.0, -2.5]]), ([24.0, 0.0], &[[24.0, 2.5], [24.0, -2.5]])],
        9.0,
        [10.4, 0.2, 4.0],
        200.0e6,
        98.88e3,
    )?;
    let two = |t: [f64; 4], center: [f64; 3]| of(4, 2, t, center);
    ask("pairs, lengths", 0.02, &pairs, two([0.02, 0.0, 0.0, 0.0], [0.0; 3]))?;
    ask("pairs, center", 0.02, &pairs, two([0.0; 4], [0.4, 0.1, 0.1]))?;
    ask("pairs, height", 0.02, &pairs, two([0.0, 0.0, 0.0, 0.5], [0.0; 3]))?;
    ask("pairs, lengths, center, height", 0.02, &pairs, two([0.02, 0.0, 0.0, 0.5], [0.4, 0.1, 0.1]))?;
    // Wider boxes of all dimensions take minutes: half a meter of height and of the center of gravity at once turn the load far.
    ask("pairs, all", 0.10, &pairs, two([0.01, 0.1, 0.03, 0.1], [0.1, 0.05, 0.1]))?;
    let three = under(
        &[([0.0, 0.0], &[[0.5, 0.0]]), ([12.0, 6.0], &[[11.5, 5.5]]), ([12.0, -6.0], &[[11.5, -5.5]])],
        10.0,
        [7.0, 0.3, -1.0],
        120.0e6,
        60.0e3,
    )?;
    let each = |t: [f64; 4], center: [f64; 3]| of(3, 3, t, center);
    ask("three hooks, lengths, center, height", 0.02, &three, each([0.02, 0.0, 0.0, 0.3], [0.2, 0.2, 0.1]))?;
    ask("three hooks, all", 0.10, &three, each([0.02, 0.1, 0.03, 0.3], [0.2, 0.2, 0.1]))?;
    let four = under(
        &[
            ([0.0, 3.0], &[[0.5, 2.5]]),
            ([12.0, 3.0], &[[11.5, 2.5]]),
            ([12.0, -3.0], &[[11.5, -2.5]]),
            ([0.0, -3.0], &[[0.5, -2.5]]),
        ],
        10.0,
        [6.3, 0.3, -1.0],
        60.0e6,
        60.0e3,
    )?;
    let quad = |t: [f64; 4], center: [f64; 3]| of(4, 4, t, center);
    ask("four hooks, lengths", 0.02, &four, quad([0.005, 0.0, 0.0, 0.0], [0.0; 3]))?;
    ask("four hooks, lengths, center, height", 0.02, &four, quad([0.005, 0.0, 0.0, 0.01], [0.1, 0.1, 0.1]))?;
    ask("four hooks, all", 0.10, &four, quad([0.005, 0.1, 0.03, 0.01], [0.1, 0.1, 0.1]))?;
    tiers()
}

/// A body: mass, center of gravity, points.
type Drawn<'a> = (f64, [f64; 3], &'a [[f64; 3]]);

/// An arrangement as it is drawn: every member is as long as its ends are apart.
fn drawn(
    hooks: &[[f64; 3]],
    joints: &[[f64; 3]],
    bodies: &[Drawn<'_>],
    members: &[(End, End, f64)],
) -> Result<System, Error> {
    let at = |end: End| {
        let found = match end {
            End::Hook(hook) => hooks.get(hook),
            End::Joint(joint) => joints.get(joint),
            End::Body { body, point } => bodies.get(body).and_then(|(.., points)| points.get(point)),
        };
        found.map_or(DVec3::NAN, |at| DVec3::from_array(*at))
    };
    let member = |(a, b, ea): &(End, End, f64)| -> Result<Member, Error> {
        Ok(Member { a: *a, b: *b, length: (at(*a) - at(*b)).length(), law: Law::linear(*ea)? })
    };
    let members = members.iter().map(member).collect::<Result<Vec<_>, _>>()?;
    let bodies = bodies.iter().map(|(mass, center, points)| Body {
        mass: *mass,
        center_of_gravity: DVec3::from_array(*center),
        points: points.iter().copied().map(DVec3::from_array).collect(),
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    });
    let hooks = hooks.iter().map(|at| Hook { position: DVec3::from_array(*at) }).collect();
    let joints = joints.iter().map(|at| Joint { position: DVec3::from_array(*at) }).collect();
    System::new(GRAVITY, hooks, joints, bodies.collect(), members)
}

/// Bodies and joints in tiers, each within 10 mm of length and 50 mm of the center of gravity.
fn tiers() -> Result<(), Error> {
    let (hook, ring) = (End::Hook(0), End::Joint(0));
    let point = |body: usize, point: usize| End::Body { body, point };
    let beam = drawn(
        &[[0.0; 3]],
        &[],
        &[
            (12.0e3, [0.3, 0.0, -9.2], &[[3.2, 0.0, -8.3], [-3.2, 0.0, -8.3]]),
            (0.8e3, [0.0, 0.0, -5.2], &[[3.0, 0.0, -5.0], [-3.0, 0.0, -5.0], [3.2, 0.0, -5.3], [-3.2, 0.0, -5.3]]),
        ],
        &[
            (hook, point(1, 0), 6.0e6),
            (hook, point(1, 1), 6.0e6),
            (point(1, 2), point(0, 0), 6.0e6),
            (point(1, 3), point(0, 1), 6.0e6),
        ],
    )?;
    let lugs: Vec<[f64; 3]> = [[4.5, 1.0], [4.5, -1.0], [-4.5, 1.0], [-4.5, -1.0]].map(|[x, y]| [x, y, -10.92]).into();
    let spreader = drawn(
        &[[0.0; 3]],
        &[],
        &[
            (20.7e3, [0.1, 0.05, -11.03], &lugs),
            (1.1e3, [0.0, 0.0, -7.95], &[[4.5, 0.0, -7.8], [-4.5, 0.0, -7.8], [4.5, 0.0, -8.1], [-4.5, 0.0, -8.1]]),
        ],
        &[
            (hook, point(1, 0), 20.0e6),
            (hook, point(1, 1), 20.0e6),
            (point(1, 2), point(0, 0), 20.0e6),
            (point(1, 2), point(0, 1), 20.0e6),
            (point(1, 3), point(0, 2), 20.0e6),
            (point(1, 3), point(0, 3), 20.0e6),
        ],
    )?;
    let lugs: Vec<[f64; 3]> = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]].map(|[x, y]| [x, y, 0.0]).into();
    let legs = (0..4).map(|lug| (ring, point(0, lug), 6.0e6));
    let members: Vec<(End, End, f64)> = std::iter::once((hook, ring, 24.0e6)).chain(legs).collect();
    let link = drawn(&[[0.0, 0.0, 6.0]], &[[0.0, 0.0, 5.4]], &[(18.5e3, [0.45, -0.12, -0.5], &lugs)], &members)?;
    for (name, system) in [("beam", beam), ("spreader", spreader), ("ring", link)] {
        let members = system.members().len();
        for (what, gap, length, center, stiffness, weight) in [
            ("lengths", 0.02, 0.01, 0.0, 0.0, 0.0),
            ("center", 0.02, 0.0, 0.05, 0.0, 0.0),
            ("lengths and center", 0.02, 0.01, 0.05, 0.0, 0.0),
            ("all", 0.10, 0.01, 0.05, 0.1, 0.03),
        ] {
            let tolerances = Tolerances {
                lengths: vec![length; members],
                stiffness: vec![stiffness; members],
                center_of_gravity: [center; 3],
                weight,
                hook_heights: vec![0.0],
            };
            time(&format!("tier, {name}, {what}"), gap, |effort| {
                worst_of_system(black_box(&system), &tolerances, effort)
            })?;
        }
    }
    Ok(())
}

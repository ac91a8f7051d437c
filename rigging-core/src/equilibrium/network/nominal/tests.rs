//! What is followed against a change of the numbers little by little.

use super::*;
use crate::equilibrium::network::descent::CAREFUL;
use crate::system::{Body, Hook, Joint, Law, Member};
use glam::DQuat;

/// Parts into which the way is cut.
const PARTS: usize = 128;

/// Numbers from −1 to 1, by a congruential generator.
struct Draws(u64);

impl Draws {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    fn within(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * 0.5 * (1.0 + self.next())
    }
}

fn at(body: usize, point: usize) -> End {
    End::Body { body, point }
}

/// A random arrangement: 0 two hooks with a pair of legs each, 1 a beam over four legs, 2 a joint over four legs, 3 two hooks
/// with one leg each, 4 a load under one hook, 5 two beams side by side under one hook.
fn arrangement(kind: usize, draws: &mut Draws) -> System {
    let mass = 1.0e4;
    let [length, width] = [draws.within(3.0, 8.0), draws.within(1.0, 3.0)];
    let corners = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]];
    let points: Vec<DVec3> = corners
        .map(|[x, y]| DVec3::new(x * length, y * width, 0.3 * draws.next()))
        .into_iter()
        .take(if kind == 3 { 3 } else { 4 })
        .collect();
    let center = DVec3::new(0.3 * length * draws.next(), 0.3 * width * draws.next(), draws.within(-2.0, 1.5));
    let load = |points: Vec<DVec3>| Body {
        mass,
        center_of_gravity: center,
        points,
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    // EA over the weight.
    let ea = mass * 9.8 * 10.0_f64.powf(draws.within(1.0, 5.0));
    let mut legs: Vec<(End, End, f64)> = Vec::new();
    let (mut hooks, mut joints, mut bodies) = (vec![DVec3::new(0.0, 0.0, 9.0)], Vec::new(), vec![load(points.clone())]);
    let beam = |position: DVec3, half: DVec3| Body {
        mass: 0.05 * mass,
        center_of_gravity: DVec3::new(0.0, 0.0, -0.2),
        points: vec![half, -half, 0.5 * half, -0.5 * half],
        position,
        rotation: DQuat::IDENTITY,
    };
    match kind {
        0 | 3 => {
            let side = length * draws.within(0.7, 1.1);
            hooks = vec![DVec3::new(side, 0.0, 6.0), DVec3::new(-side, 0.0, 6.0 + 0.2 * draws.next())];
            let ends = if kind == 0 { vec![(0, 0), (0, 1), (1, 2), (1, 3)] } else { vec![(0, 0), (0, 1), (1, 2)] };
            for (hook, point) in ends {
                let apart = hooks[hook].distance(points[point]);
                legs.push((End::Hook(hook), at(0, point), apart));
            }
        }
        1 | 5 => {
            let half = DVec3::new(length, 0.0, 0.0);
            if kind == 1 {
                bodies.push(beam(DVec3::new(0.0, 0.0, 4.0), half));
                for (end, x) in [(0, 1.0), (1, -1.0)] {
                    legs.push((End::Hook(0), at(1, end), DVec3::new(x * length, 0.0, 5.0).length()));
                }
                for (end, point) in [(0, 0), (0, 1), (1, 2), (1, 3)] {
                    let above = DVec3::new(if end == 0 { length } else { -length }, 0.0, 4.0);
                    legs.push((at(1, end), at(0, point), above.distance(points[point])));
                }
            } else {
                for (body, x, ends) in [(1, 1.0, [0, 1]), (2, -1.0, [3, 2])] {
                    let middle = DVec3::new(x * length, 0.0, 4.0);
                    let half = DVec3::new(0.0, width, 0.0);
                    bodies.push(beam(middle, half));
                    for (end, point) in [(0, ends[0]), (1, ends[1])] {
                        let place = middle + if end == 0 { half } else { -half };
                        legs.push((at(body, end), at(0, point), place.distance(points[point])));
                        legs.push((End::Hook(0), at(body, end), hooks[0].distance(place)));
                    }
                }
            }
        }
        2 => {
            joints.push(Joint { position: DVec3::new(0.0, 0.0, 8.0) });
            legs.push((End::Hook(0), End::Joint(0), 1.0));
            for (point, place) in points.iter().enumerate() {
                legs.push((End::Joint(0), at(0, point), place.distance(DVec3::new(0.0, 0.0, 8.0))));
            }
        }
        _ => {
            for (point, place) in points.iter().enumerate() {
                legs.push((End::Hook(0), at(0, point), place.distance(hooks[0])));
            }
        }
    }
    let members = legs.into_iter().map(|(a, b, apart)| Member {
        a,
        b,
        length: apart * (1.0 + 0.01 * draws.next()),
        law: Law::linear(ea).unwrap(),
    });
    let members = members.collect();
    let hooks = hooks.into_iter().map(|position| Hook { position }).collect();
    System::new(9.80665, hooks, joints, bodies, members).unwrap()
}

/// What the nominal balance turns into as its numbers change little by little: every state is where the energy leads downhill
/// from the one before. None where one of them is not stable.
fn little_by_little(nominal: &Nominal, to: &[f64]) -> Option<Vec<f64>> {
    let mut network = nominal.network.clone();
    let mut w = nominal.workspace.clone();
    for part in 1..=PARTS {
        let share = part as f64 / PARTS as f64;
        let numbers: Vec<f64> = nominal.numbers.iter().zip(to).map(|(from, to)| from + share * (to - from)).collect();
        let before = network.footing(&mut w, Vec::new());
        network.renumber(nominal.network.system.with_numbers(&numbers).unwrap());
        network.stand(&mut w, &before);
        let outcome = network.certified(&mut w, CAREFUL).ok()?;
        if outcome.state != State::Stable {
            return None;
        }
    }
    Some(w.tensions().collect())
}

#[test]
fn followed_is_what_a_change_little_by_little_leads_to() {
    let cases: usize = std::env::var("RIGGING_CASES").ok().map_or(600, |text| text.parse().unwrap());
    let mut draws = Draws(20_240_601);
    let (mut followed, mut drawn, mut ended, mut wrong, mut other, mut nominals) = (0, 0, 0, 0, 0, 0);
    for case in 0..cases {
        let system = arrangement(case % 6, &mut draws);
        let Ok(nominal) = Nominal::new(&system) else { continue };
        let Some(footing) = &nominal.footing else { continue };
        nominals += 1;
        let mut single = Single::new(&nominal);
        for row in 0..4 {
            let tolerance = [0.003, 0.01, 0.03, 0.06][row];
            let mut numbers = nominal.numbers.clone();
            let (members, bodies) = (system.members().len(), system.bodies().len());
            for (index, number) in numbers.iter_mut().enumerate() {
                match index {
                    _ if index < 2 * members => *number *= 1.0 + tolerance * draws.next(),
                    _ if index < 2 * members + 3 => *number += 20.0 * tolerance * draws.next(),
                    _ if index < 2 * members + 3 * bodies => *number += tolerance * draws.next(),
                    _ if index < 2 * members + 4 * bodies => *number *= 1.0 + 3.0 * tolerance * draws.next(),
                    _ => *number += 5.0 * tolerance * draws.next(),
                }
            }
            let slow = little_by_little(&nominal, &numbers);
            let weight = system.gravity() * system.bodies().iter().map(|body| body.mass).sum::<f64>();
            let apart = |tensions: &[f64]| {
                slow.as_ref().map_or(f64::INFINITY, |slow| {
                    slow.iter().zip(tensions).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) / weight
                })
            };
            ended += usize::from(slow.is_none());
            if single.reached(footing, &numbers, HALVINGS).unwrap().is_some() {
                followed += 1;
                let tensions: Vec<f64> = single.tensions().collect();
                if apart(&tensions) > 1.0e-6 {
                    wrong += 1;
                    println!("case {case} row {row} (kind {}): {:.2e} apart", case % 6, apart(&tensions));
                }
            } else {
                drawn += 1;
                let found = single.hang(&numbers);
                let tensions: Vec<f64> = single.tensions().collect();
                let stable = found.is_ok_and(|outcome| outcome.state == State::Stable);
                other += usize::from(stable != slow.is_some() || (stable && apart(&tensions) > 1.0e-6));
            }
        }
    }
    println!(
        "{nominals} stable arrangements: {followed} rows followed, {wrong} of them to another balance; {drawn} hung from the \
         drawing, {other} of them other than little by little; {ended} branches end on the way"
    );
    assert_eq!(wrong, 0);
    assert!(followed > 3 * drawn);
}

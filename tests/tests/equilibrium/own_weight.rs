//! Own weight of members at their ends, against elastic catenaries.
//!
//! Origin: independent. The catenary is integrated from its differential equations in the test: an element of unstretched
//! length ds carries T, is inclined by the forces H and V at it, and stretches by T/EA.

use approx::assert_relative_eq;
use glam::{DQuat, DVec3};
use rigging_core::equilibrium::own_weight::{MemberMass, Weighed, weigh};
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

const GRAVITY: f64 = 9.80665;

/// A load of `mass` on two alike slings from one hook to points `spread` to either side.
fn bridle(mass: f64, spread: f64, length: f64, ea: f64) -> System {
    let body = Body {
        mass,
        center_of_gravity: DVec3::new(0.0, 0.0, -2.0 * length),
        points: vec![DVec3::new(spread, 0.0, 0.0), DVec3::new(-spread, 0.0, 0.0)],
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let leg =
        |point| Member { a: End::Hook(0), b: End::Body { body: 0, point }, length, law: Law::linear(ea).unwrap() };
    let hook = Hook { position: DVec3::new(0.0, 0.0, length) };
    System::new(GRAVITY, vec![hook], vec![], vec![body], vec![leg(0), leg(1)]).unwrap()
}

/// How far an elastic catenary of weight `weight` reaches sideways, from the horizontal pull and the vertical pull at its
/// lower end: Simpson's rule over the unstretched length.
fn reach(horizontal: f64, lower: f64, weight: f64, length: f64, ea: f64) -> f64 {
    let steps = 400;
    let slope = |share: f64| {
        let vertical = lower + weight * share;
        let tension = horizontal.hypot(vertical);
        horizontal / tension * (1.0 + tension / ea)
    };
    let sum: f64 = (0..=steps)
        .map(|step| {
            let factor = if step == 0 || step == steps {
                1.0
            } else if step % 2 == 1 {
                4.0
            } else {
                2.0
            };
            factor * slope(f64::from(step) / f64::from(steps))
        })
        .sum();
    sum * length / (3.0 * f64::from(steps))
}

/// Pulls at the upper and the lower end of each sling of the bridle, with its sag.
fn catenary(mass: f64, spread: f64, length: f64, ea: f64, sling: f64) -> [f64; 2] {
    let (lower, weight) = (0.5 * mass * GRAVITY, sling * GRAVITY);
    let (mut low, mut high) = (0.0, 1.0e3 * lower);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if reach(middle, lower, weight, length, ea) < spread { low = middle } else { high = middle }
    }
    [low.hypot(lower + weight), low.hypot(lower)]
}

fn weighed(system: &System, sling: f64) -> Weighed {
    weigh(system, &[MemberMass { along: sling, ends: [0.0, 0.0] }; 2]).unwrap()
}

#[test]
fn the_pulls_at_the_ends_are_those_of_a_catenary() {
    let (mut compared, mut most, mut least_gain) = (0, 0.0_f64, f64::INFINITY);
    for spread in [0.5, 2.0, 4.0, 5.5] {
        for share in [0.001, 0.01, 0.05, 0.2] {
            for ea in [1.0e6, 1.0e9] {
                let mass = 1000.0;
                let sling = share * 0.5 * mass;
                let found = weighed(&bridle(mass, spread, 6.0, ea), sling).members[0];
                let expected = catenary(mass, spread, 6.0, ea, sling);
                let weight_to_tension = sling * GRAVITY / found.tension;
                let change = found.change.unwrap();
                for end in [0, 1] {
                    let lumped = (found.ends[end] / expected[end] - 1.0).abs();
                    let sagging = ((found.ends[end] + change[end]) / expected[end] - 1.0).abs();
                    // Halves alone are right to the square of the weight over the tension, here with a factor for the
                    // flattest leg; with the sag told beside them, to that times the strain or times the square again.
                    let (square, strain) = (weight_to_tension.powi(2), found.tension / ea);
                    assert!(lumped <= 0.12 * square + 1e-9, "{spread} {share} {ea}: {lumped:e}");
                    let left = (0.4 * strain + 0.05 * square) * square;
                    assert!(sagging <= left + 1e-9, "{spread} {share} {ea}: {sagging:e}");
                    most = most.max(lumped);
                    if lumped > 1e-7 {
                        least_gain = least_gain.min(lumped / sagging);
                    }
                    compared += 1;
                }
            }
        }
    }
    println!(
        "{compared} pulls against catenaries: lumped within {most:.1e}, with the sag {least_gain:.1} times nearer or more"
    );
    assert_eq!(compared, 64);
}

#[test]
fn the_shortening_by_sag_is_that_of_the_arc() {
    // Stiff, so that what differs between arc and chord is sag alone; the chord follows from the same catenary.
    let (mass, spread, length, sling) = (1000.0, 4.0, 6.0, 40.0);
    let found = weighed(&bridle(mass, spread, length, 1.0e12), sling).members[0];
    let lower = 0.5 * mass * GRAVITY;
    let [upper, _] = catenary(mass, spread, length, 1.0e12, sling);
    let horizontal = (upper * upper - (lower + sling * GRAVITY).powi(2)).sqrt();
    let steps = 4000;
    let drop: f64 = (0..steps)
        .map(|step| {
            let vertical = lower + sling * GRAVITY * (f64::from(step) + 0.5) / f64::from(steps);
            vertical / horizontal.hypot(vertical) * length / f64::from(steps)
        })
        .sum();
    let chord = spread.hypot(drop);
    assert_relative_eq!(found.shortening.unwrap(), length - chord, max_relative = 0.01);
}

#[test]
fn hooks_bear_everything_and_moments_balance() {
    // Unlike slings on an unlike load: the hook bears all of it, and the load turns until it hangs below the hook.
    let body = Body {
        mass: 3000.0,
        center_of_gravity: DVec3::new(0.2, -0.1, -1.0),
        points: vec![DVec3::new(2.0, 1.0, 0.0), DVec3::new(2.0, -1.0, 0.0), DVec3::new(-2.0, 0.0, 0.0)],
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let leg = |point, length| Member {
        a: End::Hook(0),
        b: End::Body { body: 0, point },
        length,
        law: Law::linear(5.0e6).unwrap(),
    };
    let hook = Hook { position: DVec3::new(0.0, 0.0, 5.0) };
    let members = vec![leg(0, 5.0), leg(1, 5.2), leg(2, 4.8)];
    let system = System::new(GRAVITY, vec![hook], vec![], vec![body], members).unwrap();
    let masses =
        [(30.0, 8.0), (60.0, 12.0), (90.0, 0.0)].map(|(along, shackle)| MemberMass { along, ends: [0.0, shackle] });
    let found = weigh(&system, &masses).unwrap();
    assert_relative_eq!(found.hooks[0], (3000.0 + 200.0) * GRAVITY, max_relative = 1e-10);
    // The pull at the lower ends lifts the load and nothing else: force and moment with the load's own weight.
    let pose = found.certificate.bodies[0];
    let (mut force, mut moment) = (DVec3::NEG_Z * 3000.0 * GRAVITY, DVec3::ZERO);
    let center = pose.position + pose.rotation * system.bodies()[0].center_of_gravity;
    for ((point, state), mass) in system.bodies()[0].points.iter().zip(&found.certificate.members).zip(&masses) {
        let pull = state.tension * state.direction - DVec3::Z * GRAVITY * (0.5 * mass.along + mass.ends[1]);
        force += pull;
        moment += (pose.position + pose.rotation * *point - center).cross(pull);
    }
    assert!(force.length() < 1e-6 && moment.length() < 1e-6, "{force} {moment}");
}

#[test]
fn what_cannot_be_weighed_is_refused() {
    let system = bridle(1000.0, 2.0, 6.0, 1.0e7);
    let code = |masses: &[MemberMass]| {
        let error = weigh(&system, masses).unwrap_err();
        (error.code(), error.place().as_str().to_owned())
    };
    let none = MemberMass::default();
    assert_eq!(code(&[none]), ("inconsistent", "/masses".to_owned()));
    for wrong in [-1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(
            code(&[none, MemberMass { along: wrong, ends: [0.0; 2] }]),
            ("out_of_domain", "/masses/1".to_owned())
        );
    }
    // Slings heavier than what they carry hang rather than pull: no shortening is made up.
    let found = weigh(&system, &[MemberMass { along: 900.0, ends: [0.0; 2] }; 2]).unwrap();
    assert!(found.members.iter().all(|member| member.shortening.is_none() && member.change.is_none()));
    // Without weight nothing changes.
    let (with, without) = (weigh(&system, &[none; 2]).unwrap(), rigging_core::equilibrium::solve(&system).unwrap());
    assert_eq!(with.certificate, without);
    // A joint has no mass.
    let body = system.bodies()[0].clone();
    let law = Law::linear(1.0e7).unwrap();
    let joint = Joint { position: DVec3::new(0.0, 0.0, 4.0) };
    let mut members = vec![Member { a: End::Hook(0), b: End::Joint(0), length: 2.0, law: law.clone() }];
    members.extend([0, 1].map(|point| Member {
        a: End::Joint(0),
        b: End::Body { body: 0, point },
        length: 4.0,
        law: law.clone(),
    }));
    let joined = System::new(GRAVITY, system.hooks().to_vec(), vec![joint], vec![body], members).unwrap();
    let error = weigh(&joined, &[none, MemberMass { along: 5.0, ends: [0.0; 2] }, none]).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/members/1"));
}

#[test]
fn fittings_of_a_lift_stand_at_the_end_they_are_at() {
    // The skid's legs: a sling of 9 kg, and at the lug a shackle of 8 kg; the pulls differ from the chord's by what stands at
    // each end, in the direction of the leg.
    let text = include_str!("../../../rigging-core/examples/lifts/generator-skid.json");
    let read = |text: &str| rigging_core::arrangement::Lift::from_json(text).unwrap();
    let legs = read(text).hang().unwrap().own_weight().unwrap().legs;
    assert_eq!(legs.len(), 4);
    for leg in &legs {
        assert_relative_eq!(leg.weight, 17.0 * GRAVITY, max_relative = 1e-12);
        assert_relative_eq!((leg.upper - leg.tension) / (leg.tension - leg.lower), 4.5 / 12.5, max_relative = 0.01);
    }
    // The same lift with one path written upward, and its items with it.
    let mut document: serde_json::Value = serde_json::from_str(text).unwrap();
    for key in ["path", "items"] {
        document["legs"][0][key].as_array_mut().unwrap().reverse();
    }
    let turned = read(&document.to_string()).hang().unwrap().own_weight().unwrap().legs;
    for (one, other) in legs.iter().zip(&turned) {
        assert_relative_eq!(one.upper, other.upper, max_relative = 1e-12);
        assert_relative_eq!(one.lower, other.lower, max_relative = 1e-12);
    }
}

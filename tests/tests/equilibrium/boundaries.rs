//! What is refused, where the refusal points, and the edges of what is accepted.

use crate::generator::{Rig, random_rig};
use crate::properties::skid;
use glam::{DQuat, DVec3};
use rigging_core::equilibrium::bridle::{Bridle, MAX_MEMBERS, Workspace};
use rigging_core::equilibrium::{State, bridle_of, solve};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

struct Parts {
    gravity: f64,
    hooks: Vec<Hook>,
    joints: Vec<Joint>,
    bodies: Vec<Body>,
    members: Vec<Member>,
}

fn parts() -> Parts {
    let system = skid(0.9).system();
    Parts {
        gravity: system.gravity(),
        hooks: system.hooks().to_vec(),
        joints: Vec::new(),
        bodies: system.bodies().to_vec(),
        members: system.members().to_vec(),
    }
}

fn solved(parts: Parts) -> Result<State, Error> {
    let system = System::new(parts.gravity, parts.hooks, parts.joints, parts.bodies, parts.members)?;
    Ok(solve(&system)?.state)
}

type Change = fn(&mut Parts);

#[test]
fn a_refusal_says_why_and_where() {
    let table: &[(Change, &str, &str)] = &[
        (|p| p.gravity = 0.0, "out_of_domain", "/gravity"),
        (|p| p.gravity = f64::NAN, "out_of_domain", "/gravity"),
        (|p| p.hooks.clear(), "missing", "/hooks"),
        (|p| p.bodies.clear(), "missing", "/bodies"),
        (|p| p.members.clear(), "unsupported", "/bodies/0"),
        (|p| p.hooks[0].position.y = f64::INFINITY, "out_of_domain", "/hooks/0/position/1"),
        (|p| p.bodies[0].mass = -1.0, "out_of_domain", "/bodies/0/mass"),
        (|p| p.bodies[0].mass = 1.0e16, "out_of_domain", "/bodies/0/mass"),
        (|p| p.bodies[0].center_of_gravity.z = f64::NAN, "out_of_domain", "/bodies/0/center_of_gravity/2"),
        (|p| p.bodies[0].points[3].x = 2.0e9, "out_of_domain", "/bodies/0/points/3/0"),
        (|p| p.bodies[0].position.x = f64::NAN, "out_of_domain", "/bodies/0/position/0"),
        (|p| p.bodies[0].rotation = DQuat::from_xyzw(0.0, 0.0, 0.0, 0.0), "out_of_domain", "/bodies/0/rotation"),
        (|p| p.bodies[0].rotation = DQuat::from_xyzw(f64::NAN, 0.0, 0.0, 1.0), "out_of_domain", "/bodies/0/rotation"),
        (|p| p.members[2].length = 0.0, "out_of_domain", "/members/2/length"),
        (|p| p.members[2].length = 1.0e10, "out_of_domain", "/members/2/length"),
        (|p| p.members[1].law = Law::Linear { ea: -1.0 }, "out_of_domain", "/members/1/law/ea"),
        (
            |p| p.members[1].law = Law::Polynomial { coefficients: vec![1.0e6, f64::NAN] },
            "out_of_domain",
            "/members/1/law/coefficients/1",
        ),
        (
            |p| p.members[1].law = Law::PiecewiseLinear { points: vec![[0.1, 5.0], [0.2, 4.0]] },
            "out_of_domain",
            "/members/1/law/points/1/1",
        ),
        (|p| p.members[0].a = End::Hook(1), "out_of_domain", "/members/0/a"),
        (|p| p.members[0].b = End::Joint(0), "out_of_domain", "/members/0/b"),
        (|p| p.members[0].b = End::Body { body: 1, point: 0 }, "out_of_domain", "/members/0/b"),
        (|p| p.members[0].b = End::Body { body: 0, point: 4 }, "out_of_domain", "/members/0/b"),
        (|p| p.members[0].b = End::Hook(0), "inconsistent", "/members/0"),
        (|p| p.members[0].a = End::Body { body: 0, point: 1 }, "inconsistent", "/members/0"),
        (|p| p.joints.push(Joint { position: DVec3::ZERO }), "inconsistent", "/joints/0"),
        (|p| p.bodies.push(p.bodies[0].clone()), "unsupported", "/bodies/1"),
    ];
    for (change, code, place) in table {
        let mut parts = parts();
        change(&mut parts);
        let error = solved(parts).expect_err(place);
        assert_eq!((error.code(), error.place().as_str()), (*code, *place), "{error}");
    }
    println!("refusals: {} ran, 0 skipped", table.len());
    assert_eq!(table.len(), 26);
    assert_eq!(solved(parts()), Ok(State::Stable));
}

#[test]
fn ends_may_stand_in_either_order() {
    let plain = solve(&skid(0.9).system()).unwrap();
    let mut parts = parts();
    for member in &mut parts.members {
        std::mem::swap(&mut member.a, &mut member.b);
    }
    let system = System::new(parts.gravity, parts.hooks, parts.joints, parts.bodies, parts.members).unwrap();
    let swapped = solve(&system).unwrap();
    for (a, b) in plain.members.iter().zip(&swapped.members) {
        assert_eq!(a.tension, b.tension);
        assert_eq!(a.direction, -b.direction);
    }
    assert!((swapped.hooks[0] - DVec3::new(0.0, 0.0, -18_500.0 * 9.80665)).length() < 1.0e-4);
}

#[test]
fn one_to_sixty_four_members_are_calculated() {
    let rig = |count: usize| {
        let points = (0..count).map(|i| DVec3::new((i as f64 * 0.7).cos(), (i as f64 * 1.3).sin(), 0.0)).collect();
        Rig {
            points,
            lengths: vec![3.0; count],
            stiffnesses: vec![1.0e6; count],
            center_of_gravity: DVec3::new(0.1, 0.0, -1.0),
            mass: 1.0e3,
            gravity: 9.80665,
        }
    };
    assert_eq!(MAX_MEMBERS, 64);
    for count in [1, 2, 63, 64, 65, 200] {
        let certificate = solve(&rig(count).system()).unwrap();
        assert_eq!((certificate.state, certificate.members.len()), (State::Stable, count));
    }
    // Beyond, the solver for networks takes over; the array form refuses.
    let error = bridle_of(&rig(65).system()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/members"));
}

#[test]
fn a_bridle_refuses_what_a_system_refuses() {
    let law = || Law::linear(1.0e6).unwrap();
    let point = DVec3::new(0.0, 0.0, 0.0);
    let below = DVec3::new(0.0, 0.0, -1.0);
    let code = |bridle: Result<Bridle, Error>| bridle.unwrap_err().code();
    assert_eq!(code(Bridle::new(vec![], vec![], vec![], below, 1.0)), "unsupported");
    assert_eq!(code(Bridle::new(vec![point], vec![], vec![law()], below, 1.0)), "inconsistent");
    assert_eq!(code(Bridle::new(vec![point], vec![-1.0], vec![law()], below, 1.0)), "out_of_domain");
    assert_eq!(code(Bridle::new(vec![point], vec![1.0], vec![law()], below, 0.0)), "out_of_domain");
    assert_eq!(code(Bridle::new(vec![point], vec![1.0], vec![law()], DVec3::NAN, 1.0)), "out_of_domain");
    assert_eq!(code(Bridle::new(vec![point], vec![1.0], vec![Law::Linear { ea: 0.0 }], below, 1.0)), "out_of_domain");
    let mut bridle = Bridle::new(vec![point], vec![1.0], vec![law()], below, 1.0).unwrap();
    assert!(bridle.set_length(1, 1.0).is_err());
    assert!(bridle.set_length(0, f64::NAN).is_err());
    assert!(bridle.set_weight(-1.0).is_err());
    assert!(bridle.set_center_of_gravity(DVec3::INFINITY).is_err());
}

#[test]
fn a_changed_bridle_is_the_bridle_made_so() {
    let mut workspace = Workspace::default();
    for case in 0..200 {
        let (from, to) = (random_rig(11, case, [10.0, 1.0e4]), random_rig(12, case, [10.0, 1.0e4]));
        let mut bridle = from.bridle();
        for leg in 0..from.points.len() {
            bridle.set_length(leg, from.lengths[leg] * 1.01).unwrap();
        }
        bridle.set_center_of_gravity(from.center_of_gravity * 0.9).unwrap();
        bridle.set_weight(to.weight()).unwrap();
        let mut made = from.clone();
        made.lengths.iter_mut().for_each(|l| *l *= 1.01);
        made.center_of_gravity *= 0.9;
        (made.mass, made.gravity) = (to.weight(), 1.0);
        let changed = bridle.solve(&mut workspace).unwrap();
        assert_eq!(changed, made.bridle().solve(&mut Workspace::default()).unwrap());
    }
}

/// Numbers that overflow, or lie beyond what doubles can balance, end in an answer or a refusal, and soon.
#[test]
fn numbers_beyond_the_arithmetic_come_to_an_end() {
    let one = |center: f64, length: f64, ea: f64, weight: f64| {
        let points = vec![DVec3::new(2.0e6, -0.9, -0.1), DVec3::new(4.0, 5.0, -4.0), DVec3::new(-9.0, 2.0, 2.0)];
        let laws = vec![Law::linear(1.9).unwrap(), Law::linear(ea).unwrap(), Law::linear(2.4e6).unwrap()];
        let center = DVec3::new(6.5, -2.3, center);
        let bridle = Bridle::new(points, vec![8.2, length, 2.0], laws, center, weight).unwrap();
        bridle.solve(&mut Workspace::default())
    };
    let mut refused = 0;
    let values = [1.0e-300, 1.0e-9, 1.0, 1.0e9, 1.0e150, 5.6e261];
    for center in values {
        for length in values {
            for ea in [1.0e-12, 1.0e-6, 1.0, 1.0e6, 1.0e12, 1.0e18] {
                for weight in values {
                    match one(-center, length, ea, weight) {
                        Ok(outcome) => assert!(outcome.up.is_finite() && outcome.residual.is_finite()),
                        Err(error) => {
                            assert_eq!(error.code(), "unconverged");
                            refused += 1;
                        }
                    }
                }
            }
        }
    }
    println!("{} bridles of extreme numbers, {refused} refused", values.len().pow(4));
    assert!(refused > 0);
}

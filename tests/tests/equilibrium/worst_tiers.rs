//! The worst case of tiers: bodies and joints under hooks, bounds against samples, against the same as a bridle, and closed forms.

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::network::{Network, Workspace};
use rigging_core::equilibrium::worst::{Effort, Extreme, Reason, Tolerances, Worst, worst, worst_of_system};
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};

const GRAVITY: f64 = 9.80665;
/// Over a wide flat top one state is as good as another: what a search ends with is its height to this fraction.
const FLAT: f64 = 1.0e-6;
/// A drawn state balances to this fraction of the weight, and what hangs from one place is bounded by its weight.
const SOLVED: f64 = 1.0e-10;

/// An arrangement as it is drawn: every member is as long as its ends are apart.
#[derive(Default)]
struct Drawn {
    hooks: Vec<DVec3>,
    joints: Vec<DVec3>,
    bodies: Vec<(f64, DVec3, Vec<DVec3>)>,
    members: Vec<(End, End, f64)>,
}

impl Drawn {
    fn hook(&mut self, at: [f64; 3]) -> End {
        self.hooks.push(DVec3::from_array(at));
        End::Hook(self.hooks.len() - 1)
    }

    fn joint(&mut self, at: [f64; 3]) -> End {
        self.joints.push(DVec3::from_array(at));
        End::Joint(self.joints.len() - 1)
    }

    fn body(&mut self, mass: f64, center: [f64; 3]) -> usize {
        self.bodies.push((mass, DVec3::from_array(center), Vec::new()));
        self.bodies.len() - 1
    }

    fn point(&mut self, body: usize, at: [f64; 3]) -> End {
        self.bodies[body].2.push(DVec3::from_array(at));
        End::Body { body, point: self.bodies[body].2.len() - 1 }
    }

    fn member(&mut self, a: End, b: End, ea: f64) {
        // Either end may be the upper one.
        let turn = self.members.len() % 3 == 2;
        self.members.push(if turn { (b, a, ea) } else { (a, b, ea) });
    }

    fn system(self) -> System {
        let at = |end: End| match end {
            End::Hook(hook) => self.hooks[hook],
            End::Joint(joint) => self.joints[joint],
            End::Body { body, point } => self.bodies[body].2[point],
        };
        let members = self.members.iter().map(|(a, b, ea)| Member {
            a: *a,
            b: *b,
            length: (at(*a) - at(*b)).length(),
            law: Law::linear(*ea).unwrap(),
        });
        let members = members.collect();
        let bodies = self.bodies.iter().map(|(mass, center, points)| Body {
            mass: *mass,
            center_of_gravity: *center,
            points: points.clone(),
            position: DVec3::ZERO,
            rotation: DQuat::IDENTITY,
        });
        let hooks = self.hooks.iter().map(|position| Hook { position: *position }).collect();
        let joints = self.joints.iter().map(|position| Joint { position: *position }).collect();
        System::new(GRAVITY, hooks, joints, bodies.collect(), members).unwrap()
    }
}

/// A hook, two slings, a beam, two slings, a load.
fn beam(ea: f64) -> System {
    let mut drawn = Drawn::default();
    let hook = drawn.hook([0.0; 3]);
    let (load, beam) = (drawn.body(12.0e3, [0.3, 0.0, -9.2]), drawn.body(0.8e3, [0.0, 0.0, -5.2]));
    for side in [1.0, -1.0] {
        let upper = drawn.point(beam, [side * 3.0, 0.0, -5.0]);
        drawn.member(hook, upper, ea);
        let (lower, lug) = (drawn.point(beam, [side * 3.2, 0.0, -5.3]), drawn.point(load, [side * 3.2, 0.0, -8.3]));
        drawn.member(lower, lug, ea);
    }
    drawn.system()
}

/// A hook, two slings, a spreader, four slings, a load.
fn spreader(ea: f64) -> System {
    let mut drawn = Drawn::default();
    let hook = drawn.hook([0.0; 3]);
    let (load, beam) = (drawn.body(20.7e3, [0.1, 0.05, -11.03]), drawn.body(1.1e3, [0.0, 0.0, -7.95]));
    for side in [1.0, -1.0] {
        let upper = drawn.point(beam, [side * 4.5, 0.0, -7.8]);
        drawn.member(hook, upper, ea);
        let lower = drawn.point(beam, [side * 4.5, 0.0, -8.1]);
        for across in [1.0, -1.0] {
            let lug = drawn.point(load, [side * 4.5, across, -10.92]);
            drawn.member(lower, lug, ea);
        }
    }
    drawn.system()
}

const LUGS: [[f64; 2]; 4] = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]];

/// A hook, a link, a ring, four legs, a load; the link stiffer than the legs by a factor.
fn ring(ea: f64, stiffer: f64) -> System {
    let mut drawn = Drawn::default();
    let hook = drawn.hook([0.0, 0.0, 6.0]);
    let load = drawn.body(18.5e3, [0.45, -0.12, -0.5]);
    let ring = drawn.joint([0.0, 0.0, 5.4]);
    drawn.member(hook, ring, stiffer * ea);
    for [x, y] in LUGS {
        let lug = drawn.point(load, [x, y, 0.0]);
        drawn.member(ring, lug, ea);
    }
    drawn.system()
}

/// Two hooks, a ring below each, two legs from each.
fn pairs(ea: f64) -> System {
    let mut drawn = Drawn::default();
    let load = drawn.body(60.0e3, [4.7, 0.2, -1.0]);
    for x in [0.0, 10.0] {
        let (hook, ring) = (drawn.hook([x, 0.0, 8.0]), drawn.joint([x, 0.0, 5.0]));
        drawn.member(hook, ring, 4.0 * ea);
        for y in [2.0, -2.0] {
            let lug = drawn.point(load, [x, y, 0.0]);
            drawn.member(ring, lug, ea);
        }
    }
    drawn.system()
}

/// Two beams one above the other, four slings to the load.
fn stack(ea: f64) -> System {
    let mut drawn = Drawn::default();
    let hook = drawn.hook([0.0; 3]);
    let load = drawn.body(20.0e3, [0.1, 0.05, -10.0]);
    let (upper, lower) = (drawn.body(1.0e3, [0.0, 0.0, -4.15]), drawn.body(0.6e3, [0.0, 0.0, -7.15]));
    for side in [1.0, -1.0] {
        let (top, under) = (drawn.point(upper, [side * 3.0, 0.0, -4.0]), drawn.point(upper, [side * 3.0, 0.0, -4.3]));
        drawn.member(hook, top, ea);
        let (top, end) = (drawn.point(lower, [side * 2.0, 0.0, -7.0]), drawn.point(lower, [side * 2.0, 0.0, -7.3]));
        drawn.member(under, top, ea);
        for across in [1.0, -1.0] {
            let lug = drawn.point(load, [side * 2.0, across, -9.0]);
            drawn.member(end, lug, ea);
        }
    }
    drawn.system()
}

/// Tolerances of each length, stiffness, the weight and each height; of the center of gravity.
fn within(system: &System, [length, stiffness, weight, height]: [f64; 4], center_of_gravity: [f64; 3]) -> Tolerances {
    let members = system.members().len();
    Tolerances {
        lengths: vec![length; members],
        stiffness: vec![stiffness; members],
        center_of_gravity,
        weight,
        hook_heights: vec![height; system.hooks().len()],
    }
}

fn forces(found: &Worst) -> impl Iterator<Item = &Extreme> {
    found.legs.iter().chain(&found.hooks).chain(found.points.iter().map(|point| &point.pull))
}

/// The worst case, with a bound of every force within a gap.
fn bounded(name: &str, system: &System, tolerances: &Tolerances, gap: f64) -> Worst {
    let found = worst_of_system(system, tolerances, &Effort { gap, parts: 4000 }).unwrap();
    assert_eq!(found.open, None, "{name}");
    for force in forces(&found) {
        let bound = force.bound.unwrap();
        assert!(force.nominal <= force.attained && force.attained <= bound, "{name}: {force:?}");
        assert!(bound <= force.attained * (1.0 + gap), "{name}: {force:?}");
    }
    found
}

/// Lift, tolerances, gap.
fn boxes() -> Vec<(&'static str, System, Tolerances, f64)> {
    let of = |name, system: System, numbers, center, gap| {
        let tolerances = within(&system, numbers, center);
        (name, system, tolerances, gap)
    };
    let some = [0.05, 0.05, 0.05];
    vec![
        of("beam, lengths", beam(6.0e6), [0.01, 0.0, 0.0, 0.0], [0.0; 3], 0.02),
        of("beam, lengths, center", beam(6.0e6), [0.01, 0.0, 0.0, 0.0], some, 0.02),
        of("beam, all", beam(6.0e6), [0.01, 0.1, 0.03, 0.0], some, 0.10),
        of("stiff beam, all", beam(200.0e6), [0.01, 0.1, 0.03, 0.0], some, 0.10),
        of("spreader, lengths", spreader(20.0e6), [0.01, 0.0, 0.0, 0.0], [0.0; 3], 0.02),
        of("spreader, center", spreader(20.0e6), [0.0; 4], [0.05, 0.05, 0.0], 0.02),
        of("stiff spreader, lengths, center", spreader(400.0e6), [0.01, 0.0, 0.0, 0.0], some, 0.02),
        of("ring, lengths, center", ring(6.0e6, 500.0), [0.01, 0.0, 0.0, 0.0], some, 0.02),
        of("ring, all", ring(6.0e6, 20.0), [0.01, 0.1, 0.03, 0.0], some, 0.10),
        of("pairs, lengths, center", pairs(40.0e6), [0.01, 0.0, 0.0, 0.0], some, 0.02),
        of("pairs, all", pairs(40.0e6), [0.01, 0.1, 0.03, 0.05], some, 0.10),
        of("stack, center", stack(20.0e6), [0.0; 4], [0.02, 0.02, 0.0], 0.02),
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
    let count = system.members().len();
    let members = system.members().iter().enumerate().map(|(leg, member)| {
        let Law::Linear { ea } = member.law else { panic!("a linear law") };
        Member {
            length: member.length + share(leg) * tolerances.lengths[leg],
            law: Law::linear(ea * (1.0 + share(count + leg) * tolerances.stiffness[leg])).unwrap(),
            ..member.clone()
        }
    });
    let mut bodies = system.bodies().to_vec();
    let shift = [0, 1, 2].map(|axis| share(2 * count + axis) * tolerances.center_of_gravity[axis]);
    bodies[0].center_of_gravity += DVec3::from_array(shift);
    bodies[0].mass *= 1.0 + share(2 * count + 3) * tolerances.weight;
    let hooks = system.hooks().iter().zip(&tolerances.hook_heights).enumerate();
    let hooks = hooks.map(|(index, (hook, height))| Hook {
        position: hook.position + DVec3::Z * (share(2 * count + 4 + index) * height),
    });
    System::new(GRAVITY, hooks.collect(), system.joints().to_vec(), bodies, members.collect()).unwrap()
}

/// Tensions of the members, then pulls on the hooks, as the solver finds them.
fn hung(system: &System) -> Vec<f64> {
    let mut workspace = Workspace::default();
    assert_eq!(Network::new(system).solve(&mut workspace).unwrap().state, State::Stable);
    let mut forces: Vec<f64> = workspace.tensions().collect();
    let mut pulls = vec![DVec3::ZERO; system.hooks().len()];
    for (member, (tension, u)) in system.members().iter().zip(workspace.tensions().zip(workspace.directions())) {
        for (end, sign) in [(member.a, 1.0), (member.b, -1.0)] {
            if let End::Hook(hook) = end {
                pulls[hook] += sign * tension * u;
            }
        }
    }
    forces.extend(pulls.iter().map(|pull| pull.length()));
    forces
}

/// Half of the draws are vertices, the others inside with a third of the numbers at an end.
#[test]
fn no_state_of_a_hundred_thousand_in_tiers_exceeds_its_bound() {
    let cases = boxes();
    let mut states = 0;
    for (index, (name, system, tolerances, gap)) in cases.iter().enumerate() {
        let found = bounded(name, system, tolerances, *gap);
        let mut largest = vec![0.0_f64; system.members().len() + system.hooks().len()];
        for draw in 0..10_000 {
            let seed = 1_000_000_007 * index as u64 + 64 * draw;
            let share = |number: usize| {
                let x = noise(seed + number as u64);
                let at_end = draw % 2 == 0 || noise(seed + number as u64 + 32) < -1.0 / 3.0;
                if at_end { x.signum() } else { x }
            };
            let forces = hung(&moved(system, tolerances, share));
            largest.iter_mut().zip(forces).for_each(|(largest, force)| *largest = largest.max(force));
            states += 1;
        }
        for (force, sample) in found.legs.iter().chain(&found.hooks).zip(largest) {
            assert!(sample <= force.bound.unwrap() * (1.0 + SOLVED), "{name}: {sample} drawn, bound {:?}", force.bound);
            assert!(sample <= force.attained * (1.0 + FLAT), "{name}: {sample} drawn, {} attained", force.attained);
        }
    }
    println!("{states} states of {} boxes", cases.len());
    assert_eq!(states, 120_000);
}

/// By one stiff link a ring hangs as a hook does: every leg is bounded as it is in a bridle, whose proof is another.
#[test]
fn a_ring_on_a_stiff_link_bounds_its_legs_as_a_bridle_does() {
    let (ea, tolerance) = (6.0e6, 0.01);
    let system = ring(ea, 1.0e3);
    let mut tolerances = within(&system, [tolerance, 0.0, 0.0, 0.0], [0.05; 3]);
    tolerances.lengths[0] = 0.0;
    let gap = 2.0e-3;
    let found = bounded("ring", &system, &tolerances, gap);
    let points = LUGS.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec();
    let lengths = points.iter().map(|point| (DVec3::Z * 5.4 - *point).length()).collect();
    let center = DVec3::new(0.45, -0.12, -0.5);
    let bridle = Bridle::new(points, lengths, vec![Law::linear(ea).unwrap(); 4], center, 18.5e3 * GRAVITY).unwrap();
    let same = Tolerances { lengths: vec![tolerance; 4], center_of_gravity: [0.05; 3], ..Tolerances::none(4) };
    let expected = worst(&bridle, &same, &Effort { gap, parts: 4000 }).unwrap();
    for (leg, own) in found.legs.iter().skip(1).zip(&expected.legs) {
        assert!((leg.attained - own.attained).abs() < 1.0e-3 * own.attained, "{leg:?} against {own:?}");
        assert!(
            leg.bound.unwrap() >= own.attained * (1.0 - 1.0e-6) && own.bound.unwrap() >= leg.attained * (1.0 - 1.0e-6)
        );
    }
    // The link bears the weight, and so does the hook.
    for force in [&found.legs[0], &found.hooks[0]] {
        assert!((force.bound.unwrap() / (18.5e3 * GRAVITY) - 1.0).abs() < 1.0e-9);
    }
}

/// Two plumb slings below a beam share the load by levers: with the center of gravity off by 50 mm of 6.4 m between them, and no
/// farther below the lugs than it is, the worse one bears (3.2 + 0.35)/6.4 of the weight, but for what the load tilts.
#[test]
fn the_slings_below_a_beam_have_the_share_of_the_lever() {
    let system = beam(200.0e6);
    let found = bounded("beam", &system, &within(&system, [0.0; 4], [0.05, 0.0, 0.0]), 1.0e-3);
    let lever = 12.0e3 * GRAVITY * 3.55 / 6.4;
    // The load tilts by the beam's angle, as much as its center of gravity lies off the hook's plumb line over its depth.
    let tilt = 0.35 * 12.0 / 12.8 / 9.0;
    let reach = lever * tilt * 0.9 / 3.55;
    assert!((found.legs[1].attained - lever).abs() < 1.5 * reach, "{} against {lever}", found.legs[1].attained);
    assert!(found.legs[1].bound.unwrap() < lever + 1.6 * reach);
    // All hangs from the hook.
    assert!((found.hooks[0].bound.unwrap() / (12.8e3 * GRAVITY) - 1.0).abs() < 1.0e-9);
}

/// Too few pieces leave the branch open; what rolls freely is refused, as by every question about a neutral balance.
#[test]
fn where_nothing_is_proven_of_tiers_it_says_why() {
    let effort = Effort { gap: 0.02, parts: 3 };
    let system = spreader(20.0e6);
    let found = worst_of_system(&system, &within(&system, [0.05, 0.0, 0.0, 0.0], [0.1; 3]), &effort).unwrap();
    assert_eq!(found.open.unwrap().reason, Reason::NotEnclosed);
    assert!(found.legs.iter().all(|leg| leg.bound.is_none() && leg.attained >= leg.nominal));
    // A beam whose points and center of gravity lie on one line rolls freely.
    let mut drawn = Drawn::default();
    let hook = drawn.hook([0.0; 3]);
    let (load, beam) = (drawn.body(12.0e3, [0.0, 0.0, -9.2]), drawn.body(0.8e3, [0.0, 0.0, -5.0]));
    for side in [3.0, -3.0] {
        let (end, lug) = (drawn.point(beam, [side, 0.0, -5.0]), drawn.point(load, [side, 0.0, -8.3]));
        drawn.member(hook, end, 6.0e6);
        drawn.member(end, lug, 6.0e6);
    }
    let system = drawn.system();
    assert!(worst_of_system(&system, &within(&system, [0.0; 4], [0.0; 3]), &effort).is_err());
}

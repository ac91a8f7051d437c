//! Slings that run over something, against closed forms.

use approx::assert_relative_eq;
use glam::{DQuat, DVec3};
use rigging_core::equilibrium::running::{Run, Sliding, hang};
use rigging_core::equilibrium::{Certificate, State, solve};
use rigging_core::error::Error;
use rigging_core::system::{Body, End, Hook, Law, Member, Over, Running, Span, System};

const STIFF: f64 = 1.0e10;
const GRAVITY: f64 = 9.80665;
const LUG: End = End::Body { body: 0, point: 0 };

fn span(a: End, b: End, length: f64, ea: f64) -> Member {
    Member { a, b, length, law: Law::linear(ea).unwrap() }
}

fn body(mass: f64, center: DVec3, points: &[DVec3], position: DVec3) -> Body {
    Body { mass, center_of_gravity: center, points: points.to_vec(), position, rotation: DQuat::IDENTITY }
}

fn hooks(positions: &[DVec3]) -> Vec<Hook> {
    positions.iter().map(|position| Hook { position: *position }).collect()
}

/// A load on the bight of a sling of `length` between hooks `apart` and `rise` from each other.
fn bight(length: f64, apart: f64, rise: f64, share: f64, friction: [f64; 2]) -> (System, Running) {
    let hooks = hooks(&[DVec3::ZERO, DVec3::new(apart, 0.0, rise)]);
    let load = body(1000.0, DVec3::new(0.0, 0.0, -0.4), &[DVec3::ZERO], DVec3::new(share * apart, 0.0, -length));
    let members =
        vec![span(End::Hook(0), LUG, share * length, STIFF), span(End::Hook(1), LUG, (1.0 - share) * length, STIFF)];
    let system = System::new(GRAVITY, hooks, vec![], vec![load], members).unwrap();
    (system, Running { spans: spans([0, 1]), over: vec![Over { at: LUG, friction: Some(friction) }] })
}

fn spans<const N: usize>(indices: [usize; N]) -> Vec<Span> {
    indices.map(Span::Member).to_vec()
}

/// The certificate of the frictionless state.
fn frictionless(run: &Run) -> &Certificate {
    &run.frictionless.as_ref().unwrap().certificate
}

fn tensions(certificate: &Certificate) -> Vec<f64> {
    certificate.members.iter().map(|member| member.tension).collect()
}

#[test]
fn without_friction_both_sides_of_a_bight_stand_at_one_angle() {
    for (apart, rise, share) in [(3.0, 0.0, 0.5), (3.0, 0.0, 0.35), (3.0, 0.7, 0.5), (2.0, -1.1, 0.6)] {
        let (system, sling) = bight(6.0, apart, rise, share, [0.0, 0.0]);
        let run = hang(&system, &[sling]).unwrap();
        // Equal pulls cancel sideways at equal angles to the plumb line: sin θ = apart/length, whatever the rise.
        let sine = apart / 6.0;
        let expected = 1000.0 * GRAVITY / 2.0 / (1.0 - sine * sine).sqrt();
        for tension in tensions(frictionless(&run)) {
            assert_relative_eq!(tension, expected, max_relative = 1.0e-6);
        }
        assert_eq!(frictionless(&run).state, State::Stable);
        assert!(run.limits.as_ref().unwrap().is_empty());
        let total: f64 = run.rest().system.members().iter().map(|member| member.length).sum();
        assert_relative_eq!(total, 6.0, max_relative = 1.0e-12);
    }
}

#[test]
fn at_the_limits_of_sliding_the_pulls_stand_in_the_ratio_of_the_capstan() {
    let (system, sling) = bight(6.0, 3.0, 0.2, 0.5, [0.1, 0.3]);
    let run = hang(&system, &[sling]).unwrap();
    let limits = run.limits.as_ref().unwrap();
    assert_eq!(limits.len(), 2);
    for (limit, sign) in limits.iter().zip([1.0, -1.0]) {
        assert_eq!((limit.share, limit.rising.as_slice()), (1.0, [sign > 0.0].as_slice()));
        let [one, other] = [0, 1].map(|member| limit.hung.certificate.members[member]);
        // The turn at the bight, from the directions of both sides.
        let turn = one.direction.dot(-other.direction).clamp(-1.0, 1.0).acos();
        assert_relative_eq!(other.tension / one.tension, (sign * 0.3 * turn).exp(), max_relative = 1.0e-8);
    }
    // The envelope holds the frictionless state and both limits.
    for span in [0, 1] {
        let ([least, largest], even) = (run.range(0, span).unwrap(), frictionless(&run).members[span].tension);
        assert!(least < even && even < largest);
    }
}

#[test]
fn the_capstan_ratio_solves_its_differential_equation() {
    // dT/dφ = µ·T, by many small drums in a row: Π (1 + µ·Δφ/2)/(1 − µ·Δφ/2).
    let (system, sling) = bight(6.0, 3.0, 0.0, 0.5, [0.25, 0.25]);
    let run = hang(&system, &[sling]).unwrap();
    let [one, other] = [0, 1].map(|member| run.limits.as_ref().unwrap()[0].hung.certificate.members[member]);
    let turn = one.direction.dot(-other.direction).acos();
    let (count, mut ratio) = (100_000, 1.0);
    let half = 0.25 * turn / f64::from(count) / 2.0;
    for _ in 0..count {
        ratio *= (1.0 + half) / (1.0 - half);
    }
    assert_relative_eq!(other.tension / one.tension, ratio, max_relative = 1.0e-8);
}

#[test]
fn friction_holds_or_not_by_the_least_and_the_greatest_coefficient() {
    // Shares as drawn that ask for pulls far from even: 0.45 of the length on one side.
    let unheld = bight(6.0, 3.0, 0.0, 0.45, [0.0, 0.0]).0;
    let held = solve(&unheld).unwrap();
    let [one, other] = [0, 1].map(|member| held.members[member]);
    let turn = one.direction.dot(-other.direction).acos();
    let needed = (one.tension / other.tension).ln().abs() / turn;
    assert!(needed > 0.01);
    for (friction, expected) in [
        ([1.01 * needed, 2.0 * needed], Sliding::Holds),
        ([0.5 * needed, 1.01 * needed], Sliding::MaySlide),
        ([0.5 * needed, 0.99 * needed], Sliding::Slides),
        ([0.0, 0.0], Sliding::Free),
    ] {
        let (system, sling) = bight(6.0, 3.0, 0.0, 0.45, friction);
        assert_eq!(hang(&system, &[sling]).unwrap().sliding, [expected], "{friction:?}");
    }
}

/// A frame hung by one sling over a hook: both ends on the frame, `center` below the line of its points.
fn over_a_hook(center: f64, offset: f64) -> Result<State, Error> {
    let points = [DVec3::new(-2.0, 0.0, 0.0), DVec3::new(2.0, 0.0, 0.0)];
    let load = body(1000.0, DVec3::new(offset, 0.0, -center), &points, DVec3::new(0.0, 0.0, -2.0));
    let members = [0, 1].map(|point| span(End::Hook(0), End::Body { body: 0, point }, 3.0, STIFF));
    let system = System::new(GRAVITY, hooks(&[DVec3::ZERO]), vec![], vec![load], members.to_vec())?;
    let over = Over { at: End::Hook(0), friction: Some([0.0, 0.0]) };
    Ok(hang(&system, &[Running { spans: spans([0, 1]), over: vec![over] }])?.rest().certificate.state)
}

#[test]
fn a_frame_on_a_sling_over_a_hook_slides_off_unless_its_center_of_gravity_is_low() {
    // In the frame the hook moves on an ellipse with the points as foci: half axes 3 and √5 m. The load hangs lowest where
    // its center of gravity is farthest from the hook; that is a maximum where the distance exceeds the radius of
    // curvature, 3²/√5 m. The hook stands √5 m above the points.
    let limit = 9.0 / 5.0_f64.sqrt() - 5.0_f64.sqrt();
    assert_eq!(over_a_hook(1.002 * limit, 0.0).unwrap(), State::Stable);
    assert_eq!(over_a_hook(0.998 * limit, 0.0).unwrap(), State::Unstable);
}

#[test]
fn two_slings_over_two_sheaves_share_a_load_by_moments() {
    // A beam under two bights; each sling pulls alike on both of its sides, the shares follow from moments.
    let positions = [-3.2, -2.8, 2.8, 3.2].map(|x| DVec3::new(x, 0.0, 0.0));
    let points = [DVec3::new(-3.0, 0.0, 0.0), DVec3::new(3.0, 0.0, 0.0)];
    let load = body(2000.0, DVec3::new(1.0, 0.0, -0.5), &points, DVec3::new(0.0, 0.0, -4.0));
    let members = (0..4).map(|hook| {
        let point = hook / 2;
        let length = if hook % 2 == 0 { 4.05 } else { 3.95 };
        span(End::Hook(hook), End::Body { body: 0, point }, length, 1.0e8)
    });
    let system = System::new(GRAVITY, hooks(&positions), vec![], vec![load], members.collect()).unwrap();
    let slings = [0, 1].map(|point| Running {
        spans: spans([2 * point, 2 * point + 1]),
        over: vec![Over { at: End::Body { body: 0, point }, friction: Some([0.05, 0.2]) }],
    });
    let run = hang(&system, &slings).unwrap();
    let found = tensions(frictionless(&run));
    assert_relative_eq!(found[0], found[1], max_relative = 1.0e-8);
    assert_relative_eq!(found[2], found[3], max_relative = 1.0e-8);
    // The center of gravity 1 m toward the second: a third and two thirds (nearly plumb lines).
    assert_relative_eq!(found[2] / found[0], 2.0, max_relative = 0.01);
    // Two ways at each of two stations.
    assert_eq!(run.limits.unwrap().len(), 4);
}

#[test]
fn a_running_sling_refuses_what_it_cannot_mean() {
    let (system, sling) = bight(6.0, 3.0, 0.0, 0.5, [0.1, 0.3]);
    let code = |change: fn(&mut Running)| {
        let mut sling = sling.clone();
        change(&mut sling);
        let error = hang(&system, &[sling]).unwrap_err();
        (error.code(), error.place().as_str().to_owned())
    };
    assert_eq!(code(|sling| sling.spans.truncate(1)).0, "inconsistent");
    assert_eq!(code(|sling| sling.over.clear()).0, "inconsistent");
    assert_eq!(code(|sling| sling.spans[1] = Span::Member(7)), ("out_of_domain", "/slings/0/spans".to_owned()));
    assert_eq!(code(|sling| sling.spans[1] = Span::Member(0)), ("inconsistent", "/slings/0/spans".to_owned()));
    assert_eq!(code(|sling| sling.over[0].at = End::Hook(0)), ("inconsistent", "/slings/0/over".to_owned()));
    for friction in [[-0.1, 0.3], [0.3, 0.1], [0.1, 2.5], [f64::NAN, 0.3], [0.1, f64::INFINITY]] {
        let mut sling = sling.clone();
        sling.over[0].friction = Some(friction);
        assert_eq!(hang(&system, &[sling]).unwrap_err().code(), "out_of_domain", "{friction:?}");
    }
    assert_eq!(hang(&system, &[sling.clone(), sling]).unwrap_err().code(), "inconsistent");
}

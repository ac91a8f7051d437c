//! Natural periods against closed forms.

use crate::rebuilt::{GRAVITY, at, body, made};
use glam::{DMat3, DVec3};
use rigging_core::equilibrium::period::{Excitation, Inertia, Kind, Period, Periods, natural_periods};
use rigging_core::equilibrium::solve;
use rigging_core::error::Error;
use rigging_core::system::{End, System};
use std::f64::consts::PI;

/// What the stretch of a stiff member leaves of a closed form that has none.
const STIFF: f64 = 1.0e-6;
const EA: f64 = 1.0e12;

fn inertia(x: f64, y: f64, z: f64) -> Inertia {
    Inertia::new(DMat3::from_diagonal(DVec3::new(x, y, z))).unwrap()
}

fn periods(system: &System, inertias: &[Inertia]) -> Periods {
    natural_periods(system, &solve(system).unwrap(), inertias, 20, &[]).unwrap()
}

fn near(found: &[Period], expected: f64, tolerance: f64) -> &Period {
    let nearest =
        found.iter().min_by(|a, b| (a.period - expected).abs().total_cmp(&(b.period - expected).abs())).unwrap();
    assert!((nearest.period / expected - 1.0).abs() < tolerance, "{} against {expected}", nearest.period);
    nearest
}

/// Both periods of a load on a hanger: its point swings at l, its center of gravity stands a below, radius of gyration r.
/// From det[(g/l − ω²)·l, −ω²·a; −ω²·l·a, g·a − ω²(a² + r²)] = 0 for the angles of hanger and load.
fn double_pendulum(l: f64, a: f64, r: f64) -> [f64; 2] {
    // l·r²·w² − g(a² + r² + l·a)·w + g²·a = 0 with w = ω².
    let (p, q, c) = (l * r * r, -GRAVITY * (a * a + r * r + l * a), GRAVITY * GRAVITY * a);
    let root = (q * q - 4.0 * p * c).sqrt();
    let fast = (-q + root) / (2.0 * p);
    let slow = c / (p * fast);
    [slow, fast].map(|w| 2.0 * PI / w.sqrt())
}

#[test]
fn a_load_on_one_hanger_swings_as_a_double_pendulum_and_bounces_on_its_stiffness() {
    let mut ran = 0;
    for (l, a, r) in [(10.0, 1.0, 0.8), (3.0, 2.0, 1.0), (20.0, 0.05, 0.3)] {
        let load = body(1000.0, [0.0, 0.0, -a], &[[0.0; 3]], [0.0; 3]);
        let system = made(&[[0.0, 0.0, l]], &[], vec![load], &[(End::Hook(0), at(0, 0), l, EA)]);
        let moment = 1000.0 * r * r;
        let found = periods(&system, &[inertia(moment, moment, 0.5 * moment)]);
        assert_eq!((found.periods.len(), found.without_period, found.complete), (5, 1, true));
        for expected in double_pendulum(l, a, r) {
            let pair = found.periods.iter().filter(|period| (period.period / expected - 1.0).abs() < STIFF).count();
            assert_eq!(pair, 2, "{expected}: {:?}", found.periods);
        }
        let bounce = near(&found.periods, 2.0 * PI * (1000.0 * l / EA).sqrt(), STIFF);
        assert_eq!(bounce.kind, Kind::Bounce);
        assert!(bounce.shares[1] > 1.0 - 1.0e-9);
        ran += 1;
    }
    // The shorter hanger is, the nearer is the load to a compound pendulum, 2π·√((a² + r²)/(g·a)).
    let (l, a, r) = (1.0e-4, 2.0_f64, 1.0_f64);
    let load = body(1000.0, [0.0, 0.0, -a], &[[0.0; 3]], [0.0; 3]);
    let system = made(&[[0.0, 0.0, l]], &[], vec![load], &[(End::Hook(0), at(0, 0), l, EA)]);
    let found = periods(&system, &[inertia(1000.0, 1000.0, 500.0)]);
    near(&found.periods, 2.0 * PI * ((a * a + r * r) / (GRAVITY * a)).sqrt(), 1.0e-4);
    // A long one with a small load on it: the simple pendulum, 2π·√(l/g).
    let load = body(1000.0, [0.0, 0.0, -1.0e-3], &[[0.0; 3]], [0.0; 3]);
    let system = made(&[[0.0, 0.0, 50.0]], &[], vec![load], &[(End::Hook(0), at(0, 0), 50.0, EA)]);
    let found = periods(&system, &[inertia(1.0e-3, 1.0e-3, 1.0e-3)]);
    assert_eq!(near(&found.periods, 2.0 * PI * (50.001_f64 / GRAVITY).sqrt(), STIFF).kind, Kind::Swing);
    println!("pendulums: {} ran, 0 skipped", ran + 2);
    assert_eq!(ran, 3);
}

#[test]
fn a_load_on_two_hooks_yaws_as_a_bifilar_pendulum_does() {
    // Two parallel vertical ropes of length l, a half apart on either side: 2π·√(I·l/(W·a²)), swing 2π·√(l/g) along.
    let (l, a, moment) = (8.0, 1.5, 4000.0);
    let load = body(2000.0, [0.0, 0.0, -0.7], &[[-a, 0.0, 0.0], [a, 0.0, 0.0]], [0.0, 0.0, -l]);
    let hooks = [[-a, 0.0, 0.0], [a, 0.0, 0.0]];
    let system = made(&hooks, &[], vec![load], &[(End::Hook(0), at(0, 0), l, EA), (End::Hook(1), at(0, 1), l, EA)]);
    let found = periods(&system, &[inertia(1000.0, 4200.0, moment)]);
    assert_eq!((found.periods.len(), found.without_period), (6, 0));
    let yaw = near(&found.periods, 2.0 * PI * (moment * l / (2000.0 * GRAVITY * a * a)).sqrt(), STIFF);
    assert_eq!(yaw.kind, Kind::Yaw);
    let swing = near(&found.periods, 2.0 * PI * (l / GRAVITY).sqrt(), STIFF);
    assert_eq!(swing.kind, Kind::Swing);
    assert!(swing.shape.bodies[0].displacement.x.abs() > 100.0 * swing.shape.bodies[0].displacement.y.abs());
    // Rocking against the stretch of the ropes: ω² = 2k·a²/I, up to the swing that it drags along (m·c²·ω⁴-terms of EA).
    let k = EA / l;
    assert_eq!(near(&found.periods, 2.0 * PI * (4200.0 / (2.0 * k * a * a)).sqrt(), STIFF).kind, Kind::Rocking);
    println!("bifilar: 1 ran, 0 skipped");
}

#[test]
fn joints_have_no_mass_and_follow() {
    // A ring between hook and load, two members in a row: the same periods as the whole hanger, and no others.
    let moment = 640.0;
    let load = || body(1000.0, [0.0, 0.0, -1.0], &[[0.0; 3]], [0.0; 3]);
    let ring = made(
        &[[0.0, 0.0, 10.0]],
        &[[0.0, 0.0, 4.0]],
        vec![load()],
        &[(End::Hook(0), End::Joint(0), 6.0, 1.0e9), (End::Joint(0), at(0, 0), 4.0, 1.0e9)],
    );
    let one = made(&[[0.0, 0.0, 10.0]], &[], vec![load()], &[(End::Hook(0), at(0, 0), 10.0, 1.0e9)]);
    let [with, without] = [&ring, &one].map(|system| periods(system, &[inertia(moment, moment, 300.0)]));
    assert_eq!((with.periods.len(), with.without_period), (5, 1));
    for (a, b) in with.periods.iter().zip(&without.periods) {
        assert!((a.period / b.period - 1.0).abs() < 1.0e-7, "{} {}", a.period, b.period);
    }
    // A ring that hangs slack beside the lift changes nothing but the number of motions without period.
    let idle = made(
        &[[0.0, 0.0, 10.0]],
        &[[0.3, 0.0, 9.0]],
        vec![load()],
        &[(End::Hook(0), at(0, 0), 10.0, 1.0e9), (End::Hook(0), End::Joint(0), 5.0, 1.0e6)],
    );
    let idle = periods(&idle, &[inertia(moment, moment, 300.0)]);
    assert_eq!((idle.periods.len(), idle.without_period), (5, 4));
    for (a, b) in idle.periods.iter().zip(&without.periods) {
        assert!((a.period / b.period - 1.0).abs() < 1.0e-9);
    }
    println!("massless joints: 2 ran, 0 skipped");
}

/// Ten bodies in a chain have more than 48 unknowns: the iterated periods are those of a hanging chain of beads.
#[test]
fn a_chain_of_many_beads_swings_as_laguerre_says() {
    // Equal beads at equal distance l: ω² = x·g/l with x the zeros of the Laguerre polynomial of their number.
    let (n, l) = (10_usize, 2.0);
    let bodies =
        (1..=n).map(|i| body(100.0, [0.0, 0.0, -1.0e-4], &[[0.0; 3], [0.0, 0.0, -2.0e-4]], [0.0, 0.0, -l * i as f64]));
    let members: Vec<_> =
        (0..n).map(|i| (if i == 0 { End::Hook(0) } else { at(i - 1, 1) }, at(i, 0), l, 1.0e9)).collect();
    let system = made(&[[0.0; 3]], &[], bodies.collect(), &members);
    let found =
        natural_periods(&system, &solve(&system).unwrap(), &vec![inertia(1.0e-4, 1.0e-4, 1.0e-4); n], 4, &[]).unwrap();
    assert!(!found.complete && found.periods.len() == 4);
    assert_eq!(found.without_period, n, "each bead may turn");
    let laguerre = |x: f64| {
        let (mut before, mut now) = (1.0, 1.0 - x);
        for k in 1..n {
            let k = k as f64;
            (before, now) = (now, ((2.0 * k + 1.0 - x) * now - k * before) / (k + 1.0));
        }
        now
    };
    let mut zeros = Vec::new();
    let mut low = 0.0;
    while zeros.len() < 2 {
        let high = low + 0.01;
        if laguerre(low) * laguerre(high) < 0.0 {
            let (mut a, mut b) = (low, high);
            for _ in 0..60 {
                let middle = 0.5 * (a + b);
                if laguerre(a) * laguerre(middle) <= 0.0 { b = middle } else { a = middle }
            }
            zeros.push(a);
        }
        low = high;
    }
    for (pair, zero) in found.periods.chunks(2).zip(&zeros) {
        for period in pair {
            // Lugs 0.2 mm apart and a stretch of up to 2e-5: that is the tolerance.
            let expected = 2.0 * PI * (l / (GRAVITY * zero)).sqrt();
            assert!((period.period / expected - 1.0).abs() < 2.0e-4, "{} against {expected}", period.period);
            assert_eq!(period.kind, Kind::Swing);
        }
    }
    println!("chain of beads: 1 ran, 0 skipped, {} periods compared", found.periods.len());
}

#[test]
fn an_excitation_warns_of_periods_in_its_range_only() {
    let load = body(1000.0, [0.0, 0.0, -1.0e-3], &[[0.0; 3]], [0.0; 3]);
    let system = made(&[[0.0, 0.0, 50.0]], &[], vec![load], &[(End::Hook(0), at(0, 0), 50.0, EA)]);
    let certificate = solve(&system).unwrap();
    let body = [inertia(1.0e-3, 1.0e-3, 1.0e-3)];
    let waves = |shortest, longest| Excitation { name: "swell".into(), shortest, longest, source: "stated".into() };
    // The pendulum has 14.19 s.
    let found = natural_periods(&system, &certificate, &body, 6, &[waves(5.0, 9.0), waves(12.0, 16.0)]).unwrap();
    assert!(found.resonances.iter().all(|warning| warning.excitation == 1));
    assert_eq!(found.resonances.len(), 2, "both ways to swing: {:?}", found.resonances);
    for (bad, place) in [
        (waves(0.0, 1.0), "/excitations/0"),
        (waves(3.0, 2.0), "/excitations/0"),
        (waves(1.0, f64::NAN), "/excitations/0"),
    ] {
        let error = natural_periods(&system, &certificate, &body, 6, &[bad]).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", place));
    }
    let error = natural_periods(&system, &certificate, &[], 6, &[]).unwrap_err();
    assert!(matches!(error, Error::Inconsistent { .. }));
}

#[test]
fn tensors_of_inertia_that_no_body_has_are_refused() {
    let of = |columns: [f64; 9]| Inertia::new(DMat3::from_cols_array(&columns));
    assert!(of([2.0, 0.1, 0.0, 0.1, 3.0, 0.0, 0.0, 0.0, 4.0]).is_ok());
    assert!(matches!(of([2.0, 0.2, 0.0, 0.1, 3.0, 0.0, 0.0, 0.0, 4.0]), Err(Error::Inconsistent { .. })));
    assert!(matches!(of([1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 2.1]), Err(Error::Inconsistent { .. })));
    assert!(matches!(of([1.0, 2.0, 0.0, 2.0, 1.0, 0.0, 0.0, 0.0, 2.0]), Err(Error::OutOfDomain { .. })));
    assert!(matches!(of([0.0; 9]), Err(Error::OutOfDomain { .. })));
    assert!(matches!(of([f64::NAN; 9]), Err(Error::OutOfDomain { .. })));
}

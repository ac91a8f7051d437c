//! Margins: where the skid's upright branch ends, when a spreader under a load topples, brackets that hold on both sides,
//! closed forms, what is refused.

use crate::exact::{Eliminated, Exact, inertia};
use crate::generator::random_rig;
use crate::properties::skid;
use glam::{DQuat, DVec3};
use rigging_core::equilibrium::margin::{Bracket, Change, Margin, Search, changes, follow};
use rigging_core::equilibrium::sensitivity::{Parameter, differentiate};
use rigging_core::equilibrium::{Certificate, State, solve};
use rigging_core::system::{Body, End, Hook, Law, Member, System};

const GRAVITY: f64 = 9.80665;

fn raised(body: usize) -> Change {
    Change::CenterOfGravity { body, toward: DVec3::Z }
}

fn margin(system: &System, change: Change, search: Search) -> Margin {
    follow(system, &solve(system).unwrap(), change, search).unwrap()
}

/// The system with the change made, by code of the test.
fn changed(system: &System, change: Change, by: f64) -> System {
    let (mut bodies, mut members) = (system.bodies().to_vec(), system.members().to_vec());
    match change {
        Change::CenterOfGravity { body, toward } => {
            let own = bodies[body].rotation.inverse() * (by * toward.normalize());
            bodies[body].center_of_gravity += own;
        }
        Change::Longer { member } => members[member].length += by,
        Change::Shorter { member } => members[member].length -= by,
    }
    System::new(system.gravity(), system.hooks().to_vec(), system.joints().to_vec(), bodies, members).unwrap()
}

/// Whether a bracket holds on both sides: `happened` must be false before and true after.
fn holds(system: &System, change: Change, bracket: &Bracket, width: f64, happened: impl Fn(&Certificate) -> bool) {
    assert!(bracket.after > bracket.before && bracket.after - bracket.before <= width, "{bracket:?}");
    let (before, after) = (
        solve(&changed(system, change, bracket.before)).unwrap(),
        solve(&changed(system, change, bracket.after)).unwrap(),
    );
    let (at, beyond) = (happened(&before), happened(&after));
    assert!(!at && beyond, "{change:?} {bracket:?} {at} {beyond} {before:?} {after:?}");
    assert_eq!(after.state, bracket.state);
}

#[test]
fn the_upright_branch_of_the_skid_ends_where_it_was_found_to() {
    let system = skid(0.9).system();
    let found = margin(&system, raised(0), Search { width: Some(1.0e-7), ..Search::default() });
    let end = found.instability.clone().unwrap();
    println!("skid: {found:?}");
    // The branch ends between 3.25 m and 3.50 m above the lugs, from 0.90 m.
    assert!(end.before > 3.25 - 0.9 && end.after < 3.50 - 0.9, "{end:?}");
    assert_ne!(end.state, State::Stable);
    holds(&system, raised(0), &end, 1.0e-7, |c| c.state != State::Stable);
    // Its smallest leg still holds about 1 kN at 3.25 m.
    let at = solve(&skid(3.25).system()).unwrap();
    let least = at.members.iter().fold(f64::INFINITY, |least, m| least.min(m.tension));
    assert!((500.0..1500.0).contains(&least), "{least}");
    if let Some(slack) = &found.slack {
        assert!(slack.before > 3.25 - 0.9 && slack.after <= end.after, "{slack:?}");
        holds(&system, raised(0), slack, 1.0e-7, |c| c.members.iter().any(|m| m.slack));
    }
}

/// A 6.0 t item under a 0.6 t square frame, 2.0 m wide, hook 1.73 m above the frame, four bridle legs to its corners and four
/// parallel slings of `drop` m to the base of the item, whose center of gravity is `height` above its base.
fn under_a_frame(height: f64, ea: f64, drop: f64) -> System {
    let corners = [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]];
    let points = || corners.map(|[x, y]| DVec3::new(x, y, 0.0)).to_vec();
    let body = |mass, z: f64, position: f64| Body {
        mass,
        center_of_gravity: DVec3::new(0.0, 0.0, z),
        points: points(),
        position: DVec3::new(0.0, 0.0, position),
        rotation: DQuat::IDENTITY,
    };
    let law = Law::linear(ea).unwrap();
    let leg = (1.73_f64 * 1.73 + 2.0).sqrt();
    let bridle = (0..4).map(|point| (End::Hook(0), End::Body { body: 0, point }, leg));
    let slings = (0..4).map(|point| (End::Body { body: 0, point }, End::Body { body: 1, point }, drop));
    let members = bridle.chain(slings).map(|(a, b, length)| Member { a, b, length, law: law.clone() }).collect();
    let hook = Hook { position: DVec3::new(0.0, 0.0, 1.73) };
    System::new(GRAVITY, vec![hook], vec![], vec![body(600.0, 0.0, 0.0), body(6000.0, height, -drop)], members).unwrap()
}

/// Numbers of negative and null modes at the exact balance, from 32 digits.
fn modes(system: &System) -> (usize, usize) {
    let exact = Exact::new(system);
    let printed = Exact::pose(&solve(system).unwrap());
    let pose = exact.settle(&printed, &Eliminated::new(&exact.jacobian(&printed))).unwrap();
    inertia(&exact.jacobian(&pose))
}

#[test]
fn a_tall_item_under_a_frame_topples_where_statics_says() {
    let width = 1.0e-6;
    // Stiff slings: 1.73·(1 + 0.6/6.0), whatever the length of the slings.
    for drop in [1.0, 3.0, 6.0] {
        let system = under_a_frame(1.0, 1.0e12, drop);
        let found = margin(&system, raised(1), Search { width: Some(width), ..Search::default() });
        let end = found.instability.unwrap();
        let expected = 1.73 * (1.0 + 0.6 / 6.0) - 1.0;
        println!("stiff, slings of {drop} m: {} against {expected}", end.before);
        assert!(end.before - 1.0e-5 < expected && expected < end.after + 1.0e-5, "{end:?}");
        assert!(found.slack.is_none(), "all eight stay taut: {:?}", found.slack);
        holds(&system, raised(1), &end, width, |c| c.state != State::Stable);
    }
    // EA = 2 MN in every leg: 1.77 m, to its last digit; the signs of the Hessian in 32 digits change within the bracket.
    let system = under_a_frame(1.0, 2.0e6, 3.0);
    let found = margin(&system, raised(1), Search { width: Some(width), ..Search::default() });
    let end = found.instability.unwrap();
    println!("EA = 2 MN: {}", 1.0 + end.before);
    assert!((1.0 + end.before - 1.77).abs() < 0.005, "{end:?}");
    assert_eq!(modes(&under_a_frame(1.0 + end.before - width, 2.0e6, 3.0)), (0, 1));
    let (negative, _) = modes(&under_a_frame(1.0 + end.after + width, 2.0e6, 3.0));
    assert!(negative > 0, "no mode is negative beyond the bracket");
}

#[test]
fn a_parallel_member_goes_slack_where_the_other_carries_all() {
    // Two parallel slings, the second longer by 1 mm: the first stretches by W/k when it carries all.
    let (mass, ea) = (1000.0, 2.0e6);
    let body = Body {
        mass,
        center_of_gravity: DVec3::new(0.0, 0.0, -0.5),
        points: vec![DVec3::ZERO],
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let sling =
        |length| Member { a: End::Hook(0), b: End::Body { body: 0, point: 0 }, length, law: Law::linear(ea).unwrap() };
    let hook = Hook { position: DVec3::new(0.0, 0.0, 2.0) };
    let system = System::new(GRAVITY, vec![hook], vec![], vec![body], vec![sling(2.0), sling(2.001)]).unwrap();
    let stretched = 2.0 * mass * GRAVITY / ea;
    let search = Search { width: Some(1.0e-9), ..Search::default() };
    let found = margin(&system, Change::Longer { member: 1 }, search);
    let slack = found.slack.clone().unwrap();
    assert!((slack.before - (stretched - 0.001)).abs() < 2.0e-9, "{slack:?} against {}", stretched - 0.001);
    assert_eq!((slack.slack.as_slice(), slack.state), ([1].as_slice(), State::Stable));
    assert_eq!(found.first(), Some(&slack));
    assert!(found.instability.is_none(), "it goes on hanging by the other");
    // The other way round, the first is slack once the second carries all: a strain of W/EA on a length of 2.001 − x.
    let found = margin(&system, Change::Shorter { member: 1 }, search);
    let strain = mass * GRAVITY / ea;
    let expected = 2.001 - 2.0 / (1.0 + strain);
    let slack = found.slack.unwrap();
    assert!((slack.before - expected).abs() < 2.0e-9, "{slack:?} against {expected}");
    assert_eq!(slack.slack, [0]);
    // Nothing happens within a range that is too short.
    let short = Search { range: Some(1.0e-4), width: None };
    let found = margin(&system, Change::Longer { member: 1 }, short);
    assert!(found.first().is_none() && found.range == 1.0e-4);
}

/// The balance; none where it is not decided.
fn hung(system: &System) -> Option<Certificate> {
    match solve(system) {
        Ok(certificate) => Some(certificate),
        Err(error) if error.code() == "unconverged" => None,
        Err(error) => panic!("{error}"),
    }
}

#[test]
fn every_margin_of_random_bridles_holds_on_both_sides() {
    let (mut ran, mut slack, mut ended, mut foreseen, mut wide) = (0, 0, 0, 0, 0);
    for case in 0..60 {
        let rig = random_rig(17, case, [10.0, 1.0e4]);
        let system = rig.system();
        let start = solve(&system).unwrap();
        if start.state != State::Stable {
            continue;
        }
        let taut: Vec<bool> = start.members.iter().map(|m| !m.slack).collect();
        let lost = |c: &Certificate| c.members.iter().zip(&taut).any(|(m, taut)| *taut && m.slack);
        for change in changes(&system) {
            let found = follow(&system, &start, change, Search::default()).unwrap();
            let width = 1.0e-6 * found.range * (1.0 + 1.0e-9);
            ran += 1;
            if let Some(bracket) = &found.slack {
                slack += 1;
                holds(&system, change, bracket, width, lost);
                let named: Vec<usize> = bracket.slack.clone();
                let after = solve(&changed(&system, change, bracket.after)).unwrap();
                assert!(named.iter().all(|m| taut[*m] && after.members[*m].slack) && !named.is_empty());
                foreseen += usize::from(foretold(&system, change, bracket));
            }
            if let Some(bracket) = &found.instability {
                ended += 1;
                let enclosed = bracket.after - bracket.before;
                if enclosed > width {
                    // Where two branches meet, the solver says that it cannot decide: nearly all between is of that kind.
                    wide += 1;
                    let between = (1..16).map(|part| bracket.before + enclosed * f64::from(part) / 16.0);
                    let open = between.filter(|at| hung(&changed(&system, change, *at)).is_none()).count();
                    assert!(open >= 11 && enclosed < 1.0e-3 * found.range, "{case} {change:?} {bracket:?} {open}");
                }
                holds(&system, change, bracket, width.max(enclosed), |c| c.state != State::Stable);
                assert!(found.slack.as_ref().is_none_or(|slack| slack.before <= bracket.before));
            }
            // A blind walk in small steps finds nothing earlier.
            let first = found.first().map_or(found.range, |bracket| bracket.before);
            for step in 1..40 {
                let at = solve(&changed(&system, change, first * f64::from(step) / 40.0)).unwrap();
                assert!(at.state == State::Stable && !lost(&at), "{case} {change:?}: {found:?} at step {step}");
            }
        }
    }
    println!(
        "margins: {ran} ran, {slack} with a slack member ({foreseen} foretold), {ended} with an end of stability, {wide} of these around states not decided"
    );
    assert_eq!((ran, slack, foreseen, ended, wide), (803, 614, 112, 153, 6));
}

/// Whether the derivatives just before a slack event say where it is, to a thousandth of how near it is.
fn foretold(system: &System, change: Change, bracket: &Bracket) -> bool {
    let Change::Longer { member } = change else { return false };
    let near = bracket.before * (1.0 - 1.0e-3);
    let system = changed(system, change, near);
    let certificate = solve(&system).unwrap();
    let Ok(derivatives) = differentiate(&system, &certificate) else { return false };
    let reach = derivatives.of(Parameter::Length { member }).unwrap().increase;
    reach.is_some_and(|reach| {
        bracket.slack.contains(&reach.member)
            && (near + reach.change - bracket.after).abs() < 0.05 * bracket.after * 1.0e-3
    })
}

#[test]
fn a_margin_that_cannot_be_asked_for_is_refused() {
    let system = skid(0.9).system();
    let certificate = solve(&system).unwrap();
    let sideways = |toward| Change::CenterOfGravity { body: 0, toward };
    let plain = Search::default();
    for (change, search, place) in [
        (sideways(DVec3::ZERO), plain, "/toward"),
        (sideways(DVec3::new(f64::NAN, 0.0, 0.0)), plain, "/toward"),
        (Change::CenterOfGravity { body: 1, toward: DVec3::Z }, plain, "/bodies/1"),
        (Change::Longer { member: 4 }, plain, "/members/4"),
        (Change::Shorter { member: 0 }, Search { range: Some(6.0), width: None }, "/range"),
        (raised(0), Search { range: Some(f64::NAN), width: None }, "/range"),
        (raised(0), Search { range: Some(-1.0), width: None }, "/range"),
        (raised(0), Search { range: None, width: Some(0.0) }, "/width"),
        (raised(0), Search { range: None, width: Some(f64::INFINITY) }, "/width"),
    ] {
        let error = follow(&system, &certificate, change, search).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", place), "{change:?} {error}");
    }
    let lost = skid(3.6).system();
    let error = follow(&lost, &solve(&lost).unwrap(), raised(0), plain).unwrap_err();
    assert_eq!(error.code(), "unsupported");
    let error = follow(&lost, &certificate, raised(0), plain).unwrap_err();
    assert_eq!(error.code(), "inconsistent");
    assert_eq!(changes(&system).len(), 5 + 8);
}

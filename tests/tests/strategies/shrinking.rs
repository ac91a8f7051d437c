//! What is left of a lift when a test fails.

use super::*;
use proptest::test_runner::TestError;
use rigging_core::equilibrium::{State, solve};
use rigging_core::kit::{Outline, Sketch, strategies};

/// The simplest value that was found for which `fails`.
fn simplest<S: Strategy>(strategy: &S, fails: impl Fn(&S::Value) -> bool) -> S::Value
where
    S::Value: Clone,
{
    let outcome = runner(10_000).run(strategy, |value| {
        proptest::prop_assert!(!fails(&value));
        Ok(())
    });
    match outcome {
        Err(TestError::Fail(_, value)) => value,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_center_of_gravity_too_high_shrinks_to_a_plain_skid() {
    let found = simplest(&strategies::skid(), |outline| outline.center_of_gravity[2] > 0.3);
    assert_eq!(found.mass, 500.0);
    let [x, y, z] = found.center_of_gravity;
    assert_eq!((x, y), (0.0, 0.0));
    assert!((0.3..0.35).contains(&z), "{z}");
    assert!(found.center_tolerance == [0.0; 3] && found.length_tolerances == [0.0; 4]);
    // A square with equal legs.
    assert!(found.points.iter().all(|[x, y, z]| x.abs() == y.abs() && *z == 0.0), "{found:?}");
    assert!(found.lengths.iter().all(|length| *length == found.lengths[0]), "{found:?}");
}

#[test]
fn too_many_legs_shrink_to_a_plain_ring() {
    let found = simplest(&strategies::ring(), |outline| outline.points.len() >= 5);
    let plain = Outline { center_of_gravity: [0.0; 3], ..found.clone() };
    assert_eq!(found, plain);
    assert_eq!((found.points.len(), found.mass), (5, 500.0));
    assert!(found.points.iter().all(|[x, y, z]| (x.hypot(*y) - 0.5).abs() < 0.01 && *z == 0.0));
    assert!(found.lengths.iter().all(|length| *length == found.lengths[0]) && found.center_tolerance == [0.0; 3]);
}

#[test]
fn a_leg_that_goes_slack_shrinks_to_one_error_of_length() {
    let slack = |outline: &Outline| {
        let certificate = solve(&outline.system().unwrap()).unwrap();
        certificate.state == State::Stable && certificate.members.iter().any(|member| member.slack)
    };
    let found = simplest(&strategies::slack_prone(), slack);
    assert!(slack(&found));
    let equal = |length: &&f64| found.lengths.iter().filter(|other| *other == *length).count() >= 3;
    assert!(found.lengths.iter().filter(equal).count() >= 3, "three legs are alike: {found:?}");
    let [x, y, z] = found.center_of_gravity;
    assert!(x == 0.0 && y == 0.0 && z.abs() < 0.05 && found.length_tolerances == [0.0; 4], "{found:?}");
}

#[test]
fn any_family_shrinks_to_the_simplest_one() {
    let found = simplest(&strategies::outlines(), |outline| outline.mass > 10_000.0);
    assert_eq!((found.points.len(), found.mass, found.center_of_gravity), (2, 10_500.0, [0.0; 3]));
}

#[test]
fn a_tandem_lift_shrinks_to_two_plumb_legs() {
    let heavy = |sketch: &Sketch| sketch.mass > 5_000.0;
    let found = simplest(&strategies::tandem(), heavy);
    assert_eq!((found.legs.len(), found.mass, found.center_of_gravity), (2, 5_500.0, [1.0, 0.0, 0.0]));
    assert_eq!(found.hooks, [[0.0, 0.0, 2.0], [2.0, 0.0, 2.0]]);
    assert!(found.legs.iter().all(|leg| leg.length == 2.0 && leg.tolerance == 0.0));
    assert_eq!(simplest(&strategies::tier(), heavy).center_of_gravity, [0.0, 0.0, -0.5]);
}

#[test]
fn other_things_shrink_too() {
    let sling = simplest(&strategies::slings(), |sling| sling.wll > 4_000.0);
    assert_eq!((sling.wll, sling.factor, sling.stiffness), (4_500.0, 4.0, 30.0));
    let rules = simplest(&strategies::rule_sets(), |text| text.contains("dynamic factor"));
    assert!(rules.contains("cells = [[500, 1.0], [1000, 1.0]]") && !rules.contains("sharp edge"), "{rules}");
    let invalid = simplest(&strategies::invalid(), |invalid| invalid.code == "out_of_domain");
    assert_eq!(invalid.what, "a length is below zero");
}

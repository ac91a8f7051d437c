//! What is not so is told: where, and by how much.

use super::*;
use rigging_core::equilibrium::{Certificate, solve};
use rigging_core::error::Error;
use rigging_core::kit::invariants::rule::{self, Borne};
use rigging_core::kit::invariants::{Closeness, balanced};
use rigging_core::sharing::{EqualShare, LegSet, LegsCounted, PlanLevers, SharingRule, Words};
use rigging_core::source::{Source, Standing};

/// The demo skid: tilted, all legs taut.
fn skid() -> (System, Certificate) {
    let balance = Lift::from_json(DEMOS[0].1).unwrap().hang().unwrap();
    (balance.model().clone(), balance.certificate().clone())
}

#[test]
fn a_certificate_that_was_changed_is_no_balance() {
    let (system, sound) = skid();
    assert!(balanced(&system, &sound).unwrap().compared());
    type Change = (&'static str, fn(&mut Certificate));
    let changes: [Change; 9] = [
        ("tension of member 2", |c| c.members[2].tension *= 1.0 + 1e-9),
        ("tension of member 1", |c| c.members[1].tension = f64::NAN),
        ("distance of the ends of member 0", |c| c.bodies[0].position.x += 1e-9),
        ("distance of the ends of member 0", |c| c.members[0].length += 1e-9),
        ("direction, times the distance, of member 3", |c| c.members[3].direction.x += 1e-9),
        ("residual", |c| c.residual = 1.0),
        ("force on the hooks less the weight", |c| c.hooks[0].x += 1e-3),
        ("moment on a body", |c| c.bodies[0].center_of_gravity.y += 1e-6),
        ("tension of a slack member, that of member 2", |c| c.members[2].slack = true),
    ];
    for (what, change) in changes {
        let mut changed = sound.clone();
        change(&mut changed);
        let violation = violation(balanced(&system, &changed));
        assert_eq!((violation.invariant, violation.what.as_str()), (Invariant::Balance, what));
        assert!(violation.beyond() > 0.0);
    }
    let mut short = sound;
    short.members.pop();
    assert!(matches!(balanced(&system, &short), Err(Broken::Refused(Error::Inconsistent { .. }))));
}

#[test]
fn a_state_that_differs_and_a_lift_that_falls_are_told_apart() {
    let tall = Outline { center_of_gravity: [0.1, 0.0, 6.0], ..Outline::ring(4) }.system().unwrap();
    let lost = solve(&tall).unwrap();
    assert!(Closeness::of(&tall, &lost).is_err());
    let Kept::Silent { why } = invariants::turn(&tall, 1.0).unwrap() else { panic!() };
    assert_eq!(why, format!("the balance is {}", lost.state.word()));
}

#[test]
fn closeness_grows_with_what_is_left_and_with_stiffness() {
    let (system, mut certificate) = skid();
    let close = Closeness::of(&system, &certificate).unwrap();
    certificate.residual = 1e-10 * 18_500.0 * 9.8;
    let more = Closeness::of(&system, &certificate).unwrap();
    assert!(more.motion > close.motion && more.tensions[0] > close.tensions[0]);
    assert!(more.tensions.iter().all(|off| *off < 1e-7 * 60e3), "{more:?}");
    certificate.residual = 1e4;
    assert!(Closeness::of(&system, &certificate).unwrap_err().contains("softly"));
    let level = Outline { lengths: vec![4.0, 4.0, 4.0, 4.0], ..Outline::ring(4) };
    let slack = |longer: f64| {
        let mut outline = level.clone();
        outline.lengths[0] += longer;
        let system = outline.system().unwrap();
        let certificate = solve(&system).unwrap();
        Closeness::of(&system, &certificate)
    };
    // Halved to where leg 0 just goes slack.
    let (mut low, mut high) = (0.0, 0.1);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let lengths = vec![4.0 + middle, 4.0, 4.0, 4.0];
        let taut = solve(&Outline { lengths, ..level.clone() }.system().unwrap());
        if taut.unwrap().members[0].slack { high = middle } else { low = middle }
    }
    assert!(slack(high).unwrap_err().contains("between taut and slack"));
    assert!(slack(high + 1e-3).is_ok());
}

/// A rule with a flaw.
#[derive(Debug)]
struct Flawed(fn(&LegSet) -> Result<Vec<f64>, Error>);

impl SharingRule for Flawed {
    fn words(&self) -> Words {
        let source = Source::new("note of the yard", "", "", Standing::Stated);
        Words { name: "flawed".into(), domain: "".into(), source, conservative: true }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        (self.0)(set)
    }
}

fn uneven() -> LegSet {
    Outline { center_of_gravity: [0.2, 0.1, -0.5], ..Outline::ring(4) }.leg_set().unwrap()
}

#[test]
fn a_rule_that_sees_what_it_must_not_see_is_found() {
    let set = uneven();
    let compass = Flawed(|set| Ok(set.legs().iter().map(|leg| set.weight() * leg.point.x.abs()).collect()));
    assert_eq!(violation(rule::turn(&compass, &set, 0.3)).invariant, Invariant::Turn);
    assert!(rule::mirror(&compass, &set).unwrap().compared());
    let handed = Flawed(|set| Ok(set.legs().iter().map(|leg| set.weight() + leg.point.y).collect()));
    assert_eq!(violation(rule::mirror(&handed, &set)).invariant, Invariant::Mirror);
    let first = Flawed(|set| Ok((0..set.legs().len()).map(|leg| set.weight() / (1.0 + leg as f64)).collect()));
    let found = violation(rule::relabel(&first, &set, &[3, 2, 1, 0]));
    assert_eq!((found.invariant, found.place.as_str()), (Invariant::Relabeling, "/legs/0"));
    let squared = Flawed(|set| Ok(vec![set.weight().powi(2); 4]));
    assert_eq!(violation(rule::scale_of_force(&squared, &set, 2.0)).invariant, Invariant::ScaleOfForce);
    let meters = Flawed(|set| Ok(set.legs().iter().map(|leg| set.weight() * leg.length).collect()));
    assert_eq!(violation(rule::scale_of_length(&meters, &set, 2.0)).invariant, Invariant::ScaleOfLength);
    let drawn = Flawed(|set| Ok(vec![set.weight() + set.center_of_gravity().z; 4]));
    let by = glam::DVec3::new(0.0, 0.0, 3.0);
    assert_eq!(violation(rule::shift(&drawn, &set, by)).invariant, Invariant::Shift);
    // A rule that refuses one image of a set refuses all of them.
    let picky = Flawed(|set| {
        let east = set.legs().first().is_some_and(|leg| leg.point.x > 0.0);
        if east {
            Ok(vec![set.weight(); 4])
        } else {
            Err(Error::unsupported("west", rigging_core::error::Place::root()))
        }
    });
    let Difference::Words { expected, .. } = violation(rule::turn(&picky, &set, 3.0)).difference else { panic!() };
    assert_eq!(expected, "forces");
}

#[test]
fn a_rule_that_bears_too_little_is_found() {
    let set = uneven();
    assert!(rule::weight_borne(&EqualShare, &set, Borne::Exactly).unwrap().compared());
    let corners = Outline {
        points: vec![[2.0, 1.0, 0.0], [2.0, -1.0, 0.0], [-2.0, -1.0, 0.0], [-2.0, 1.0, 0.0]],
        center_of_gravity: [0.2, 0.1, -0.5],
        ..Outline::ring(4)
    };
    assert!(rule::weight_borne(&PlanLevers, &corners.leg_set().unwrap(), Borne::Exactly).unwrap().compared());
    assert!(rule::weight_borne(&LegsCounted::two(), &set, Borne::AtLeast).unwrap().compared());
    let sum = violation(rule::weight_borne(&LegsCounted::two(), &set, Borne::Exactly));
    assert!((sum.beyond() / set.weight() - 1.0).abs() < 1e-9);
    let light = Flawed(|set| Ok(vec![0.2 * set.weight(); 4]));
    assert_eq!(violation(rule::weight_borne(&light, &set, Borne::AtLeast)).invariant, Invariant::WeightBorne);
    assert_eq!(violation(rule::claim(&light, &set)).invariant, Invariant::Claim);
    assert!(rule::claim(&LegsCounted::two(), &set).unwrap().compared());
}

#[test]
fn the_edge_of_a_rule_is_silence() {
    // A band that ends where the flattest leg stands.
    let banded = Flawed(|set| {
        let factor = if set.flattest()? <= 0.5_f64.asin() { 1.0 } else { 2.0 };
        Ok(vec![factor * set.weight(); 4])
    });
    let at_the_edge = Outline {
        points: vec![[2.0, 0.0, 0.0], [0.0, 2.0, 0.0], [-2.0, 0.0, 0.0], [0.0, -2.0, 0.0]],
        ..Outline::ring(4)
    };
    let Kept::Silent { why } = rule::turn(&banded, &at_the_edge.leg_set().unwrap(), 0.3).unwrap() else { panic!() };
    assert!(why.contains("rounding"), "{why}");
    let boxed = Outline { center_tolerance: [0.1, 0.0, 0.0], ..Outline::ring(4) }.leg_set().unwrap();
    assert!(!rule::turn(&EqualShare, &boxed, 0.3).unwrap().compared());
    assert!(rule::mirror(&EqualShare, &boxed).unwrap().compared());
}

#[test]
fn factors_out_of_range_are_refused() {
    let system = Outline::ring(4).system().unwrap();
    let refused = |answer: Answer| matches!(answer, Err(Broken::Refused(_)));
    assert!(refused(invariants::more_mass(&system, 0.9)) && refused(invariants::more_mass(&system, f64::NAN)));
    assert!(refused(invariants::scale_of_force(&system, -1.0)) && refused(invariants::relabel(&system, &[0, 0, 1, 2])));
}

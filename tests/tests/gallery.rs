//! The gallery of lifts that look right and are not: what each document shows, by numbers.
//!
//! Forces that a scenario states (origin: independent, two solvers written apart from this library) are anchors; what else is
//! compared are two lifts that differ in one thing.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Verdict};
use rigging_core::demand::ElasticAtVertices;
use rigging_core::equilibrium::State;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{Determinate, Elastic, LegSet, LegsCounted, SharingRule, Skewed, share};
use rigging_core::source::{Source, Standing};
use rigging_core::system::Masses;
use serde_json::{Value, json};
use std::sync::Arc;

/// Half of the last printed digit of a force in kN, in N.
const PRINTED: f64 = 50.0;
/// Half of the last printed digit of a ratio.
const RATIO: f64 = 0.005;
const GRAVITY: f64 = 9.806_65;

/// Every document of the gallery, and what the assessment says of it.
const GALLERY: [(&str, Verdict); 7] = [
    ("a-little-more-mass", Verdict::Pass),
    ("below-the-hook-and-over", Verdict::Fail),
    ("matched-by-range", Verdict::Fail),
    ("one-more-leg", Verdict::Fail),
    ("skew-from-steel", Verdict::CannotConclude),
    ("stronger-sling-overloads-another", Verdict::Fail),
    ("two-legs-no-bound", Verdict::Fail),
];

fn document(name: &str) -> Value {
    patching::demo(&format!("gallery/{name}"))
}

fn lift(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap()
}

fn assess(document: &Value) -> Assessment {
    lift(document).assess(&RuleSet::built_in("us-general").unwrap()).unwrap()
}

fn governing(document: &Value) -> (Verdict, String) {
    let assessment = assess(document);
    (assessment.verdict, assessment.governing().unwrap().item.to_string())
}

fn by(rule: &dyn SharingRule, document: &Value) -> Vec<f64> {
    let lift = lift(document);
    share(rule, &LegSet::of(&lift, Masses::stated(&lift).unwrap()).unwrap()).unwrap()
}

fn largest(forces: &[f64]) -> f64 {
    forces.iter().copied().fold(0.0, f64::max)
}

#[test]
fn every_document_is_listed_and_loads() {
    let directory = patching::file("rigging-core/examples/lifts/gallery");
    let mut files: Vec<String> = std::fs::read_dir(directory)
        .unwrap()
        .map(|entry| entry.unwrap().path().file_stem().unwrap().to_str().unwrap().to_owned())
        .collect();
    files.sort();
    assert_eq!(files, GALLERY.map(|(name, _)| name));
    for (name, verdict) in GALLERY {
        assert_eq!(assess(&document(name)).verdict, verdict, "{name}");
    }
    println!("{} documents run, 0 skipped", GALLERY.len());
}

/// Two equal legs are no bound where the center of gravity is off the middle.
#[test]
fn two_legs_are_no_bound() {
    let document = document("two-legs-no-bound");
    let lift = lift(&document);
    let set = LegSet::of(&lift, Masses::stated(&lift).unwrap()).unwrap();
    let rated = 10_500.0 * GRAVITY;
    // At the mean angle and at the angles as drawn of the loaded side the slings are large enough by rule.
    let stated = share(&LegsCounted::two(), &set.clone().with_angle(27.5_f64.to_radians()).unwrap()).unwrap();
    assert_abs_diff_eq!(stated[1], 102.3e3, epsilon = PRINTED);
    let drawn = share(&LegsCounted::two(), &set).unwrap();
    assert!(stated[1] < rated && drawn[1] < rated);
    let worst = share(&ElasticAtVertices, &set).unwrap();
    assert_abs_diff_eq!(worst[1], 116.5e3, epsilon = PRINTED);
    assert!(worst[1] > rated);
    assert_eq!(governing(&document), (Verdict::Fail, "roundsling B".into()));
}

/// A stronger sling is stiffer, takes more of the load, and takes the sling across from it along.
#[test]
fn a_stronger_sling_overloads_another() {
    let stronger = document("stronger-sling-overloads-another");
    let mut alike = stronger.clone();
    for key in ["strength", "stiffness"] {
        let other = stronger.pointer(&format!("/slings/2/{key}")).unwrap().clone();
        patching::set(&mut alike, &format!("/slings/3/{key}"), other);
    }
    patching::set(&mut alike, "/slings/3/tag/wll", json!("12 t"));
    let (before, after) = (by(&ElasticAtVertices, &alike), by(&ElasticAtVertices, &stronger));
    // Origin of the anchor: the scenario's skid with the box of its center of gravity.
    assert_abs_diff_eq!(before[1], 103.65e3, epsilon = 5.0);
    assert!(after[1] > 1.1 * before[1] && after[3] > 1.1 * before[3]);
    assert_eq!(governing(&alike).0, Verdict::Pass);
    assert_eq!(governing(&stronger), (Verdict::Fail, "roundsling B".into()));
}

/// Three legs are determinate; a fourth brings a state of self-stress, and its tolerance becomes force.
#[test]
fn one_more_leg_hurts() {
    let four = document("one-more-leg");
    let mut three = four.clone();
    for list in ["/legs", "/slings", "/fittings"] {
        three.pointer_mut(list).unwrap().as_array_mut().unwrap().pop();
    }
    let (with, without) = (by(&ElasticAtVertices, &four), by(&ElasticAtVertices, &three));
    // Without a leg there is nothing to match: the nominal forces are those of statics alone, to the stretch.
    for (elastic, statics) in by(&Elastic, &three).iter().zip(by(&Determinate, &three)) {
        assert_relative_eq!(*elastic, statics, max_relative = 0.03);
    }
    let rated = 10_500.0 * GRAVITY;
    assert!(largest(&with) > rated && largest(&without) < 0.95 * rated, "{with:?} {without:?}");
    assert_eq!(governing(&three).0, Verdict::Pass);
    assert_eq!(governing(&four), (Verdict::Fail, "roundsling F".into()));
}

/// Two percent more mass, and the load turns over; with slings as much stiffer it hangs as before.
#[test]
fn a_little_more_mass_topples() {
    let plain = document("a-little-more-mass");
    let state = |mass: &str, ea: &str| {
        let mut document = plain.clone();
        patching::set(&mut document, "/load/mass/value", json!(mass));
        for sling in 0..4 {
            patching::set(&mut document, &format!("/slings/{sling}/stiffness/law/ea"), json!(ea));
        }
        let certificate = lift(&document).solve().unwrap();
        (certificate.state, certificate.bodies[0].tilt)
    };
    let (stated, tilt) = state("18.5 t", "6.0 MN");
    assert_eq!(stated, State::Stable);
    assert_eq!(state("18.87 t", "6.0 MN").0, State::Lost);
    let (stiffer, same) = state("18.87 t", "6.12 MN");
    assert_eq!(stiffer, State::Stable);
    // Near the end of a branch the tilt is soft: rounding of the numbers entered shows in it.
    assert_abs_diff_eq!(same, tilt, epsilon = 1e-8);
}

/// A center of gravity below the hook is no proof that the load hangs.
#[test]
fn below_the_hook_and_over() {
    let document = document("below-the-hook-and-over");
    assert_eq!(lift(&document).solve().unwrap().state, State::Lost);
    // The hook stands about 5.3 m above the lugs where the load hangs, and so would be far above this center of gravity.
    let mut low = document.clone();
    patching::set(&mut low, "/load/center_of_gravity/position/2", json!("0.90 m"));
    let certificate = lift(&low).solve().unwrap();
    assert_eq!(certificate.state, State::Stable);
    assert!(certificate.bodies[0].hook_in_body.z > 5.2 && certificate.bodies[0].hook_in_body.z < 5.5);
    // As high as the scenario still finds it upright, with its smallest leg at about 1 kN.
    patching::set(&mut low, "/load/center_of_gravity/position/2", json!("3.25 m"));
    let certificate = lift(&low).solve().unwrap();
    assert_eq!(certificate.state, State::Stable);
    let least = certificate.members.iter().map(|leg| leg.tension).fold(f64::INFINITY, f64::min);
    assert!(least > 0.0 && least < 2e3, "{least}");
}

/// The same four slings, hung in another order, share the load: what must match is the state of self-stress.
#[test]
fn matched_by_range_is_not_matched() {
    let across = document("matched-by-range");
    let mut beside = across.clone();
    let length = |index: usize| across.pointer(&format!("/slings/{index}/length/value")).unwrap().clone();
    patching::set(&mut beside, "/slings/1/length/value", length(2));
    patching::set(&mut beside, "/slings/2/length/value", length(1));
    let mut equal = across.clone();
    for sling in 0..4 {
        patching::set(&mut equal, &format!("/slings/{sling}/length/value"), json!("6.000 m"));
    }
    let [across_n, beside_n, equal_n] = [&across, &beside, &equal].map(|document| by(&Elastic, document));
    let most = |forces: &[f64]| {
        forces.iter().zip(&equal_n).map(|(force, equal)| (force / equal - 1.0).abs()).fold(0.0, f64::max)
    };
    assert!(most(&across_n) > 0.4 && most(&beside_n) < 0.1, "{across_n:?} {beside_n:?} {equal_n:?}");
    assert_eq!(governing(&across), (Verdict::Fail, "roundsling B".into()));
    assert_eq!(governing(&beside).0, Verdict::Pass);
}

/// A skew factor for steel does not hold for slings that stretch so little over such a tolerance.
#[test]
fn a_skew_factor_taken_from_steel_falls_short() {
    let document = document("skew-from-steel");
    let (nominal, worst) = (by(&Elastic, &document), by(&ElasticAtVertices, &document));
    let source = Source::new("0027/ND", "5.6.12", "Rev 11.2, 2016, superseded", Standing::Document);
    let domain = "four slings in matched pairs of single-laid steel wire rope";
    let skewed = by(&Skewed::new(Arc::new(Elastic), 1.25, domain, source).unwrap(), &document);
    for ((nominal, worst), skewed) in nominal.iter().zip(&worst).zip(skewed) {
        assert_abs_diff_eq!(*nominal, 161.6e3, epsilon = PRINTED);
        assert_abs_diff_eq!(worst / nominal, 1.81, epsilon = RATIO);
        assert!(skewed < 0.7 * worst);
    }
}

//! Sharing rules: the skid of the examples under every rule, published figures, statics against the solver, refusals.
//!
//! Origin of the skid's figures: independent, two solvers written apart from this library; here each is found once more by a
//! third way (forces of a rule from the sum of their vertical parts, elastic ones by Newton's method on the position of the hook).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod bounds;
mod own;
#[path = "../support/patching.rs"]
mod patching;
mod properties;
mod published;
mod refusals;
mod ruled_leg_factor;
mod ruled_skew;
mod skid;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use glam::{DMat3, DQuat, DVec3};
use rigging_core::arrangement::Lift;
use rigging_core::demand::{Asks, ByRule, Comparison, ElasticAtVertices, ElasticBounds, Ruled, compare};
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::Error;
use rigging_core::kit::invariants::{self, Kept};
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{
    Determinate, Elastic, EqualShare, LegFactors, LegSet, LegsCounted, PlanLevers, SetTolerances, SharingRule, Skewed,
    StatedAngle, Words, built_in, share,
};
use rigging_core::source::{Source, Standing};
use rigging_core::system::{Body, End, Hook, Law, Masses, Member, System};
use serde_json::{Value, json};
use std::sync::Arc;

const GRAVITY: f64 = 9.806_65;

/// Half of the last printed digit of a force in kN, in N.
const PRINTED: f64 = 50.0;

/// Half of a percent, the last printed digit of a shortfall.
const PERCENT: f64 = 0.005;

/// The angle from vertical at which the skid's rules are stated.
const ANGLE: f64 = 27.5;

/// The skid without its box of the center of gravity.
fn skid_lift(name: &str) -> Lift {
    let mut document = patching::demo(name);
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    Lift::from_json(&document.to_string()).unwrap()
}

fn set_of(lift: &Lift) -> LegSet {
    LegSet::of(lift, Masses::stated(lift).unwrap()).unwrap()
}

/// A load at `points` on legs of `lengths`, all of one stiffness, center of gravity at `center`.
fn hung(points: &[DVec3], lengths: &[f64], center: DVec3, weight: f64, ea: f64) -> LegSet {
    let body = Body {
        mass: weight / GRAVITY,
        center_of_gravity: center,
        points: points.to_vec(),
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let member = |(point, length): (usize, &f64)| Member {
        a: End::Hook(0),
        b: End::Body { body: 0, point },
        length: *length,
        law: Law::linear(ea).unwrap(),
    };
    let members = lengths.iter().enumerate().map(member).collect();
    let hook = Hook { position: center + DVec3::Z * 10.0 };
    LegSet::of_system(&System::new(GRAVITY, vec![hook], vec![], vec![body], members).unwrap()).unwrap()
}

fn speaks(comparison: &Comparison, name: &str) -> (Vec<f64>, f64, String) {
    let compared = comparison.rules.iter().find(|compared| compared.rule.name.as_str() == name);
    match &compared.unwrap_or_else(|| panic!("{name}")).answer {
        Ruled::Speaks { forces, shortest, .. } => (forces.clone(), shortest.share, shortest.leg.clone()),
        Ruled::Refuses { why, .. } => panic!("{name}: {why}"),
    }
}

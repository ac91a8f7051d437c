//! Invariants over lifts that were drawn: what a property test of one's own looks like.

use super::*;
use glam::{DQuat, DVec3};
use proptest::test_runner::TestCaseError;
use rigging_core::arrangement::Lift;
use rigging_core::demand::ElasticAtVertices;
use rigging_core::error::Error;
use rigging_core::kit::invariants::rule::{self, Borne};
use rigging_core::kit::invariants::{self, Answer, RatedItems, image};
use rigging_core::kit::{Outline, strategies};
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{EqualShare, LegsCounted, PlanLevers, SharingRule, built_in};
use rigging_core::system::System;
use std::cell::Cell;

/// The largest tolerance, over the largest tension, that means something.
const MEANS_SOMETHING: f64 = 1e-6;

/// How many answers compared something, and how loosely.
#[derive(Default)]
struct Tally {
    asked: Cell<usize>,
    compared: Cell<usize>,
    loosest: Cell<f64>,
}

impl Tally {
    fn keep(&self, answer: Answer) -> Result<(), TestCaseError> {
        let kept = answer.map_err(|broken| TestCaseError::fail(broken.to_string()))?;
        self.asked.set(self.asked.get() + 1);
        if let Some(tolerance) = kept.tolerance() {
            self.compared.set(self.compared.get() + 1);
            self.loosest.set(self.loosest.get().max(tolerance));
        }
        Ok(())
    }

    fn tell(&self, what: &str, least: f64) {
        let (asked, compared, loosest) = (self.asked.get(), self.compared.get(), self.loosest.get());
        println!("{what}: {compared} of {asked} compared, tolerance {loosest:e} at most");
        assert!(compared as f64 >= least * asked as f64, "{what}: {compared} of {asked}");
        assert!(loosest <= MEANS_SOMETHING, "{what}: {loosest:e}");
    }
}

fn of_systems(tally: &Tally, system: &System, turn: f64) -> Result<(), TestCaseError> {
    let order: Vec<usize> = (0..system.members().len()).rev().collect();
    let axis = DQuat::from_axis_angle(DVec3::new(0.6, -0.48, 0.64), turn);
    let refused = |error: Error| TestCaseError::fail(error.to_string());
    tally.keep(invariants::balance(system))?;
    tally.keep(invariants::turn(system, turn))?;
    tally.keep(invariants::shift(system, DVec3::new(turn, -2.0, 1.0)))?;
    tally.keep(invariants::frame(system, axis))?;
    tally.keep(invariants::mirror(&image::reframed(system, axis).map_err(refused)?))?;
    tally.keep(invariants::relabel(system, &order))?;
    tally.keep(invariants::scale_of_force(system, 0.3))?;
    tally.keep(invariants::scale_of_length(system, 1.7))
}

#[test]
fn balances_of_outlines_keep_their_invariants() {
    let tally = Tally::default();
    let outcome = runner(300).run(&(strategies::outlines(), 0.0..6.3_f64), |(outline, turn)| {
        of_systems(&tally, &outline.system().unwrap(), turn)
    });
    outcome.unwrap();
    tally.tell("outlines", 0.8);
}

#[test]
fn more_mass_hangs_lower_and_strains_more() {
    let tally = Tally::default();
    for outline in drawn(&strategies::ring(), 400) {
        tally.keep(invariants::more_mass(&outline.system().unwrap(), 1.2)).unwrap();
    }
    tally.tell("more mass", 0.3);
}

#[test]
fn balances_of_sketches_keep_their_invariants() {
    for (name, tally, drawn) in [
        ("tandem", Tally::default(), drawn(&strategies::tandem(), 60)),
        ("tier", Tally::default(), drawn(&strategies::tier(), 60)),
    ] {
        for sketch in drawn {
            let lift = Lift::from_json(&sketch.document()).unwrap();
            of_systems(&tally, lift.hang().unwrap().model(), 1.0).unwrap();
        }
        tally.tell(name, 0.6);
    }
}

#[test]
fn rows_of_a_batch_are_the_lifts_alone() {
    let rows: Vec<System> = drawn(&strategies::skid(), 400).iter().map(|outline| outline.system().unwrap()).collect();
    let kept = invariants::batch_rows(&rows).unwrap();
    assert_eq!(kept.tolerance(), Some(0.0));
}

#[test]
fn documents_survive() {
    let tally = Tally::default();
    for geared in drawn(&strategies::geared(), 300) {
        let lift = Lift::from_json(&geared.document()).unwrap();
        tally.keep(invariants::round_trip(&lift)).unwrap();
        tally.keep(invariants::units(&lift)).unwrap();
    }
    tally.tell("documents", 1.0);
}

#[test]
fn more_strength_never_worsens_a_verdict() {
    let tally = Tally::default();
    let rules = RuleSet::built_in("us-general").unwrap();
    for geared in drawn(&strategies::geared(), 60) {
        let lift = Lift::from_json(&geared.document()).unwrap();
        tally.keep(invariants::more_strength(&lift, &rules, RatedItems::All, 1.4)).unwrap();
        tally.keep(invariants::more_strength(&lift, &rules, RatedItems::Slings, 3.0)).unwrap();
    }
    tally.tell("strength", 1.0);
}

#[test]
fn the_built_in_rules_do_not_see_what_they_must_not_see() {
    let mut rules = built_in().unwrap();
    rules.push(Box::new(ElasticAtVertices));
    for rule in &rules {
        let (rule, tally): (&dyn SharingRule, _) = (rule.as_ref(), Tally::default());
        let few = |outline: &Outline| outline.points.len() <= 4;
        for outline in drawn(&strategies::outlines(), 120).iter().filter(|outline| few(outline)) {
            let set = Outline { center_tolerance: [0.0; 3], ..outline.clone() }.leg_set().unwrap();
            // One order goes round the other way; one makes neighbors of what lay across.
            let reversed: Vec<usize> = (0..set.legs().len()).rev().collect();
            let mut crossed: Vec<usize> = (0..set.legs().len()).collect();
            if crossed.len() > 1 {
                crossed.swap(0, 1);
            }
            tally.keep(rule::turn(rule, &set, 0.4)).unwrap();
            tally.keep(rule::mirror(rule, &set)).unwrap();
            tally.keep(rule::relabel(rule, &set, &reversed)).unwrap();
            tally.keep(rule::relabel(rule, &set, &crossed)).unwrap();
            tally.keep(rule::scale_of_force(rule, &set, 2.0)).unwrap();
        }
        tally.tell(rule.words().name.as_str(), 0.7);
    }
}

#[test]
fn rules_of_the_drawn_angles_bear_the_weight() {
    let tally = Tally::default();
    let outcome = runner(300).run(&strategies::skid(), |outline| {
        let set = outline.leg_set().unwrap();
        tally.keep(rule::weight_borne(&EqualShare, &set, Borne::Exactly))?;
        tally.keep(rule::weight_borne(&PlanLevers, &set, Borne::Exactly))?;
        tally.keep(rule::weight_borne(&LegsCounted::two(), &set, Borne::AtLeast))
    });
    outcome.unwrap();
    tally.tell("weight borne", 0.9);
}

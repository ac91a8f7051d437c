//! Slings that pass over something: whether they lie where they were laid.

use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::demand::Demand;
use crate::equilibrium::running::Sliding;
use crate::source::Source;

/// One finding for each leg that passes over stations. Friction is credited with its least coefficient, never with a mean.
pub(super) fn compare(lift: &Lift, demand: &Demand) -> Vec<Finding> {
    let source = Source::mechanics("capstan relation, at every vertex of the tolerances");
    let legs = lift.legs().zip(&demand.moving.legs);
    let findings = legs.filter_map(|(leg, extremes)| {
        let (verdict, text) = match extremes.sliding? {
            Sliding::Free => {
                (Verdict::Pass, "the sling runs freely: both sides of everything that it passes over pull alike")
            }
            Sliding::Holds if demand.moving.by_friction => (
                Verdict::Pass,
                "the least friction holds the sling where it is drawn; without friction the load would turn over",
            ),
            Sliding::Holds => (Verdict::Pass, "the least friction holds the sling where it is drawn"),
            Sliding::MaySlide => (Verdict::Fail, "with its least friction the sling slides over what it passes"),
            Sliding::Slides => (Verdict::Fail, "even with its greatest friction the sling slides over what it passes"),
            Sliding::Unknown => (Verdict::CannotConclude, "nothing is known of the friction on the sling"),
        };
        let place = leg.place().child("path");
        Some(Finding::new(Code::Sliding, verdict, &leg.leg.name, place, text).after(source.clone()))
    });
    findings.collect()
}

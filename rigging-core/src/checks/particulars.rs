//! Particulars that no formula uses and without which a figure stands for nothing: who says so, and in which state.

use super::{Code, Finding, MissingInput};
use crate::arrangement::Lift;
use crate::error::Place;
use crate::text::Text;

/// Asks for the source of the center of gravity, and for source and state of every stiffness: fiber that is new and
/// fiber that is bedded in differ by a factor of two and more, and with them the share of each leg.
pub(super) fn compare(lift: &Lift) -> Vec<Finding> {
    let document = lift.document();
    let root = Place::root();
    let mut findings = Vec::new();
    let mut lacking = |item: &Text, what: String, add: &'static str, place: Place| {
        findings.push(Finding::lacking(Code::Equilibrium, item, MissingInput::new(what, add, place)));
    };
    let center = &document.load.center_of_gravity;
    if !center.position.is_unknown() && center.source.is_unknown() {
        let what = "the weighing or drawing that states the center of gravity".to_owned();
        let place = root.child("load").child("center_of_gravity").child("source");
        lacking(&document.load.name, what, "\"source\": \"…\"", place);
    }
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        let Some(stiffness) = sling.stiffness.value() else { continue };
        let place = || root.child("slings").child(index).child("stiffness");
        if stiffness.condition.is_unknown() {
            let what = format!("the state in which the stiffness of \"{}\" was measured", sling.name);
            let add = "\"condition\": \"bedded\" (or \"new\", \"dynamic\")";
            lacking(&sling.name, what, add, place().child("condition"));
        }
        if stiffness.source.is_unknown() {
            let what = format!("the data sheet or test that states the stiffness of \"{}\"", sling.name);
            lacking(&sling.name, what, "\"source\": \"…\"", place().child("source"));
        }
    }
    findings
}

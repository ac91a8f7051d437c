//! Inputs that are accepted and not used yet. Each is listed; one that could make the result worse prevents a pass.

use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::error::Place;
use crate::text::Text;

/// Lists what the document states and no calculation uses.
pub(super) fn compare(lift: &Lift) -> Vec<Finding> {
    let document = lift.document();
    let root = Place::root();
    let mut findings = Vec::new();
    let mut add = |place: Place, item: &Text, text: &str, worsens: bool| {
        let verdict = if worsens { Verdict::CannotConclude } else { Verdict::NotCovered };
        let text = format!("not considered: {text}");
        findings.push(Finding::new(Code::NotConsidered, verdict, item, place, text));
    };
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = root.child("hooks").child(index);
        if !hook.mass.is_unknown() {
            add(
                place.child("mass"),
                &hook.name,
                "the mass of hook and block hangs on the crane, not on the hook",
                false,
            );
        }
        if !hook.position.is_unknown() && document.hooks.len() == 1 {
            let text = "the position of a single hook: it follows the center of gravity";
            add(place.child("position"), &hook.name, text, false);
        }
    }
    for (index, cover) in document.covers.iter().enumerate() {
        let text = "what the cover may bear, and what its thickness does to length and fit";
        add(root.child("covers").child(index), &cover.name, text, false);
    }
    for leg in lift.legs() {
        for (number, contact) in leg.leg.contacts.value().into_iter().flatten().enumerate() {
            let place = leg.place().child("contacts").child(number);
            if !contact.wrap.is_unknown() {
                let text = "what turning round the edge does to strength, pressure and sliding";
                add(place.child("wrap"), &contact.name, text, true);
            }
        }
    }
    findings
}

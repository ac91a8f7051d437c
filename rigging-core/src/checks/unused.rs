//! Inputs that are accepted and not used yet. Each is listed; one that could make the result worse prevents a pass.

use super::{Code, Finding, Verdict};
use crate::arrangement::{Anchor, CapacityBasis, Lift};
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
        // In a gross capacity it counts; where nobody says, the check of the hook asks.
        if !hook.mass.is_unknown() && hook.capacity_basis.value().is_some_and(|basis| *basis != CapacityBasis::Gross) {
            add(place.child("mass"), &hook.name, "the mass of hook and block: the rating is net of it", false);
        }
        if !hook.position.is_unknown() && document.hooks.len() == 1 {
            let text = "the position of a single hook: it follows the center of gravity";
            add(place.child("position"), &hook.name, text, false);
        }
    }
    if document.hooks.len() != 2 && !document.operation.vessels.is_unknown() {
        let text = "how many vessels there are, which rules ask of two hooks";
        add(root.child("operation").child("vessels"), &document.name, text, false);
    }
    let circumstances = root.child("operation").child("circumstances");
    let stated = &document.operation.circumstances;
    if stated.travel_with_load.value() == Some(&true) {
        let text = "what traveling with the load does to it: a dynamic factor for hoisting need not hold";
        add(circumstances.child("travel_with_load"), &document.name, text, true);
    }
    if stated.center_of_gravity_can_move.value() == Some(&true) {
        let text = "a center of gravity that moves during the lift, beyond the tolerance that is stated of it";
        add(circumstances.child("center_of_gravity_can_move"), &document.name, text, false);
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
    findings.extend(spare(lift));
    findings
}

/// Slings, fittings and lift points of the load that no leg leads to: a leg may have been forgotten.
fn spare(lift: &Lift) -> Vec<Finding> {
    let document = lift.document();
    let mut slings = vec![false; document.slings.len()];
    let mut fittings = vec![false; document.fittings.len()];
    let mut points = vec![false; document.load.lift_points.len()];
    let mark = |used: &mut Vec<bool>, index: usize| {
        if let Some(used) = used.get_mut(index) {
            *used = true;
        }
    };
    for leg in lift.legs() {
        leg.slings().for_each(|(index, _)| mark(&mut slings, index));
        leg.fittings().for_each(|(index, _)| mark(&mut fittings, index));
        for station in &leg.links.stations {
            if let Anchor::LiftPoint(index) = station {
                mark(&mut points, *index);
            }
        }
    }
    lift.collectors().for_each(|(_, index, _)| mark(&mut fittings, index));
    let root = Place::root();
    let told = |name: &Text, place: Place, what: &str| {
        let text = format!("not considered: {what}");
        Finding::new(Code::NotConsidered, Verdict::NotCovered, name, place, text)
    };
    let unused = |used: Vec<bool>| used.into_iter().enumerate().filter(|(_, used)| !used).map(|(index, _)| index);
    let slings = unused(slings).filter_map(|index| {
        Some(told(&document.slings.get(index)?.name, root.child("slings").child(index), "no leg uses this sling"))
    });
    let fittings = unused(fittings).filter_map(|index| {
        let place = root.child("fittings").child(index);
        Some(told(&document.fittings.get(index)?.name, place, "no leg leads to this fitting"))
    });
    let points = unused(points).filter_map(|index| {
        let place = root.child("load").child("lift_points").child(index);
        Some(told(&document.load.lift_points.get(index)?.name, place, "no leg leads to this lift point"))
    });
    slings.chain(fittings).chain(points).collect()
}

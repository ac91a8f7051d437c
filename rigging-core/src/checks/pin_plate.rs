//! Plates round the holes of lift points, by the equations of the rule set.

use super::strength::held_against;
use super::{Code, Finding, Stance, Verdict};
use crate::arrangement::{Anchor, Item, LegView, Lift, LiftPoint};
use crate::capacity;
use crate::demand::{Asked, Asks};
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::text::Text;

/// Checks every plate that the document describes and that a leg pulls on, at an end or where it passes over.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, demand: &dyn Asks) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    let shared = demand.places();
    let mut seen: Vec<Anchor> = Vec::new();
    for leg in lift.legs() {
        for anchor in leg.links.stations.iter().copied() {
            if lift.point(anchor).is_none_or(|point| point.pin_plate.is_unknown()) || seen.contains(&anchor) {
                continue;
            }
            let Some((point, place)) = lift.point_and_place(anchor) else { continue };
            seen.push(anchor);
            let asked = if shared.contains(&anchor) {
                demand.place(anchor, &point.name)
            } else {
                Some(demand.leg(leg.index, &leg.leg.name, false)?)
            };
            if let Some(asked) = asked {
                findings.extend(plate(lift, anchor, point, &place, &asked, rules)?);
            }
        }
    }
    Ok(findings)
}

fn plate(
    lift: &Lift,
    anchor: Anchor,
    point: &LiftPoint,
    place: &Place,
    asked: &Asked,
    rules: &RuleSet,
) -> Result<Vec<Finding>, Error> {
    let limits = capacity::rate_pin_plate(lift, point, pin(lift, anchor), rules, place)?;
    if limits.is_empty() {
        let text = "the rule set says nothing of plates round a pin; what is stated of this one is not used";
        let place = place.child("pin_plate");
        let finding = Finding::new(Code::PinPlate, Verdict::NotCovered, &point.name, place, text);
        return Ok(vec![finding.standing(Some(Stance::Silent))]);
    }
    let findings = limits.into_iter().map(|(question, rated)| {
        let item = Text::from([&*point.name, ", ", question.name()]);
        held_against(Code::PinPlate, &item, place.child("pin_plate"), asked.clone(), rated.map(Some))
    });
    findings.collect()
}

/// Diameter of the thinnest pin in the hole, in meters: of the fitting that collects the legs there, else of those at the ends
/// of the legs.
pub(super) fn pin(lift: &Lift, anchor: Anchor) -> Result<f64, Error> {
    let document = lift.document();
    let collecting = lift.collectors().find(|(at, ..)| *at == anchor).map(|(_, index, _)| index);
    let fittings: Vec<usize> = match collecting {
        Some(index) => vec![index],
        None => lift.legs().filter_map(|leg| at_end(&leg, anchor)).collect(),
    };
    let mut thinnest: Option<f64> = None;
    for index in fittings {
        let Some(fitting) = document.fittings.get(index) else { continue };
        let place = || Place::root().child("fittings").child(index).child("pin_diameter");
        let what = format_args!("the diameter of the pin of \"{}\"", fitting.name);
        let diameter = fitting.pin_diameter.required(what, "\"pin_diameter\": \"… mm\"", place)?.si();
        thinnest = Some(thinnest.map_or(diameter, |least| least.min(diameter)));
    }
    thinnest.ok_or_else(|| {
        let place = lift.point_and_place(anchor).map_or_else(Place::root, |(_, place)| place);
        Error::unsupported("a plate in whose hole no fitting with a pin is named", place.child("pin_plate"))
    })
}

/// The fitting of a leg that stands at an anchor.
pub(super) fn at_end(leg: &LegView<'_>, anchor: Anchor) -> Option<usize> {
    let item = match leg.links.ends.as_slice() {
        [first, ..] if *first == anchor => leg.links.items.first(),
        [_, last] if *last == anchor => leg.links.items.last(),
        _ => None,
    };
    match item {
        Some(Item::Fitting(index)) => Some(*index),
        _ => None,
    }
}

//! Strength of everything in the load path: slings, fittings, lift points, hooks.

use super::{Code, Finding};
use crate::arrangement::{Anchor, Lift};
use crate::capacity::{self, Capacity, Motion};
use crate::chain::Chain;
use crate::contact;
use crate::demand::Demand;
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::text::Text;
use std::sync::Arc;

/// Checks every item in the load path.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let root = Place::root();
    let mut findings = Vec::new();
    for (leg, (moving, at_rest)) in lift.legs().zip(demand.moving.legs.iter().zip(&demand.extremes_at_rest().legs)) {
        // One chain a leg, shared by everything along it.
        let asked_moving = Arc::new(demand.leg(moving, &leg.leg.name, false));
        for (index, sling) in leg.slings() {
            let place = root.child("slings").child(index);
            let bends = contact::bends(lift, &leg, index);
            let rated = capacity::rate_sling(sling, index, &leg.leg.hitch, &bends, rules);
            findings.push(held_against(Code::SlingStrength, &sling.name, place, asked_moving.clone(), rated)?);
        }
        for (index, fitting) in leg.fittings() {
            let place = root.child("fittings").child(index);
            let limits = capacity::rate_fitting(fitting, index, demand.weight.dynamic.as_ref(), rules);
            let asked = |motion| match motion {
                Motion::Moving => asked_moving.clone(),
                Motion::AtRest => demand.leg(at_rest, &leg.leg.name, true).into(),
            };
            match limits {
                Ok(limits) if limits.is_empty() => {
                    let asked = asked(Motion::Moving);
                    findings.push(held_against(Code::FittingStrength, &fitting.name, place, asked, Ok(None))?);
                }
                Ok(limits) => {
                    for (motion, limit) in limits {
                        let (code, place) = (Code::FittingStrength, place.clone());
                        findings.push(held_against(code, &fitting.name, place, asked(motion), Ok(Some(limit)))?);
                    }
                }
                Err(error) => findings.push(Finding::from_error(Code::FittingStrength, &fitting.name, error)?),
            }
        }
        for end in &leg.links.ends {
            // Where several legs meet, the point bears their resultant.
            if demand.moving.at(*end).is_none()
                && let Some((point, place)) = lift.point_and_place(*end)
            {
                let rated = capacity::rate_marked(&point.name, &point.rating, &place);
                findings.push(held_against(Code::LiftPointStrength, &point.name, place, asked_moving.clone(), rated)?);
            }
        }
    }
    findings.extend(shared_points(lift, demand)?);
    findings.extend(spreaders(lift, demand)?);
    findings.extend(hooks(lift, demand)?);
    Ok(findings)
}

/// Points at which several legs meet, and what a leg passes over.
fn shared_points(lift: &Lift, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    for extremes in &demand.moving.places {
        if let Some((name, place)) = bare(lift, extremes.anchor) {
            // In the load path, and no rating says what it may bear.
            let what = format!("what the load may bear at {name}: name the place as a lift point with its rating");
            let missing = Error::missing(what, "\"station\": \"…\"", place.child("station"));
            let finding = Finding::from_error(Code::LiftPointStrength, &name, missing)?;
            findings.push(Finding { demand: Some(demand.place(extremes, &name).into()), ..finding });
            continue;
        }
        let Some((point, place)) = lift.point_and_place(extremes.anchor) else { continue };
        let rated = capacity::rate_marked(&point.name, &point.rating, &place);
        let asked = demand.place(extremes, &point.name);
        findings.push(held_against(Code::LiftPointStrength, &point.name, place, asked.into(), rated)?);
    }
    Ok(findings)
}

/// The name of a place on the load that is no lift point, and where it stands in the document.
fn bare(lift: &Lift, anchor: Anchor) -> Option<(Text, Place)> {
    lift.legs().find_map(|leg| {
        let index = leg.links.stations.iter().position(|station| *station == anchor)?;
        let place = leg.place().child("path").child(index).child("over");
        matches!(anchor, Anchor::Place(_)).then(|| (leg.station_name(index), place))
    })
}

/// Compression of spreaders against what they are rated for. Their bending and buckling are the maker's.
fn spreaders(lift: &Lift, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let spreaders = lift.document().spreaders.iter().zip(&demand.moving.spreaders).enumerate();
    let findings = spreaders.map(|(index, (spreader, extremes))| {
        let place = Place::root().child("spreaders").child(index);
        let rated = capacity::rate_marked(&spreader.name, &spreader.rating, &place);
        let asked = demand.compression(extremes, &spreader.name);
        held_against(Code::SpreaderCompression, &spreader.name, place, asked.into(), rated)
    });
    findings.collect()
}

fn hooks(lift: &Lift, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let hooks = document.hooks.iter().enumerate().map(|(index, hook)| {
        let place = Place::root().child("hooks").child(index);
        match demand.hook(lift, index, &hook.name, gravity) {
            Ok(asked) => {
                let rated = capacity::rate_marked(&hook.name, &hook.rating, &place);
                held_against(Code::HookLoad, &hook.name, place, asked.into(), rated)
            }
            Err(error) => Finding::from_error(Code::HookLoad, &hook.name, error),
        }
    });
    hooks.collect()
}

fn held_against(
    code: Code,
    item: &Text,
    place: Place,
    asked: Arc<Chain>,
    rated: Result<Option<Capacity>, Error>,
) -> Result<Finding, Error> {
    match rated {
        Ok(Some(Capacity { chain, rule })) => {
            let finding = Finding::compared(code, item, place, asked, chain);
            Ok(match rule {
                Some(rule) => finding.after(rule),
                None => finding,
            })
        }
        // In the load path, and neither a rule nor a marking says what it may bear.
        Ok(None) => {
            let (key, what) = match code {
                Code::SlingStrength => {
                    ("strength", format!("what {item} may bear: a marked rating, or a rule that gives one,"))
                }
                _ => ("rating", format!("what {item} may bear: its marked rating")),
            };
            let missing = Error::missing(what, "\"wll\": \"… t\"", place.child(key).child("wll"));
            let finding = Finding::from_error(code, item, missing)?;
            Ok(Finding { demand: Some(asked), ..finding })
        }
        Err(error) => {
            let finding = Finding::from_error(code, item, error)?;
            Ok(Finding { demand: Some(asked), ..finding })
        }
    }
}

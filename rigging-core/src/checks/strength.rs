//! Strength of everything in the load path: slings, fittings, lift points, hooks.

use super::{Code, Finding, Verdict};
use crate::arrangement::{Anchor, Lift};
use crate::capacity::{self, Capacity, Motion};
use crate::chain::Chain;
use crate::contact;
use crate::demand::Demand;
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::text::Text;

/// Checks every item in the load path.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let root = Place::root();
    let mut findings = Vec::new();
    for (leg, (moving, at_rest)) in lift.legs().zip(demand.moving.legs.iter().zip(&demand.extremes_at_rest().legs)) {
        // One chain a leg, shared by everything along it.
        let asked_moving = demand.leg(moving, &leg.leg.name, false);
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
                Motion::AtRest => demand.leg(at_rest, &leg.leg.name, true),
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
            let Anchor::LiftPoint(index) = end else { continue };
            let Some(point) = document.load.lift_points.get(*index) else { continue };
            let place = root.child("load").child("lift_points").child(index);
            let rated = capacity::rate_marked(&point.name, &point.rating, &place);
            findings.push(held_against(Code::LiftPointStrength, &point.name, place, asked_moving.clone(), rated)?);
        }
    }
    findings.extend(shared_points(lift));
    findings.extend(hooks(lift, demand)?);
    Ok(findings)
}

/// Several legs on one lift point: the point bears their sum, which is not calculated yet.
fn shared_points(lift: &Lift) -> Vec<Finding> {
    let mut seen = std::collections::HashSet::new();
    let mut findings = Vec::new();
    for leg in lift.legs() {
        for end in &leg.links.ends {
            if let Anchor::LiftPoint(index) = end
                && !seen.insert(*index)
                && let Some(point) = lift.document().load.lift_points.get(*index)
            {
                let place = Place::root().child("load").child("lift_points").child(index);
                let text = "several legs on one lift point: their sum is not calculated yet";
                let verdict = Verdict::CannotConclude;
                findings.push(Finding::new(Code::LiftPointStrength, verdict, &point.name, place, text));
            }
        }
    }
    findings
}

fn hooks(lift: &Lift, demand: &Demand) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let hooks = document.hooks.iter().enumerate().map(|(index, hook)| {
        let place = Place::root().child("hooks").child(index);
        match demand.hook(&hook.name, gravity) {
            Ok(asked) => {
                let rated = capacity::rate_marked(&hook.name, &hook.rating, &place);
                held_against(Code::HookLoad, &hook.name, place, asked, rated)
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
    asked: Chain,
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

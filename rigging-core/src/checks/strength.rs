//! Strength of everything in the load path: slings, fittings, lift points, hooks.

use super::alike::Made;
use super::by_itself::ByItself;
use super::ratings::Rated;
use super::{AssumptionCode, Code, Finding, Hung, Verdict};
use crate::arrangement::{Anchor, Hook, Lift};
use crate::capacity::{self, Capacity, FittingRules, Motion};
use crate::demand::{self, Asked, Asks, Reach};
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::text::Text;

/// What a strength takes for granted where a rule shares the load.
const BY_RULE: &[AssumptionCode] =
    &[AssumptionCode::RigidLoad, AssumptionCode::HookPosition, AssumptionCode::SharingRule, AssumptionCode::Dynamics];

/// Checks every item in the load path against what is asked of it, whatever answers for the forces.
///
/// Angles come from the balance, whatever answers for the forces.
///
/// `rated` are the ratings of the slings ([`super::ratings::of`]); `hung` is what was said of the same demand before.
pub(super) fn compare(
    own: &ByItself<'_>,
    rules: &RuleSet,
    demand: &dyn Asks,
    rated: Vec<Rated>,
    hung: &Hung,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let ByItself { lift, fittings, markings, .. } = own;
    let root = Place::root();
    let shared = demand.places();
    let mut ruled = Made::none();
    let mut rated = rated.into_iter();
    for leg in lift.legs() {
        // One chain a leg, shared by everything along it.
        let asked_moving = demand.leg(leg.index, &leg.leg.name, false)?;
        for ((index, sling), rated) in leg.slings().zip(rated.by_ref()) {
            let place = root.child("slings").child(index);
            findings.push(held_against(Code::SlingStrength, &sling.name, place, asked_moving.clone(), rated)?);
        }
        for (index, fitting) in leg.fittings() {
            let place = root.child("fittings").child(index);
            let facts = fittings.facts(index)?;
            let dynamic = demand.weight().dynamic.as_ref();
            let (first, said) = ruled.once(fittings.group(index), || {
                (place.clone(), FittingRules::of(fitting, facts, dynamic, rules, &place))
            });
            let limits = match said {
                Ok(said) => said.rate(fitting, &place, markings.fitting(index, fitting, &place)),
                Err(error) => Err(error.clone().moved(first, &place)),
            };
            let asked = |motion| match motion {
                Motion::Moving => Ok(asked_moving.clone()),
                Motion::AtRest => demand.leg(leg.index, &leg.leg.name, true),
            };
            match limits {
                Ok(limits) if limits.is_empty() => {
                    let asked = asked_moving.clone();
                    findings.push(held_against(Code::FittingStrength, &fitting.name, place, asked, Ok(None))?);
                }
                Ok(limits) => {
                    for (motion, limit) in limits {
                        let (code, place) = (Code::FittingStrength, place.clone());
                        findings.push(held_against(code, &fitting.name, place, asked(motion)?, Ok(Some(limit)))?);
                    }
                }
                Err(error) => findings.push(Finding::from_error(Code::FittingStrength, &fitting.name, error)?),
            }
        }
        for end in &leg.links.ends {
            // Where several legs meet, the point bears their resultant.
            if !shared.contains(end)
                && let Some((point, place)) = lift.point_and_place(*end)
            {
                findings.push(hung.point(leg.index, *end, || {
                    let rated = markings.point(*end, point, &place);
                    held_against(Code::LiftPointStrength, &point.name, place, asked_moving.clone(), rated)
                })?);
            }
        }
    }
    let marked = || [shared_points(own, demand, &shared), spreaders(lift, demand), hooks(lift, demand)];
    findings.extend(hung.marked(|| Ok(marked().into_iter().collect::<Result<Vec<_>, _>>()?.concat()))?);
    Ok(())
}

/// Points at which several legs meet, and what a leg passes over.
fn shared_points(own: &ByItself<'_>, demand: &dyn Asks, shared: &[Anchor]) -> Result<Vec<Finding>, Error> {
    let ByItself { lift, markings, .. } = own;
    let mut findings = Vec::new();
    for anchor in shared {
        if let Some((name, place)) = bare(lift, *anchor) {
            // In the load path, and no rating says what it may bear.
            let what = format!("what the load may bear at {name}: name the place as a lift point with its rating");
            let missing = Error::missing(what, "\"station\": \"…\"", place.child("station"));
            let finding = Finding::from_error(Code::LiftPointStrength, &name, missing)?;
            findings.push(Finding { demand: demand.place(*anchor, &name).map(|asked| asked.chain), ..finding });
            continue;
        }
        let Some((point, place)) = lift.point_and_place(*anchor) else { continue };
        let Some(asked) = demand.place(*anchor, &point.name) else { continue };
        let rated = markings.point(*anchor, point, &place);
        findings.push(held_against(Code::LiftPointStrength, &point.name, place, asked, rated)?);
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
fn spreaders(lift: &Lift, demand: &dyn Asks) -> Result<Vec<Finding>, Error> {
    let spreaders = lift.document().spreaders.iter().zip(demand.compressions(lift)).enumerate();
    let findings = spreaders.map(|(index, (spreader, asked))| {
        let place = Place::root().child("spreaders").child(index);
        let rated = capacity::rate_marked(&spreader.name, &spreader.rating, &place);
        held_against(Code::SpreaderCompression, &spreader.name, place, asked, rated)
    });
    findings.collect()
}

fn hooks(lift: &Lift, demand: &dyn Asks) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let hooks = document.hooks.iter().enumerate().map(|(index, hook)| {
        let place = Place::root().child("hooks").child(index);
        match demand.hook(lift, index, &hook.name, gravity) {
            Ok(asked) => {
                let rated = rate_hook(lift, index, hook);
                held_against(Code::HookLoad, &hook.name, place, asked, rated)
            }
            Err(error) => Finding::from_error(Code::HookLoad, &hook.name, error),
        }
    });
    hooks.collect()
}

/// Capacity of a hook, where it is known what it leaves to be counted.
pub(super) fn rate_hook(lift: &Lift, index: usize, hook: &Hook) -> Rated {
    demand::hook_basis(lift, index, hook)?;
    capacity::rate_hook(hook, &Place::root().child("hooks").child(index))
}

pub(super) fn held_against(
    code: Code,
    item: &Text,
    place: Place,
    asked: Asked,
    rated: Rated,
) -> Result<Finding, Error> {
    match rated {
        Ok(Some(rated)) => {
            let Capacity { chain, rule } = match asked.of_capacity {
                Some(share) => rated.times(share),
                None => rated,
            };
            let finding = reaching(Finding::compared(code, item, place, asked.chain, chain), &asked.reach);
            Ok(match rule {
                Some(rule) => finding.after(rule),
                None => finding,
            })
        }
        // In the load path, and neither a rule nor a marking says what it may bear.
        Ok(None) => {
            let (key, what) = match code {
                Code::SlingStrength => {
                    ("strength", Text::from(["what ", item, " may bear: a marked rating, or a rule that gives one,"]))
                }
                _ => ("rating", Text::from(["what ", item, " may bear: its marked rating"])),
            };
            let missing = Error::missing(what, "\"wll\": \"… t\"", place.child(key).child("wll"));
            let finding = Finding::from_error(code, item, missing)?;
            Ok(resting(Finding { demand: Some(asked.chain), ..finding }, &asked.reach))
        }
        Err(error) => {
            let finding = Finding::from_error(code, item, error)?;
            Ok(resting(Finding { demand: Some(asked.chain), ..finding }, &asked.reach))
        }
    }
}

/// What a comparison says, knowing how far its demand reaches.
///
/// A bound that is within the capacity is a pass. A bound beyond it is a failure only if what was attained is beyond as
/// well, for that is a real state; else nothing can be concluded, and nothing can where there is no bound.
fn reaching(finding: Finding, reach: &Reach) -> Finding {
    let finding = resting(finding, reach);
    let capacity = finding.capacity.as_ref().map_or(f64::NAN, |capacity| capacity.value());
    let asked = finding.demand.as_ref().map_or(f64::NAN, |demand| demand.value());
    match reach {
        Reach::Attained | Reach::Rule => finding,
        Reach::Bound(attained) => {
            let held = (0.0..=capacity).contains(attained) && capacity.is_finite() && capacity > 0.0;
            if finding.verdict == Verdict::Pass || !held {
                return finding;
            }
            let text = format!(
                "{}: {:.3} kN was attained and does not exceed it, the bound of {:.3} kN does; a narrower bound (a smaller \
                 gap, more pieces) may decide",
                finding.text,
                attained / 1e3,
                asked / 1e3
            );
            Finding { verdict: Verdict::CannotConclude, text: text.into(), ..finding }
        }
        Reach::Open(why) => {
            if finding.verdict == Verdict::Fail {
                return finding;
            }
            let text = format!("{}: what was attained does not exceed it, and there is no bound: {why}", finding.text);
            Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding }
        }
    }
}

/// A force by rule rests on the rule, and on no stiffness.
fn resting(finding: Finding, reach: &Reach) -> Finding {
    match reach {
        Reach::Rule => Finding { assumptions: BY_RULE.into(), ..finding },
        _ => finding,
    }
}

//! Strength of everything in the load path: slings, fittings, lift points, hooks.

use super::alike::Made;
use super::by_itself::ByItself;
use super::{AssumptionCode, Code, Finding, Verdict};
use crate::arrangement::{Anchor, Hook, LegView, Lift};
use crate::capacity::{self, Capacity, Factors, FittingRules, Hanging, Motion, Stated};
use crate::chain::Acts;
use crate::contact::Bend;
use crate::demand::{self, Asked, Asks, Demand, Reach};
use crate::equilibrium::Certificate;
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
/// `rated` are the ratings of the slings ([`ratings`]).
pub(super) fn compare(
    own: &ByItself<'_>,
    rules: &RuleSet,
    demand: &dyn Asks,
    rated: Vec<Result<Option<Capacity>, Error>>,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let ByItself { lift, fittings, .. } = own;
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
                Ok(said) => said.rate(fitting, &place),
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
                let rated = capacity::rate_marked(&point.name, &point.rating, &place);
                findings.push(held_against(Code::LiftPointStrength, &point.name, place, asked_moving.clone(), rated)?);
            }
        }
    }
    findings.extend(shared_points(lift, demand, &shared)?);
    findings.extend(spreaders(lift, demand)?);
    findings.extend(hooks(lift, demand)?);
    Ok(())
}

/// What every sling may bear as it hangs, in the order of the legs and of the slings in each.
pub(super) fn ratings(
    own: &ByItself<'_>,
    rules: &RuleSet,
    balance: Option<&Demand>,
) -> Vec<Result<Option<Capacity>, Error>> {
    let ByItself { lift, slings, bends, .. } = own;
    let mut bends = bends.iter();
    let (mut rated, factors) = (Vec::with_capacity(bends.len()), Factors::default());
    for leg in lift.legs() {
        let place = leg.place();
        for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
            let hangs = hanging(lift, &leg, &place, bends, balance);
            let stated = slings.facts(index).map(|facts| Stated { sling, index, facts });
            rated.push(stated.and_then(|stated| capacity::rate_among(stated, &hangs, rules, &factors)));
        }
    }
    rated
}

/// How the slings of a leg hang.
pub(super) fn hanging<'a>(
    lift: &'a Lift,
    leg: &LegView<'a>,
    place: &'a Place,
    bends: &'a [Bend],
    balance: Option<&Demand>,
) -> Hanging<'a> {
    let temperature = lift.document().environment.temperature.value();
    let flattest = balance.and_then(|demand| demand.moving.legs.get(leg.index)).map(|leg| leg.from_vertical);
    // What tolerances add to the flattest angle they take from the steepest, to first order.
    let nominal = balance.and_then(|demand| nominal_angle(lift, leg.index, &demand.nominal));
    let steepest = nominal.zip(flattest).map(|(nominal, flattest)| (2.0 * nominal - flattest).max(0.0));
    Hanging {
        leg: place,
        hitch: &leg.leg.hitch,
        operation: &lift.document().operation,
        bends,
        from_vertical: flattest,
        steepest,
        temperature: temperature.map(|[low, high]| [low.si(), high.si()]),
    }
}

/// The smallest angle of a leg from vertical in the nominal balance, rad, over its spans that are members.
fn nominal_angle(lift: &Lift, leg: usize, nominal: &Certificate) -> Option<f64> {
    let spans = lift.legs().flat_map(|view| {
        let members = view.links.spans().filter(|[from, to]| !from.rigid_with(*to)).count();
        std::iter::repeat_n(view.index, members)
    });
    let of_leg = spans.zip(&nominal.members).filter(|(index, _)| *index == leg);
    of_leg.map(|(_, member)| member.direction.z.abs().min(1.0).acos()).reduce(f64::min)
}

/// Points at which several legs meet, and what a leg passes over.
fn shared_points(lift: &Lift, demand: &dyn Asks, shared: &[Anchor]) -> Result<Vec<Finding>, Error> {
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
        let rated = capacity::rate_marked(&point.name, &point.rating, &place);
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
pub(super) fn rate_hook(lift: &Lift, index: usize, hook: &Hook) -> Result<Option<Capacity>, Error> {
    demand::hook_basis(lift, index, hook)?;
    capacity::rate_hook(hook, &Place::root().child("hooks").child(index))
}

pub(super) fn held_against(
    code: Code,
    item: &Text,
    place: Place,
    asked: Asked,
    rated: Result<Option<Capacity>, Error>,
) -> Result<Finding, Error> {
    match rated {
        Ok(Some(Capacity { chain, rule })) => {
            let chain = match asked.of_capacity {
                Some(share) => chain.times(share, Acts::OnForce),
                None => chain,
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
                    ("strength", format!("what {item} may bear: a marked rating, or a rule that gives one,"))
                }
                _ => ("rating", format!("what {item} may bear: its marked rating")),
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

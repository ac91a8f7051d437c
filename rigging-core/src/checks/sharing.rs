//! A sharing rule against what the solver attains.

use super::by_itself::ByItself;
use super::{Code, Finding, Verdict, ratings};
use crate::arrangement::Lift;
use crate::capacity::{self, Stated};
use crate::demand::{Asks, ByRule, Demand};
use crate::error::{Error, Place};
use crate::rules::RuleSet;
use crate::sharing::SharingRule;

/// Asks the rule, adds the finding that sets it against the worst case at the vertices, and hands on its forces; none where
/// it refuses.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    rule: &dyn SharingRule,
    demand: &Result<Demand, Error>,
    findings: &mut Vec<Finding>,
) -> Result<Option<ByRule>, Error> {
    let name = &lift.document().name;
    match ByRule::of(lift, rules, rule) {
        Ok(by_rule) => {
            findings.push(match demand {
                Ok(demand) => covers(lift, &by_rule, demand)?,
                Err(error) => {
                    let text = format!("the rule cannot be set against the elastic worst case: {error}");
                    Finding { text: text.into(), ..Finding::from_error(Code::SharingRule, name, error.clone())? }
                }
            });
            Ok(Some(by_rule))
        }
        Err(error) => {
            findings.push(Finding::refused(&rule.words().name, name, error)?);
            Ok(None)
        }
    }
}

/// What a sharing rule does not stand on once the slings are rated: a finding where a condition on their utilization is not met. That
/// utilization is one of the slings with their ends; what bends leave of them makes no sling stretch more.
pub(super) fn stands(
    own: &ByItself<'_>,
    rules: &RuleSet,
    rule: &dyn SharingRule,
    balance: Option<&Demand>,
    findings: &[Finding],
) -> Result<Option<Finding>, Error> {
    let ByItself { lift, slings, bends, .. } = own;
    let mut bends = bends.iter();
    let mut utilizations = Vec::new();
    for leg in lift.legs() {
        let at = leg.place();
        for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
            let place = Place::root().child("slings").child(index);
            let held = findings.iter().find(|one| one.code == Code::SlingStrength && one.place == place);
            let share = slings.facts(index).ok().and_then(|facts| {
                let hangs = ratings::hanging(lift, &leg, &at, bends, balance);
                capacity::share_of_ends(Stated { sling, index, facts }, &hangs, rules)
            });
            let found = held.and_then(|finding| finding.utilization);
            utilizations.push(found.map(|found| found * share.unwrap_or(1.0)));
        }
    }
    match rule.stands_at(&utilizations) {
        Ok(()) => Ok(None),
        Err(error) => Finding::refused(&rule.words().name, &lift.document().name, error).map(Some),
    }
}

/// Whether the rule covers every leg, moving and at rest: told of the leg of which it covers the least.
fn covers(lift: &Lift, by_rule: &ByRule, demand: &Demand) -> Result<Finding, Error> {
    let place = || Place::root().child("legs");
    if let Some((state, vertex)) = &demand.moving.not_stable {
        let text = format!("there is no elastic worst case: the balance is {}, at {vertex}", state.word());
        let name = &lift.document().name;
        return Ok(Finding::new(Code::SharingRule, Verdict::CannotConclude, name, place(), text));
    }
    let states: &[bool] = if demand.at_rest.is_some() { &[false, true] } else { &[false] };
    let mut shortest: Option<(f64, usize, bool)> = None;
    for at_rest in states {
        let extremes = if *at_rest { demand.extremes_at_rest() } else { &demand.moving };
        for (leg, (worst, force)) in extremes.legs.iter().zip(by_rule.forces(*at_rest)).enumerate() {
            // A leg that stays slack in every state is covered by any force.
            if worst.largest > 0.0 {
                let ratio = if *force > 0.0 { worst.largest / force } else { f64::INFINITY };
                if shortest.is_none_or(|(most, ..)| ratio > most) {
                    shortest = Some((ratio, leg, *at_rest));
                }
            }
        }
    }
    let view = shortest.and_then(|(_, leg, at_rest)| Some((lift.legs().nth(leg)?, at_rest)));
    let Some((leg, at_rest)) = view else {
        return Err(Error::inconsistent("a set of legs of which none carries", place()));
    };
    let name = &leg.leg.name;
    let worst = demand.leg(leg.index, name, at_rest)?.chain;
    let force = by_rule.leg(leg.index, name, at_rest)?.chain;
    Ok(Finding::compared(Code::SharingRule, name, leg.place(), worst, force))
}

//! A load that may stick: everything in the load path once more, with what is asked beside the weight.

use super::by_itself::ByItself;
use super::{
    Code, Finding, MissingInput, Verdict, collectors, pin_offset, pin_plate, ratings, set_of_legs, side_load, strength,
};
use crate::arrangement::Lift;
use crate::demand::{Asks, ByRule, Demand, Forces, Stuck};
use crate::error::{Error, Place};
use crate::gear::Known;
use crate::rules::RuleSet;

/// Findings on a load that sticks; none where the lift states nothing of it.
pub(super) fn compare(
    own: &ByItself<'_>,
    rules: &RuleSet,
    forces: Forces<'_>,
    demand: &Demand,
) -> Result<Vec<Finding>, Error> {
    let ByItself { lift, slings, fittings, bends, .. } = own;
    let operation = &lift.document().operation;
    let name = &lift.document().load.name;
    let Known::Value(snag) = &operation.snag else {
        return Ok(match operation.circumstances.load_may_stick.value() {
            Some(true) => vec![unstated(lift)],
            _ => Vec::new(),
        });
    };
    let stuck = match Stuck::of(lift, snag).and_then(|stuck| hung(lift, rules, forces, demand, stuck)) {
        Ok(stuck) => stuck,
        Err(error) => {
            return Ok(vec![match forces {
                Forces::Rule(rule) => Finding::refused(&rule.words().name, name, error)?,
                Forces::AtVertices | Forces::Bounds(_) => Finding::from_error(Code::Snag, name, error)?,
            }]);
        }
    };
    let mut found = Vec::new();
    let asks = stuck.asks();
    let rated = ratings::of(own, rules, Some(&stuck.demand));
    found.extend(set_of_legs::compare(lift, rules, slings, &stuck.demand, bends, &rated)?);
    strength::compare(own, rules, asks, rated, &super::Hung::of(super::Sets::One), &mut found)?;
    found.extend(collectors::compare(lift, rules, asks)?);
    found.extend(side_load::compare(lift, rules, fittings, asks, Some(&stuck.demand))?);
    found.extend(pin_plate::compare(lift, rules, asks)?);
    pin_offset::compare(lift, rules, asks, &mut found)?;
    // What lacks a rating or is not settled is told of the lift itself.
    let told = found.into_iter().filter(|finding| finding.unit() == "N" && finding.capacity.is_some());
    let mut told: Vec<Finding> = told.map(relabeled).collect();
    if let Some((state, vertex)) = &stuck.demand.moving.not_stable {
        let text = format!("where the load sticks the balance is {}, at {vertex}", state.word());
        told.push(Finding::new(Code::Snag, Verdict::Fail, name, place(), text));
    }
    Ok(told)
}

/// A lift whose load sticks, and where its forces come from.
struct Hung {
    demand: Demand,
    by_rule: Option<ByRule>,
}

impl Hung {
    fn asks(&self) -> &dyn Asks {
        match &self.by_rule {
            Some(by_rule) => by_rule,
            None => &self.demand,
        }
    }
}

fn hung(lift: &Lift, rules: &RuleSet, forces: Forces<'_>, demand: &Demand, stuck: Stuck) -> Result<Hung, Error> {
    let by_rule = match forces {
        Forces::Rule(rule) => Some(ByRule::stuck(lift, rules, rule, stuck.clone())?),
        Forces::AtVertices | Forces::Bounds(_) => None,
    };
    let demand = demand.stuck(lift, stuck)?;
    let demand = match forces {
        Forces::Bounds(effort) => demand.bounded(lift, &effort)?,
        Forces::AtVertices | Forces::Rule(_) => demand,
    };
    Ok(Hung { demand, by_rule })
}

fn place() -> Place {
    Place::root().child("operation").child("snag")
}

fn unstated(lift: &Lift) -> Finding {
    let what = "the pull to be reckoned with where the load sticks, as it may,".to_owned();
    let add = "\"snag\": { \"pull\": { \"value\": \"… kN\", \"source\": \"…\" }, \"capacity\": \"rated\" }".to_owned();
    Finding::lacking(Code::Snag, &lift.document().load.name, MissingInput::new(what, add, place()))
}

fn relabeled(finding: Finding) -> Finding {
    let text = format!("where the load sticks: {}", finding.text);
    Finding { code: Code::Snag, severity: Code::Snag.severity(), text: text.into(), ..finding }
}

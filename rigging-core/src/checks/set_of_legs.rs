//! A set of legs as a whole: where the rule set lets a set bear so much, or lets so many of its legs count, the weight is
//! held against that beside the strength of each leg.

use super::alike::Alike;
use super::ratings::{Rated, hanging};
use super::strength::held_against;
use super::{Code, Finding, Verdict};
use crate::arrangement::{Anchor, Hitch, LegView, Lift};
use crate::capacity::{self, Allowed, Set, Stated};
use crate::contact::Bend;
use crate::demand::{Asked, Demand, DesignWeight, Reach};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Question, RuleSet};
use crate::sharing::LegSet;
use crate::system::Masses;
use std::sync::Arc;

/// One finding for what the set may bear and one for the legs that count, each by the sling that bears least; none where
/// the rule set speaks of neither, or the legs are no set: two to four alike from one hook to the load.
///
/// `bends` are those of every sling, and `rated` their ratings as they hang ([`super::ratings::of`]).
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    slings: &Alike,
    demand: &Demand,
    bends: &[Vec<Bend>],
    rated: &[Rated],
) -> Result<Vec<Finding>, Error> {
    let questions = [Question::LegFactor, Question::RatedValue, Question::LegsCounted];
    if !questions.into_iter().any(|question| rules.has_rules_on(question)) {
        return Ok(Vec::new());
    }
    let Some(set) = set(lift, rules, demand) else { return Ok(Vec::new()) };
    let mut least: [Option<Finding>; 2] = [None, None];
    let mut seen: Vec<Seen<'_>> = Vec::new();
    let mut all = bends.iter().zip(rated);
    for leg in lift.legs() {
        for ((index, sling), (bends, rated)) in leg.slings().zip(all.by_ref()) {
            let stated = Stated { sling, index, facts: slings.facts(index)? };
            let own = Seen { sling, group: slings.group(index), hitch: &leg.leg.hitch, rated };
            if !rules.looks_at_angle(Question::RatingBasis) && seen.iter().any(|other| other.says_what(&own)) {
                continue;
            }
            seen.push(own);
            let place = leg.place();
            let hangs = hanging(lift, &leg, &place, bends, Some(demand));
            let weight = &demand.weight.chain;
            let allowed = capacity::allow(stated, &hangs, rated, &set, weight, rules);
            for (kept, allowed) in least.iter_mut().zip(allowed) {
                let found = finding(lift, &demand.weight, allowed)?;
                if let Some(found) = found
                    && kept.as_ref().is_none_or(|kept| severer(&found, kept))
                {
                    *kept = Some(found);
                }
            }
        }
    }
    Ok(least.into_iter().flatten().collect())
}

/// A sling of which it is known what the set may bear by it.
struct Seen<'a> {
    sling: &'a Sling,
    group: Option<usize>,
    hitch: &'a Hitch,
    rated: &'a Rated,
}

impl Seen<'_> {
    /// Whether the other one leads to the same figure. Everything else is the set's, and the angle of a leg matters to its
    /// own rating only.
    fn says_what(&self, other: &Self) -> bool {
        let value = |rated: &Rated| match rated {
            Ok(Some(capacity)) => Some(capacity.chain.value().to_bits()),
            _ => None,
        };
        let same = value(self.rated).zip(value(other.rated)).is_some_and(|(one, other)| one == other);
        same && self.group == other.group
            && self.hitch == other.hitch
            && self.sling.strength.has_figures_of(&other.sling.strength)
            && self.sling.least_safety_factor == other.sling.least_safety_factor
    }
}

fn finding(
    lift: &Lift,
    weight: &DesignWeight,
    allowed: Result<Option<Allowed>, Error>,
) -> Result<Option<Finding>, Error> {
    let (name, place) = (&lift.document().name, Place::root().child("legs"));
    Ok(match allowed {
        Ok(None) => None,
        Ok(Some(Allowed { asked, capacity })) => {
            let chain = Arc::new(asked.unwrap_or_else(|| weight.chain.clone()));
            let asked = Asked { chain, reach: Reach::Attained, of_capacity: weight.of_capacity().cloned() };
            Some(held_against(Code::SetOfLegs, name, place, asked, Ok(Some(capacity)))?)
        }
        Err(error) => Some(Finding::from_error(Code::SetOfLegs, name, error)?),
    })
}

/// What cannot be concluded is severer than what passes, and less so than what fails.
fn severer(one: &Finding, other: &Finding) -> bool {
    let key = |finding: &Finding| {
        let rank = match finding.verdict {
            Verdict::Fail => 2,
            Verdict::CannotConclude => 1,
            Verdict::Pass | Verdict::NotCovered => 0,
        };
        (rank, finding.utilization.unwrap_or(0.0))
    };
    let ((one, much), (other, less)) = (key(one), key(other));
    one > other || one == other && much > less
}

/// The legs as a set, at the flattest angle over the vertices; none where they are not one.
fn set(lift: &Lift, rules: &RuleSet, demand: &Demand) -> Option<Set> {
    let document = lift.document();
    let legs: Vec<LegView<'_>> = lift.legs().collect();
    let alike = legs.iter().all(|leg| {
        let to_load = |anchor: &Anchor| matches!(anchor, Anchor::LiftPoint(_) | Anchor::Place(_));
        let ends =
            leg.links.ends.iter().any(to_load) && leg.links.ends.iter().any(|end| matches!(end, Anchor::Hook(_)));
        let first = legs.first().map(|first| first.leg.hitch.word());
        ends && !leg.links.runs() && first == Some(leg.leg.hitch.word())
    });
    let simple = document.hooks.len() == 1 && document.joints.is_empty() && document.spreaders.is_empty();
    if !alike || !simple || !(2..=4).contains(&legs.len()) {
        return None;
    }
    let flattest = demand.moving.legs.iter().map(|leg| leg.from_vertical).fold(0.0, f64::max);
    // The steepest leg is taken as drawn: only conditions of symmetry ask for it.
    let drawn = || LegSet::of(lift, Masses::of_load(demand.weight.moving().load))?.from_vertical();
    let drawn = rules.looks_at_steepest_leg().then(|| drawn().ok()).flatten();
    let steepest = drawn.map(|angles| angles.into_iter().fold(flattest, f64::min));
    Some(Set { legs: legs.len(), flattest, steepest })
}

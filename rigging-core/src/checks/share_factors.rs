//! Factors on shares of the load: whether one stands for what is not known of the center of gravity, or the box that is stated.

use super::surroundings::in_words;
use super::{AssumptionCode, Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::chain::Term;
use crate::demand::{self, Demand};
use crate::error::{Error, Place};
use crate::rules::{Answer, RuleSet};

/// What the rule set's factor for an uncertain center of gravity does; nothing where it gives none.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, demand: &Demand) -> Result<Option<Finding>, Error> {
    let name = &lift.document().load.name;
    let said = |verdict, text: String| {
        let place = Place::root().child("load").child("center_of_gravity").child("tolerance");
        Finding::new(Code::CenterOfGravity, verdict, name, place, text)
    };
    if let Some(factor) = &demand.on_share.center_of_gravity {
        let text = format!(
            "no box is stated for the center of gravity: every share of the load is raised by the factor {} of the rule set; \
             stability, tilt and angles are looked at with the center of gravity where it is stated and nowhere else",
            factor.value
        );
        let finding = said(Verdict::Pass, text).after(factor.source.clone());
        let assumptions = vec![AssumptionCode::CenterOfGravity, AssumptionCode::RigidLoad];
        return Ok(Some(Finding { assumptions: assumptions.into(), ..finding }));
    }
    Ok(match demand::ask_center_of_gravity(lift, rules) {
        Answer::Speaks(ruled) => ruled.term().map(|factor| {
            let text = format!(
                "the lift states a box for the center of gravity, which is calculated; the factor {} of the rule set is not \
                 taken on top of it. {}",
                factor.value,
                severer(lift, demand, factor)
            );
            said(Verdict::NotCovered, text).after(factor.source.clone())
        }),
        Answer::Silent | Answer::DoesNotApply { .. } => None,
        Answer::Refused(error) => return Err(error),
        other => {
            let text = format!(
                "the lift states a box for the center of gravity, which is calculated; a factor of the rule set in its place \
                 is not settled: {}",
                in_words(&other)
            );
            Some(said(Verdict::NotCovered, text))
        }
    })
}

/// Which is the severer, told of the leg for which the factor would ask most over what the tolerances ask.
fn severer(lift: &Lift, demand: &Demand, factor: &Term) -> String {
    let legs = lift.legs().zip(&demand.tensions).zip(&demand.moving.legs);
    let asked = legs.map(|((leg, nominal), extremes)| (leg, nominal * factor.value, extremes.largest));
    let worst = asked
        .filter(|(.., largest)| *largest > 0.0)
        .max_by(|(_, by_factor, largest), (_, other, beside)| (by_factor / largest).total_cmp(&(other / beside)));
    let Some((leg, by_factor, largest)) = worst else { return "No leg bears anything".to_owned() };
    let (name, factored, boxed) = (&leg.leg.name, by_factor / 1e3, largest / 1e3);
    if by_factor > largest {
        format!(
            "The factor would be severer: {factored:.3} kN on {name}, and {boxed:.3} kN over all tolerances; leave the box out \
             to take it"
        )
    } else {
        format!("The tolerances are severer on every leg: on {name} {boxed:.3} kN, and {factored:.3} kN by the factor")
    }
}

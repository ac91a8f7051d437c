//! A skew factor of the rule set, which is not taken because skew is computed: it is told, and where nothing is computed it is missed.

use super::by_itself::ByItself;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::Term;
use crate::demand::{Demand, Forces};
use crate::error::{Error, Place};
use crate::rules::{Answer, Question, RuleSet};
use crate::sharing;
use crate::source::Source;

/// One finding where the rule set gives a factor for the slings of the lift, or keeps it back; none where it is silent, and where
/// it says that it has none for them.
pub(super) fn compare(
    own: &ByItself<'_>,
    rules: &RuleSet,
    forces: &Forces<'_>,
    demand: Option<&Demand>,
) -> Result<Option<Finding>, Error> {
    let ByItself { lift, slings, .. } = own;
    let legs = lift.legs().count();
    if legs < 2 || !rules.has_rules_on(Question::SkewFactor) {
        return Ok(None);
    }
    let said = slings.each(|facts| rules.ask(Question::SkewFactor, &sharing::configuration(facts.clone(), legs)));
    let mut given: Option<(usize, Term)> = None;
    let mut kept_back: Option<(usize, String, Source)> = None;
    for (index, _) in lift.legs().flat_map(|leg| leg.slings()) {
        match said.of(index) {
            Some(Answer::Speaks(ruled)) => {
                let factor = ruled.term().filter(|factor| {
                    factor.value > 1.0 && given.as_ref().is_none_or(|(_, other)| factor.value > other.value)
                });
                given = factor.map(|factor| (index, factor.clone())).or(given);
            }
            Some(Answer::Refused(error)) => return Err(error.clone()),
            Some(
                answer @ (Answer::Missing { needed_by: source, .. }
                | Answer::OutsideRange { source, .. }
                | Answer::Withheld { source, .. }),
            ) => {
                kept_back.get_or_insert_with(|| (index, in_words(answer), source.clone()));
            }
            Some(Answer::Silent | Answer::DoesNotApply { .. }) | None => {}
        }
    }
    let name = &lift.document().name;
    let place = |index| Place::root().child("slings").child(index).child("length").child("tolerance");
    let Some((index, factor)) = given else {
        return Ok(kept_back.map(|(index, why, source)| {
            let text = format!(
                "a skew factor of the rule set is not settled: {why}; skew is computed, and no factor is taken"
            );
            Finding::new(Code::Skew, Verdict::NotCovered, name, place(index), text).after(source)
        }));
    };
    let value = factor.value;
    let text = match (forces, demand) {
        (Forces::Rule(rule), _) => format!(
            "the rule set gives a skew factor of {value}; the forces of the legs are those of the rule \"{}\", which holds it or \
             does not",
            rule.words().name
        ),
        _ if are_exact(lift) => {
            let what = format!(
                "how far the lengths of the slings may be off, from which skew is computed, and which are stated to be exact where \
                 the rule set gives a skew factor of {value} that is not taken in its place,"
            );
            let missing = MissingInput::new(what, "\"tolerance\": \"… mm\"", place(index));
            return Ok(Some(Finding::lacking(Code::Skew, name, missing).after(factor.source)));
        }
        (_, None) => format!("the rule set gives a skew factor of {value}, which is not taken: skew is computed"),
        (_, Some(demand)) => format!(
            "the rule set gives a skew factor of {value}, which is not taken: skew is computed from the tolerances of the lift. {}",
            severer(lift, demand, value)
        ),
    };
    Ok(Some(Finding::new(Code::Skew, Verdict::NotCovered, name, place(index), text).after(factor.source)))
}

/// Whether every length is stated to be off by nothing.
fn are_exact(lift: &Lift) -> bool {
    let mut slings = lift.legs().flat_map(|leg| leg.slings());
    slings.all(|(_, sling)| sling.length.tolerance.value().is_some_and(|tolerance| tolerance.si() == 0.0))
}

/// Which is the severer, told of the leg for which the factor would ask most over what the tolerances ask.
fn severer(lift: &Lift, demand: &Demand, factor: f64) -> String {
    let legs = lift.legs().zip(&demand.tensions).zip(&demand.moving.legs);
    let asked = legs.map(|((leg, nominal), extremes)| (leg, nominal * factor, extremes.largest));
    let worst = asked
        .filter(|(.., largest)| *largest > 0.0)
        .max_by(|(_, by_factor, largest), (_, other, beside)| (by_factor / largest).total_cmp(&(other / beside)));
    let Some((leg, by_factor, largest)) = worst else { return "No leg bears anything".to_owned() };
    let (name, by_factor, computed) = (&leg.leg.name, by_factor / 1e3, largest / 1e3);
    let which = if by_factor > computed { "severer on" } else { "no severer on any leg: on" };
    format!("The factor would be {which} {name}: {by_factor:.3} kN, and {computed:.3} kN over all tolerances")
}

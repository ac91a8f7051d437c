//! Two hooks that need not be level: solved with the difference in height of the rule set, and by its tilt and share.

mod borne;
mod by_rule;
mod heights;
mod own_factor;

use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::Term;
use crate::demand::{self, Demand};
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;
use borne::Borne;

/// Findings on two hooks, where the rule set speaks of a difference in height or a tilt of the load under them.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    demand: &Demand,
    findings: &[Finding],
) -> Result<Vec<Finding>, Error> {
    let hooks = lift.document().hooks.len();
    if hooks < 2 {
        return Ok(Vec::new());
    }
    let moves: Vec<Option<Term>> = (0..hooks).map(|hook| own_factor::moved(lift, rules, demand, hook)).collect();
    let mut found = own_factor::level(lift, demand, &moves)?;
    let borne = Borne::of(lift, demand, findings);
    found.extend(own_factor::raised(lift, &borne, &moves));
    if hooks != 2 {
        return Ok(found);
    }
    let facts = demand::facts_of_two_hooks(lift);
    found.extend(turning(lift, rules)?);
    if let Some(difference) = spoken(lift, rules, Question::HookElevationDifference, &facts, &mut found)? {
        found.extend(heights::solved(lift, demand, &difference, &borne, &moves)?);
    }
    let before = found.len();
    match by_rule::tilt(lift, rules, &facts, &mut found)? {
        Some(tilt) => found.extend(by_rule::by_rule(lift, rules, demand, &tilt, &facts, &borne, &moves)?),
        None if found.len() == before && rules.has_rules_on(Question::HookShare) => {
            let text = "not calculated: the share of a hook by rule, for which the rule set gives no tilt of the load (question \
                        \"hook tilt\")";
            let name = &lift.document().name;
            found.push(Finding::new(Code::HookHeights, Verdict::NotCovered, name, Place::root().child("hooks"), text));
        }
        None => {}
    }
    Ok(found)
}

/// The term of an answer; what keeps the rule set from speaking becomes a finding, its silence none.
fn spoken(
    lift: &Lift,
    rules: &RuleSet,
    question: Question,
    facts: &Facts,
    findings: &mut Vec<Finding>,
) -> Result<Option<Term>, Error> {
    let name = &lift.document().name;
    let operation = Place::root().child("operation");
    match rules.ask(question, facts) {
        Answer::Speaks(ruled) => return Ok(ruled.term().cloned()),
        Answer::Silent | Answer::DoesNotApply { .. } => {}
        Answer::Refused(error) => return Err(error),
        Answer::Missing { fact, needed_by } => findings.push(lacking(&fact, &needed_by, question, name, &operation)),
        other => {
            let text = format!("the {}: {}", question.name(), in_words(&other));
            findings.push(Finding::new(Code::HookHeights, Verdict::CannotConclude, name, operation, text));
        }
    }
    Ok(None)
}

/// What the rule set says of turning about the vertical, hook by hook; its silence is no finding.
fn turning(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let mut found = Vec::new();
    for (index, hook) in lift.document().hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        let said = |verdict, text: String| Finding::new(Code::HookHeights, verdict, &hook.name, place.clone(), text);
        let slings = demand::slings_on(lift, index);
        found.extend(match demand::ask_yaw(lift, rules, index) {
            Answer::Speaks(ruled) => ruled.term().map(|factor| {
                let text = format!(
                    "turning about the vertical, with {slings} slings on the hook: its load and the forces of what hangs from \
                     it are raised by the factor {}",
                    factor.value
                );
                said(Verdict::Pass, text).after(factor.source.clone())
            }),
            Answer::Silent => None,
            Answer::DoesNotApply { why, source } => {
                let text = format!("no factor for turning about the vertical, with {slings} on the hook: {why}");
                Some(said(Verdict::NotCovered, text).after(source))
            }
            Answer::Refused(error) => return Err(error),
            Answer::Missing { fact, needed_by } => Some(lacking(&fact, &needed_by, Question::YawFactor, &hook.name, &place)),
            other => {
                let text = format!("the factor for turning about the vertical: {}", in_words(&other));
                Some(said(Verdict::CannotConclude, text))
            }
        });
    }
    Ok(found)
}

/// A fact of a lift by two hooks that a rule needs.
fn lacking(fact: &str, needed_by: &Source, question: Question, item: &Text, otherwise: &Place) -> Finding {
    let operation = Place::root().child("operation");
    let (add, place) = match fact {
        "vessels" => ("\"vessels\": \"one\" (or \"several\")", operation.child("vessels")),
        "hooks synchronized" => ("\"hooks_synchronized\": …", operation.child("hooks_synchronized")),
        _ => ("it", otherwise.clone()),
    };
    let what = format!("\"{fact}\", on which the {} after {needed_by} rests,", question.name());
    Finding::lacking(Code::HookHeights, item, MissingInput::new(what, add, place))
}

fn gravity(lift: &Lift) -> f64 {
    lift.document().gravity.value().map_or(f64::NAN, |gravity| gravity.si())
}

//! Dimensions that a rule set limits: of lift points, of slings, and of the load. Where it is silent nothing is said.

mod points;
mod slings;

use super::by_itself::ByItself;
use super::surroundings::in_words;
use super::{Code, Finding, Verdict};
use crate::arrangement::{Anchor, Lift};
use crate::chain::{Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::quantity::{Entered, Length};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::{DIMENSIONS, Source};
use crate::text::Text;

/// Checks the dimensions of everything in use.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    findings.extend(points::compare(own.lift, rules)?);
    slings::compare(own, rules, findings)?;
    findings.extend(load_length(own.lift, rules)?);
    Ok(())
}

/// What a rule set says to one question of geometry.
enum Limit<'a> {
    /// Nothing.
    None,
    Set(&'a Term),
    /// Something keeps it from speaking, as a finding says.
    Open(Finding),
}

/// What an answer limits. None of the facts it was asked with is missing: the caller told before what is not stated.
fn limit<'a>(answer: &'a Answer, question: Question, item: &Text, place: &Place) -> Result<Limit<'a>, Error> {
    Ok(match answer {
        Answer::Speaks(ruled) => ruled.term().map_or(Limit::None, Limit::Set),
        Answer::Silent | Answer::DoesNotApply { .. } => Limit::None,
        Answer::Refused(error) => return Err(error.clone()),
        other => {
            let text = format!("the {} is not settled: {}", question.name(), in_words(other));
            Limit::Open(Finding::new(Code::Geometry, Verdict::CannotConclude, item, place.clone(), text))
        }
    })
}

/// Whether the rule set has nothing to say, be it that a fact is missing.
const fn silent(answer: &Answer) -> bool {
    matches!(answer, Answer::Silent | Answer::DoesNotApply { .. })
}

/// A dimension of the document as a term.
fn dimension(symbol: &'static str, name: &'static str, length: &Entered<Length>) -> Term {
    Term::new(symbol, name, length.si(), "m", Source::fixed(&DIMENSIONS)).from_input("as entered", length.text())
}

/// What is needed against what is there, both in one unit, by the clause of a limit.
fn at_least(item: &Text, place: &Place, needed: Chain, there: Chain, clause: &Source) -> Finding {
    Finding::compared(Code::Geometry, item, place.clone(), needed, there).after(clause.clone())
}

/// What is there against the most that is allowed.
fn at_most(item: &Text, place: &Place, there: Chain, allowed: Chain, clause: &Source) -> Finding {
    Finding::compared(Code::Geometry, item, place.clone(), there, allowed).after(clause.clone())
}

/// The length of a load that hangs from one sling. From two slings on, no length asks for more.
fn load_length(lift: &Lift, rules: &RuleSet) -> Result<Option<Finding>, Error> {
    let load = &lift.document().load;
    let place = Place::root().child("load").child("length");
    let question = Question::DoubleSlingsFromLength;
    if !rules.has_rules_on(question) {
        return Ok(None);
    }
    let answer = rules.ask(question, &facts_of(lift));
    let term = match limit(&answer, question, &load.name, &place)? {
        Limit::None => return Ok(None),
        Limit::Open(finding) => return Ok(Some(finding)),
        Limit::Set(term) => term.clone(),
    };
    let on_load = |anchor: &Anchor| matches!(anchor, Anchor::LiftPoint(_) | Anchor::Place(_));
    let bearing = lift.legs().filter(|leg| leg.links.stations.iter().any(on_load));
    let slings = bearing.map(|leg| leg.slings().count().min(1)).sum::<usize>();
    if slings >= 2 {
        let text = format!("{slings} legs with slings of their own bear the load, whatever its length");
        let finding = Finding::new(Code::Geometry, Verdict::Pass, &load.name, place, text);
        return Ok(Some(finding.after(term.source)));
    }
    let what = "the length of the load, above which the rule set requires two slings,";
    let stated = load.length.required(what, "\"length\": \"… m\"", || place.clone());
    Ok(Some(match stated {
        Ok(length) => {
            let there = Chain::start("length of a load on one sling", dimension("L", "length of the load", length));
            let clause = term.source.clone();
            at_most(
                &load.name,
                &place,
                there,
                Chain::start("the length above which two slings are required", term),
                &clause,
            )
        }
        Err(error) => Finding::from_error(Code::Geometry, &load.name, error)?,
    }))
}

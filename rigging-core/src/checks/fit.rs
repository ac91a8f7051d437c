//! Geometry: what has to go into what, and how tightly a sling is bent.

use super::alike::Alike;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::contact;
use crate::error::{Error, Place};
use crate::gear::{Construction, Known, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

pub(super) const DIMENSIONS: &str = "dimensions in the lift document";

/// Checks fits and bends.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, slings: &Alike, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let ratios = slings.ask(rules, Question::LeastBendRatio);
    for leg in lift.legs() {
        for fit in contact::fits(lift, &leg) {
            findings.push(match (fit.inner, fit.outer) {
                (Ok(inner), Ok(outer)) => {
                    let source = || Source::stated(DIMENSIONS);
                    let inner = Term::new("a", "size of what goes in", inner, "m", source());
                    let outer = Term::new("b", "clear size of what it goes into", outer, "m", source());
                    let inner = Chain::start("size of what goes in", inner);
                    Finding::compared(Code::Fit, fit.what, fit.place, inner, Chain::start("the clear size", outer))
                }
                (Err(error), _) | (_, Err(error)) => Finding::from_error(Code::Fit, fit.what, error)?,
            });
        }
        for (index, _) in leg.slings() {
            bends(lift, &leg, index, rules, ratios.of(index), findings)?;
        }
    }
    Ok(())
}

/// No least bend diameter is known. That is missing, unless the rule set lowers the rating for the bend instead, or the
/// sling is a chain, which is made up with its end fittings.
fn unlimited(sling: &Sling, place: &Place, rules: &RuleSet) -> Option<Finding> {
    if sling.construction == Construction::Chain {
        let text = "neither rule set nor maker states a least bend diameter; a chain bears on its end fittings";
        return Some(Finding::new(Code::Bend, Verdict::NotCovered, &sling.name, place.clone(), text));
    }
    let facts = Facts::new().of_sling(sling).word("taken from", "relation");
    match rules.ask(Question::BendingFactor, &facts) {
        Answer::Silent | Answer::DoesNotApply { .. } => {
            let what = format!("the least bend diameter that the maker of \"{}\" allows", sling.name);
            let add = "\"least_bend_diameter\": { \"value\": \"… mm\", \"source\": \"…\" }".to_owned();
            let missing = MissingInput { what, add, place: place.child("least_bend_diameter") };
            Some(Finding::lacking(Code::Bend, &sling.name, missing))
        }
        _ => None,
    }
}

/// Each bend against the maker's least diameter, where stated, and against the rule set's least ratio, where it has one.
fn bends(
    lift: &Lift,
    leg: &crate::arrangement::LegView<'_>,
    index: usize,
    rules: &RuleSet,
    ratio: Option<&Answer>,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let Some(sling) = lift.document().slings.get(index) else { return Ok(()) };
    let place = Place::root().child("slings").child(index);
    let mut least = Vec::new();
    if let Known::Value(limit) = &sling.least_bend_diameter {
        let term = Term::new(
            "D least",
            "least bend diameter after the maker",
            limit.value.si(),
            "m",
            Source::stated(&limit.source),
        );
        least.push(Chain::start("least bend diameter", term.from_input("as entered", limit.value.text())));
    }
    match ratio {
        Some(Answer::Speaks(ruled)) => {
            if let Some(ratio) = ruled.term() {
                let add = "\"diameter\": \"… mm\"";
                let what = format_args!("the diameter of \"{}\"", sling.name);
                match sling.diameter.required(what, add, || place.child("diameter")) {
                    Ok(diameter) => {
                        let base =
                            Term::new("d", "diameter of the sling", diameter.si(), "m", Source::stated(DIMENSIONS));
                        least.push(Chain::start("least bend diameter", base).times(ratio.clone(), Acts::OnForce));
                    }
                    Err(error) => {
                        findings.push(Finding::from_error(Code::Bend, &sling.name, error)?);
                        return Ok(());
                    }
                }
            }
        }
        Some(Answer::Refused(error)) => return Err(error.clone()),
        None | Some(Answer::Silent | Answer::DoesNotApply { .. }) => {}
        Some(other) => {
            let text = format!("the least bend diameter is not settled: {}", in_words(other));
            findings.push(Finding::new(Code::Bend, Verdict::CannotConclude, &sling.name, place, text));
            return Ok(());
        }
    }
    if least.is_empty() {
        findings.extend(unlimited(sling, &place, rules));
        return Ok(());
    }
    let least: Vec<Arc<Chain>> = least.into_iter().map(Arc::new).collect();
    for bend in contact::bends(lift, leg, index) {
        for limit in &least {
            let item = Text::from([&*sling.name, " round ", &*bend.round]);
            findings.push(match bend.diameter.clone() {
                Ok(diameter) => {
                    let term = Term::new("D", "diameter of the bend", diameter, "m", Source::stated(DIMENSIONS));
                    let capacity = Chain::start("the diameter of the bend", term);
                    let source = limit.sources().last().cloned();
                    Finding { source, ..Finding::compared(Code::Bend, item, place.clone(), limit.clone(), capacity) }
                }
                Err(error) => Finding::from_error(Code::Bend, item, error)?,
            });
        }
    }
    Ok(())
}

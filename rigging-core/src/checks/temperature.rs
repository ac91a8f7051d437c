//! Temperature of a sling against what the rule set and its maker allow.

use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Chain, Term};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::quantity::{Entered, Temperature};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;

/// The lower or the upper end of a range of temperature.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Lowest,
    Highest,
}

/// Checks one sling at both ends of the range. A limit comes from the rule set, from the maker, or from both; where
/// neither gives one, nothing can be concluded.
pub(super) fn compare(
    lift: &Lift,
    index: usize,
    sling: &Sling,
    facts: &Facts,
    rules: &RuleSet,
) -> Result<Vec<Finding>, Error> {
    let place = Place::root().child("environment").child("temperature");
    let Some([low, high]) = lift.document().environment.temperature.value() else {
        let what = "the lowest and highest temperature of the gear".to_owned();
        let add = "\"temperature\": [\"… degC\", \"… degC\"]".to_owned();
        return Ok(vec![Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place })]);
    };
    let mut findings = Vec::new();
    for (end, found) in [(End::Lowest, low), (End::Highest, high)] {
        match ruled(end, facts, rules)? {
            Ok(limit) => {
                let limits: Vec<Term> = limit.into_iter().chain(stated(end, sling)).collect();
                if limits.is_empty() {
                    findings.push(unlimited(index, sling));
                    return Ok(findings);
                }
                findings.extend(limits.into_iter().map(|limit| held_against(end, found, limit, sling, place.clone())));
            }
            Err(why) => {
                let place = Place::root().child("slings").child(index);
                let text = format!("the temperature limit is not settled: {why}");
                findings.push(Finding::new(Code::Temperature, Verdict::CannotConclude, &sling.name, place, text));
            }
        }
    }
    Ok(findings)
}

/// What the rule set allows; the inner error says in words what keeps it from speaking.
fn ruled(end: End, facts: &Facts, rules: &RuleSet) -> Result<Result<Option<Term>, String>, Error> {
    let question = match end {
        End::Lowest => Question::LowestTemperature,
        End::Highest => Question::HighestTemperature,
    };
    Ok(match rules.ask(question, facts) {
        Answer::Speaks(ruled) => Ok(ruled.term().cloned()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Refused(error) => return Err(error),
        other => Err(in_words(&other)),
    })
}

/// What the maker allows.
fn stated(end: End, sling: &Sling) -> Option<Term> {
    let range = sling.temperature_range.value()?;
    let [low, high] = &range.value;
    let limit = if end == End::Lowest { low } else { high };
    Some(reading(limit, Source::stated(&range.source)))
}

fn held_against(end: End, found: &Entered<Temperature>, limit: Term, sling: &Sling, place: Place) -> Finding {
    let source = limit.source.clone();
    let found = reading(found, Source::stated("environment in the lift document"));
    let finding = match end {
        End::Highest => {
            let asked = Chain::start("highest temperature of the gear", found);
            Finding::compared(Code::Temperature, &sling.name, place, asked, Chain::start("its highest allowed", limit))
        }
        End::Lowest => {
            let borne = Chain::start("lowest temperature of the gear", found);
            Finding::compared(Code::Temperature, &sling.name, place, Chain::start("its lowest allowed", limit), borne)
        }
    };
    finding.after(source)
}

fn unlimited(index: usize, sling: &Sling) -> Finding {
    let place = Place::root().child("slings").child(index).child("temperature_range");
    let what = format!("the temperature range of \"{}\" after its maker, as the rule set gives none,", sling.name);
    let add = "\"temperature_range\": { \"value\": [\"… degC\", \"… degC\"], \"source\": \"…\" }".to_owned();
    Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place })
}

fn reading(temperature: &Entered<Temperature>, source: Source) -> Term {
    Term::new("θ", "temperature", temperature.si(), "K", source).from_input("as entered", temperature.text())
}

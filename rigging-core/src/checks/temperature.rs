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
        if let Some(finding) = by_factor(end, found, facts, sling, rules, &place)? {
            findings.extend(finding);
            continue;
        }
        match ruled(end, facts, rules)? {
            Ok(Some(limit)) if end == End::Highest && found.si() > limit.value => {
                findings.push(beyond(found, limit, facts, sling, rules, place.clone())?);
            }
            Ok(limit) => {
                let limits: Vec<Term> = limit.into_iter().chain(stated(end, sling)).collect();
                if limits.is_empty() && !findings.iter().any(|finding| !finding.missing.is_empty()) {
                    findings.push(unlimited(index, sling));
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

/// What follows where the rule set prints what a temperature leaves of the rating; none where it prints nothing. A figure of
/// the maker is one at the full rating, so it binds only where the whole rating is left.
fn by_factor(
    end: End,
    found: &Entered<Temperature>,
    facts: &Facts,
    sling: &Sling,
    rules: &RuleSet,
    place: &Place,
) -> Result<Option<Vec<Finding>>, Error> {
    let facts = facts.clone().word("exposure", "at temperature").number("temperature", found.si(), "K");
    let said = |verdict, text: String| Finding::new(Code::Temperature, verdict, &sling.name, place.clone(), text);
    let ruled = match rules.ask(Question::TemperatureFactor, &facts) {
        Answer::Speaks(ruled) => ruled,
        Answer::Silent | Answer::DoesNotApply { .. } => return Ok(None),
        Answer::Refused(error) => return Err(error),
        other => {
            let text = format!("what {} leaves of the rating is not settled: {}", found.text(), in_words(&other));
            return Ok(Some(vec![said(Verdict::CannotConclude, text)]));
        }
    };
    let left = ruled.term().map_or(f64::NAN, |term| term.value);
    let finding = match left {
        0.0 => said(Verdict::Fail, format!("must not be used at {}", found.text())),
        1.0 => said(Verdict::Pass, format!("the full rating holds at {}", found.text())),
        _ => said(Verdict::Pass, format!("{} leaves {left} of the rating, which is lowered by it", found.text())),
    };
    let mut findings = vec![finding.after(ruled.source)];
    if left == 1.0 {
        findings.extend(stated(end, sling).map(|limit| held_against(end, found, limit, sling, place.clone())));
    }
    Ok(Some(findings))
}

/// Above the highest temperature of the full rating: a failure, unless the rule set removes the item only at a higher one and
/// so leaves what is between to the maker.
fn beyond(
    found: &Entered<Temperature>,
    limit: Term,
    facts: &Facts,
    sling: &Sling,
    rules: &RuleSet,
    place: Place,
) -> Result<Finding, Error> {
    let removal = match rules.ask(Question::RemovalTemperature, facts) {
        Answer::Speaks(ruled) => ruled.term().cloned(),
        Answer::Refused(error) => return Err(error),
        _ => None,
    };
    let removed_later = removal.is_some_and(|removal| removal.value > limit.value && found.si() <= removal.value);
    let finding = held_against(End::Highest, found, limit, sling, place);
    if !removed_later {
        return Ok(finding);
    }
    let text = format!("what {} leaves of the rating is said by the maker: the rule set does not", found.text());
    Ok(Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding })
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

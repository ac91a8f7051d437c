//! Temperature of a sling against what the rule set and its maker allow.

use super::alike::{Alike, Said};
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Chain, Term};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::quantity::{Entered, Temperature};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use std::sync::Arc;

/// The lower or the upper end of a range of temperature.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Lowest,
    Highest,
}

/// What holds for every sling: the range, and what the rule set allows.
pub(super) struct Limits<'a> {
    /// Each end of the range as a chain; none where it is not known.
    range: Option<[(End, Arc<Chain>); 2]>,
    ruled: [Said<'a, Ruled>; 2],
}

/// A limit of the rule set, if it has one; the inner error says in words what keeps it from speaking.
type Ruled = Result<Result<Option<Arc<Chain>>, String>, Error>;

impl<'a> Limits<'a> {
    pub(super) fn of(lift: &Lift, rules: &RuleSet, slings: &'a Alike) -> Self {
        let range = lift.document().environment.temperature.value().map(|[low, high]| {
            let source = || Source::stated("environment in the lift document");
            let chain = |title: &'static str, found| Arc::new(Chain::start(title, reading(found, source())));
            [
                (End::Lowest, chain("lowest temperature of the gear", low)),
                (End::Highest, chain("highest temperature of the gear", high)),
            ]
        });
        let ruled = [End::Lowest, End::Highest].map(|end| slings.each(|facts| ruled(end, facts, rules)));
        Self { range, ruled }
    }

    /// Checks one sling at both ends of the range. A limit comes from the rule set, from the maker, or from both; where
    /// neither gives one, nothing can be concluded.
    pub(super) fn compare(&self, index: usize, sling: &Sling, findings: &mut Vec<Finding>) -> Result<(), Error> {
        let place = Place::root().child("environment").child("temperature");
        let Some(range) = &self.range else {
            let what = "the lowest and highest temperature of the gear".to_owned();
            let add = "\"temperature\": [\"… degC\", \"… degC\"]".to_owned();
            findings.push(Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place }));
            return Ok(());
        };
        for ((end, found), said) in range.iter().zip(&self.ruled) {
            match said.of(index).cloned().unwrap_or(Ok(Ok(None)))? {
                Ok(ruled) => {
                    let stated = stated(*end, sling).map(|limit| Arc::new(end.allowed(limit)));
                    if ruled.is_none() && stated.is_none() {
                        findings.push(unlimited(index, sling));
                        return Ok(());
                    }
                    let limits = ruled.into_iter().chain(stated);
                    findings.extend(limits.map(|limit| held_against(*end, found, limit, sling, place.clone())));
                }
                Err(why) => {
                    let place = Place::root().child("slings").child(index);
                    let text = format!("the temperature limit is not settled: {why}");
                    findings.push(Finding::new(Code::Temperature, Verdict::CannotConclude, &sling.name, place, text));
                }
            }
        }
        Ok(())
    }
}

impl End {
    /// A limit as a chain.
    fn allowed(self, limit: Term) -> Chain {
        match self {
            Self::Lowest => Chain::start("its lowest allowed", limit),
            Self::Highest => Chain::start("its highest allowed", limit),
        }
    }
}

/// What the rule set allows.
fn ruled(end: End, facts: &Facts, rules: &RuleSet) -> Ruled {
    let question = match end {
        End::Lowest => Question::LowestTemperature,
        End::Highest => Question::HighestTemperature,
    };
    Ok(match rules.ask(question, facts) {
        Answer::Speaks(ruled) => Ok(ruled.into_term().map(|limit| Arc::new(end.allowed(limit)))),
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

fn held_against(end: End, found: &Arc<Chain>, limit: Arc<Chain>, sling: &Sling, place: Place) -> Finding {
    let source = limit.base.source.clone();
    let found = Arc::clone(found);
    let (asked, borne) = match end {
        End::Highest => (found, limit),
        End::Lowest => (limit, found),
    };
    Finding::compared(Code::Temperature, &sling.name, place, asked, borne).after(source)
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

//! Temperature of a sling against what the rule set and its maker allow.

use super::alike::Said;
use super::by_itself::ByItself;
use super::seen_temperature::{End, Seen};
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::Chain;
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::text::Text;
use std::sync::Arc;

/// What holds for every sling: the range, and what the rule set says of either end.
pub(super) struct Limits<'a, 'b> {
    lift: &'a Lift,
    rules: &'b RuleSet,
    /// None where the temperature is not known.
    range: Option<[Found<'a, 'b>; 2]>,
}

/// One end of the range that the gear sees, and what the rule set says of it to gear of each kind.
struct Found<'a, 'b> {
    seen: &'b Seen<'a>,
    /// What the temperature leaves of the rating.
    left: Said<'b, Answer>,
    /// The limit of the full rating.
    limit: Said<'b, Ruled>,
}

/// A limit of the rule set, if it has one; the inner error says in words what keeps it from speaking.
type Ruled = Result<Result<Option<Arc<Chain>>, String>, Error>;

impl<'a, 'b> Limits<'a, 'b> {
    pub(super) fn of(own: &'b ByItself<'a>, rules: &'b RuleSet) -> Self {
        let ByItself { lift, slings, temperatures, .. } = own;
        let question = Question::TemperatureFactor;
        let range = temperatures.as_ref().map(|range| {
            range.each_ref().map(|seen| Found {
                seen,
                left: slings.each(|facts| {
                    if !rules.has_rules_on(question) {
                        return Answer::Silent;
                    }
                    let facts = facts.clone().word("exposure", "at temperature");
                    rules.ask(question, &facts.number("temperature", seen.entered.si(), "K"))
                }),
                limit: slings.each(|facts| ruled(seen.end, facts, rules)),
            })
        });
        Self { lift, rules, range }
    }

    /// Checks one sling at both ends of the range. A limit comes from the rule set, from the maker, or from both; where
    /// neither gives one, nothing can be concluded. What a rule set says counts where it covers the sling: the limit of steel
    /// chain is none for fiber.
    pub(super) fn compare(
        &self,
        index: usize,
        sling: &'a Sling,
        covered: bool,
        findings: &mut Vec<Finding>,
    ) -> Result<(), Error> {
        let place = Place::root().child("environment").child("temperature");
        let Some(range) = &self.range else {
            let what = "the lowest and highest temperature of the gear".to_owned();
            let add = "\"temperature\": [\"… degC\", \"… degC\"]".to_owned();
            findings.push(Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place }));
            return Ok(());
        };
        let mut told_as_missing = false;
        for found in range {
            if let Some(answer) = found.left.of(index).filter(|_| covered)
                && found.by_factor(answer, sling, &place, findings)?
            {
                continue;
            }
            match found.limit.of(index).filter(|_| covered).cloned().unwrap_or(Ok(Ok(None)))? {
                Ok(Some(limit)) if found.seen.end == End::Highest && found.seen.entered.si() > limit.value() => {
                    findings.push(self.beyond(found, limit, sling, place.clone())?);
                }
                Ok(ruled) => {
                    let stated = found.seen.stated(sling);
                    if ruled.is_none() && stated.is_none() && !told_as_missing {
                        told_as_missing = true;
                        findings.push(unlimited(index, sling));
                    }
                    let limits = ruled.into_iter().chain(stated);
                    findings.extend(limits.map(|limit| found.seen.held_against(limit, sling, place.clone())));
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

    /// Above the highest temperature of the full rating: a failure, unless the rule set removes the item only at a higher one
    /// and so leaves what is between to the maker.
    fn beyond(&self, found: &Found<'_, '_>, limit: Arc<Chain>, sling: &Sling, place: Place) -> Result<Finding, Error> {
        let removal = match self.rules.ask(Question::RemovalTemperature, &facts_of(self.lift).of_sling(sling)) {
            Answer::Speaks(ruled) => ruled.term().map(|term| term.value),
            Answer::Refused(error) => return Err(error),
            _ => None,
        };
        let removed_later =
            removal.is_some_and(|removal| removal > limit.value() && found.seen.entered.si() <= removal);
        let finding = found.seen.held_against(limit, sling, place);
        if !removed_later {
            return Ok(finding);
        }
        let entered = found.seen.entered.text();
        let text = format!("what {entered} leaves of the rating is said by the maker: the rule set does not");
        Ok(Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding })
    }
}

impl<'a> Found<'a, '_> {
    /// What follows where the rule set prints what a temperature leaves of the rating; false where it prints nothing. A figure
    /// of the maker is one at the full rating, so it binds only where the whole rating is left.
    fn by_factor(
        &self,
        answer: &Answer,
        sling: &'a Sling,
        place: &Place,
        findings: &mut Vec<Finding>,
    ) -> Result<bool, Error> {
        let entered = self.seen.entered.text();
        let said = |verdict, text: Text| Finding::new(Code::Temperature, verdict, &sling.name, place.clone(), text);
        let ruled = match answer {
            Answer::Speaks(ruled) => ruled,
            Answer::Silent | Answer::DoesNotApply { .. } => return Ok(false),
            Answer::Refused(error) => return Err(error.clone()),
            other => {
                let text = format!("what {entered} leaves of the rating is not settled: {}", in_words(other));
                findings.push(said(Verdict::CannotConclude, text.into()));
                return Ok(true);
            }
        };
        let left = ruled.term().map_or(f64::NAN, |term| term.value);
        let finding = match left {
            0.0 => said(Verdict::Fail, format!("must not be used at {entered}").into()),
            1.0 => said(Verdict::Pass, format!("the full rating holds at {entered}").into()),
            _ => said(Verdict::Pass, format!("{entered} leaves {left} of the rating, which is lowered by it").into()),
        };
        findings.push(finding.after(ruled.source.clone()));
        if left == 1.0 {
            let stated = self.seen.stated(sling);
            findings.extend(stated.map(|limit| self.seen.held_against(limit, sling, place.clone())));
        }
        Ok(true)
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

fn unlimited(index: usize, sling: &Sling) -> Finding {
    let place = Place::root().child("slings").child(index).child("temperature_range");
    let what = format!("the temperature range of \"{}\" after its maker, as the rule set gives none,", sling.name);
    let add = "\"temperature_range\": { \"value\": [\"… degC\", \"… degC\"], \"source\": \"…\" }".to_owned();
    Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place })
}

//! Temperature of a sling against what the rule set and its maker allow.

use super::alike::{Alike, Said};
use super::by_itself::ByItself;
use super::seen_temperature::{End, Seen};
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Stance, Verdict};
use crate::chain::Chain;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Answer, Facts, OfItem, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

/// What holds for every sling: the range, and what the rule set says of either end.
pub(super) struct Limits<'a, 'b> {
    rules: &'b RuleSet,
    slings: &'b Alike,
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
    /// The temperature above which gear is removed from service; asked for at the upper end only.
    removal: Option<Said<'b, Option<Arc<Chain>>>>,
}

/// A limit of the rule set, if it has one; the inner error says what keeps it from speaking.
type Ruled = Result<Result<Option<Arc<Chain>>, Unsettled>, Error>;

/// What keeps a rule set from giving a limit.
#[derive(Clone)]
enum Unsettled {
    /// Whether the gear is wet is not known, and this asks for it.
    Moisture(Source),
    /// Anything else, in words.
    Other(String),
}

/// How far above a limit, as a share of it, a rating is looked at that is lowered from there on: more than conversions of units
/// lose and than what is taken for the limit itself, less than any step that is printed.
const ABOVE: f64 = 1e-8;

impl<'a, 'b> Limits<'a, 'b> {
    /// `applies` is what the rule set says of whether it applies to the slings: what it says of them counts where it covers
    /// them or names them otherwise, as the limit of steel chain is none for fiber.
    pub(super) fn of(own: &'b ByItself<'a>, rules: &'b RuleSet, applies: &Said<'b, Answer>) -> Self {
        let ByItself { slings, temperatures, .. } = own;
        let question = Question::TemperatureFactor;
        let range = temperatures.as_ref().map(|range| {
            range.each_ref().map(|seen| Found {
                seen,
                left: slings.each_beside(applies, |facts, applies| {
                    if !rules.has_rules_on(question) {
                        return Answer::Silent;
                    }
                    let facts = facts.clone().word("exposure", "at temperature");
                    rules.of_gear(applies).ask(question, &facts.number("temperature", seen.entered.si(), "K"))
                }),
                limit: slings.each_beside(applies, |facts, applies| ruled(seen, facts, rules.of_gear(applies))),
                removal: (seen.end == End::Highest)
                    .then(|| slings.each_beside(applies, |facts, applies| removal(facts, rules.of_gear(applies)))),
            })
        });
        Self { rules, slings, range }
    }

    /// Checks one sling at both ends of the range. A limit comes from the rule set, from the maker, or from both; where
    /// neither gives one, nothing can be concluded.
    pub(super) fn compare(&self, index: usize, sling: &'a Sling, findings: &mut Vec<Finding>) -> Result<(), Error> {
        let place = Place::root().child("environment").child("temperature");
        let Some(range) = &self.range else {
            let what = "the lowest and highest temperature of the gear".to_owned();
            let add = "\"temperature\": [\"… degC\", \"… degC\"]".to_owned();
            findings.push(Finding::lacking(Code::Temperature, &sling.name, MissingInput::new(what, add, place)));
            return Ok(());
        };
        let mut told_as_missing = false;
        let mut excluded: Vec<(Text, Source)> = Vec::new();
        for found in range {
            if let Some(limit) = found.removal(index).filter(|limit| found.seen.beyond(limit)) {
                findings.push(found.seen.held_against(limit, &sling.name, place.clone()));
                continue;
            }
            if let Some(answer) = found.left.of(index)
                && self.by_factor(found, answer, index, sling, &place, findings)?
            {
                continue;
            }
            match found.limit.of(index).cloned().unwrap_or(Ok(Ok(None)))? {
                Ok(Some(limit)) if found.seen.end == End::Highest && found.seen.beyond(&limit) => {
                    findings.push(found.above(index, limit, sling, place.clone()));
                }
                Ok(ruled) => {
                    if ruled.is_none()
                        && let Some((question, why, source)) = self.excluded(found, index)?
                        && !excluded.contains(&(why.clone(), source.clone()))
                    {
                        let text = format!("the rule set gives no {}: {why}", question.name());
                        let finding =
                            Finding::new(Code::Temperature, Verdict::NotCovered, &sling.name, place.clone(), text);
                        findings.push(finding.after(source.clone()).standing(Some(Stance::DoesNotApply)));
                        excluded.push((why, source));
                    }
                    let stated = found.seen.stated(&sling.temperature_range);
                    if ruled.is_none() && stated.is_none() && !told_as_missing {
                        told_as_missing = true;
                        findings.push(unlimited(index, sling));
                    }
                    let limits = ruled.into_iter().chain(stated);
                    findings.extend(limits.map(|limit| found.seen.held_against(limit, &sling.name, place.clone())));
                }
                Err(unsettled) => findings.push(unsettled.finding(index, sling)),
            }
        }
        Ok(())
    }

    /// Why the rule set says that it gives neither a share of the rating nor a limit for one end of the range, and which of both it
    /// says so of; none where it is silent.
    fn excluded(&self, found: &Found<'_, '_>, index: usize) -> Result<Option<(Question, Text, Source)>, Error> {
        if let Some(Answer::DoesNotApply { why, source }) = found.left.of(index) {
            return Ok(Some((Question::TemperatureFactor, why.clone(), source.clone())));
        }
        let question = match found.seen.end {
            End::Lowest => Question::LowestTemperature,
            End::Highest => Question::HighestTemperature,
        };
        if !self.rules.has_rules_on(question) {
            return Ok(None);
        }
        let facts = self.slings.facts(index)?;
        Ok(match self.rules.of_item(facts).ask(question, facts) {
            Answer::DoesNotApply { why, source } => Some((question, why, source)),
            _ => None,
        })
    }

    /// What follows where the rule set prints what a temperature leaves of the rating; false where it prints nothing. A figure
    /// of the maker is one at the full rating: it binds where the whole rating is left, and beyond it, unless the rule set
    /// lowers the rating from there on. So does a limit that another document of the set gives.
    fn by_factor(
        &self,
        found: &Found<'a, '_>,
        answer: &Answer,
        index: usize,
        sling: &'a Sling,
        place: &Place,
        findings: &mut Vec<Finding>,
    ) -> Result<bool, Error> {
        let entered = found.seen.entered.text();
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
        let stated = found.seen.stated(&sling.temperature_range);
        if let Some(limit) = &stated
            && (left == 1.0 || found.seen.beyond(limit) && !self.lowers_from(limit, index))
        {
            findings.push(found.seen.held_against(Arc::clone(limit), &sling.name, place.clone()));
        }
        match found.limit.of(index).cloned().unwrap_or(Ok(Ok(None)))? {
            Ok(Some(limit)) if found.seen.beyond(&limit) => {
                // Where the rating is lowered, its maker need only speak of this temperature.
                let spoken_of = left < 1.0 && stated.is_some_and(|stated| !found.seen.beyond(&stated));
                let finding = found.above(index, limit, sling, place.clone());
                findings.extend(Some(finding).filter(|finding| finding.verdict == Verdict::Fail || !spoken_of));
            }
            Ok(_) => {}
            Err(unsettled) => findings.push(unsettled.finding(index, sling)),
        }
        Ok(true)
    }

    /// Whether the rule set lowers the rating of a sling right above a limit.
    fn lowers_from(&self, limit: &Chain, index: usize) -> bool {
        let above = limit.value() * (1.0 + ABOVE);
        self.slings.facts(index).is_ok_and(|facts| {
            let facts = facts.clone().word("exposure", "at temperature").at_temperature(above);
            let answer = self.rules.ask(Question::TemperatureFactor, &facts);
            matches!(answer, Answer::Speaks(ruled) if ruled.term().is_some_and(|term| term.value < 1.0))
        })
    }
}

impl Found<'_, '_> {
    /// The temperature above which a sling is removed from service, where the rule set gives one.
    fn removal(&self, index: usize) -> Option<Arc<Chain>> {
        self.removal.as_ref()?.of(index)?.clone()
    }

    /// Above the highest temperature of the full rating: a failure, unless the rule set removes the item only at a higher one
    /// and so leaves what is between to the maker.
    fn above(&self, index: usize, limit: Arc<Chain>, sling: &Sling, place: Place) -> Finding {
        let removed_later =
            self.removal(index).is_some_and(|removal| removal.value() > limit.value() && !self.seen.beyond(&removal));
        let full = limit.base.source.clone();
        let finding = self.seen.held_against(limit, &sling.name, place);
        if !removed_later {
            return finding;
        }
        let entered = self.seen.entered.text();
        let text = format!("what {entered} leaves of the rating is said by the maker: {full} does not");
        Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding }
    }
}

/// What the rule set allows. Of what may be wet and frozen it can speak otherwise; that lowers a limit for no gear, so what is
/// too cold when dry is too cold.
fn ruled(seen: &Seen<'_>, facts: &Facts, rules: OfItem<'_>) -> Ruled {
    if seen.end == End::Highest {
        return limit_of(seen, Question::HighestTemperature, facts, rules);
    }
    let question = Question::LowestTemperature;
    let dry = limit_of(seen, question, &facts.clone().word("wet and frozen", "no"), rules)?;
    match &dry {
        Ok(Some(limit)) if !seen.beyond(limit) => {
            limit_of(seen, question, &facts.clone().frozen_at(seen.entered.si()), rules)
        }
        _ => Ok(dry),
    }
}

/// The temperature above which gear is removed from service.
pub(super) fn removal(facts: &Facts, rules: OfItem<'_>) -> Option<Arc<Chain>> {
    match rules.ask(Question::RemovalTemperature, facts) {
        Answer::Speaks(ruled) => ruled
            .into_term()
            .map(|limit| Arc::new(Chain::start("the temperature above which it is removed from service", limit))),
        _ => None,
    }
}

fn limit_of(seen: &Seen<'_>, question: Question, facts: &Facts, rules: OfItem<'_>) -> Ruled {
    Ok(match rules.ask(question, facts) {
        Answer::Speaks(ruled) => Ok(ruled.into_term().map(|limit| Arc::new(seen.end.allowed(limit)))),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Refused(error) => return Err(error),
        Answer::Missing { fact, needed_by } if fact == "wet and frozen" => Err(Unsettled::Moisture(needed_by)),
        other => Err(Unsettled::Other(in_words(&other))),
    })
}

impl Unsettled {
    fn finding(self, index: usize, sling: &Sling) -> Finding {
        let place = Place::root().child("slings").child(index);
        match self {
            Self::Moisture(source) => {
                let what = format!("whether \"{}\" is wet, and so frozen, which {source} asks for,", sling.name);
                let add = "\"moisture\": \"dry\" (or \"wet\")".to_owned();
                let place = place.child("moisture");
                Finding::lacking(Code::Temperature, &sling.name, MissingInput::new(what, add, place))
            }
            Self::Other(why) => {
                let text = format!("the temperature limit is not settled: {why}");
                Finding::new(Code::Temperature, Verdict::CannotConclude, &sling.name, place, text)
            }
        }
    }
}

fn unlimited(index: usize, sling: &Sling) -> Finding {
    let place = Place::root().child("slings").child(index).child("temperature_range");
    let what = format!("the temperature range of \"{}\" after its maker, as the rule set gives none,", sling.name);
    let add = "\"temperature_range\": { \"value\": [\"… degC\", \"… degC\"], \"source\": \"…\" }".to_owned();
    Finding::lacking(Code::Temperature, &sling.name, MissingInput::new(what, add, place))
}

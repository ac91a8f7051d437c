//! Temperature of the fittings against what the rule set and their makers allow.

use super::by_itself::ByItself;
use super::seen_temperature::{End, Seen};
use super::surroundings::in_words;
use super::temperature::removal;
use super::{Code, Finding, MissingInput, Stance, Verdict};
use crate::arrangement::Lift;
use crate::chain::Chain;
use crate::error::{Error, Place};
use crate::gear::Fitting;
use crate::rules::{Answer, Facts, OfItem, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

/// What a rule set says of a fitting at one end of the range.
#[derive(Clone)]
enum Ruled {
    /// Nothing, or it does not cover the fitting.
    Nothing,
    /// That its maker is asked, and why.
    Maker(Text, Source),
    /// A limit.
    Limit(Arc<Chain>),
    /// What is left of the rating.
    Left(f64, Source),
    /// What keeps it from speaking.
    Unsettled(String),
}

/// The alloy chains of a document, by grade.
const GRADES: [&str; 5] = ["4", "8", "80", "10", "100"];

/// Checks the fittings of a lift at both ends of the range. Where neither the rule set nor its maker speaks of a fitting, the
/// temperatures at which the rule set gives steel slings their full rating are taken for ordinary ones; beyond these the maker
/// is asked for. What is left open is told once for all fittings.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    // The slings ask for a temperature that is not known.
    let ByItself { lift, fittings, temperatures: Some(range), .. } = own else { return Ok(Vec::new()) };
    let place = Place::root().child("environment").child("temperature");
    let mut findings = Vec::new();
    let (mut asked, mut silent) = (Vec::new(), Vec::new());
    let mut steel = None;
    for seen in range {
        let said = fittings.each(|facts| of_rules(seen, facts, rules));
        let mut ordinary = None;
        for (index, fitting) in used(lift) {
            let new =
                |verdict, text: String| Finding::new(Code::Temperature, verdict, &fitting.name, place.clone(), text);
            let entered = seen.entered.text();
            let ruled = said.of(index).cloned().unwrap_or(Ok(Ruled::Nothing))?;
            let stated = seen.stated(&fitting.temperature_range);
            match (&ruled, &stated) {
                (Ruled::Nothing, None) => {
                    match ordinary.get_or_insert_with(|| is_ordinary(seen, own, rules, &mut steel)) {
                        Some(true) => {}
                        Some(false) => asked.push((index, fitting, entered, None)),
                        None => silent.push(fitting),
                    }
                }
                (Ruled::Maker(why, source), None) => {
                    asked.push((index, fitting, entered, Some(format!("{why} ({source})"))));
                }
                (Ruled::Nothing | Ruled::Maker(..), Some(_)) => {}
                (Ruled::Limit(limit), _) => {
                    findings.push(seen.held_against(Arc::clone(limit), &fitting.name, place.clone()));
                }
                (Ruled::Left(left, source), _) => {
                    let finding = match left {
                        0.0 => new(Verdict::Fail, format!("must not be used at {entered}")),
                        1.0 => new(Verdict::Pass, format!("the full rating holds at {entered}")),
                        _ => {
                            let text = format!(
                                "{entered} leaves {left} of the rating, by which a fitting is not lowered here"
                            );
                            new(Verdict::CannotConclude, text)
                        }
                    };
                    findings.push(finding.after(source.clone()));
                }
                (Ruled::Unsettled(why), _) => {
                    findings.push(new(Verdict::CannotConclude, format!("the temperature limit is not settled: {why}")));
                }
            }
            findings.extend(stated.map(|limit| seen.held_against(limit, &fitting.name, place.clone())));
        }
    }
    findings.extend(lacking(lift, &asked));
    silent.retain(|fitting| !asked.iter().any(|(_, other, ..)| other.name == fitting.name));
    if !silent.is_empty() {
        let text =
            format!("the rule set says nothing of the temperature of fittings: {}", names(silent.iter().copied()));
        let finding = Finding::new(Code::Temperature, Verdict::NotCovered, &lift.document().name, place, text);
        findings.push(finding.standing(Some(Stance::Silent)));
    }
    Ok(findings)
}

/// The fittings of the legs, and those that legs are collected in.
pub(super) fn used(lift: &Lift) -> impl Iterator<Item = (usize, &Fitting)> {
    let of_legs = lift.legs().flat_map(|leg| leg.fittings());
    of_legs.chain(lift.collectors().map(|(_, index, fitting)| (index, fitting)))
}

/// The names of fittings, each once.
fn names<'a>(fittings: impl Iterator<Item = &'a Fitting>) -> String {
    let mut names: Vec<&str> = Vec::new();
    for fitting in fittings {
        if !names.contains(&fitting.name.as_str()) {
            names.push(&fitting.name);
        }
    }
    names.join(", ")
}

/// That makers must say something of these fittings; none where there are none.
fn lacking(lift: &Lift, asked: &[(usize, &Fitting, &Text, Option<String>)]) -> Option<Finding> {
    let (index, _, entered, _) = asked.first()?;
    let why = asked.iter().find_map(|(.., why)| why.as_ref()).map(|why| format!(": {why}")).unwrap_or_default();
    let place = Place::root().child("fittings").child(*index).child("temperature_range");
    let names = names(asked.iter().map(|(_, fitting, ..)| *fitting));
    let what = format!("the temperature range of {names} after the maker, who is to be asked at {entered}{why},");
    let add = "\"temperature_range\": { \"value\": [\"… degC\", \"… degC\"], \"source\": \"…\" }".to_owned();
    Some(Finding::lacking(Code::Temperature, &lift.document().name, MissingInput::new(what, add, place)))
}

fn of_rules(seen: &Seen<'_>, facts: &Facts, rules: &RuleSet) -> Result<Ruled, Error> {
    let rules = rules.of_item(facts);
    if let Some(limit) = removal(facts, rules).filter(|limit| seen.end == End::Highest && seen.beyond(limit)) {
        return Ok(Ruled::Limit(limit));
    }
    match left(seen, facts, rules) {
        Answer::Silent => {}
        Answer::DoesNotApply { why, source } => return Ok(Ruled::Maker(why, source)),
        Answer::Speaks(ruled) => {
            let left = ruled.term().map_or(f64::NAN, |term| term.value);
            return Ok(Ruled::Left(left, ruled.source.clone()));
        }
        Answer::Refused(error) => return Err(error),
        other => return Ok(Ruled::Unsettled(in_words(&other))),
    }
    Ok(match limit(seen, facts, rules) {
        Answer::Speaks(ruled) => {
            let limit = ruled.into_term().map(|limit| Arc::new(seen.end.allowed(limit)));
            limit.map_or(Ruled::Nothing, Ruled::Limit)
        }
        Answer::Silent | Answer::DoesNotApply { .. } => Ruled::Nothing,
        Answer::Refused(error) => return Err(error),
        other => Ruled::Unsettled(in_words(&other)),
    })
}

fn left(seen: &Seen<'_>, facts: &Facts, rules: OfItem<'_>) -> Answer {
    let question = Question::TemperatureFactor;
    if !rules.has_rules_on(question) {
        return Answer::Silent;
    }
    rules.ask(question, &facts.clone().word("exposure", "at temperature").at_temperature(seen.entered.si()))
}

fn limit(seen: &Seen<'_>, facts: &Facts, rules: OfItem<'_>) -> Answer {
    rules.ask(limit_of(seen.end), facts)
}

const fn limit_of(end: End) -> Question {
    match end {
        End::Lowest => Question::LowestTemperature,
        End::Highest => Question::HighestTemperature,
    }
}

/// Whether every document of the set that speaks of the temperature of steel slings gives them their full rating here; none
/// where no document speaks. `steel` keeps those slings that the set covers, which are the same at both ends.
fn is_ordinary(seen: &Seen<'_>, own: &ByItself<'_>, rules: &RuleSet, steel: &mut Option<Vec<Facts>>) -> Option<bool> {
    if ![Question::TemperatureFactor, limit_of(seen.end)].into_iter().any(|question| rules.has_rules_on(question)) {
        return None;
    }
    let mut ordinary = None;
    for facts in &*steel.get_or_insert_with(|| covered_steel(own, rules)) {
        match holds_in_full(seen, facts, rules) {
            Some(false) => return Some(false),
            Some(true) => ordinary = Some(true),
            None => {}
        }
    }
    ordinary
}

/// Alloy chains, of every grade where that matters, and a steel-cored wire rope, as far as the set covers them.
fn covered_steel(own: &ByItself<'_>, rules: &RuleSet) -> Vec<Facts> {
    let steel = |construction| {
        Facts::new().amid(&own.circumstances).word("construction", construction).word("material", "steel")
    };
    let chain = steel("chain");
    let asked = [Question::AppliesToGear, Question::TemperatureFactor].into_iter();
    let by_grade =
        asked.chain([End::Lowest, End::Highest].map(limit_of)).any(|question| rules.looks_at_grade(question));
    let chains: Vec<Facts> = if by_grade {
        GRADES.into_iter().map(|grade| chain.clone().word("grade", grade)).collect()
    } else {
        vec![chain]
    };
    let ropes = [steel("wire rope").word("core", "IWRC").word("termination", "steel ferrule")];
    let covered = |facts: &Facts| rules.of_item(facts).is_covered();
    chains.into_iter().chain(ropes).filter(covered).collect()
}

/// Whether a sling has its full rating here; none where the rule set does not say.
fn holds_in_full(seen: &Seen<'_>, facts: &Facts, rules: &RuleSet) -> Option<bool> {
    let rules = rules.of_item(facts);
    match left(seen, facts, rules) {
        Answer::Speaks(ruled) => return Some(ruled.term().is_some_and(|term| term.value == 1.0)),
        Answer::DoesNotApply { .. } | Answer::OutsideRange { .. } | Answer::Withheld { .. } => return Some(false),
        _ => {}
    }
    match limit(seen, facts, rules) {
        Answer::Speaks(ruled) => Some(!seen.beyond(&seen.end.allowed(ruled.into_term()?))),
        _ => None,
    }
}

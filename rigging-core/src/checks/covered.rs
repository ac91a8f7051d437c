//! Whether the rule set covers the gear: what it is for, and what stands where it is for something else.

use super::by_itself::ByItself;
use super::fitting_temperature;
use super::surroundings::in_words;
use super::{Code, Finding, Stance, Verdict};
use crate::capacity;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// What stands of gear that the rule set is not for.
const STANDS: &str = "its marked rating stands by itself";

/// Whether the rule set covers a sling. What it is not for is not covered, a size beyond its own among it; where it hangs on what is
/// not stated, that is asked for: a sling of unknown size is not better off than one of any size.
pub(super) fn sling(
    index: usize,
    sling: &Sling,
    answer: &Answer,
    facts: Option<&Facts>,
    rules: &RuleSet,
) -> Result<Option<Finding>, Error> {
    if matches!(answer, Answer::Speaks(_)) {
        return Ok(None);
    }
    let rest = &|| named(facts, rules);
    let called = format!("{} {}", sling.material.word(), sling.construction.word());
    if matches!(answer, Answer::Silent) {
        let text = format!("the rule set does not name this gear ({called}); {}", rest());
        let place = Place::root().child("slings").child(index).child("construction");
        let finding = Finding::new(Code::Applicability, Verdict::NotCovered, &sling.name, place, text);
        return Ok(Some(finding.standing(Stance::of(answer))));
    }
    Gear {
        name: &sling.name,
        called: &called,
        place: &Place::root().child("slings").child(index),
        key: "construction",
        lacks_at: "",
        rest,
    }
    .covered(answer)
}

/// Whether the rule set covers the fittings, once for all that are alike; most sets name none, and nothing is said where it does
/// not speak of such a fitting, or only by what no fitting states.
pub(super) fn fittings(own: &ByItself<'_>, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    if !rules.has_rules_on(Question::AppliesToGear) {
        return Ok(Vec::new());
    }
    let ByItself { lift, fittings, .. } = own;
    let applies = fittings.ask(rules, Question::AppliesToGear);
    let told = |index: &usize| !matches!(applies.of(*index), None | Some(Answer::Speaks(_) | Answer::Silent));
    let mut groups: Vec<(usize, usize, Vec<&Text>)> = Vec::new();
    for (index, fitting) in fitting_temperature::used(lift).filter(|(index, _)| told(index)) {
        let Some(group) = fittings.group(index) else { continue };
        match groups.iter_mut().find(|(known, ..)| *known == group) {
            Some((.., names)) if names.contains(&&fitting.name) => {}
            Some((.., names)) => names.push(&fitting.name),
            None => groups.push((group, index, vec![&fitting.name])),
        }
    }
    let mut findings = Vec::new();
    for (_, index, names) in groups {
        let (Some(answer), Some(fitting)) = (applies.of(index), lift.document().fittings.get(index)) else { continue };
        let names: Vec<&str> = names.into_iter().map(Text::as_str).collect();
        let place = Place::root().child("fittings").child(index);
        let gear = Gear {
            name: &names.join(", ").into(),
            called: fitting.kind.word(),
            place: &place,
            key: "kind",
            lacks_at: "rating",
            rest: &|| STANDS.to_owned(),
        };
        let asked_of_none = match answer {
            Answer::Missing { fact, needed_by } => matches!(gear.lacking(fact, needed_by), Error::Unsupported { .. }),
            _ => false,
        };
        if !asked_of_none {
            findings.extend(gear.covered(answer)?);
        }
    }
    Ok(findings)
}

/// An item of gear, or several alike, and where it stands in the document.
struct Gear<'a> {
    name: &'a Text,
    called: &'a str,
    place: &'a Place,
    /// The key that says what it is.
    key: &'static str,
    /// The key under which it states its figures; empty for itself.
    lacks_at: &'static str,
    /// What stands where the set does not cover it.
    rest: &'a dyn Fn() -> String,
}

impl Gear<'_> {
    /// The finding on whether it is covered; none where it is, and where the rule set is silent.
    fn covered(&self, answer: &Answer) -> Result<Option<Finding>, Error> {
        let (name, called) = (self.name, self.called);
        let said =
            |verdict, text: String| Finding::new(Code::Applicability, verdict, name, self.place.child(self.key), text);
        let found = match answer {
            Answer::Speaks(_) | Answer::Silent => None,
            Answer::DoesNotApply { why, source } => {
                let text = format!("the rule set does not cover this gear ({called}): {why}; {}", (self.rest)());
                Some(said(Verdict::NotCovered, text).after(source.clone()))
            }
            Answer::OutsideRange { reading, policy, source } => {
                let rest = (self.rest)();
                let text = format!("the rule set does not speak of this gear ({called}): {reading} ({policy}); {rest}");
                Some(said(Verdict::NotCovered, text).after(source.clone()))
            }
            Answer::Missing { fact, needed_by } => {
                let error = match self.lacking(fact, needed_by) {
                    Error::Missing { add, place, .. } => {
                        let what = format!(
                            "the {fact} of \"{name}\" ({called}), on which hangs whether {needed_by} speaks of it,"
                        );
                        Error::Missing { what: what.into(), add, place }
                    }
                    other => other,
                };
                Some(Finding::from_error(Code::Applicability, name, error)?.after(needed_by.clone()))
            }
            Answer::Refused(error) => return Err(error.clone()),
            Answer::Withheld { .. } => {
                let text =
                    format!("whether the rule set covers this gear ({called}) is not settled: {}", in_words(answer));
                Some(said(Verdict::CannotConclude, text))
            }
        };
        Ok(found.map(|finding| finding.standing(Stance::of(answer))))
    }

    fn lacking(&self, fact: &str, needed_by: &Source) -> Error {
        let place = match self.lacks_at {
            "" => self.place.clone(),
            key => self.place.child(key),
        };
        capacity::lacking(fact, Question::AppliesToGear, needed_by, &place)
    }
}

/// What a rating rests on beside the marking.
const RATES: [Question; 12] = [
    Question::RatedValue,
    Question::DesignFactor,
    Question::TerminationEfficiency,
    Question::TerminationRatingShare,
    Question::BendingFactor,
    Question::HitchFactor,
    Question::ChokeFactor,
    Question::ChokeAngleFactor,
    Question::LegFactor,
    Question::TemperatureFactor,
    Question::WearFactor,
    Question::WetFactor,
];

/// What of gear that the rule set does not cover stands all the same: its marking, and what single rules that name it make of it.
fn named(facts: Option<&Facts>, rules: &RuleSet) -> String {
    let mut by_rules = facts.map_or_else(Vec::new, |facts| rules.naming(facts));
    by_rules.retain(|question| RATES.contains(question));
    if by_rules.is_empty() {
        return STANDS.to_owned();
    }
    let names: Vec<&str> = by_rules.into_iter().map(Question::name).collect();
    format!("its marked rating stands, with what single rules that name it say ({})", names.join(", "))
}

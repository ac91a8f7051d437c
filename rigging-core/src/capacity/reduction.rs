//! Partial factors of a rule set that divides the breaking load: load, consequence, termination or bending, wear,
//! material and twist.

use super::case::{Case, Hanging, Stated};
use super::speaks;
use crate::arrangement::{Consequence, DynamicAnalysis, Operation};
use crate::chain::Term;
use crate::error::{Error, Place};
use crate::gear::{Cited, Known, Sling};
use crate::rules::{Facts, PARTIAL_FACTORS, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;
use std::cell::RefCell;
use std::sync::Arc;

/// Safety factors that were found, or why there is none: slings that are alike have one.
#[derive(Debug, Default)]
pub(crate) struct Factors(RefCell<Vec<(Key, Found)>>);

/// What was found of the first of several slings that are alike.
#[derive(Debug)]
enum Found {
    Factor(Arc<Term>),
    /// None, and the place of the sling of which that was told.
    Refused(Error, Place),
}

impl Found {
    /// The same of a sling at another place.
    fn of(&self, place: &Place) -> Result<Arc<Term>, Error> {
        match self {
            Self::Factor(factor) => Ok(Arc::clone(factor)),
            Self::Refused(error, first) => Err(error.clone().moved(first, place)),
        }
    }
}

/// What a safety factor follows from, under one rule set and in one operation.
#[derive(Debug, PartialEq)]
struct Key {
    facts: Facts,
    /// Diameters of the bends and whether they are between the ends, and the maker's least diameter.
    bends: Vec<(f64, bool)>,
    least_bend: Option<f64>,
    least: Known<Cited<f64>>,
}

impl Key {
    /// None where the diameter of a bend is not known.
    fn of(case: &Case<'_>, facts: Facts) -> Option<Self> {
        let bends = case.bends().iter().map(|bend| Some((*bend.diameter.as_ref().ok()?, bend.between)));
        let least_bend = case.sling.least_bend_diameter.value().map(|least| least.value.si());
        Some(Self {
            facts,
            bends: bends.collect::<Option<_>>()?,
            least_bend,
            least: case.sling.least_safety_factor.clone(),
        })
    }
}

/// The safety factor of a sling as it hangs ([`found`]), looked for among those that are known.
pub(super) fn safety_factor(case: &Case<'_>) -> Result<Arc<Term>, Error> {
    let facts = case.hitched().clone();
    // Legs hang at angles of their own, which seldom matters here.
    let asked = || PARTIAL_FACTORS.into_iter().chain([Question::BendingFactor]);
    let looks = asked().any(|question| case.rules.looks_at_angle(question));
    asked().for_each(|question| case.asks(question));
    let facts = if looks { facts } else { facts.not_inclined() };
    let find = |facts: &Facts| found(case, facts, true).map(Arc::new);
    let Some(key) = Key::of(case, facts) else { return find(case.hitched()) };
    if let Some((_, known)) = case.factors.0.borrow().iter().find(|(other, _)| *other == key) {
        return known.of(&case.place);
    }
    let found = match find(&key.facts) {
        Ok(factor) => Found::Factor(factor),
        Err(error) => Found::Refused(error, case.place.clone()),
    };
    let factor = found.of(&case.place);
    case.factors.0.borrow_mut().push((key, found));
    factor
}

/// The safety factor, with every partial factor among its inputs: the nominal one, or the least one the rule set or the
/// maker allows, whichever is greater. Of termination and bending the worse counts, never their product; of the two ends,
/// the worse bend.
fn found(case: &Case<'_>, facts: &Facts, bent: bool) -> Result<Term, Error> {
    let (rules, place) = (case.rules, &case.place);
    let (facts, taken) = stated_of(case.operation(), facts.clone().word("taken from", "relation"))?;
    let mut facts = facts;
    let mut parts = Vec::new();
    let mut ask = |question: Question, name: &'static str, facts: Facts| -> Result<Facts, Error> {
        let Some(term) = speaks(rules.ask(question, &facts), question, place)? else { return Ok(facts) };
        let value = term.value;
        parts.push(term);
        Ok(facts.number(name, value, ""))
    };
    for (question, name) in [
        (Question::LoadFactor, "load factor"),
        (Question::ConsequenceFactor, "consequence factor"),
        (Question::TerminationFactor, "termination factor"),
    ] {
        facts = ask(question, name, facts)?;
    }
    let bending = if bent { worst_bend(case, &facts)? } else { None };
    match &bending {
        Some(term) => facts = facts.number("bending factor", term.value, ""),
        None if !bent => facts = facts.number("bending factor", 1.0, ""),
        None => {}
    }
    for (question, name) in [
        (Question::ReductionFactor, "reduction factor"),
        (Question::WearFactor, "wear factor"),
        (Question::MaterialFactor, "material factor"),
        (Question::TwistFactor, "twist factor"),
    ] {
        facts = ask(question, name, facts)?;
    }
    parts.extend(bending);
    let question = Question::NominalSafetyFactor;
    let term = speaks(rules.ask(question, &facts), question, place)?;
    let term = term.ok_or_else(|| Error::unsupported("a safety factor: the rule set gives none", place.clone()))?;
    let mut term = not_below_the_least(term, case.sling, &facts, rules, place)?;
    if let Some(taken) = taken {
        term = term.from_input("taken", taken);
    }
    for part in parts {
        let value = format!("{} = {} ({})", part.symbol, part.value, part.source);
        term = term.from_input(part.name, value);
    }
    Ok(term)
}

/// What the safety factor of a sling with its ends alone, however it is bent, is of the one that rates it: at most 1; none where a rule
/// set rates it otherwise or one of both is not to be had.
pub(crate) fn share_of_ends(stated: Stated<'_>, hanging: &Hanging<'_>, rules: &RuleSet) -> Option<f64> {
    let factors = Factors::default();
    let case = Case::of(stated, hanging, rules, &factors);
    if !rules.has_rules_on(Question::NominalSafetyFactor) {
        return None;
    }
    let with = found(&case, case.hitched(), true).ok()?;
    let without = found(&case, case.hitched(), false).ok()?;
    Some((without.value / with.value).min(1.0))
}

/// What the document states of analysis and failure. What it does not state is taken at its most severe, and the second result
/// says what.
fn stated_of(operation: &Operation, facts: Facts) -> Result<(Facts, Option<Text>), Error> {
    let mut taken = Vec::new();
    let facts = match operation.dynamic_analysis.value() {
        Some(DynamicAnalysis::Detailed(analysis)) => {
            let place = || {
                Place::root()
                    .child("operation")
                    .child("dynamic_analysis")
                    .child("detailed")
                    .child("environmental_share")
            };
            let what = "the share of waves and wind in the largest load, on which the load factor rests,";
            let add = "\"environmental_share\": { \"value\": \"… %\", \"source\": \"…\" }";
            let share = analysis.environmental_share.required(what, add, place)?;
            facts.word("dynamic analysis", "detailed").number("environmental share of load", share.value.si(), "")
        }
        Some(DynamicAnalysis::NotMade) => facts.word("dynamic analysis", "none"),
        None => {
            taken.push("no detailed dynamic analysis");
            facts.word("dynamic analysis", "none")
        }
    };
    let consequence = operation.consequence_of_failure.value().copied().unwrap_or_else(|| {
        taken.push("failure means total loss");
        Consequence::TotalLoss
    });
    let facts = facts.word("consequence of failure", consequence.word());
    Ok((facts, (!taken.is_empty()).then(|| taken.join("; ").into())))
}

/// The greater of the nominal safety factor and the least allowed; a document that states none of the maker's is taken at
/// its word, and the chain says so.
fn not_below_the_least(
    nominal: Term,
    sling: &Sling,
    facts: &Facts,
    rules: &RuleSet,
    place: &Place,
) -> Result<Term, Error> {
    const STATED: &str = "maker states a least safety factor";
    const MAKERS: &str = "maker's least safety factor";
    let (facts, from) = match sling.least_safety_factor.value() {
        Some(least) => (facts.clone().word(STATED, "yes").number(MAKERS, least.value, ""), least.source.clone()),
        None => (facts.clone().word(STATED, "no"), "none stated in the lift document".into()),
    };
    let question = Question::LeastSafetyFactor;
    let least = speaks(rules.ask(question, &facts), question, place)?;
    // Where no rule reads the maker's figure, it still binds.
    let least = least.or_else(|| {
        let stated = sling.least_safety_factor.value()?;
        Some(Term::new("", question.name(), stated.value, "", Source::stated(&stated.source)))
    });
    let Some(least) = least else { return Ok(nominal) };
    let (greater, other) = if least.value > nominal.value { (least, nominal) } else { (nominal, least) };
    Ok(greater.instead_of(other.name, other.value, other.source).from_input(MAKERS, from))
}

pub(super) fn worst_bend(case: &Case<'_>, facts: &Facts) -> Result<Option<Term>, Error> {
    let sling = case.sling;
    case.asks(Question::BendingFactor);
    let mut worst: Option<Term> = None;
    let mut before: Vec<(f64, bool)> = Vec::new();
    for bend in case.bends() {
        let diameter = bend.diameter.clone()?;
        // Of bends that are alike the first is told.
        if before.contains(&(diameter, bend.between)) {
            continue;
        }
        before.push((diameter, bend.between));
        let mut facts = if bend.between { facts.clone().bent_between() } else { facts.clone() };
        if let Some(own) = sling.diameter.value() {
            facts = facts.number("bend ratio", diameter / own.si(), "");
        }
        if let Some(least) = sling.least_bend_diameter.value() {
            facts = facts.number("bend diameter to maker's least", diameter / least.value.si(), "");
        }
        let question = Question::BendingFactor;
        if let Some(term) = speaks(case.rules.ask(question, &facts), question, &case.place)? {
            let term = term.from_input("bent round", bend.round.clone());
            worst = match worst {
                Some(other) if other.value >= term.value => Some(other),
                _ => Some(term),
            };
        }
    }
    Ok(worst)
}

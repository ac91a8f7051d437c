//! Geometry: what has to go into what, and how tightly a sling is bent.

use super::alike::Made;
use super::by_itself::ByItself;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict, collectors};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::contact::{self, Bend, Fit};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Cited, Construction, Known, Sling};
use crate::quantity::{Entered, Length};
use crate::rules::{Answer, BREAKING_LOAD, Facts, MARKED, Question, RuleSet};
use crate::source::{DIMENSIONS, Source};
use crate::text::Text;
use std::sync::Arc;

/// What goes into what.
#[derive(Clone)]
pub(super) struct Fits {
    /// Leg by leg.
    pub(super) legs: Vec<Vec<Finding>>,
    /// Whether the fittings that collect legs fit where they are, and whether there is room where legs meet.
    pub(super) collectors: Vec<Finding>,
}

impl Fits {
    pub(super) fn of(lift: &Lift) -> Result<Self, Error> {
        // What was found of two sizes before.
        let mut fitted = Made::none();
        let legs = lift.legs().map(|leg| told(contact::fits(lift, &leg), &mut fitted)).collect::<Result<_, _>>()?;
        let mut found = told(contact::collector_fits(lift), &mut fitted)?;
        found.extend(collectors::room(lift)?);
        Ok(Self { legs, collectors: found })
    }
}

fn told(fits: Vec<Fit>, fitted: &mut Made<[u64; 2], Finding>) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::with_capacity(fits.len());
    for fit in fits {
        findings.push(match (fit.inner, fit.outer) {
            (Ok(inner), Ok(outer)) => {
                let same = fitted.once([inner, outer].map(f64::to_bits), || goes_in(inner, outer));
                same.alike(fit.what, fit.place)
            }
            (Err(error), _) | (_, Err(error)) => Finding::from_error(Code::Fit, fit.what, error)?,
        });
    }
    Ok(findings)
}

/// Tells the fits, and checks the bends.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let fits = own.fits()?;
    let slings = &own.slings;
    let question = Question::LeastBendRatio;
    let at_ends = slings.ask(rules, question);
    let between = slings.each(|facts| rules.ask(question, &facts.clone().bent_between()));
    let thimbles = slings.each(|facts| rules.ask(question, &facts.clone().bent_round_a_thimble()));
    let mut bends = own.bends.iter();
    let mut bent = Made::none();
    for (leg, fits) in own.lift.legs().zip(fits.legs) {
        findings.extend(fits);
        for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
            findings.extend(thimble(sling, index, thimbles.of(index), at_ends.of(index)));
            let mut told = false;
            for (is_between, ratios) in [(false, &at_ends), (true, &between)] {
                // A sling whose bends are not known is told of all the same.
                let there = bends.iter().any(|bend| bend.between == is_between) || (bends.is_empty() && !is_between);
                if !there || told {
                    continue;
                }
                // What decides of a bend but for its diameter.
                let (group, ratio) = (slings.group(index), ratios.of(index));
                let (maker, diameter) = (&sling.least_bend_diameter, &sling.diameter);
                let key = Key { group, between: is_between, maker, diameter };
                let limited = bent.once(key, || Limited { least: least(sling, index, ratio), found: Made::none() });
                match &limited.least {
                    Ok(known) if known.is_empty() => {
                        let place = Place::root().child("slings").child(index);
                        let found = unlimited(own.lift, sling, is_between, &place, rules);
                        told = found.is_some();
                        findings.extend(found);
                    }
                    Ok(_) => {
                        let bends = bends.iter().filter(|bend| bend.between == is_between);
                        held_against(sling, index, bends, limited, findings)?;
                    }
                    // What is not settled is told of each sling by its own name.
                    Err(_) => {
                        if let Err(found) = least(sling, index, ratio) {
                            findings.push((*found)?);
                            told = true;
                        }
                    }
                }
            }
        }
    }
    findings.extend(fits.collectors);
    Ok(())
}

/// What the rule set asks of a thimble, by a rule that is not that for any eye: told, for no key of the lift document states one.
fn thimble(sling: &Sling, index: usize, at_thimble: Option<&Answer>, at_end: Option<&Answer>) -> Option<Finding> {
    let ruled = at_thimble?.ruled()?;
    if at_end.and_then(Answer::ruled).is_some_and(|other| other.rule == ruled.rule) {
        return None;
    }
    let least = ruled.term()?.value;
    let text = format!(
        "{}: at least {least}; the lift document describes no thimbles, so a sling with one is to be measured by hand",
        ruled.rule
    );
    let place = Place::root().child("slings").child(index);
    Some(Finding::new(Code::Bend, Verdict::NotCovered, &sling.name, place, text).after(ruled.source.clone()))
}

/// What goes in, held against what it goes into.
fn goes_in(inner: f64, outer: f64) -> Finding {
    let source = || Source::fixed(&DIMENSIONS);
    let inner = Term::new("a", "size of what goes in", inner, "m", source());
    let outer = Term::new("b", "clear size of what it goes into", outer, "m", source());
    let inner = Chain::start("size of what goes in", inner);
    Finding::compared(Code::Fit, "", Place::root(), inner, Chain::start("the clear size", outer))
}

/// No least bend diameter is known. That is missing, unless the rule set lowers the rating for the bend instead, or the
/// sling is a chain, which is made up with its end fittings.
fn unlimited(lift: &Lift, sling: &Sling, between: bool, place: &Place, rules: &RuleSet) -> Option<Finding> {
    if sling.construction == Construction::Chain {
        let text = "neither rule set nor maker states a least bend diameter; a chain bears on its end fittings";
        return Some(Finding::new(Code::Bend, Verdict::NotCovered, &sling.name, place.clone(), text));
    }
    let facts = facts_of(lift).of_sling(sling);
    let lowered = || {
        let facts = facts.clone().word("taken from", "relation");
        let facts = if between { facts.bent_between() } else { facts };
        !matches!(rules.ask(Question::BendingFactor, &facts), Answer::Silent | Answer::DoesNotApply { .. })
    };
    if by_breaking_load(sling, &facts, rules) && lowered() {
        return None;
    }
    let what = format!("the least bend diameter that the maker of \"{}\" allows", sling.name);
    let add = "\"least_bend_diameter\": { \"value\": \"… mm\", \"source\": \"…\" }".to_owned();
    let missing = MissingInput::new(what, add, place.child("least_bend_diameter"));
    Some(Finding::lacking(Code::Bend, &sling.name, missing))
}

/// Whether a sling is rated by its breaking load: a factor for bends is in such a rating, and in no other.
fn by_breaking_load(sling: &Sling, facts: &Facts, rules: &RuleSet) -> bool {
    let Answer::Speaks(ruled) = rules.ask(Question::RatingBasis, facts) else { return false };
    let names = |basis: &str| ruled.words().iter().any(|word| word.as_str() == basis);
    names(BREAKING_LOAD) && !(names(MARKED) && sling.strength.is_marked())
}

/// What decides of the least diameter of a sling's bends.
#[derive(PartialEq)]
struct Key<'a> {
    group: Option<usize>,
    between: bool,
    maker: &'a Known<Cited<Entered<Length>>>,
    diameter: &'a Known<Entered<Length>>,
}

/// What a bend must be at least.
struct Limited {
    least: Least,
    /// For each bend held against a limit, what was found.
    found: Made<(usize, u64), Finding>,
}

/// The least diameters of a bend; or what is said where they are not settled.
type Least = Result<Vec<Arc<Chain>>, Box<Result<Finding, Error>>>;

/// The maker's least diameter, where stated, and that by the rule set's least ratio, where it has one.
fn least(sling: &Sling, index: usize, ratio: Option<&Answer>) -> Least {
    let place = || Place::root().child("slings").child(index);
    let mut least = Vec::new();
    if let Known::Value(limit) = &sling.least_bend_diameter {
        let source = Source::stated(&limit.source);
        let term = Term::new("D least", "least bend diameter after the maker", limit.value.si(), "m", source);
        least.push(Chain::start("least bend diameter", term.from_input("as entered", limit.value.text())).into());
    }
    match ratio {
        Some(Answer::Speaks(ruled)) => {
            if let Some(ratio) = ruled.term() {
                let what = format_args!("the diameter of \"{}\"", sling.name);
                let diameter = sling.diameter.required(what, "\"diameter\": \"… mm\"", || place().child("diameter"));
                let diameter = diameter.map_err(|error| Finding::from_error(Code::Bend, &sling.name, error))?;
                let base = Term::new("d", "diameter of the sling", diameter.si(), "m", Source::fixed(&DIMENSIONS));
                least.push(Chain::start("least bend diameter", base).times(ratio.clone(), Acts::OnForce).into());
            }
        }
        Some(Answer::Refused(error)) => return Err(Box::new(Err(error.clone()))),
        None | Some(Answer::Silent | Answer::DoesNotApply { .. }) => {}
        Some(other) => {
            let text = format!("the least bend diameter is not settled: {}", in_words(other));
            let finding = Finding::new(Code::Bend, Verdict::CannotConclude, &sling.name, place(), text);
            return Err(Box::new(Ok(finding)));
        }
    }
    Ok(least)
}

/// Each bend against every limit.
fn held_against<'a>(
    sling: &Sling,
    index: usize,
    bends: impl Iterator<Item = &'a Bend>,
    limited: &mut Limited,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let place = Place::root().child("slings").child(index);
    for bend in bends {
        for (number, limit) in limited.least.iter().flatten().enumerate() {
            let item = Text::from([&*sling.name, " round ", &*bend.round]);
            findings.push(match &bend.diameter {
                Ok(diameter) => {
                    let found = limited.found.once((number, diameter.to_bits()), || round(*diameter, limit));
                    found.alike(item, place.clone())
                }
                Err(error) => Finding::from_error(Code::Bend, item, error.clone())?,
            });
        }
    }
    Ok(())
}

/// The diameter of a bend, held against a limit.
fn round(diameter: f64, limit: &Arc<Chain>) -> Finding {
    let term = Term::new("D", "diameter of the bend", diameter, "m", Source::fixed(&DIMENSIONS));
    let capacity = Chain::start("the diameter of the bend", term);
    let source = limit.sources().last().cloned();
    Finding { source, ..Finding::compared(Code::Bend, "", Place::root(), Arc::clone(limit), capacity) }
}

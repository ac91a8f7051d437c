//! The weight that hangs: mass by its basis, contingency, and what the rule set puts on weight.

use super::circumstances::{circumstances, stated_at};
use super::snag::{Beside, Stuck};
use crate::arrangement::{Anchor, LegView, Lift, MassBasis, OperationKind};
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::gear::Fitting;
use crate::quantity::Mass;
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::{Source, WEIGHT};
use crate::system::Masses;
use crate::text::Text;
use std::sync::Arc;

/// Masses of the load and of the gear, and the factors on weight.
#[derive(Debug, Clone, PartialEq)]
pub struct DesignWeight {
    /// Load: mass × contingency, without dynamic factor, in kg.
    pub static_mass: Chain,
    /// Load: the weight that is hung in the model, with every factor on weight, in N.
    pub chain: Chain,
    /// The dynamic factor, where the rule set speaks.
    pub dynamic: Option<Term>,
    /// Mass of spreaders, in kg.
    pub spreader_mass: f64,
    /// Mass of slings and fittings below the hook; `Err` names the first one whose mass is not known.
    pub gear_mass: Result<f64, Error>,
    /// What is asked beside, where the load sticks; none of the lift itself.
    pub stuck: Option<Stuck>,
}

impl DesignWeight {
    /// The masses whose weight is hung in the model, with every factor on weight.
    pub fn moving(&self) -> Masses {
        let dynamic = self.dynamic.as_ref().map_or(1.0, |term| term.value);
        Masses { load: self.hung(self.static_mass.value() * dynamic), on_spreaders: dynamic }
    }

    /// The same without the dynamic factor.
    pub fn at_rest(&self) -> Masses {
        Masses::of_load(self.hung(self.static_mass.value()))
    }

    /// A mass, in kg, with what is asked beside it.
    fn hung(&self, mass: f64) -> Mass {
        Mass::kilograms(match self.stuck.as_ref().map(|stuck| &stuck.beside) {
            None => mass,
            Some(Beside::Pull(_, weighs)) => mass + weighs,
            Some(Beside::Factor(factor)) => mass * factor.value,
        })
    }

    /// The chain of the weight without the dynamic factor.
    pub(super) fn chain_at_rest(&self) -> Chain {
        let mut chain = self.chain.clone();
        if self.stuck.is_some() {
            chain.steps.pop();
        }
        if self.dynamic.is_some() {
            chain.steps.pop();
        }
        self.beside(chain)
    }

    fn beside(&self, chain: Chain) -> Chain {
        match self.stuck.as_ref().map(|stuck| &stuck.beside) {
            None => chain,
            Some(Beside::Pull(pull, _)) => chain.plus(pull.clone(), Acts::OnWeight),
            Some(Beside::Factor(factor)) => chain.times(factor.clone(), Acts::OnWeight),
        }
    }

    /// The same weight of a load that sticks.
    pub(super) fn where_it_sticks(self, stuck: Stuck) -> Self {
        let of = Self { stuck: Some(stuck), ..self };
        Self { chain: of.beside(of.chain.clone()), ..of }
    }

    /// The share of every capacity that counts; none where it is the whole.
    pub fn of_capacity(&self) -> Option<&Term> {
        self.stuck.as_ref()?.of_capacity.as_ref()
    }

    /// The masses of [`Self::moving`], where a dynamic factor makes them others than those at rest.
    pub(super) fn with_dynamic_factor(&self) -> Option<Masses> {
        self.dynamic.as_ref().map(|_| self.moving())
    }
}

/// The design weight of a lift under a rule set.
///
/// # Errors
/// [`Error::Missing`] for mass, basis, contingency or gravity that are not known, and for a fact that the rule set's
/// dynamic factor needs.
pub fn weigh(lift: &Lift, rules: &RuleSet) -> Result<DesignWeight, Error> {
    weigh_amid(lift, &circumstances(lift), rules)
}

/// The same, where it is known already what holds of the lift whatever is asked.
pub(super) fn weigh_amid(lift: &Lift, amid: &Arc<Facts>, rules: &RuleSet) -> Result<DesignWeight, Error> {
    let document = lift.document();
    let place = Place::root().child("load").child("mass");
    let mass = &document.load.mass;
    let value = mass.value.required("the mass of the load", "\"value\": \"… t\"", || place.child("value"))?;
    let add = "\"basis\": \"weighed\" (or \"calculated\", \"not_to_exceed\")";
    let basis = mass.basis.required("how the mass is known", add, || place.child("basis"))?;
    let source =
        mass.source.required("the paper that states the mass", "\"source\": \"…\"", || place.child("source"))?;
    let stated =
        Term::new("m", format!("mass of the load, {}", basis.word()), value.si(), "kg", Source::stated(source))
            .from_input("as entered", value.text());
    let static_mass =
        contingency(lift, amid, rules, *basis, Chain::start("mass of the load with contingency", stated))?;
    let static_mass = match least(amid, rules)? {
        Some(least) => static_mass.greatest_of(least, Acts::OnWeight),
        None => static_mass,
    };
    let gear_mass = gear_mass(lift);
    let spreader_mass = spreader_mass(lift)?;
    let dynamic = dynamic_factor(lift, amid, rules, static_mass.value() + spreader_mass, &gear_mass)?;
    let add = "\"gravity\": \"9.80665 m/s2\"";
    let gravity = document.gravity.required("the acceleration of gravity", add, || Place::root().child("gravity"))?;
    let chain = static_mass.clone();
    let chain = Chain { quantity: "weight of the load".into(), ..chain };
    let weight = chain.value() * gravity.si();
    let term = Term::new("W", "weight: mass times the acceleration of gravity", weight, "N", Source::fixed(&WEIGHT))
        .from_input("acceleration of gravity", gravity.text());
    let mut chain = chain.becomes(term, Acts::OnWeight);
    if let Some(term) = &dynamic {
        chain = chain.times(term.clone(), Acts::OnWeight);
    }
    Ok(DesignWeight { static_mass, chain, dynamic, spreader_mass, gear_mass, stuck: None })
}

/// What an item counts for at least, where the rule set says so. One that is not settled is not passed over: the lift would be
/// taken for lighter than it counts.
fn least(amid: &Arc<Facts>, rules: &RuleSet) -> Result<Option<Term>, Error> {
    let question = Question::LeastItemWeight;
    if !rules.has_rules_on(question) {
        return Ok(None);
    }
    let place = || Place::root().child("load").child("mass");
    match rules.ask(question, &Facts::new().amid(amid)) {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Missing { fact, needed_by } => Err(lacking(&fact, question, &needed_by, place())),
        Answer::OutsideRange { reading, policy, source } => {
            Err(Error::unsupported(format!("a {}: {reading} ({source}: {policy})", question.name()), place()))
        }
        Answer::Withheld { why, source, .. } => {
            Err(Error::unsupported(format!("a {}: {why} ({source})", question.name()), place()))
        }
        Answer::Refused(error) => Err(error),
    }
}

/// A fact that a rule on the weight needs: where the document states it, or that the question is not asked with it.
fn lacking(fact: &str, question: Question, needed_by: &Source, place: Place) -> Error {
    match stated_at(fact) {
        Some((at, add)) => {
            Error::missing(format!("the {fact}, which the {} after {needed_by} needs,", question.name()), add, at)
        }
        None => Error::unsupported(
            format!("the {}: {needed_by} needs the {fact}, with which this question is not asked", question.name()),
            place,
        ),
    }
}

fn contingency(
    lift: &Lift,
    amid: &Arc<Facts>,
    rules: &RuleSet,
    basis: MassBasis,
    chain: Chain,
) -> Result<Chain, Error> {
    let place = Place::root().child("load").child("mass").child("contingency");
    let stated = &lift.document().load.mass.contingency;
    let question = Question::WeightContingency;
    let facts = rules.has_rules_on(question).then(|| Facts::new().amid(amid).word("mass basis", basis.word()));
    let ruled = match facts.map_or(Answer::Silent, |facts| rules.ask(question, &facts)) {
        Answer::Speaks(ruled) => ruled.into_term(),
        Answer::Refused(error) => return Err(error),
        Answer::Silent | Answer::DoesNotApply { .. } | Answer::Withheld { .. } => None,
        Answer::Missing { fact, needed_by } => {
            let what = format!("the contingency on the mass, for which {needed_by} needs the {fact}");
            return Err(Error::unsupported(what, place));
        }
        Answer::OutsideRange { reading, policy, source } => {
            return Err(Error::unsupported(
                format!("the contingency on the mass: {reading} ({source}: {policy})"),
                place,
            ));
        }
    };
    let stated = match (basis, stated.value()) {
        (_, Some(fraction)) => {
            let name = "contingency stated with the mass";
            Some(
                Term::new("c", name, 1.0 + fraction.si(), "", Source::stated("contingency in the lift document"))
                    .from_input("as entered", fraction.text()),
            )
        }
        (MassBasis::NotToExceed, None) => None,
        (_, None) => {
            let what = format!("the contingency on a mass that is {}", basis.word());
            return Err(Error::missing(what, "\"contingency\": \"… %\"", place));
        }
    };
    Ok(match (stated, ruled) {
        (None, None) => chain,
        (Some(term), None) | (None, Some(term)) => chain.times(term, Acts::OnWeight),
        // The greater of the two; the other stands beside it.
        (Some(stated), Some(ruled)) => {
            let (taken, other) = if stated.value >= ruled.value { (stated, ruled) } else { (ruled, stated) };
            chain.times(taken.instead_of(other.name, other.value, other.source), Acts::OnWeight)
        }
    })
}

fn gear_mass(lift: &Lift) -> Result<f64, Error> {
    let legs = lift.legs().try_fold(0.0, |sum, leg| Ok::<f64, Error>(sum + leg_mass(&leg)?))?;
    lift.collectors().try_fold(legs, |sum, (_, index, fitting)| Ok(sum + fitting_mass(index, fitting)?))
}

/// Mass of the slings and fittings that can hang from one of several hooks: every leg that hangs from it, or from none.
///
/// # Errors
/// [`Error::Missing`] for the first one whose mass is not known.
pub(super) fn gear_below(lift: &Lift, hook: usize) -> Result<f64, Error> {
    let hung = |leg: &LegView<'_>, on: &dyn Fn(usize) -> bool| {
        leg.links.stations.iter().any(|anchor| matches!(anchor, Anchor::Hook(hook) if on(*hook)))
    };
    let legs = lift.legs().filter(|leg| hung(leg, &|found| found == hook) || !hung(leg, &|_| true));
    let collectors = lift.collectors().filter(|(anchor, ..)| !matches!(anchor, Anchor::Hook(other) if *other != hook));
    let masses =
        legs.map(|leg| leg_mass(&leg)).chain(collectors.map(|(_, index, fitting)| fitting_mass(index, fitting)));
    masses.into_iter().try_fold(0.0, |sum, mass| Ok(sum + mass?))
}

fn leg_mass(leg: &LegView<'_>) -> Result<f64, Error> {
    let root = Place::root();
    let add = "\"mass\": \"… kg\"";
    let mut sum = 0.0;
    for (index, sling) in leg.slings() {
        let place = || root.child("slings").child(index).child("mass");
        sum += sling.mass.required(format_args!("the mass of \"{}\"", sling.name), add, place)?.si();
    }
    for (index, fitting) in leg.fittings() {
        sum += fitting_mass(index, fitting)?;
    }
    Ok(sum)
}

fn fitting_mass(index: usize, fitting: &Fitting) -> Result<f64, Error> {
    let place = || Place::root().child("fittings").child(index).child("mass");
    Ok(fitting.mass.required(format_args!("the mass of \"{}\"", fitting.name), "\"mass\": \"… kg\"", place)?.si())
}

/// Mass of the spreaders.
fn spreader_mass(lift: &Lift) -> Result<f64, Error> {
    let spreaders = lift.document().spreaders.iter().enumerate();
    spreaders
        .map(|(index, spreader)| {
            let place = || Place::root().child("spreaders").child(index).child("mass");
            let what = format_args!("the mass of \"{}\"", spreader.name);
            Ok(spreader.mass.required(what, "\"mass\": \"… t\"", place)?.si())
        })
        .try_fold(0.0, |sum, mass: Result<f64, Error>| Ok(sum + mass?))
}

/// What the dynamic factor is asked with beside the static hook load.
fn asked_of_dynamics(lift: &Lift, amid: &Arc<Facts>, load_mass: f64) -> Facts {
    let document = lift.document();
    let mut facts = Facts::new().amid(amid).number("gross weight", load_mass, "kg");
    // One crane stands on one vessel.
    if document.hooks.len() == 1 || document.operation.kind.value() == Some(&OperationKind::TwoHookLift) {
        facts = facts.word("vessels", "one");
    }
    match document.environment.location.value() {
        Some(place) => facts.word("place", place.word()),
        None => facts.unknown("place"),
    }
}

/// The dynamic factor that a rule set makes of the static load on one of several hooks, pulled at rest with `pull`, in N: none where
/// it makes none, or where the mass of gear below the hook is not known.
pub(crate) fn dynamic_factor_of_hook(
    lift: &Lift,
    rules: &RuleSet,
    weight: &DesignWeight,
    hook: usize,
    pull: f64,
) -> Option<Term> {
    let gravity = lift.document().gravity.value()?.si();
    let load = pull / gravity + gear_below(lift, hook).ok()?;
    let facts = asked_of_dynamics(lift, &circumstances(lift), weight.static_mass.value() + weight.spreader_mass);
    match rules.ask(Question::DynamicFactor, &facts.number("static hook load", load, "kg")) {
        Answer::Speaks(ruled) => ruled.into_term(),
        _ => None,
    }
}

/// The dynamic factor is asked with the static hook load: load, contingency and gear.
fn dynamic_factor(
    lift: &Lift,
    amid: &Arc<Facts>,
    rules: &RuleSet,
    load_mass: f64,
    gear_mass: &Result<f64, Error>,
) -> Result<Option<Term>, Error> {
    let location = Place::root().child("environment").child("location");
    match ask_dynamic_factor(lift, amid, rules, load_mass, gear_mass) {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Missing { fact, .. } if fact == "static hook load" => match gear_mass {
            Err(error) => Err(error.clone()),
            Ok(_) => Err(Error::missing(fact, "the mass of every sling and fitting", Place::root())),
        },
        Answer::Missing { fact, .. } if fact == "place" => {
            let what = "where the lift is done, which decides the dynamic factor";
            Err(Error::missing(what, "\"location\": \"onshore\" (or \"inshore\", \"offshore\")", location))
        }
        Answer::Missing { fact, needed_by } => {
            Err(lacking(&fact, Question::DynamicFactor, &needed_by, Place::root().child("operation")))
        }
        Answer::OutsideRange { reading, policy, source } => {
            Err(Error::unsupported(format!("a dynamic factor: {reading} ({source}: {policy})"), location))
        }
        Answer::Withheld { why, source, .. } => {
            Err(Error::unsupported(format!("a dynamic factor: {why} ({source})"), location))
        }
        Answer::Refused(error) => Err(error),
    }
}

fn ask_dynamic_factor(
    lift: &Lift,
    amid: &Arc<Facts>,
    rules: &RuleSet,
    load_mass: f64,
    gear_mass: &Result<f64, Error>,
) -> Answer {
    if !rules.has_rules_on(Question::DynamicFactor) {
        return Answer::Silent;
    }
    let facts = asked_of_dynamics(lift, amid, load_mass);
    let facts = match gear_mass {
        Ok(gear) => facts.number("static hook load", load_mass + gear, "kg"),
        Err(_) => facts.unknown("static hook load"),
    };
    rules.ask(Question::DynamicFactor, &facts)
}

/// Why a rule set gives no dynamic factor, in its words and with its source; none where it is silent.
pub(crate) fn why_no_dynamic_factor(
    lift: &Lift,
    amid: &Arc<Facts>,
    rules: &RuleSet,
    weight: &DesignWeight,
) -> Option<(Text, Source)> {
    let mass = weight.static_mass.value() + weight.spreader_mass;
    match ask_dynamic_factor(lift, amid, rules, mass, &weight.gear_mass) {
        Answer::DoesNotApply { why, source } => Some((why, source)),
        _ => None,
    }
}

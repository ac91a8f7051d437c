//! Factors of a rule set on shares of the load: they act on what the balance makes of a leg, a place or one of several hooks, and
//! never on the weight of everything under a single hook, which no share changes.

use super::ToleranceBox;
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::length;
use crate::rules::{Answer, Facts, Question, RuleSet};

/// Factors on shares of the load.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ShareFactors {
    /// On every share, for a center of gravity of which the lift states no box; none where it states one.
    pub center_of_gravity: Option<Term>,
}

impl ShareFactors {
    /// The factors of a rule set for a lift.
    ///
    /// # Errors
    /// What keeps the rule set from giving the factor for a center of gravity of which no box is stated: [`Error::Missing`],
    /// [`Error::Unsupported`].
    pub fn of(lift: &Lift, rules: &RuleSet) -> Result<Self, Error> {
        let boxed = !lift.document().load.center_of_gravity.tolerance.is_unknown();
        Ok(Self { center_of_gravity: if boxed { None } else { for_center_of_gravity(lift, rules)? } })
    }

    /// Whether nothing is raised.
    pub fn are_none(&self) -> bool {
        self.center_of_gravity.is_none()
    }

    /// The box of tolerances: that of the lift, or, where a factor stands for the center of gravity, with it where it is stated.
    ///
    /// # Errors
    /// As [`ToleranceBox::of`].
    pub(super) fn tolerances(&self, lift: &Lift) -> Result<ToleranceBox, Error> {
        match self.center_of_gravity {
            None => ToleranceBox::of(lift),
            Some(_) => {
                let lengths = lift.legs().map(|leg| length::tolerance(&leg)).collect::<Result<_, _>>()?;
                Ok(ToleranceBox { lengths, center: [0.0; 3] })
            }
        }
    }

    /// The factors on the force of any share.
    pub fn on_shares(&self) -> Vec<&Term> {
        self.center_of_gravity.iter().collect()
    }
}

/// A chain with factors on its force.
pub(crate) fn raised<'a>(chain: Chain, factors: impl IntoIterator<Item = &'a Term>) -> Chain {
    factors.into_iter().fold(chain, |chain, factor| chain.times(factor.clone(), Acts::OnForce))
}

/// A force with factors on it, to the bit what [`raised`] makes of it.
pub(crate) fn raised_value<'a>(force: f64, factors: impl IntoIterator<Item = &'a Term>) -> f64 {
    factors.into_iter().fold(force, |force, factor| force * factor.value)
}

/// The answer to the question for a factor for an uncertain center of gravity.
pub(crate) fn ask_center_of_gravity(lift: &Lift, rules: &RuleSet) -> Answer {
    let document = lift.document();
    let words = [
        ("operation", document.operation.kind.value().map(|kind| kind.word())),
        ("place", document.environment.location.value().map(|place| place.word())),
        ("mass basis", document.load.mass.basis.value().map(|basis| basis.word())),
    ];
    let facts = words.into_iter().fold(Facts::new(), |facts, (fact, word)| match word {
        Some(word) => facts.word(fact, word),
        None => facts.unknown(fact),
    });
    rules.ask(Question::CenterOfGravityFactor, &facts)
}

fn for_center_of_gravity(lift: &Lift, rules: &RuleSet) -> Result<Option<Term>, Error> {
    let root = Place::root();
    let at = root.child("load").child("center_of_gravity").child("tolerance");
    let name = Question::CenterOfGravityFactor.name();
    match ask_center_of_gravity(lift, rules) {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Refused(error) => Err(error),
        Answer::Missing { fact, needed_by } => {
            let (place, add) = match &*fact {
                "operation" => (root.child("operation").child("kind"), "\"kind\": \"…\""),
                "place" => (root.child("environment").child("location"), "\"location\": \"…\""),
                "mass basis" => (root.child("load").child("mass").child("basis"), "\"basis\": \"…\""),
                _ => (at, "\"tolerance\": [\"… mm\", \"… mm\", \"… mm\"]"),
            };
            Err(Error::missing(format!("the {fact}, on which the {name} after {needed_by} rests,"), add, place))
        }
        Answer::OutsideRange { reading, policy, source } => {
            Err(Error::unsupported(format!("a {name}: {reading} ({source}: {policy})"), at))
        }
        Answer::Withheld { why, source, .. } => Err(Error::unsupported(format!("a {name}: {why} ({source})"), at)),
    }
}

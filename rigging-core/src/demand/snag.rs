//! A load that sticks: a load case of its own, hung as the weight is.

use super::{ByRule, Demand, DesignWeight, hung};
use crate::arrangement::{Lift, Snag, SnagCapacity};
use crate::chain::Term;
use crate::error::{Error, Place};
use crate::gear::Known;
use crate::rules::RuleSet;
use crate::sharing::SharingRule;
use crate::source::Source;

/// What is asked beside the weight, and what share of a capacity counts for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stuck {
    /// What is asked.
    pub beside: Beside,
    /// The share of every capacity that counts; none where it is the whole.
    pub of_capacity: Option<Term>,
}

/// What is asked beside the weight.
#[derive(Debug, Clone, PartialEq)]
pub enum Beside {
    /// A pull, in N, and the mass, in kg, that weighs as much.
    Pull(Term, f64),
    /// A factor on the weight of the load.
    Factor(Term),
}

impl Stuck {
    /// What a lift states of a load that sticks.
    ///
    /// # Errors
    /// [`Error::Missing`] where it states neither pull nor factor, or not what may be borne.
    pub fn of(lift: &Lift, snag: &Snag) -> Result<Self, Error> {
        let place = Place::root().child("operation").child("snag");
        let gravity = lift.document().gravity.value().map_or(f64::NAN, |gravity| gravity.si());
        let beside = match (&snag.pull, &snag.factor) {
            (Known::Value(pull), _) => {
                let name = "pull beside the weight where the load sticks";
                let term = Term::new("P", name, pull.value.si(), "N", Source::stated(&pull.source))
                    .from_input("as entered", pull.value.text());
                Beside::Pull(term, pull.value.si() / gravity)
            }
            (Known::Unknown, Known::Value(factor)) => {
                let name = "factor on the weight where the load sticks";
                Beside::Factor(Term::new("k", name, factor.value, "", Source::stated(&factor.source)))
            }
            (Known::Unknown, Known::Unknown) => {
                let what = "the pull, or the factor on the weight, to be reckoned with where the load sticks";
                let add = "\"pull\": { \"value\": \"… kN\", \"source\": \"…\" } (or \"factor\")";
                return Err(Error::missing(what, add, place.child("pull")));
            }
        };
        let what = "what the gear may bear where the load sticks";
        let add = "\"capacity\": \"rated\" (or { \"share_of_rated\": { \"value\": \"… %\", \"source\": \"…\" } })";
        let of_capacity = match snag.capacity.required(what, add, || place.child("capacity"))? {
            SnagCapacity::Rated => None,
            SnagCapacity::ShareOfRated(share) => {
                let name = "share of the capacity that counts where the load sticks";
                let term = Term::new("a", name, share.value.si(), "", Source::stated(&share.source));
                Some(term.from_input("as entered", share.value.text()))
            }
        };
        Ok(Self { beside, of_capacity })
    }
}

impl Demand {
    /// The same lift with a load that sticks, hung anew: what is asked then of every item, factors on weight and shares included.
    ///
    /// # Errors
    /// Every error of the solver.
    pub fn stuck(&self, lift: &Lift, stuck: Stuck) -> Result<Self, Error> {
        hung(lift, self.weight.clone().where_it_sticks(stuck), self.on_share.clone())
    }
}

impl ByRule {
    /// The same by a sharing rule.
    ///
    /// # Errors
    /// As [`ByRule::of`].
    pub fn stuck(lift: &Lift, rules: &RuleSet, rule: &dyn SharingRule, stuck: Stuck) -> Result<Self, Error> {
        let weight: DesignWeight = super::weigh(lift, rules)?.where_it_sticks(stuck);
        Self::of_weight(lift, rules, rule, weight)
    }
}

//! The skew factor that a rule set gives, for the sets of legs that it gives it for.

use super::ruled::{configuration, met, speaking};
use super::{LegSet, SetLeg, SharingRule, Skewed, Words};
use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Facts, Question, RuleSet};
use crate::system::Masses;
use std::sync::Arc;

/// A skew factor on another rule, with factor, conditions and source as a rule set states them for one set of legs.
///
/// Material, construction and diameter are those of the slings; number of legs and indeterminacy those of the set. What a set of
/// legs does not know (rope lay, pairing, tolerance and difference in diameters, mass per length, utilization with the factor) is
/// stated; where it is not, the rule set says which fact it needs. The rule refuses every other set.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::rules::{Facts, RuleSet};
/// use rigging_core::sharing::{EqualShare, LegSet, RuledSkew};
/// use rigging_core::system::Masses;
/// use std::sync::Arc;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
/// // The skid hangs on slings of fiber, for which the marine rules have no factor.
/// let rules = RuleSet::built_in("marine-0027-nd-2016")?;
/// let refused = RuledSkew::new(Arc::new(EqualShare), &rules, &set, &Facts::new()).unwrap_err();
/// assert_eq!(refused.code(), "unsupported");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct RuledSkew {
    skewed: Skewed,
    legs: Vec<SetLeg>,
    /// Two sets of one shape may hang on slings of which the rule set speaks otherwise.
    slings: Vec<Sling>,
}

impl RuledSkew {
    /// As [`Self::new`], for the set of legs of a lift, with further facts as JSON ([`Facts::from_json`]).
    ///
    /// # Errors
    /// What is no set of legs, and those of the facts and of [`Self::new`].
    pub fn of_lift(base: Arc<dyn SharingRule>, rules: &RuleSet, lift: &Lift, facts: &str) -> Result<Self, Error> {
        let stated = Facts::from_json(facts)?;
        Self::new(base, rules, &LegSet::of(lift, Masses::stated(lift)?)?, &stated)
    }

    /// Asks the rule set for every sling of the set; all must be given the same factor.
    ///
    /// # Errors
    /// [`Error::Missing`] for a fact that decides and is not stated, and for a set without slings; [`Error::Unsupported`] where the
    /// rule set gives no factor, and why; [`Error::OutOfDomain`] for a fact outside its range; those of facts that cannot be read.
    pub fn new(base: Arc<dyn SharingRule>, rules: &RuleSet, set: &LegSet, stated: &Facts) -> Result<Self, Error> {
        let place = || Place::root().child("legs");
        let mut given: Option<Skewed> = None;
        for sling in set.slings() {
            let facts = configuration(stated.clone(), set.legs().len()).of_sling(sling);
            let skewed = asked(Arc::clone(&base), rules, &facts)?;
            if given.as_ref().is_some_and(|other| other.factor().to_bits() != skewed.factor().to_bits()) {
                return Err(Error::unsupported("a skew factor of slings for which the rules give several", place()));
            }
            given = Some(skewed);
        }
        let Some(skewed) = given else {
            return Err(Error::missing("the slings of the set of legs", "a set of a lift", place()));
        };
        Ok(Self { skewed, legs: set.legs().to_vec(), slings: set.slings().to_vec() })
    }
}

impl SharingRule for RuledSkew {
    fn words(&self) -> Words {
        self.skewed.words()
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        if set.legs() != self.legs || set.slings() != self.slings {
            let what = "a skew factor that was ruled for another set of legs";
            return Err(Error::unsupported(what, Place::root().child("legs")));
        }
        self.skewed.forces(set)
    }
}

fn asked(base: Arc<dyn SharingRule>, rules: &RuleSet, facts: &Facts) -> Result<Skewed, Error> {
    let ruled = speaking(rules.ask(Question::SkewFactor, facts), "a skew factor", rules)?;
    let Some(term) = ruled.term() else {
        let what = format!("a skew factor by {}: the answer is no number", rules.name());
        return Err(Error::unsupported(what, Place::root().child("legs")));
    };
    Skewed::new(base, term.value, met(&ruled), ruled.source.clone())
}

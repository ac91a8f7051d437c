//! The leg factor that a rule set gives for one set of legs.

use super::ruled::{configuration, met, speaking};
use super::{LegSet, SetLeg, SharingRule, Words};
use crate::arrangement::{Hitch, Lift};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Facts, Question, RuleSet, Ruled};
use crate::system::Masses;
use std::f64::consts::FRAC_PI_2;

/// The weight over the leg factor of a rule set, with conditions and source as it states them for one set of legs. That is what
/// the rated value of every leg, hung plumb, must reach: the angle is inside the factor.
///
/// Material, construction and size are those of the slings; number of legs and angles those of the set. What a set of legs does
/// not know (the load over the marked rating) is stated; where it is not, the rule set says which fact it needs. The rule
/// refuses every other set.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::rules::{Facts, RuleSet};
/// use rigging_core::sharing::{RuledLegFactor, SharingRule};
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// // Its tables are those of chain; the skid hangs on roundslings.
/// let rules = RuleSet::built_in("de-dguv-209-021")?;
/// let refused = RuledLegFactor::of_lift(&rules, &lift, "{}").unwrap_err();
/// assert_eq!(refused.code(), "unsupported");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct RuledLegFactor {
    rules: RuleSet,
    stated: Facts,
    words: Words,
    legs: Vec<SetLeg>,
    /// Two sets of one shape may hang on slings of which the rule set speaks otherwise.
    slings: Vec<Sling>,
}

impl RuledLegFactor {
    /// As [`Self::new`], for the set of legs of a lift and the hitch that they all hang in, with further facts as JSON
    /// ([`Facts::from_json`]).
    ///
    /// # Errors
    /// What is no set of legs, and those of the facts and of [`Self::new`].
    pub fn of_lift(rules: &RuleSet, lift: &Lift, facts: &str) -> Result<Self, Error> {
        let mut hitches = lift.legs().map(|leg| match leg.leg.hitch {
            Hitch::Straight => "straight",
            Hitch::Doubled => "doubled",
            Hitch::Choke(_) => "choker",
            Hitch::Basket => "basket",
        });
        let stated = Facts::from_json(facts)?;
        let first = hitches.next();
        let stated = match first.filter(|first| hitches.all(|other| other == *first)) {
            Some(hitch) => stated.word("hitch", hitch),
            None => stated.unknown("hitch"),
        };
        Self::new(rules, &LegSet::of(lift, Masses::stated(lift)?)?, &stated)
    }

    /// Asks the rule set for every sling of the set; all must be given the same factor.
    ///
    /// # Errors
    /// [`Error::Missing`] for a fact that decides and is not stated, and for a set without slings; [`Error::Unsupported`] where the
    /// rule set gives no factor, and why; [`Error::OutOfDomain`] for a fact outside its range; those of facts that cannot be read.
    pub fn new(rules: &RuleSet, set: &LegSet, stated: &Facts) -> Result<Self, Error> {
        let (factor, ruled) = asked(rules, set, stated)?;
        let words = Words {
            name: format!("leg factor {factor} by {}", rules.name()).into(),
            domain: format!("{}; at the angles of the set, written for even loads", met(&ruled)).into(),
            source: ruled.source,
            conservative: true,
        };
        let (legs, slings) = (set.legs().to_vec(), set.slings().to_vec());
        Ok(Self { rules: rules.clone(), stated: stated.clone(), words, legs, slings })
    }
}

impl SharingRule for RuledLegFactor {
    fn words(&self) -> Words {
        self.words.clone()
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        if set.legs() != self.legs || set.slings() != self.slings {
            let what = "a leg factor that was ruled for another set of legs";
            return Err(Error::unsupported(what, Place::root().child("legs")));
        }
        // Asked again: an angle may be stated of the same legs.
        let (factor, _) = asked(&self.rules, set, &self.stated)?;
        Ok(vec![set.weight() / factor; self.legs.len()])
    }
}

/// The one factor of all slings of a set, at its angles.
fn asked(rules: &RuleSet, set: &LegSet, stated: &Facts) -> Result<(f64, Ruled), Error> {
    let place = || Place::root().child("legs");
    let angles = set.from_vertical()?;
    let flattest = angles.iter().copied().fold(0.0, f64::max);
    let steepest = angles.iter().copied().fold(flattest, f64::min);
    let mut given: Option<(f64, Ruled)> = None;
    for sling in set.slings() {
        let facts = configuration(stated.clone(), set.legs().len())
            .of_sling(sling)
            .number("angle from horizontal", FRAC_PI_2 - flattest, "rad")
            .number("steepest leg angle from horizontal", FRAC_PI_2 - steepest, "rad");
        let ruled = speaking(rules.ask(Question::LegFactor, &facts), "a leg factor", rules)?;
        let Some(factor) = ruled.term().map(|term| term.value) else {
            let what = format!("a leg factor by {}: the answer is no number", rules.name());
            return Err(Error::unsupported(what, place()));
        };
        if given.as_ref().is_some_and(|(other, _)| other.to_bits() != factor.to_bits()) {
            return Err(Error::unsupported("a leg factor of slings for which the rules give several", place()));
        }
        given = Some((factor, ruled));
    }
    given.ok_or_else(|| Error::missing("the slings of the set of legs", "a set of a lift", place()))
}

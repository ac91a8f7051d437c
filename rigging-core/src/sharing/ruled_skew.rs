//! The skew factor that a rule set gives, for the sets of legs that it gives it for.

use super::ruled::{configuration, met, speaking};
use super::{EqualShare, LegSet, SetLeg, SharingRule, Skewed, Words};
use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::{Material, Sling};
use crate::rules::{Facts, Question, RuleSet};
use crate::system::Masses;
use glam::DVec3;
use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

/// A skew factor on another rule, with factor, conditions and source as a rule set states them for one set of legs.
///
/// Material, construction and diameter are those of the slings; number of legs, indeterminacy and angles those of the set. Of the
/// tolerance of lengths and of the difference within pairs, in diameters, the greater of what is stated and what the lift tells
/// counts; of the longer slings, and of a cable, what the lift tells. What it does not tell (rope lay, pairing, mass per length,
/// utilization with the factor) is stated; where it is not, the rule set says which fact it needs. The utilization that an
/// assessment finds takes the place of the one stated ([`SharingRule::stands_at`]). For slings of HMPE there is no factor by rule,
/// whatever the rule set says. The rule refuses every other set.
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
    /// What was stated, and the facts that each sling was asked about with.
    stated: Facts,
    facts: Vec<Facts>,
    rules: RuleSet,
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
        let facts = facts_of_slings(rules, set, stated)?;
        for (sling, facts) in set.slings().iter().zip(&facts) {
            let skewed = asked(Arc::clone(&base), rules, facts).map_err(|error| {
                // Where only the stated facts would be met, it is told what the lift says otherwise.
                let otherwise = facts.otherwise_than(stated);
                against(error, sling, &otherwise)
            })?;
            if given.as_ref().is_some_and(|other| other.factor().to_bits() != skewed.factor().to_bits()) {
                return Err(Error::unsupported("a skew factor of slings for which the rules give several", place()));
            }
            given = Some(skewed);
        }
        let Some(skewed) = given else {
            return Err(Error::missing("the slings of the set of legs", "a set of a lift", place()));
        };
        let (legs, slings) = (set.legs().to_vec(), set.slings().to_vec());
        Ok(Self { skewed, legs, slings, stated: stated.clone(), facts, rules: rules.clone() })
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

    /// The rule set is asked once more, about each sling with the utilization that was found of it.
    fn stands_at(&self, utilizations: &[Option<f64>]) -> Result<(), Error> {
        self.skewed.stands_at(utilizations)?;
        for ((sling, facts), found) in self.slings.iter().zip(&self.facts).zip(utilizations) {
            let Some(found) = found else { continue };
            let facts = facts.clone().used_at(*found);
            let otherwise = || facts.otherwise_than(&self.stated);
            // What the factor stands on is looked at, and not the rule that it stands on.
            match asked(Arc::new(EqualShare), &self.rules, &facts) {
                Ok(skewed) if skewed.factor().to_bits() == self.skewed.factor().to_bits() => {}
                Ok(skewed) => {
                    let (factor, given) = (skewed.factor(), self.skewed.factor());
                    let what = format!("a skew factor of {given} where the rules give {factor}");
                    let error = Error::unsupported(what, Place::root().child("legs"));
                    return Err(against(error, sling, &otherwise()));
                }
                Err(error) => return Err(against(error, sling, &otherwise())),
            }
        }
        Ok(())
    }
}

/// The facts of every sling: what is stated, and in its place what the lift tells.
fn facts_of_slings(rules: &RuleSet, set: &LegSet, stated: &Facts) -> Result<Vec<Facts>, Error> {
    let slings = set.slings();
    let one_a_leg = slings.len() == set.legs().len();
    let angles = set.from_vertical().ok().filter(|_| one_a_leg);
    let lengths: Option<Vec<f64>> =
        slings.iter().map(|sling| Some(sling.length.value.value()?.si())).collect::<Option<_>>().filter(|_| one_a_leg);
    let pairs = lengths.as_deref().and_then(|lengths| Pairs::of(set.legs(), lengths));
    let mut all = Vec::with_capacity(slings.len());
    for (index, sling) in slings.iter().enumerate() {
        let refused = |why: String| {
            let what = format!("a skew factor by {}: {why}", rules.name());
            Error::unsupported(what, Place::root().child("slings").child(index))
        };
        if sling.material == Material::Hmpe {
            let why = "compute the skew load from lengths and stiffness; there is none by rule for slings of HMPE";
            return Err(refused(why.to_owned()));
        }
        let mut facts = configuration(stated.clone(), set.legs().len()).of_sling(sling);
        if let Some(lay) = facts.lay_of_no_wire_rope(sling) {
            let made = sling.construction.word();
            return Err(refused(format!("\"{}\" is stated to be {lay}, and the lift makes it a {made}", sling.name)));
        }
        let diameter = sling.diameter.value().map(|diameter| diameter.si()).filter(|diameter| *diameter > 0.0);
        let in_diameters = |length: Option<f64>| Some(length? / diameter?);
        let tolerance = in_diameters(sling.length.tolerance.value().map(|tolerance| tolerance.si()));
        let difference = in_diameters(pairs.as_ref().map(|pairs| pairs.difference));
        let on_one = pairs.as_ref().and_then(|pairs| pairs.longer_on_one_diagonal);
        facts = facts.made_to_each_other(sling, tolerance, difference, on_one);
        if let Some(angle) = angles.as_ref().and_then(|angles| angles.get(index)) {
            facts = facts.inclined(FRAC_PI_2 - angle);
        }
        all.push(facts);
    }
    Ok(all)
}

/// Four slings by their lengths: the shorter two and the longer two.
struct Pairs {
    /// The greater difference within a pair; however they are paired, no less, m.
    difference: f64,
    /// Whether the longer two lie opposite each other; none where no two are the longer ones.
    longer_on_one_diagonal: Option<bool>,
}

impl Pairs {
    fn of(legs: &[SetLeg], lengths: &[f64]) -> Option<Self> {
        let [_, _, _, _] = lengths else { return None };
        let mut order: Vec<(usize, f64)> = lengths.iter().copied().enumerate().collect();
        order.sort_by(|(_, one), (_, other)| one.total_cmp(other));
        let [one, two, three, four] = order.as_slice() else { return None };
        let difference = (two.1 - one.1).max(four.1 - three.1);
        let parted = three.1 - two.1 > difference + 1e-9 * four.1;
        // Round the middle, two that are opposite have one of the others between them on either side.
        let middle = legs.iter().map(|leg| leg.point).sum::<DVec3>() / 4.0;
        let mut round: Vec<(usize, f64)> = legs
            .iter()
            .enumerate()
            .map(|(index, leg)| (index, (leg.point.y - middle.y).atan2(leg.point.x - middle.x)))
            .collect();
        round.sort_by(|(_, one), (_, other)| one.total_cmp(other));
        let at = |leg: usize| round.iter().position(|(index, _)| *index == leg);
        let opposite = at(three.0)?.abs_diff(at(four.0)?) == 2;
        Some(Self { difference, longer_on_one_diagonal: parted.then_some(opposite) })
    }
}

/// A refusal, with what is stated of a sling and the lift tells otherwise.
fn against(error: Error, sling: &Sling, otherwise: &[String]) -> Error {
    match error {
        Error::Unsupported { what, place } if !otherwise.is_empty() => {
            Error::unsupported(format!("{what}; of \"{}\": {}", sling.name, otherwise.join("; ")), place)
        }
        Error::OutOfDomain { reading, .. } if !otherwise.is_empty() => {
            let what = format!("a skew factor: {reading}; of \"{}\": {}", sling.name, otherwise.join("; "));
            Error::unsupported(what, Place::root().child("legs"))
        }
        other => other,
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

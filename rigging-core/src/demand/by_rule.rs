//! Demand by a sharing rule in place of what the solver finds.

use super::{Asked, Asks, DesignWeight, Reach, ShareFactors, hook, no_such_leg, raised, weigh};
use crate::arrangement::{Anchor, Lift};
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::rules::RuleSet;
use crate::sharing::{LegSet, SharingRule, Words, share};
use crate::text::Text;

/// Force of each leg by a sharing rule, from the weight that the rule set makes of the load.
///
/// Every chain says whether the rule claims to be conservative. Tolerances enter only where the rule itself looks at them.
/// Where several legs meet, the sizes of their forces are added, since a rule does not tell directions; the hook bears the
/// weight of everything, whatever the rule says.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::{Asks, ByRule};
/// use rigging_core::rules::RuleSet;
/// use rigging_core::sharing::LegsCounted;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let by_rule = ByRule::of(&lift, &RuleSet::built_in("us-general")?, &LegsCounted::two())?;
/// let chain = by_rule.leg(0, "leg A", false)?.chain;
/// assert_eq!(chain.quantity.as_str(), "tension of leg A by rule");
/// assert!(chain.is_coherent() && chain.value() > 0.5 * 18_500.0 * 9.80665);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct ByRule {
    /// What the rule says of itself.
    pub rule: Words,
    /// The weight and how it came about.
    pub weight: DesignWeight,
    /// Force of each leg, every factor on weight included, in N.
    pub moving: Vec<f64>,
    /// The same without the dynamic factor; absent where there is none.
    pub at_rest: Option<Vec<f64>>,
    /// Factors of the rule set on shares; the forces are without them, what is asked of an item is with them.
    pub on_share: ShareFactors,
    /// For each leg the place of the load that it pulls on.
    points: Vec<Vec<Anchor>>,
    /// Where fittings collect legs.
    collectors: Vec<Anchor>,
}

impl ByRule {
    /// Asks a rule for the forces of a lift.
    ///
    /// # Errors
    /// What the weight needs and the lift does not state; what is no set of legs ([`LegSet::of`]); what the rule refuses.
    pub fn of(lift: &Lift, rules: &RuleSet, rule: &dyn SharingRule) -> Result<Self, Error> {
        Self::of_weight(lift, rules, rule, weigh(lift, rules)?)
    }

    pub(super) fn of_weight(
        lift: &Lift,
        rules: &RuleSet,
        rule: &dyn SharingRule,
        weight: DesignWeight,
    ) -> Result<Self, Error> {
        let on_share = ShareFactors::of(lift, rules)?;
        let moving = share(rule, &LegSet::of(lift, weight.moving())?)?;
        let at_rest = match &weight.dynamic {
            None => None,
            Some(_) => Some(share(rule, &LegSet::of(lift, weight.at_rest())?)?),
        };
        let points = lift
            .legs()
            .map(|leg| leg.links.ends.iter().copied().filter(|end| matches!(end, Anchor::LiftPoint(_))).collect());
        let collectors = lift.collectors().map(|(anchor, ..)| anchor).collect();
        Ok(Self { rule: rule.words(), weight, moving, at_rest, on_share, points: points.collect(), collectors })
    }

    /// Force of each leg; `at_rest` leaves the dynamic factor out.
    pub fn forces(&self, at_rest: bool) -> &[f64] {
        self.at_rest.as_ref().filter(|_| at_rest).unwrap_or(&self.moving)
    }

    fn chain(&self, quantity: Text, at_rest: bool, symbol: &'static str, value: f64) -> Chain {
        let weight = if at_rest { self.weight.chain_at_rest() } else { self.weight.chain.clone() };
        let chain = Chain { quantity, ..weight };
        let claim = if self.rule.conservative { "claimed, not proven" } else { "not claimed" };
        let term = Term::new(symbol, self.rule.name.clone(), value, "N", self.rule.source.clone())
            .from_input("domain", self.rule.domain.clone())
            .from_input("that no leg carries more", claim);
        chain.becomes(term, Acts::OnForce)
    }
}

impl Asks for ByRule {
    fn weight(&self) -> &DesignWeight {
        &self.weight
    }

    fn leg(&self, leg: usize, name: &str, at_rest: bool) -> Result<Asked, Error> {
        let Some(force) = self.forces(at_rest).get(leg) else { return Err(no_such_leg(leg)) };
        let quantity = ["tension of ", name, if at_rest { " at rest, by rule" } else { " by rule" }].into();
        let chain = raised(self.chain(quantity, at_rest, "T", *force), self.on_share.on_leg(leg));
        Ok(Asked { chain: chain.into(), reach: Reach::Rule, of_capacity: self.weight.of_capacity().cloned() })
    }

    fn places(&self) -> Vec<Anchor> {
        let mut several = Vec::new();
        let mut known = Vec::new();
        for anchor in self.points.iter().flatten() {
            if !known.contains(anchor) {
                known.push(*anchor);
            } else if !several.contains(anchor) {
                several.push(*anchor);
            }
        }
        several
    }

    fn place(&self, anchor: Anchor, name: &str) -> Option<Asked> {
        if !self.places().contains(&anchor) {
            return None;
        }
        let meeting = self.moving.iter().zip(&self.points).filter(|(_, points)| points.contains(&anchor));
        let sum = meeting.map(|(force, _)| force).sum();
        let quantity = ["sum of the pulls on ", name, " by rule"].into();
        let chain = raised(self.chain(quantity, false, "R", sum), self.on_share.on_place(anchor));
        Some(Asked { chain: chain.into(), reach: Reach::Rule, of_capacity: self.weight.of_capacity().cloned() })
    }

    /// A set of legs has no joints: a fitting collects legs at a point of the load, or all of them at the hook.
    fn collector(&self, index: usize, name: &str, at_rest: bool) -> Option<Asked> {
        let anchor = self.collectors.get(index)?;
        let at = |points: &[Anchor]| matches!(anchor, Anchor::Hook(_)) || points.contains(anchor);
        let meeting = self.forces(at_rest).iter().zip(&self.points).filter(|(_, points)| at(points));
        let sum = meeting.map(|(force, _)| force).sum();
        let quantity = ["sum of the pulls on ", name, if at_rest { " at rest, by rule" } else { " by rule" }].into();
        // All legs on the hook together bear the weight, whatever each one's share is.
        let whole = matches!(anchor, Anchor::Hook(_));
        let factors = if whole { Vec::new() } else { self.on_share.on_place(*anchor) };
        let chain = raised(self.chain(quantity, at_rest, "R", sum), factors);
        Some(Asked { chain: chain.into(), reach: Reach::Rule, of_capacity: self.weight.of_capacity().cloned() })
    }

    /// None: a set of legs has no spreader.
    fn compressions(&self, _: &Lift) -> Vec<Asked> {
        Vec::new()
    }

    fn hook(&self, lift: &Lift, hook: usize, name: &str, gravity: f64) -> Result<Asked, Error> {
        hook::single(&self.weight, lift, hook, name, gravity)
    }
}

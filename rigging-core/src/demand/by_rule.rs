//! Demand on legs by a sharing rule in place of the worst case.

use super::weigh;
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::rules::RuleSet;
use crate::sharing::{LegSet, SharingRule, share};

/// Force of each leg by a sharing rule, as a chain from the weight that the rule set makes of the load.
///
/// Every chain says whether the rule claims to be conservative. Tolerances enter only where the rule itself looks at them:
/// an assessment never takes a rule for the worst case.
///
/// # Errors
/// What the weight needs and the lift does not state; what the rule refuses.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::by_rule;
/// use rigging_core::rules::RuleSet;
/// use rigging_core::sharing::LegsCounted;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let chains = by_rule(&lift, &RuleSet::built_in("us-general")?, &LegsCounted::two())?;
/// assert_eq!(chains[0].quantity.as_str(), "tension of leg A by rule");
/// assert!(chains[0].is_coherent() && chains[0].value() > 0.5 * 18_500.0 * 9.80665);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn by_rule(lift: &Lift, rules: &RuleSet, rule: &dyn SharingRule) -> Result<Vec<Chain>, Error> {
    let weight = weigh(lift, rules)?;
    let set = LegSet::of(lift, weight.moving())?;
    let words = rule.words();
    let claim = if words.conservative { "claimed, not proven" } else { "not claimed" };
    let chain = |(leg, force): (&crate::sharing::SetLeg, f64)| {
        let term = Term::new("T", words.name.clone(), force, "N", words.source.clone())
            .from_input("domain", words.domain.clone())
            .from_input("that no leg carries more", claim);
        let quantity = format!("tension of {} by rule", leg.name).into();
        Chain { quantity, ..weight.chain.clone() }.becomes(term, Acts::OnForce)
    };
    Ok(set.legs().iter().zip(share(rule, &set)?).map(chain).collect())
}

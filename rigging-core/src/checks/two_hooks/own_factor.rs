//! The dynamic factor of each hook's own static load, on the hook and on what hangs from it.

use super::super::{Code, Finding, strength};
use super::borne::Borne;
use super::gravity;
use crate::arrangement::{Anchor, Lift};
use crate::capacity::Motion;
use crate::chain::{Acts, Chain, Term};
use crate::demand::{self, Asked, Asks, Demand, Reach};
use crate::error::{Error, Place};
use crate::rules::RuleSet;

/// How far the dynamic factor that a rule set makes of one hook's own static load is beyond that of the whole lift, which was taken;
/// none where it is not.
pub(super) fn moved(lift: &Lift, rules: &RuleSet, of: &Demand, hook: usize) -> Option<Term> {
    let taken = of.weight.dynamic.as_ref()?;
    let pull = of.extremes_at_rest().at(Anchor::Hook(hook))?.largest;
    let own = demand::dynamic_factor_of_hook(lift, rules, &of.weight, hook, pull)?;
    (own.value > taken.value).then(|| {
        let name = "dynamic factor of the static load on this hook, over that of the whole lift";
        Term::new("k", name, own.value / taken.value, "", own.source.clone())
            .from_input(own.name.clone(), own.value.to_string())
            .from_input("taken of the whole lift", taken.value.to_string())
    })
}

/// A load on a hook with the dynamic factor of its own static load.
pub(super) fn with_own_factor(asked: Asked, own: Option<&Term>) -> Asked {
    let Some(own) = own else { return asked };
    let reach = match asked.reach {
        Reach::Bound(attained) => Reach::Bound(attained * own.value),
        other => other,
    };
    let quantity = [&*asked.chain.quantity, ", its own dynamic factor"].into();
    let chain = Chain::clone(&asked.chain).times(own.clone(), Acts::OnForce);
    Asked { chain: Chain { quantity, ..chain }.into(), reach, ..asked }
}

/// Loads on the hooks, level, whose own static load makes a greater dynamic factor than that of the whole lift.
pub(super) fn level(lift: &Lift, demand: &Demand, moves: &[Option<Term>]) -> Result<Vec<Finding>, Error> {
    let mut found = Vec::new();
    for (index, (hook, own)) in lift.document().hooks.iter().zip(moves).enumerate() {
        let Some(own) = own else { continue };
        let place = Place::root().child("hooks").child(index);
        // What keeps the load from being told is said where it is held against the rating.
        let Ok(asked) = demand.hook(lift, index, &hook.name, gravity(lift)) else { continue };
        let asked = with_own_factor(asked, Some(own));
        let rated = strength::rate_hook(lift, index, hook);
        found.push(
            strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?.after(own.source.clone()),
        );
    }
    Ok(found)
}

/// Findings where what hangs from a hook bears less than its force raised by the factor of that hook; of what hangs from several hooks
/// the greatest counts. A dynamic factor does not act at rest.
pub(super) fn raised(lift: &Lift, borne: &[Borne<'_>], factors: &[Option<Term>]) -> Vec<Finding> {
    let hung: Vec<Vec<usize>> = (0..factors.len()).map(|hook| demand::hung_from(lift, hook)).collect();
    let raised = borne.iter().filter(|one| one.motion == Motion::Moving).filter_map(|one| {
        let own = factors.iter().zip(&hung).filter(|(_, legs)| one.bearer.hangs_by(lift, legs));
        let factor = own.filter_map(|(factor, _)| factor.as_ref());
        let factor = factor.max_by(|one, other| one.value.total_cmp(&other.value))?;
        one.beyond(
            lift,
            factor.value,
            &format!("with the factor {:.4} ({})", factor.value, factor.name),
            &factor.source,
        )
    });
    raised.collect()
}

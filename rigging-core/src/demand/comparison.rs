//! One set of legs under many sharing rules, against the elastic worst case.

use super::ElasticAtVertices;
use crate::arrangement::Lift;
use crate::error::Error;
use crate::sharing::{Elastic, LegSet, SharingRule, Words, built_in, share};
use crate::system::Masses;
use serde::Serialize;

/// Where a rule falls shortest of the elastic worst case.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Shortfall {
    /// Name of the leg.
    pub leg: String,
    /// How much its worst tension exceeds the force by the rule, N; below zero where the rule covers every leg.
    pub force: f64,
    /// The same over the worst tension of that leg.
    pub share: f64,
}

/// What one rule says of the set.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Ruled {
    /// It speaks.
    Speaks {
        /// Force of each leg, N.
        forces: Vec<f64>,
        /// For each leg, how much its worst tension exceeds that, N; below zero where the rule covers it.
        below: Vec<f64>,
        /// The leg of which it covers the smallest share of the worst tension.
        shortest: Shortfall,
    },
    /// It refuses: the set is outside its domain, or an input is not known.
    Refuses {
        /// The code of the error.
        code: String,
        /// Why, and where in the document.
        why: String,
    },
}

/// A rule and what it says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Compared {
    /// What the rule says of itself.
    pub rule: Words,
    /// What it says of the set.
    pub answer: Ruled,
}

/// One set of legs under several sharing rules.
///
/// Prints as JSON. The worst case is what is attained at the vertices of the tolerances: a rule that covers it is not proven
/// to be safe, here or anywhere else.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Comparison {
    /// Weight of the load, N.
    pub weight: f64,
    /// Names of the legs, in the order of every list.
    pub legs: Vec<String>,
    /// Tension of each leg at nominal numbers, N.
    pub nominal: Vec<f64>,
    /// The largest tension of each leg that was attained at a vertex of the tolerances, N; not a bound.
    pub worst: Vec<f64>,
    /// The rules, in the order in which they were given.
    pub rules: Vec<Compared>,
}

/// Sets rules against the elastic worst case of the set.
///
/// # Errors
/// What the elastic worst case needs and the set does not state, and a balance that is not stable: without it there is nothing to
/// compare with. A rule that refuses is no error; its refusal stands in its place.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::{Ruled, compare};
/// use rigging_core::sharing::{LegSet, LegsCounted};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
/// let comparison = compare(&set, &[&LegsCounted::three()])?;
/// let Ruled::Speaks { shortest, .. } = &comparison.rules[0].answer else { panic!() };
/// assert_eq!(shortest.leg, "leg B");
/// assert!(shortest.share > 0.3);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn compare(set: &LegSet, rules: &[&dyn SharingRule]) -> Result<Comparison, Error> {
    let nominal = share(&Elastic, set)?;
    let worst = share(&ElasticAtVertices, set)?;
    let legs: Vec<String> = set.legs().iter().map(|leg| leg.name.clone()).collect();
    let compared = |rule: &&dyn SharingRule| {
        let answer = match share(*rule, set) {
            Ok(forces) => against(forces, &worst, &legs),
            Err(error) => Ruled::Refuses { code: error.code().to_owned(), why: error.to_string() },
        };
        Compared { rule: rule.words(), answer }
    };
    let rules = rules.iter().map(compared).collect();
    Ok(Comparison { weight: set.weight(), legs, nominal, worst, rules })
}

/// A lift at its stated mass under the rules that are built in, against the elastic worst case. An angle from vertical (rad) is
/// taken for every leg where it is given, else the angles are as drawn ([`LegSet::from_vertical`]).
///
/// # Errors
/// As [`compare`]; what a set of legs needs and the lift does not state, or is of another kind ([`LegSet::of`]);
/// [`Error::OutOfDomain`] for an angle outside 0 ≤ β < π/2.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::compare_sharing;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let comparison = compare_sharing(&lift, Some(27.5_f64.to_radians()))?;
/// assert_eq!(comparison.rules[2].rule.name.as_str(), "two legs carry all");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn compare_sharing(lift: &Lift, angle_from_vertical_rad: Option<f64>) -> Result<Comparison, Error> {
    let set = LegSet::of(lift, Masses::stated(lift)?)?;
    let set = match angle_from_vertical_rad {
        Some(angle) => set.with_angle(angle)?,
        None => set,
    };
    let rules = built_in()?;
    let rules: Vec<&dyn SharingRule> = rules.iter().map(AsRef::as_ref).collect();
    compare(&set, &rules)
}

fn against(forces: Vec<f64>, worst: &[f64], legs: &[String]) -> Ruled {
    let below: Vec<f64> = worst.iter().zip(&forces).map(|(worst, force)| worst - force).collect();
    let mut shortest = Shortfall { leg: String::new(), force: 0.0, share: f64::NEG_INFINITY };
    for ((leg, force), worst) in legs.iter().zip(&below).zip(worst) {
        // A leg that stays slack in every state is covered by any force.
        let share = if *worst > 0.0 { force / worst } else { continue };
        if share > shortest.share {
            shortest = Shortfall { leg: leg.clone(), force: *force, share };
        }
    }
    Ruled::Speaks { forces, below, shortest }
}

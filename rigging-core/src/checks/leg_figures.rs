//! Each leg in figures, and which findings are about it.

use super::Finding;
use super::strengths::{bearing, is_along};
use crate::arrangement::{LegView, Lift};
use crate::demand::{Asks, ByRule, Demand, raised_value};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// One leg in figures.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LegFigures {
    /// Name of the leg.
    pub name: Text,
    /// Nominal tension with the factors on weight, in N.
    pub nominal: f64,
    /// Largest tension over the vertices, in N: attained, not a bound. Where bounds are taken, the largest that was found
    /// anywhere within the tolerances.
    pub worst: f64,
    /// Smallest tension over the vertices, in N.
    pub least: f64,
    /// What stands against `allowed` in place of the worst, in N: a bound that is proven, or the force by a sharing rule, with the
    /// factors of the rule set on shares of the load; the force at rest, or that of all legs at a point, where that uses most of a
    /// strength; absent where it is the worst.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<f64>,
    /// Rated capacity in the comparison along the leg that uses most of it, in N: of a sling, a fitting or a lift point; absent
    /// where one has none.
    pub allowed: Option<f64>,
    /// Largest utilization along the leg: what is taken, else the worst, over `allowed`; absent where an item has no capacity.
    pub utilization: Option<f64>,
    /// Largest angle from vertical over the vertices, in radians.
    pub angle_from_vertical: f64,
}

/// One a leg. What is allowed, taken and utilized stands in one comparison: the one that uses most of its strength.
pub(super) fn of(lift: &Lift, demand: &Demand, by_rule: Option<&ByRule>, findings: &[Finding]) -> Vec<LegFigures> {
    let legs = lift.legs().zip(&demand.tensions).zip(&demand.moving.legs);
    let strengths: Vec<&Finding> = findings.iter().filter(|finding| bearing(finding).is_some()).collect();
    let ruled = |leg: usize| {
        let by_rule = by_rule?;
        by_rule.moving.get(leg).map(|force| raised_value(*force, by_rule.on_share.on_leg(leg)))
    };
    legs.map(|((leg, nominal), extremes)| {
        let along = strengths.iter().copied().filter(|finding| is_along(lift, &leg, finding));
        let most = most_used(along);
        let taken = ruled(leg.index).or_else(|| {
            let otherwise = extremes.bound.is_some() || !demand.on_share.are_none();
            let asked = otherwise.then(|| demand.leg(leg.index, &leg.leg.name, false).ok())??;
            Some(asked.chain.value())
        });
        // At rest, or of all legs at a point: another force than that of the leg as it moves.
        let moving = taken.unwrap_or(extremes.largest);
        let asked = most.map(|most| most.asked).filter(|asked| asked.to_bits() != moving.to_bits());
        LegFigures {
            name: leg.leg.name.clone(),
            nominal: *nominal,
            worst: extremes.largest,
            least: extremes.least,
            taken: asked.or(taken),
            allowed: most.map(|most| most.allowed),
            utilization: most.and_then(|most| most.utilization),
            angle_from_vertical: extremes.from_vertical,
        }
    })
    .collect()
}

/// The findings on the strength of what a leg is made of and hangs between.
pub(crate) fn along<'a>(lift: &Lift, leg: &LegView<'_>, findings: &'a [Finding]) -> Vec<&'a Finding> {
    findings.iter().filter(|finding| is_along(lift, leg, finding)).collect()
}

/// A force against a strength.
#[derive(Clone, Copy)]
struct Used {
    asked: f64,
    allowed: f64,
    ratio: f64,
    utilization: Option<f64>,
}

/// The comparison that uses most of a strength; none where there is no comparison, or one has no figures. It has no utilization
/// where one of them has none.
fn most_used<'a>(mut along: impl Iterator<Item = &'a Finding>) -> Option<Used> {
    let used = |finding: &Finding| {
        let (asked, allowed) = (finding.demand.as_deref()?.value(), finding.capacity.as_deref()?.value());
        let ratio = finding.utilization.unwrap_or(asked / allowed);
        Some(Used { asked, allowed, ratio, utilization: finding.utilization })
    };
    let first = used(along.next()?)?;
    along.try_fold(first, |most, finding| {
        let other = used(finding)?;
        let told = most.utilization.is_some() && other.utilization.is_some();
        let more = if other.ratio.total_cmp(&most.ratio).is_gt() { other } else { most };
        Some(Used { utilization: told.then_some(more.ratio), ..more })
    })
}

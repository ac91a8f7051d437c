//! Each leg in figures, and which findings are about it.

use super::{Code, Finding};
use crate::arrangement::{LegView, Lift};
use crate::demand::{ByRule, Demand, raised_value};
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
    /// What checks take in place of the worst, in N: a bound that is proven, or the force by a sharing rule, with the factors of
    /// the rule set on shares of the load; absent where they take the worst.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taken: Option<f64>,
    /// Least rated capacity of slings, fittings and lift point along the leg, in N; absent where one has none.
    pub allowed: Option<f64>,
    /// Largest utilization along the leg; absent where an item has no capacity.
    pub utilization: Option<f64>,
    /// Largest angle from vertical over the vertices, in radians.
    pub angle_from_vertical: f64,
}

/// One a leg.
pub(super) fn of(lift: &Lift, demand: &Demand, by_rule: Option<&ByRule>, findings: &[Finding]) -> Vec<LegFigures> {
    let legs = lift.legs().zip(&demand.tensions).zip(&demand.moving.legs);
    let strengths: Vec<Along<'_>> = findings.iter().filter_map(Along::of).collect();
    let ruled = |leg: usize| {
        let by_rule = by_rule?;
        by_rule.moving.get(leg).map(|force| raised_value(*force, by_rule.on_share.on_leg(leg)))
    };
    legs.map(|((leg, nominal), extremes)| {
        let (mut allowed, mut utilization) = (None, None);
        for strength in strengths.iter().filter(|strength| is_along(&leg, strength.finding)) {
            let (least, most) = (strength.allowed, strength.finding.utilization);
            allowed = Some(allowed.map_or(least, |other: Option<f64>| Some(other?.min(least?))));
            utilization = Some(utilization.map_or(most, |other: Option<f64>| Some(other?.max(most?))));
        }
        LegFigures {
            name: leg.leg.name.clone(),
            nominal: *nominal,
            worst: extremes.largest,
            least: extremes.least,
            taken: ruled(leg.index).or_else(|| {
                let solved = extremes.bound.or((!demand.on_share.are_none()).then_some(extremes.largest))?;
                Some(raised_value(solved, demand.on_share.on_leg(leg.index)))
            }),
            allowed: allowed.flatten(),
            utilization: utilization.flatten(),
            angle_from_vertical: extremes.from_vertical,
        }
    })
    .collect()
}

/// The findings on the strength of what a leg is made of and hangs between.
pub(crate) fn along<'a>(leg: &LegView<'_>, findings: &'a [Finding]) -> Vec<&'a Finding> {
    findings.iter().filter(|finding| is_strength(finding) && is_along(leg, finding)).collect()
}

fn is_strength(finding: &Finding) -> bool {
    match finding.code {
        Code::SlingStrength | Code::FittingStrength | Code::LiftPointStrength | Code::SideLoad => true,
        // An offset is held against an offset, or a force against what it leaves of a rating.
        Code::PinOffset => finding.unit() == "N",
        _ => false,
    }
}

/// A finding on a strength, and what may be borne by it.
struct Along<'a> {
    finding: &'a Finding,
    allowed: Option<f64>,
}

impl<'a> Along<'a> {
    fn of(finding: &'a Finding) -> Option<Self> {
        let allowed = || finding.capacity.as_deref().map(crate::chain::Chain::value);
        is_strength(finding).then(|| Self { finding, allowed: allowed() })
    }
}

/// Whether a strength is that of something a leg is made of, is attached to or passes over.
fn is_along(leg: &LegView<'_>, strength: &Finding) -> bool {
    let slings = || leg.slings().any(|(_, sling)| sling.name == strength.item);
    let fittings = || leg.fittings().any(|(_, fitting)| fitting.name == strength.item);
    let points = || leg.points().any(|point| point.name == strength.item);
    match strength.code {
        Code::SlingStrength => slings(),
        Code::FittingStrength | Code::PinOffset => fittings(),
        Code::LiftPointStrength => points(),
        Code::SideLoad => fittings() || points(),
        _ => false,
    }
}

//! Demand against capacity, and geometric limits: findings, their combination into a verdict, and what governs.
//!
//! `Lift::assess` is the stages in a row: raise the demand, rate the capacity, compare. An input that is missing,
//! what is not calculated yet and a state that could not be certified make a finding "cannot conclude" that names its
//! place; every other error means that the calculation could not be made.

mod alike;
mod assumption;
mod by_itself;
mod category;
mod choke;
mod collectors;
mod consistency;
mod crane;
mod edge;
mod end_fittings;
mod finding;
mod fit;
mod geometry;
mod hang;
mod identity;
mod inspection;
mod maker;
mod mass;
mod particulars;
mod pin_offset;
mod pin_plate;
mod proof;
mod reliability;
mod remedy;
mod running;
mod set_of_legs;
mod share_factors;
mod sharing;
mod side_load;
mod snag;
mod strength;
mod surroundings;
mod temperature;
mod two_hooks;
mod unused;
mod verdict;
mod wind;

pub use assumption::{Assumption, AssumptionCode};
pub(crate) use by_itself::ByItself;
pub use category::{Category, Trigger, TriggerState};
pub use finding::{Code, Finding, MissingInput, Severity, Stance};
pub use reliability::{ImpliedIndex, ImpliedIndices, ReliabilityInputs, Strength};
pub use remedy::Remedy;
pub use verdict::Verdict;

use crate::arrangement::{LegView, Lift};
use crate::demand::{self, Asks, ByRule, Demand, ForceSource, Forces, ToldOnce, raised_value};
use crate::error::Error;
use crate::rules::{DocumentIdentity, RuleSet};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Which rules an assessment was made under.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RuleSetIdentity {
    /// Name by which the set is asked for.
    pub name: Text,
    /// What it is, in words.
    pub title: Text,
    /// Edition or date of the documents.
    pub edition: Text,
    /// In force, or superseded and by what.
    pub status: Text,
    /// Hash of the content.
    pub hash: Text,
    /// A remark of the rule set about itself.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Text>,
    /// The rule files it includes; none where it stands by itself.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub documents: Vec<DocumentIdentity>,
}

impl RuleSetIdentity {
    /// The identity of a rule set.
    pub fn of(rules: &RuleSet) -> Self {
        Self {
            name: rules.name().clone(),
            title: rules.title().clone(),
            edition: rules.edition().clone(),
            status: rules.status().in_words(),
            hash: rules.hash().clone(),
            note: rules.note().cloned(),
            documents: rules.documents().to_vec(),
        }
    }
}

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

/// The outcome of an assessment.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessment {
    /// Name of the lift.
    pub lift: Text,
    /// Hash of the lift's canonical text.
    pub lift_hash: Text,
    /// The rules.
    pub rules: RuleSetIdentity,
    /// Where checks of strength took the forces from.
    pub forces: ForceSource,
    /// Verdict of the lift.
    pub verdict: Verdict,
    /// Findings, the governing one first.
    pub findings: Vec<Finding>,
    /// One a leg; empty where no demand could be raised.
    pub legs: Vec<LegFigures>,
    /// The demand, where it could be raised.
    pub demand: Option<Demand>,
    /// The forces by the sharing rule that was taken, where it speaks.
    pub by_rule: Option<ByRule>,
    /// What the verdict takes for granted.
    pub assumptions: Vec<Assumption>,
    /// The category of the lift and its conditions, where the rule set speaks of one.
    pub category: Option<Category>,
}

impl Assessment {
    /// The finding that decides the verdict: the worst failure, else what cannot be concluded, else the highest
    /// utilization.
    pub fn governing(&self) -> Option<&Finding> {
        self.findings.first()
    }
}

impl Lift {
    /// Assesses the lift under a rule set, with the largest forces that are attained at the vertices of the tolerances.
    ///
    /// # Errors
    /// Only those that are not a matter of missing or not yet calculated inputs, or of a state that could not be certified.
    pub fn assess(&self, rules: &RuleSet) -> Result<Assessment, Error> {
        self.assess_by(rules, Forces::AtVertices)
    }

    /// Assesses the lift under a rule set, with forces from a source of the user's choice ([`Forces`]).
    ///
    /// A strength that is held against a bound passes where the bound does not exceed it, fails where what was attained does,
    /// and is not concluded upon in between. A sharing rule is set against what is attained at the vertices by a finding of
    /// its own ([`Code::SharingRule`]): such an assessment never passes where [`Lift::assess`] does not. Stability, tilt and
    /// angles come from the solver whatever the source.
    ///
    /// # Errors
    /// As [`Lift::assess`]; [`Error::OutOfDomain`] for an effort whose gap is not positive; [`Error::Inconsistent`] for a
    /// rule that answers not one force a leg.
    pub fn assess_by(&self, rules: &RuleSet, forces: Forces<'_>) -> Result<Assessment, Error> {
        ByItself::of(self)?.assess(rules, forces, demand::raise(self, rules))
    }
}

impl ByItself<'_> {
    /// [`Lift::assess_by`] with the demand that was raised under these rules, or what kept it from being raised.
    pub(crate) fn assess(
        &self,
        rules: &RuleSet,
        forces: Forces<'_>,
        demand: Result<Demand, Error>,
    ) -> Result<Assessment, Error> {
        if let Forces::Bounds(effort) = &forces {
            effort.validate()?;
        }
        let Self { lift, slings, fittings, bends, .. } = self;
        // About a dozen findings a leg: room for them spares moving them about.
        let mut findings = Vec::with_capacity(16 * (1 + lift.document().legs.len()));
        surroundings::compare(lift, rules, slings, &mut findings)?;
        findings.extend(mass::compare(lift, rules)?);
        identity::compare(lift, rules, slings, fittings, &mut findings)?;
        edge::compare(lift, rules, &mut findings)?;
        fit::compare(self, rules, &mut findings)?;
        findings.extend(self.room.iter().cloned());
        findings.extend(self.particulars.iter().cloned());
        findings.extend(consistency::compare(lift, rules, slings)?);
        findings.extend(proof::compare(lift, rules)?);
        findings.extend(self.unused.iter().cloned());
        findings.extend(maker::compare(lift, rules)?);
        findings.extend(geometry::compare(lift, rules, slings)?);
        findings.extend(end_fittings::compare(lift, rules, slings)?);
        let demand = match forces {
            Forces::Bounds(effort) => demand.and_then(|demand| demand.bounded(lift, &effort)),
            Forces::AtVertices | Forces::Rule(_) => demand,
        };
        let rated = strength::ratings(self, rules, demand.as_ref().ok());
        if let Ok(demand) = &demand {
            hang::compare(lift, rules, slings, demand, &mut findings)?;
            findings.extend(running::compare(lift, demand));
            findings.extend(collectors::spread(lift, demand));
            findings.extend(choke::compare(lift, demand));
            findings.extend(set_of_legs::compare(lift, rules, slings, demand, bends, &rated)?);
            findings.extend(share_factors::compare(lift, rules, demand)?);
        }
        let by_rule = match forces {
            Forces::Rule(rule) => sharing::compare(lift, rules, rule, &demand, &mut findings)?,
            Forces::AtVertices | Forces::Bounds(_) => None,
        };
        let demand = match demand {
            Ok(demand) => Some(demand),
            Err(error) => {
                findings.push(Finding::from_error(Code::Equilibrium, &lift.document().name, error)?);
                None
            }
        };
        let asks: Option<&dyn Asks> = match (&by_rule, &demand, forces) {
            (Some(by_rule), ..) => Some(by_rule),
            // What a rule refuses is not taken from elsewhere.
            (None, _, Forces::Rule(_)) | (None, None, _) => None,
            (None, Some(demand), _) => Some(demand),
        };
        let asks = asks.map(ToldOnce::of);
        let asks: Option<&dyn Asks> = asks.as_ref().map(|asks| asks as &dyn Asks);
        if let Some(asks) = asks {
            strength::compare(self, rules, asks, rated, &mut findings)?;
            findings.extend(collectors::compare(lift, rules, asks)?);
            findings.extend(side_load::compare(lift, rules, fittings, asks, demand.as_ref())?);
            findings.extend(pin_plate::compare(lift, rules, asks)?);
            findings.extend(pin_offset::compare(lift, rules, asks)?);
            findings.extend(inspection::compare(lift, rules, fittings, asks)?);
            findings.extend(crane::compare(lift, rules, asks)?);
            if let Some(demand) = &demand {
                findings.extend(snag::compare(self, rules, forces, demand)?);
            }
            findings.push(hang::own_weight(lift, asks.weight(), &findings)?);
            findings.extend(wind::compare(lift, asks.weight(), &findings)?);
        }
        if let Some(demand) = &demand {
            findings.extend(two_hooks::compare(lift, rules, demand, &findings)?);
        }
        let category = category::compare(lift, rules, asks, &findings)?.map(|(category, finding)| {
            findings.push(finding);
            category
        });
        let legs = demand.as_ref().map(|demand| figures(lift, demand, by_rule.as_ref(), &findings)).unwrap_or_default();
        let verdict = Verdict::combined(findings.iter().map(|finding| finding.verdict));
        // A stable sort keeps findings of equal rank in the order of the checks.
        // Findings are large, so they are moved once their order is known, and not while it is found.
        findings.sort_by_cached_key(importance);
        let forces = forces.told();
        Ok(Assessment {
            lift: lift.document().name.clone(),
            lift_hash: lift.hash().clone(),
            rules: RuleSetIdentity::of(rules),
            assumptions: assumption::list(lift, asks.map(Asks::weight), &forces, demand.as_ref()),
            forces,
            verdict,
            findings,
            legs,
            demand,
            by_rule,
            category,
        })
    }
}

/// What a finding is ordered by: its rank, then the largest utilization first. Whole numbers compare in one step, and a double is
/// ordered as its bits are once those of negative ones are turned.
fn importance(finding: &Finding) -> (u8, i64) {
    let bits = utilization(finding).to_bits() as i64;
    (rank(finding), !(bits ^ (((bits >> 63) as u64) >> 1) as i64))
}

/// Failures first, those without a figure (a load that turns over) before the others.
const fn rank(finding: &Finding) -> u8 {
    match (finding.verdict, finding.utilization.is_some()) {
        (Verdict::Fail, false) => 0,
        (Verdict::Fail, true) => 1,
        (Verdict::CannotConclude, _) => 2,
        (Verdict::Pass, true) => 3,
        (Verdict::Pass, false) => 4,
        (Verdict::NotCovered, _) => 5,
    }
}

/// Only strengths and hook loads are comparable by utilization; geometric limits follow them.
fn utilization(finding: &Finding) -> f64 {
    let forces = finding.demand.as_ref().is_some_and(|demand| demand.unit() == "N");
    let comparable = forces && finding.code != Code::SharingRule;
    finding.utilization.map_or(-1.0, |utilization| if comparable { utilization } else { utilization - 1e6 })
}

fn figures(lift: &Lift, demand: &Demand, by_rule: Option<&ByRule>, findings: &[Finding]) -> Vec<LegFigures> {
    let legs = lift.legs().zip(&demand.tensions).zip(&demand.moving.legs);
    let strengths: Vec<&Finding> = findings.iter().filter(|finding| is_strength(finding)).collect();
    let ruled = |leg: usize| {
        let by_rule = by_rule?;
        by_rule.moving.get(leg).map(|force| raised_value(*force, by_rule.on_share.on_leg(leg)))
    };
    legs.map(|((leg, nominal), extremes)| {
        let along = strengths.iter().filter(|finding| is_along(&leg, finding));
        let capacities = along.clone().map(|finding| finding.capacity.as_deref().map(crate::chain::Chain::value));
        let utilizations = along.map(|finding| finding.utilization);
        LegFigures {
            name: leg.leg.name.clone(),
            nominal: *nominal,
            worst: extremes.largest,
            least: extremes.least,
            taken: ruled(leg.index).or_else(|| {
                let solved = extremes.bound.or((!demand.on_share.are_none()).then_some(extremes.largest))?;
                Some(raised_value(solved, demand.on_share.on_leg(leg.index)))
            }),
            allowed: capacities.reduce(|one, other| Some(one?.min(other?))).flatten(),
            utilization: utilizations.reduce(|one, other| Some(one?.max(other?))).flatten(),
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

/// Whether a strength is one of an item of the leg, or of a point that it is attached to or passes over.
fn is_along(leg: &LegView<'_>, strength: &Finding) -> bool {
    let item = &strength.item;
    let fitting = || leg.fittings().any(|(_, fitting)| fitting.name == *item);
    let point = || leg.points().any(|point| point.name == *item);
    match strength.code {
        Code::SlingStrength => leg.slings().any(|(_, sling)| sling.name == *item),
        Code::FittingStrength | Code::PinOffset => fitting(),
        Code::LiftPointStrength => point(),
        Code::SideLoad => fitting() || point(),
        _ => false,
    }
}

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
mod coefficient;
mod collectors;
mod consistency;
mod covered;
mod crane;
mod edge;
mod end_fittings;
mod finding;
mod fit;
mod fitting_temperature;
mod geometry;
mod hang;
mod hung;
mod identity;
mod inspection;
mod kept;
mod leg_figures;
mod maker;
mod marked;
mod markings;
mod mass;
mod order;
mod particulars;
mod pin_offset;
mod pin_plate;
mod proof;
mod ratings;
mod reliability;
mod remedy;
mod running;
mod seen_temperature;
mod set_of_legs;
mod share_factors;
mod sharing;
mod side_load;
mod skew;
mod snag;
mod strength;
mod strengths;
mod surroundings;
mod temperature;
mod two_hooks;
mod unlike_legs;
mod unused;
mod verdict;
mod wind;

pub use assumption::{Assumption, AssumptionCode};
pub(crate) use by_itself::ByItself;
pub use category::{Category, Trigger, TriggerState};
pub use finding::{Code, Finding, MissingInput, Severity, Stance};
pub(crate) use hung::Hung;
pub(crate) use kept::Sets;
pub use leg_figures::LegFigures;
pub(crate) use leg_figures::along;
pub use reliability::{ImpliedIndex, ImpliedIndices, ReliabilityInputs, Strength};
pub use remedy::Remedy;
pub use verdict::Verdict;

use crate::arrangement::Lift;
use crate::demand::{self, Asks, ByRule, Demand, ForceSource, Forces, ToldOnce};
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
        let own = ByItself::of(self, Sets::One);
        let demand = demand::raise_amid(self, &own.circumstances, rules);
        own.assess(rules, forces, demand, &Hung::of(Sets::One))
    }
}

impl ByItself<'_> {
    /// [`Lift::assess_by`] with the demand that was raised under these rules, or what kept it from being raised, and what was
    /// said before of a demand that is the same.
    pub(crate) fn assess(
        &self,
        rules: &RuleSet,
        forces: Forces<'_>,
        demand: Result<Demand, Error>,
        hung: &Hung,
    ) -> Result<Assessment, Error> {
        if let Forces::Bounds(effort) = &forces {
            effort.validate()?;
        }
        let Self { lift, slings, fittings, bends, .. } = self;
        // About a dozen findings a leg: room for them spares moving them about.
        let mut findings = Vec::with_capacity(16 * (1 + lift.document().legs.len()));
        surroundings::compare(self, rules, &mut findings)?;
        findings.extend(mass::compare(self, rules)?);
        identity::compare(lift, rules, slings, fittings, &mut findings)?;
        edge::compare(lift, rules, &mut findings)?;
        fit::compare(self, rules, &mut findings)?;
        findings.extend(self.particulars());
        findings.extend(consistency::compare(lift, rules, slings)?);
        coefficient::compare(self, rules, &mut findings)?;
        findings.extend(marked::compare(lift, rules, slings)?);
        findings.extend(proof::compare(lift, rules)?);
        findings.extend(self.unused());
        maker::compare(lift, rules, &mut findings)?;
        geometry::compare(self, rules, &mut findings)?;
        findings.extend(end_fittings::compare(lift, rules, slings)?);
        let demand = match forces {
            Forces::Bounds(effort) => demand.and_then(|demand| demand.bounded(lift, &effort)),
            Forces::AtVertices | Forces::Rule(_) => demand,
        };
        let rated = ratings::of(self, rules, demand.as_ref().ok());
        if let Ok(demand) = &demand {
            findings.extend(hung.pose(lift, demand));
            hang::leg_angles(lift, rules, slings, demand, &mut findings)?;
            findings.extend(running::compare(lift, demand));
            findings.extend(collectors::spread(lift, demand));
            findings.extend(choke::compare(lift, demand));
            findings.extend(set_of_legs::compare(lift, rules, slings, demand, bends, &rated)?);
            findings.extend(share_factors::compare(lift, rules, demand)?);
        }
        findings.extend(skew::compare(self, rules, &forces, demand.as_ref().ok())?);
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
        let asks = asks.map(|asks| ToldOnce::of(asks, &hung.told));
        let asks: Option<&dyn Asks> = asks.as_ref().map(|asks| asks as &dyn Asks);
        if let Some(asks) = asks {
            strength::compare(self, rules, asks, rated, hung, &mut findings)?;
            if let Forces::Rule(rule) = forces {
                findings.extend(sharing::stands(self, rules, rule, demand.as_ref(), &findings)?);
            }
            findings.extend(collectors::compare(lift, rules, asks)?);
            findings.extend(side_load::compare(lift, rules, fittings, asks, demand.as_ref())?);
            findings.extend(pin_plate::compare(lift, rules, asks)?);
            pin_offset::compare(lift, rules, asks, &mut findings)?;
            inspection::compare(lift, rules, fittings, asks, &mut findings)?;
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
        let legs = demand
            .as_ref()
            .map(|demand| leg_figures::of(lift, demand, by_rule.as_ref(), &findings))
            .unwrap_or_default();
        let verdict = Verdict::combined(findings.iter().map(|finding| finding.verdict));
        let findings = order::in_order(findings);
        let forces = forces.told();
        Ok(Assessment {
            lift: lift.document().name.clone(),
            lift_hash: lift.hash().clone(),
            rules: RuleSetIdentity::of(rules),
            assumptions: assumption::list(self, rules, asks.map(Asks::weight), &forces, demand.as_ref()),
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

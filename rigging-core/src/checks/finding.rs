//! What a check found.

use super::{AssumptionCode, Verdict};
use crate::chain::Chain;
use crate::error::{Error, Place};
use crate::rules::Answer;
use crate::source::Source;
use crate::text::Text;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::sync::Arc;

/// How far a demand may seem to exceed a capacity for no other reason than rounding: forces balance to 1e-10 of the weight, and
/// units are converted.
const ROUNDING: f64 = 1e-9;

/// An input that is not there, and the JSON that would give it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MissingInput {
    /// What it is.
    pub what: Text,
    /// The JSON to add.
    pub add: Text,
    /// Where to add it.
    pub place: Place,
}

impl MissingInput {
    pub(super) fn new(what: impl Into<Text>, add: impl Into<Text>, place: Place) -> Self {
        Self { what: what.into(), add: add.into(), place }
    }
}

/// Outcome of one check on one item.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// Stable code of the check.
    pub code: Code,
    /// Outcome.
    pub verdict: Verdict,
    /// What is at stake.
    pub severity: Severity,
    /// Name of the item, or of the lift.
    pub item: Text,
    /// Where the item stands in the document.
    pub place: Place,
    /// The outcome in a sentence.
    pub text: Text,
    /// What is asked of the item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub demand: Option<Arc<Chain>>,
    /// What the item may bear.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub capacity: Option<Arc<Chain>>,
    /// Demand over capacity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub utilization: Option<f64>,
    /// The clause that decides.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<Source>,
    /// Where it is the rule set that does not speak: what it does instead. Of the operation, the place and the persons that is
    /// never a pass.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stance: Option<Stance>,
    /// What is missing where the check cannot conclude.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<MissingInput>,
    /// Codes of the assumptions that the outcome rests on; the assessment says what each means.
    #[serde(default, skip_serializing_if = "<[_]>::is_empty")]
    pub assumptions: Cow<'static, [AssumptionCode]>,
}

/// What a rule set does where it does not speak.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Stance {
    /// It says nothing of this.
    Silent,
    /// It excludes this.
    DoesNotApply,
    /// Its document speaks of this, and the set does not pass that on: it was not seen, or stands elsewhere.
    Withheld,
}

impl Stance {
    /// The stable text.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Silent => "silent",
            Self::DoesNotApply => "does_not_apply",
            Self::Withheld => "withheld",
        }
    }

    /// That of an answer; none of one that speaks, or that a fact keeps from it.
    pub(super) const fn of(answer: &Answer) -> Option<Self> {
        match answer {
            Answer::Silent => Some(Self::Silent),
            Answer::DoesNotApply { .. } => Some(Self::DoesNotApply),
            Answer::Withheld { .. } => Some(Self::Withheld),
            _ => None,
        }
    }
}

/// What is at stake if the requirement of a check is not met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The load can fall or turn over.
    Grave,
    /// Gear, load or lift point can be harmed.
    Serious,
    /// Nothing by itself; it is stated so that nobody takes it for granted.
    Notice,
}

impl Severity {
    /// The stable text.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Grave => "grave",
            Self::Serious => "serious",
            Self::Notice => "notice",
        }
    }
}

/// Stable codes of the checks. A retired code is never used again.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Code {
    /// Whether the rule set governs the operation, the place and the lifting of persons.
    Applicability,
    /// How the mass is known, and what is added for error.
    MassBasis,
    /// Whether the hanging load is in stable balance, nominally and at every vertex of the tolerances.
    Stability,
    /// Tilt against what is allowed.
    Tilt,
    /// A length, stiffness or other input without which there is no equilibrium.
    Equilibrium,
    /// Strength of a sling in its hitch.
    SlingStrength,
    /// Strength of a fitting.
    FittingStrength,
    /// Strength of a lift point.
    LiftPointStrength,
    /// Direction of the pull on a lift point.
    LiftPointDirection,
    /// Angle of a leg against the flattest that the rule set allows.
    LegAngle,
    /// Load on a hook.
    HookLoad,
    /// Compression of a spreader.
    SpreaderCompression,
    /// A sling over an edge.
    Edge,
    /// Tag or marking, and what it says.
    Identity,
    /// Temperature of the gear.
    Temperature,
    /// Chemicals that can reach the gear.
    Chemicals,
    /// A sling round a pin or hook: ratio of the diameters.
    Bend,
    /// A sling in a bow or a pin in a hole: does it go in.
    Fit,
    /// Own weight of the gear, which the leg tensions leave out.
    OwnWeight,
    /// An input that was accepted and is not used.
    NotConsidered,
    /// A sling that passes over something: does friction hold it where it is drawn.
    Sliding,
    /// A sharing rule against what the solver attains at the vertices of the tolerances.
    SharingRule,
    /// Strength where the pull is off the line that a rating holds for.
    SideLoad,
    /// Angle between the legs that a fitting collects.
    IncludedAngle,
    /// Strength of the plate round the hole of a lift point.
    PinPlate,
    /// A choke: does it stay where it was put, and what decides its rating.
    Choke,
    /// A set of legs as a whole: the weight against what the rule set lets the set bear, or lets count.
    SetOfLegs,
    /// Figures of one item that do not go together.
    Consistency,
    /// Share of a crane with the margin of the rule set.
    CraneShare,
    /// Category of the lift, with the conditions that lead to it.
    LiftCategory,
    /// Two hooks at different heights, or a load that tilts and turns under them.
    HookHeights,
    /// Wind on the hung load.
    Wind,
    /// Dimensions of lift points, slings and the load that the rule set limits.
    Geometry,
    /// What is to be looked at before each lift, beyond what every item is.
    Inspection,
    /// A factor of the rule set on shares of the load for an uncertain center of gravity, and the box that the lift states.
    CenterOfGravity,
    /// Strength of everything in the load path where the load sticks.
    Snag,
    /// A load off the middle of the pin it hangs on.
    PinOffset,
    /// Fittings that a sling is made with, against the rating of the sling.
    EndFittings,
    /// A skew factor of the rule set, which is not taken where skew is computed.
    Skew,
}

impl Code {
    /// The stable text.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Applicability => "applicability",
            Self::MassBasis => "mass_basis",
            Self::Stability => "stability",
            Self::Tilt => "tilt",
            Self::Equilibrium => "equilibrium",
            Self::SlingStrength => "sling_strength",
            Self::FittingStrength => "fitting_strength",
            Self::LiftPointStrength => "lift_point_strength",
            Self::LiftPointDirection => "lift_point_direction",
            Self::LegAngle => "leg_angle",
            Self::HookLoad => "hook_load",
            Self::SpreaderCompression => "spreader_compression",
            Self::Edge => "edge",
            Self::Identity => "identity",
            Self::Temperature => "temperature",
            Self::Chemicals => "chemicals",
            Self::Bend => "bend",
            Self::Fit => "fit",
            Self::OwnWeight => "own_weight",
            Self::NotConsidered => "not_considered",
            Self::Sliding => "sliding",
            Self::SharingRule => "sharing_rule",
            Self::SideLoad => "side_load",
            Self::IncludedAngle => "included_angle",
            Self::PinPlate => "pin_plate",
            Self::Choke => "choke",
            Self::SetOfLegs => "set_of_legs",
            Self::Consistency => "consistency",
            Self::CraneShare => "crane_share",
            Self::LiftCategory => "lift_category",
            Self::HookHeights => "hook_heights",
            Self::Wind => "wind",
            Self::Geometry => "geometry",
            Self::Inspection => "inspection",
            Self::CenterOfGravity => "center_of_gravity",
            Self::Snag => "snag",
            Self::PinOffset => "pin_offset",
            Self::EndFittings => "end_fittings",
            Self::Skew => "skew",
        }
    }
}

impl Code {
    /// What is at stake.
    pub const fn severity(self) -> Severity {
        match self {
            Self::Stability
            | Self::Equilibrium
            | Self::MassBasis
            | Self::SlingStrength
            | Self::FittingStrength
            | Self::LiftPointStrength
            | Self::HookLoad
            | Self::SpreaderCompression
            | Self::Sliding
            | Self::SharingRule
            | Self::SideLoad
            | Self::PinPlate
            | Self::Choke
            | Self::SetOfLegs
            | Self::Consistency
            | Self::Edge
            | Self::Identity
            | Self::CraneShare
            | Self::HookHeights
            | Self::CenterOfGravity
            | Self::Snag
            | Self::PinOffset
            | Self::EndFittings
            | Self::Skew
            | Self::Applicability => Severity::Grave,
            Self::Tilt
            | Self::LiftPointDirection
            | Self::LegAngle
            | Self::IncludedAngle
            | Self::Temperature
            | Self::Chemicals
            | Self::Bend
            | Self::Fit
            | Self::Geometry
            | Self::Wind => Severity::Serious,
            Self::OwnWeight | Self::NotConsidered | Self::LiftCategory | Self::Inspection => Severity::Notice,
        }
    }

    /// What an outcome of this check takes for granted.
    pub(super) const fn assumptions(self) -> &'static [AssumptionCode] {
        use AssumptionCode::{HookPosition, RigidLoad, SkewComputed, Stiffness, StraightLegs};
        match self {
            Self::Stability
            | Self::Tilt
            | Self::LiftPointDirection
            | Self::LegAngle
            | Self::IncludedAngle
            | Self::Sliding
            | Self::Choke => &[RigidLoad, StraightLegs, HookPosition, Stiffness],
            Self::SlingStrength
            | Self::FittingStrength
            | Self::LiftPointStrength
            | Self::SideLoad
            | Self::PinPlate
            | Self::SpreaderCompression => {
                &[RigidLoad, StraightLegs, HookPosition, Stiffness, SkewComputed, AssumptionCode::Dynamics]
            }
            Self::Inspection => &[RigidLoad, StraightLegs, HookPosition, Stiffness, AssumptionCode::Dynamics],
            Self::HookLoad | Self::CraneShare | Self::SetOfLegs => &[HookPosition, AssumptionCode::Dynamics],
            Self::HookHeights => &[RigidLoad, StraightLegs, Stiffness, AssumptionCode::Dynamics],
            Self::CenterOfGravity => &[RigidLoad, StraightLegs, HookPosition, Stiffness],
            Self::SharingRule => &[
                RigidLoad,
                StraightLegs,
                HookPosition,
                Stiffness,
                AssumptionCode::SharingRule,
                AssumptionCode::Dynamics,
            ],
            _ => &[],
        }
    }
}

impl Finding {
    /// What was compared, in words.
    pub fn quantity(&self) -> &str {
        self.demand.as_ref().map_or(self.code.text(), |chain| &chain.quantity)
    }

    /// Unit of demand and capacity; empty where there is neither.
    pub fn unit(&self) -> &str {
        self.demand.as_deref().or(self.capacity.as_deref()).map_or("", Chain::unit)
    }

    /// A finding without demand and capacity.
    pub(super) fn new(
        code: Code,
        verdict: Verdict,
        item: impl Into<Text>,
        place: Place,
        text: impl Into<Text>,
    ) -> Self {
        Self {
            code,
            verdict,
            severity: code.severity(),
            item: item.into(),
            place,
            text: text.into(),
            demand: None,
            capacity: None,
            utilization: None,
            source: None,
            stance: None,
            missing: Vec::new(),
            assumptions: code.assumptions().into(),
        }
    }

    /// A demand held against a capacity of the same unit.
    pub(super) fn compared(
        code: Code,
        item: impl Into<Text>,
        place: Place,
        demand: impl Into<Arc<Chain>>,
        capacity: impl Into<Arc<Chain>>,
    ) -> Self {
        let (demand, capacity) = (demand.into(), capacity.into());
        let utilization = demand.value() / capacity.value();
        // What is met to within rounding is met.
        let utilization = if utilization > 1.0 && utilization <= 1.0 + ROUNDING { 1.0 } else { utilization };
        // A demand or capacity that is not a finite number, or of the wrong sign, must never pass.
        let bounded = capacity.value().is_finite() && capacity.value() > 0.0 && demand.value() >= 0.0;
        let verdict = if bounded && (0.0..=1.0).contains(&utilization) { Verdict::Pass } else { Verdict::Fail };
        let text = Text::joined([&demand.quantity, &Text::fixed(" against "), &capacity.quantity]);
        let source = capacity.sources().last().cloned();
        Self {
            demand: Some(demand),
            capacity: Some(capacity),
            utilization: Some(utilization),
            source,
            ..Self::new(code, verdict, item, place, text)
        }
    }

    /// The same outcome for another item that states the same.
    #[must_use]
    pub(super) fn alike(&self, item: impl Into<Text>, place: Place) -> Self {
        Self {
            code: self.code,
            verdict: self.verdict,
            severity: self.severity,
            item: item.into(),
            place,
            text: self.text.clone(),
            demand: self.demand.clone(),
            capacity: self.capacity.clone(),
            utilization: self.utilization,
            source: self.source.clone(),
            missing: self.missing.clone(),
            assumptions: self.assumptions.clone(),
            stance: self.stance,
        }
    }

    /// The same finding with the clause that decides.
    #[must_use]
    pub(super) fn after(mut self, source: Source) -> Self {
        self.source = Some(source);
        self
    }

    /// The same finding with what the rule set does where it does not speak.
    #[must_use]
    pub(super) fn standing(self, stance: Option<Stance>) -> Self {
        Self { stance, ..self }
    }

    /// "Cannot conclude", with what is missing.
    pub(super) fn lacking(code: Code, item: impl Into<Text>, missing: MissingInput) -> Self {
        let text = Text::from([&*missing.what, " is not known"]);
        let place = missing.place.clone();
        Self { missing: vec![missing], ..Self::new(code, Verdict::CannotConclude, item, place, text) }
    }

    /// What a sharing rule refuses, as a finding: nothing can be concluded by it, and the reason is told. An answer that is
    /// none at all is handed back.
    pub(super) fn refused(rule: &str, item: impl Into<Text>, error: Error) -> Result<Self, Error> {
        let text = Text::from(format!("the rule \"{rule}\" refuses: {error}"));
        let finding = match error {
            Error::OutOfDomain { place, .. } => {
                Self::new(Code::SharingRule, Verdict::CannotConclude, item, place, text)
            }
            other => Self { text, ..Self::from_error(Code::SharingRule, item, other)? },
        };
        Ok(Self { assumptions: (&[AssumptionCode::SharingRule]).into(), ..finding })
    }

    /// An error of a calculation as a finding, where a missing or not yet calculated input explains it; any other error
    /// is handed back.
    pub(super) fn from_error(code: Code, item: impl Into<Text>, error: Error) -> Result<Self, Error> {
        match error {
            Error::Missing { what, add, place } => Ok(Self::lacking(code, item, MissingInput::new(what, add, place))),
            Error::Unsupported { what, place } => {
                Ok(Self::new(code, Verdict::CannotConclude, item, place, format!("not calculated: {what}")))
            }
            // Where two branches part so closely that even fine descents end apart, no verdict is one.
            Error::Unconverged { reading, place } => {
                let text = format!("no state could be certified: {reading}");
                Ok(Self::new(code, Verdict::CannotConclude, item, place, text))
            }
            other => Err(other),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::Term;

    fn newtons(value: f64) -> Chain {
        Chain::start("a force", Term::new("F", "force", value, "N", Source::stated("test")))
    }

    #[test]
    fn what_is_no_number_never_passes() {
        let values =
            [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, -0.0, 0.0, f64::MIN_POSITIVE, 1.0, 2.0, f64::MAX];
        let mut passed = 0;
        for demand in values {
            for capacity in values {
                let finding =
                    Finding::compared(Code::SlingStrength, "x", Place::root(), newtons(demand), newtons(capacity));
                let sound = demand >= 0.0 && demand <= capacity && capacity.is_finite() && capacity > 0.0;
                let expected = if sound { Verdict::Pass } else { Verdict::Fail };
                assert_eq!(finding.verdict, expected, "{demand} of {capacity}");
                passed += usize::from(sound);
            }
        }
        println!("{passed} of {} pairs passed", values.len() * values.len());
        assert_eq!((passed, values.len()), (18, 10));
    }
}

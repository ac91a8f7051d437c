//! What a document states of the operation beside the gear: kind of load, how motion was looked at, what a failure means, vessels,
//! and what makes a lift out of the ordinary.

use super::document::{Document, OperationKind};
use super::ranges::{cited, within};
use super::{snag, wind};
use crate::error::{Error, Place};
use crate::gear::{Cited, Known};
use crate::quantity::{Entered, Fraction};
use serde::{Deserialize, Serialize};

/// What kind of load it is, as far as rules ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum LoadKind {
    /// None of those below.
    General,
    /// A container for repeated use to, from and between offshore installations.
    OffshoreContainer,
    /// A portable unit for repeated use offshore that is no container.
    PortableOffshoreUnit,
}

impl LoadKind {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::General => "general",
            Self::OffshoreContainer => "offshore container",
            Self::PortableOffshoreUnit => "portable offshore unit",
        }
    }
}

/// How the motion of the load was looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum DynamicAnalysis {
    /// By a factor of the rules alone.
    #[serde(rename = "none")]
    NotMade,
    /// By an analysis of its own.
    Detailed(DetailedAnalysis),
}

/// What a detailed dynamic analysis found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct DetailedAnalysis {
    /// Share of waves and wind in the largest load.
    #[serde(default)]
    pub environmental_share: Known<Cited<Entered<Fraction>>>,
}

/// What the failure of a sling means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Consequence {
    /// The load is lost.
    TotalLoss,
    /// It is agreed to be tolerable.
    Tolerable,
}

impl Consequence {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::TotalLoss => "total loss",
            Self::Tolerable => "tolerable",
        }
    }
}

/// How many vessels carry the hooks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Vessels {
    /// One.
    One,
    /// More than one.
    Several,
}

impl Vessels {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::One => "one",
            Self::Several => "several",
        }
    }
}

/// A part of the world, as far as rules part one from another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub enum Region {
    /// The European Union.
    #[serde(rename = "EU")]
    EuropeanUnion,
    /// The United Kingdom.
    #[serde(rename = "UK")]
    UnitedKingdom,
    /// The United States.
    #[serde(rename = "US")]
    UnitedStates,
    /// Australia.
    #[serde(rename = "Australia")]
    Australia,
    /// None of those above.
    #[serde(rename = "elsewhere")]
    Elsewhere,
}

impl Region {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::EuropeanUnion => "EU",
            Self::UnitedKingdom => "UK",
            Self::UnitedStates => "US",
            Self::Australia => "Australia",
            Self::Elsewhere => "elsewhere",
        }
    }
}

/// What the stated capacity at a hook leaves to be counted: whatever is counted there must be counted once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum CapacityBasis {
    /// Nothing is deducted: the block and the gear below the hook are part of the load.
    Gross,
    /// The block is deducted, or the capacity is that of the hook itself: the gear below the hook is part of the load.
    NetOfBlock,
    /// Block and gear below the hook are deducted: neither is part of the load.
    NetOfBlockAndGear,
}

impl CapacityBasis {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Gross => "gross: block and gear count as load",
            Self::NetOfBlock => "net of the block: the gear counts as load",
            Self::NetOfBlockAndGear => "net of block and gear: neither counts as load",
        }
    }
}

/// What makes a lift out of the ordinary, as far as rules ask. Whatever is not stated is unknown.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Circumstances {
    /// Whether steel is being erected.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub steel_erection: Known<bool>,
    /// Whether the load holds what is hazardous if it gets out.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub hazardous_load: Known<bool>,
    /// Whether the operator loses sight of the load or of the place where it is set down.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub load_out_of_view: Known<bool>,
    /// Whether the center of gravity can move during the lift, as with liquid in a tank.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub center_of_gravity_can_move: Known<bool>,
    /// Whether the crane travels with the load.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub travel_with_load: Known<bool>,
    /// Whether crane, line or load can come nearer to a power line than is allowed without further measures.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub near_power_line: Known<bool>,
    /// Whether the load may stick: to what it stands on, in a guide, or under something.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub load_may_stick: Known<bool>,
}

impl Circumstances {
    /// Whether nothing is stated.
    pub fn are_unknown(&self) -> bool {
        *self == Self::default()
    }

    /// Each with its key in the document and the fact that rules ask for.
    pub fn each(&self) -> [(&'static str, &'static str, Option<bool>); 7] {
        let of = |known: &Known<bool>| known.value().copied();
        [
            ("steel_erection", "steel erection", of(&self.steel_erection)),
            ("hazardous_load", "hazardous load", of(&self.hazardous_load)),
            ("load_out_of_view", "load out of view", of(&self.load_out_of_view)),
            ("center_of_gravity_can_move", "center of gravity can move", of(&self.center_of_gravity_can_move)),
            ("travel_with_load", "travel with load", of(&self.travel_with_load)),
            ("near_power_line", "near power line", of(&self.near_power_line)),
            ("load_may_stick", "load may stick", of(&self.load_may_stick)),
        ]
    }
}

/// Checks every single value that the document states of the operation and the wind, and that cranes and kind of operation fit.
pub(super) fn check(document: &Document) -> Result<(), Error> {
    let root = Place::root();
    cranes(document)?;
    snag::check(&document.operation.snag, &document.operation.circumstances, &root.child("operation").child("snag"))?;
    if let Known::Value(DynamicAnalysis::Detailed(analysis)) = &document.operation.dynamic_analysis
        && let Some(share) = analysis.environmental_share.value()
    {
        let place = root.child("operation").child("dynamic_analysis").child("detailed").child("environmental_share");
        cited(share, &place)?;
        within("environmental share", &share.value, 0.0, 1.0, place.child("value"))?;
    }
    document
        .environment
        .wind
        .value()
        .map_or(Ok(()), |stated| wind::check(stated, &root.child("environment").child("wind")))
}

/// Two hooks of one crane are of one crane, and several cranes are several.
fn cranes(document: &Document) -> Result<(), Error> {
    let root = Place::root();
    let named = document.hooks.iter().enumerate().filter_map(|(index, hook)| Some((index, hook.crane.value()?)));
    let named: Vec<_> = named.collect();
    let Some((_, first)) = named.first() else { return Ok(()) };
    let other = named.iter().find(|(_, crane)| crane != first);
    match (document.operation.kind.value(), other) {
        (Some(OperationKind::TwoHookLift), Some((index, _))) => {
            let what = "a lift with two hooks of one crane, and its hooks are of several";
            Err(Error::inconsistent(what, root.child("hooks").child(*index).child("crane")))
        }
        (Some(OperationKind::MultiCraneLift), None) if named.len() == document.hooks.len() => {
            let what = "a lift with several cranes, and every hook is of the same one";
            Err(Error::inconsistent(what, root.child("operation").child("kind")))
        }
        _ => Ok(()),
    }
}

//! How a sling stretches.

use super::Known;
use crate::quantity::{Entered, Force, Fraction};
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// Tension against strain, e = (length − unstretched length) / unstretched length; no tension below e = 0.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum StretchLaw {
    /// T = EA·e, axial stiffness EA in force per unit strain.
    Ea(Entered<Force>),
    /// T = c₁·e + c₂·e² + …
    Polynomial(Vec<Entered<Force>>),
    /// Straight lines from (0, 0) through the points (strain, tension); the last slope goes on.
    Points(Vec<(Entered<Fraction>, Entered<Force>)>),
}

/// State of the fiber that a stiffness was measured in: they differ by a factor of two and more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Condition {
    /// First loading.
    New,
    /// After repeated loading.
    Bedded,
    /// Under quick cycles about a mean load.
    Dynamic,
}

impl Condition {
    /// The word for reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Bedded => "bedded in",
            Self::Dynamic => "dynamic",
        }
    }
}

/// What a stiffness is quoted for: where several parts bear side by side, taking one for the other is a factor of two or
/// more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// One part: one rope of a grommet, one side of an endless sling.
    Part,
    /// The sling in a straight pull from end to end: all its parts together.
    Whole,
    /// Everything between the two ends of the leg as it hangs: of a doubled sling both lengths together.
    AsHung,
}

impl Basis {
    /// The words for reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Part => "one part",
            Self::Whole => "the whole sling in a straight pull",
            Self::AsHung => "the leg as it hangs",
        }
    }
}

/// A stretch law, what it is quoted for, the state it was measured in, and who says so.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Stiffness {
    /// The law.
    pub law: StretchLaw,
    /// What the law is quoted for. Where only one part bears there is nothing to take it for but that part.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub basis: Known<Basis>,
    /// State it was measured in.
    #[serde(default)]
    pub condition: Known<Condition>,
    /// The data sheet or test that states it.
    #[serde(default)]
    pub source: Known<Text>,
}

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

/// A stretch law, the state it was measured in, and who says so.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Stiffness {
    /// The law.
    pub law: StretchLaw,
    /// State it was measured in.
    #[serde(default)]
    pub condition: Known<Condition>,
    /// The data sheet or test that states it.
    #[serde(default)]
    pub source: Known<Text>,
}

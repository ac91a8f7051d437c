//! A plate with a hole for a pin: padeye, lug, the end of a spreader.

use super::{Cited, Known};
use crate::quantity::{Entered, Length, Pressure};
use serde::{Deserialize, Serialize};

/// Dimensions and material of the plate round the hole of a lift point; hole and thickness stand with the point itself.
///
/// Strength of the plate as far as a rule set has equations for it. Welds, what the plate stands on, and loads across its
/// plane are the designer's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct PinPlate {
    /// From the edge of the hole to the edge of the plate, in the direction of the pull.
    #[serde(default)]
    pub edge_distance_along: Known<Entered<Length>>,
    /// From the edge of the hole to the edge of the plate, across the pull.
    #[serde(default)]
    pub edge_distance_across: Known<Entered<Length>>,
    /// Radius of the edge of the plate round the hole.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub outer_radius: Known<Entered<Length>>,
    /// Thickness of all cheek plates on one side together; zero where there are none.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub cheek_thickness: Known<Entered<Length>>,
    /// Form of the edge that the pin pulls toward.
    #[serde(default)]
    pub edge: Known<EdgeShape>,
    /// Yield strength of the material.
    #[serde(default)]
    pub yield_strength: Known<Cited<Entered<Pressure>>>,
    /// Tensile strength of the material.
    #[serde(default)]
    pub tensile_strength: Known<Cited<Entered<Pressure>>>,
    /// The design factor that the designer chose, a pure number of 1 or more.
    #[serde(default)]
    pub nominal_design_factor: Known<Cited<f64>>,
}

/// Form of the edge of a plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum EdgeShape {
    /// Straight across.
    Straight,
    /// Round about the hole.
    Curved,
}

impl EdgeShape {
    /// The word asked of a rule set and printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Curved => "curved",
        }
    }
}

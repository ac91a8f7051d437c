//! What a maker leaves of a rating where the pull is off the line for which it is marked.

use super::Cited;
use crate::quantity::{Angle, Entered, Fraction};
use serde::{Deserialize, Serialize};

/// Up to this angle, this share of the rating is left.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AngleShare {
    /// Upper end of the band; it holds its end.
    pub up_to: Entered<Angle>,
    /// What is left of the rating: above 0 % and at most 100 %.
    pub share: Entered<Fraction>,
}

/// Shares in bands, from the line outward.
pub type AngleShares = Cited<Vec<AngleShare>>;

/// The band that an angle, in radians, lies in; none beyond the last.
pub fn band(shares: &[AngleShare], angle: f64) -> Option<&AngleShare> {
    let angle = if angle <= IN_LINE { 0.0 } else { angle };
    shares.iter().find(|share| angle <= share.up_to.si())
}

/// Angle up to which a pull is in line, rad: rounding only. A balance in line ends a few units in the last place beside it,
/// and must not fall into the next band for that.
pub const IN_LINE: f64 = 1e-9;

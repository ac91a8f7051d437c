//! Identity: the tag that decides whether an item may be used at all.

use super::{Known, Rated};
use serde::{Deserialize, Serialize};

/// The tag or marking on an item, as seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Tag {
    /// Whether it can be read in full.
    pub legible: bool,
    /// The working load limit it shows.
    #[serde(default)]
    pub wll: Known<Rated>,
}

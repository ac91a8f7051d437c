//! Identity: the tag that decides whether an item may be used at all.

use super::{Known, Rated};
use crate::text::Text;
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

/// The paper of an item, as read: maker's or test certificate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct TestCertificate {
    /// Its number.
    pub number: Text,
    /// The identification number of the item that it is for.
    #[serde(default)]
    pub identity: Known<Text>,
    /// The working load limit that it states.
    #[serde(default)]
    pub wll: Known<Rated>,
    /// The breaking load that it states.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub breaking_load: Known<Rated>,
}

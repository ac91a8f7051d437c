//! Which document a rule file is.

use super::file::Heading;
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// A document that a rule set includes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct DocumentIdentity {
    /// Name by which it is included.
    pub name: Text,
    /// What it is, in words.
    pub title: Text,
    /// Its edition or date.
    pub edition: Text,
    /// In force, or superseded and by what.
    pub status: Text,
    /// Hash of its content, whole.
    pub hash: Text,
    /// A remark of its file.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<Text>,
}

impl DocumentIdentity {
    pub(super) fn of(heading: &Heading) -> Self {
        Self {
            name: heading.name.clone(),
            title: heading.title.clone(),
            edition: heading.edition.clone(),
            status: heading.status.in_words(),
            hash: heading.hash.clone(),
            note: heading.note.clone(),
        }
    }
}

//! Where a number comes from: document, clause, edition and standing.

use crate::text::Text;
use serde::{Deserialize, Serialize};

/// How a value was read from its document.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Standing {
    /// Read in a copy of the document itself, a law, or an official body's publication.
    Document,
    /// Read only in a page that repeats the document.
    Secondary,
    /// A published rule or geometry; the arithmetic is ours.
    Derived,
    /// From memory, unverified: shown as such, never a test oracle.
    Memory,
    /// Common practice; no source is known.
    CommonPractice,
    /// Stated by the user in the lift document or in a rule set of their own.
    Stated,
    /// Stated by the user with a sharing rule of their own.
    StatedWithRule,
}

impl Standing {
    /// The word printed in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Document => "document",
            Self::Secondary => "secondary",
            Self::Derived => "derived",
            Self::Memory => "memory",
            Self::CommonPractice => "common practice, no source",
            Self::Stated => "stated in the lift document",
            Self::StatedWithRule => "stated with the rule",
        }
    }
}

/// A citation: the document, the place in it, its edition, and how it was read.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Designation or title of the document.
    pub document: Text,
    /// Clause, table or page; empty where the document is a whole (a data sheet, a tag).
    #[serde(default, skip_serializing_if = "str::is_empty")]
    pub clause: Text,
    /// Edition, revision or date; empty where none is stated.
    #[serde(default, skip_serializing_if = "str::is_empty")]
    pub edition: Text,
    /// How the value was read.
    pub standing: Standing,
}

impl Source {
    /// A citation of a published document.
    ///
    /// ```
    /// use rigging_core::source::{Source, Standing};
    /// let source = Source::new("29 CFR 1910.184", "(b)", "", Standing::Document);
    /// assert_eq!(source.to_string(), "29 CFR 1910.184, (b) [document]");
    /// ```
    pub fn new(
        document: impl Into<Text>,
        clause: impl Into<Text>,
        edition: impl Into<Text>,
        standing: Standing,
    ) -> Self {
        Self { document: document.into(), clause: clause.into(), edition: edition.into(), standing }
    }

    /// A value the lift document states itself.
    pub fn stated(what: impl Into<Text>) -> Self {
        Self::new(what, "", "", Standing::Stated)
    }

    /// What the user states with a sharing rule of their own.
    pub fn stated_with_rule(what: impl Into<Text>) -> Self {
        Self::new(what, "", "", Standing::StatedWithRule)
    }

    /// A relation of mechanics, derived here.
    pub fn mechanics(what: impl Into<Text>) -> Self {
        Self::new(what, "", "", Standing::Derived)
    }
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.document)?;
        if !self.edition.is_empty() {
            write!(f, " ({})", self.edition)?;
        }
        if !self.clause.is_empty() {
            write!(f, ", {}", self.clause)?;
        }
        write!(f, " [{}]", self.standing.word())
    }
}

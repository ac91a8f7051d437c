//! Where a number comes from: document, clause, edition and standing.

use crate::text::Text;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::hash::{Hash, Hasher};
use std::ops::Deref;
use std::sync::Arc;

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
    /// Stated by the user in the lift document.
    Stated,
    /// Stated by the user in a rule set of their own.
    StatedInRuleSet,
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
            Self::StatedInRuleSet => "stated in the rule set",
            Self::StatedWithRule => "stated with the rule",
        }
    }
}

/// A citation: the document, the place in it, its edition, and how it was read.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema), schemars(rename = "Source"))]
#[serde(deny_unknown_fields)]
pub struct Citation {
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

impl Citation {
    /// A value the lift document states itself.
    pub const fn stated(what: &'static str) -> Self {
        Self::of(what, Standing::Stated)
    }

    /// A relation of mechanics, derived here.
    pub const fn mechanics(what: &'static str) -> Self {
        Self::of(what, Standing::Derived)
    }

    const fn of(document: &'static str, standing: Standing) -> Self {
        Self { document: Text::fixed(document), clause: Text::fixed(""), edition: Text::fixed(""), standing }
    }
}

/// How a load hangs.
pub(crate) static SOLVED: Citation = Citation::mechanics("equilibrium of the hanging load, solved and certified");
/// What mass becomes where it is hung.
pub(crate) static WEIGHT: Citation = Citation::mechanics("weight is mass times gravity");
/// How large things are.
pub(crate) static DIMENSIONS: Citation = Citation::stated("dimensions in the lift document");

/// Where a value comes from: a [`Citation`] that is shared instead of copied, for every term and every finding names one.
///
/// Two are equal when their citations are.
#[derive(Clone)]
pub struct Source(Held);

#[derive(Clone)]
enum Held {
    Fixed(&'static Citation),
    Shared(Arc<Citation>),
}

impl Source {
    /// A citation of the program itself.
    ///
    /// ```
    /// use rigging_core::source::{Citation, Source};
    /// static BALANCE: Citation = Citation::mechanics("balance of forces");
    /// assert_eq!(Source::fixed(&BALANCE), Source::mechanics("balance of forces"));
    /// ```
    pub const fn fixed(citation: &'static Citation) -> Self {
        Self(Held::Fixed(citation))
    }

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
        Citation { document: document.into(), clause: clause.into(), edition: edition.into(), standing }.into()
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

impl Deref for Source {
    type Target = Citation;

    fn deref(&self) -> &Citation {
        match &self.0 {
            Held::Fixed(citation) => citation,
            Held::Shared(citation) => citation,
        }
    }
}

impl From<Citation> for Source {
    fn from(citation: Citation) -> Self {
        Self(Held::Shared(Arc::new(citation)))
    }
}

impl std::fmt::Debug for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        std::fmt::Debug::fmt(&**self, f)
    }
}

impl PartialEq for Source {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(&raw const **self, &raw const **other) || **self == **other
    }
}

impl Eq for Source {}

impl Hash for Source {
    fn hash<H: Hasher>(&self, state: &mut H) {
        (**self).hash(state);
    }
}

impl Serialize for Source {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        (**self).serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Source {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Citation::deserialize(deserializer).map(Self::from)
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Source {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        Citation::schema_name()
    }

    fn schema_id() -> std::borrow::Cow<'static, str> {
        Citation::schema_id()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        Citation::json_schema(generator)
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

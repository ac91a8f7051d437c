//! What each document says, as data with provenance.
//!
//! A [`RuleSet`] answers a [`Question`] put to it in plain quantities ([`Facts`]); it never sees a lift. It speaks,
//! is silent, does not apply, or says which fact is missing or out of range: silence and exclusion are answers, never
//! a factor of 1.
//!
//! Everything particular to a document stands in a TOML file: values, parameters, ranges, scope, sources. The code
//! holds only the generic forms ([relation names](RuleSet::from_toml)). A file of the user's own loads through the
//! same door as the built-in ones.
//!
//! ```
//! use rigging_core::rules::{Answer, Facts, Question, RuleSet};
//! let rules = RuleSet::built_in("marine-0027-nd-2016")?;
//! let facts = Facts::new()
//!     .word("place", "offshore")
//!     .word("vessels", "one")
//!     .number("gross weight", 24.0, "t")
//!     .number("static hook load", 25.0, "t");
//! let answer = rules.ask(Question::DynamicFactor, &facts);
//! assert_eq!(answer.value(), Some(1.5)); // 1 + 0.25·√(100/25)
//! // The US federal rules know no dynamic factor: that is silence, not 1.0.
//! assert_eq!(RuleSet::built_in("us-general")?.ask(Question::DynamicFactor, &facts), Answer::Silent);
//! # Ok::<(), rigging_core::error::Error>(())
//! ```

pub mod chapters;

mod answer;
mod built_in;
mod compose;
mod deciding;
mod details;
mod difference;
mod document;
mod evaluate;
mod facts;
mod file;
mod laws;
mod lint;
mod load;
mod of_gear;
mod question;
mod range;
mod relation;
mod rule;
#[cfg(feature = "schema")]
mod schema;
mod set;
mod steps;
mod table;
mod tree;
mod unit;
mod vocabulary;

pub use answer::{Answer, Held, Ruled, Said, Tried};
pub use difference::{
    AnsweredBy, DetailDifference, Difference, Paired, QuestionDifference, RuleDifference, RuleNamed, SetNamed,
    difference,
};
pub use document::DocumentIdentity;
pub use facts::Facts;
pub use lint::{Complaint, ComplaintCode, lint, lint_with};
pub(crate) use question::{BREAKING_LOAD, MARKED, PARTIAL_FACTORS, TABLE};
pub use question::{Question, Severer};
pub(crate) use range::AT_LIMIT;
#[cfg(feature = "schema")]
pub(crate) use schema::file as file_schema;
pub(crate) use set::OfItem;
pub use set::{RuleSet, Status};
pub use unit::Dimension;

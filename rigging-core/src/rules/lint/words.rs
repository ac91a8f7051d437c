//! The kinds of complaints, with what each of them is about.

use crate::error::Error;
use serde::{Deserialize, Serialize};

macro_rules! codes {
    ($($(#[doc = $doc:literal])* $variant:ident = $word:literal, $why:literal, $remedy:literal;)*) => {
        /// The kind of a complaint. Words are stable; new ones come at the end.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "snake_case")]
        #[non_exhaustive]
        pub enum ComplaintCode {
            $($(#[doc = $doc])* $variant,)*
        }

        impl ComplaintCode {
            /// Every code.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The stable word.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// Why it matters.
            pub const fn why(self) -> &'static str {
                match self { $(Self::$variant => $why,)* }
            }

            /// What to write, in general.
            pub const fn remedy(self) -> &'static str {
                match self { $(Self::$variant => $remedy,)* }
            }
        }
    };
}

codes! {
    /// The text is no TOML, or a value has the wrong form.
    Malformed = "malformed", "nothing can be read from it for certain", "the form that is named";
    /// A key that is needed is not there.
    Missing = "missing", "without it a value has no meaning, or nobody can look it up", "the key that is named";
    /// A key that no rule file has.
    UnknownKey = "unknown_key", "a misspelled key would be passed over, and the rule would say something else", "a key of the format";
    /// A name of a question, fact, word, relation, unit or source that does not exist.
    UnknownName = "unknown_name", "a rule with it would never be asked, or never be met", "a name of the vocabulary";
    /// A name that stands twice.
    DuplicateName = "duplicate_name", "a complaint or a report could not say which of the two is meant", "another name";
    /// Two statements that contradict each other.
    Inconsistent = "inconsistent", "only one of them can hold, and the file must not leave it to chance which", "which of them holds";
    /// A value outside what its question or table can have.
    OutOfDomain = "out_of_domain", "no document prints such a value: a digit, a unit or a row is wrong", "the value as printed";
    /// A unit that does not measure the quantity.
    WrongUnit = "wrong_unit", "the number would be out by the ratio of the units", "the unit of the document";
    /// A format that this version does not read.
    NewerFormat = "newer_format", "what the newer format adds would be passed over", "format = 1";
    /// Any other refusal.
    Refused = "refused", "the file cannot be loaded", "what the message asks for";
    /// A value from memory.
    StandingMemory = "standing_memory", "a value from memory is unverified and may be of another edition", "read the document and write its standing, or withhold the value";
    /// A value read at second hand, and nothing says where.
    SecondaryWithoutNote = "secondary_without_note", "a copy may be out of date or misprinted; who reads it must know that it is one", "a note with what was read, or a source whose title names the copy";
    /// A question about scope that the file does not answer.
    NoScope = "no_scope", "what the set is silent on, a report tells: nothing is concluded on a lift of which it does not name operation and place, nor where persons are lifted and it names none; a lift without persons, and gear, are told as not covered", "a rule that answers the question, with clause; standing = \"derived\" where the document only implies it";
    /// Bands that leave a gap.
    GapInBands = "gap_in_bands", "a value in the gap gets no answer, though the document may give one to whom it belongs", "bands that meet, or a note that says why they do not";
    /// A range without the words of the document for what lies outside.
    NoPolicy = "no_policy", "who is outside the range is told that there is no value, and not what the document asks for", "policy = \"what the document says of values outside\"";
    /// A superseded file that names no successor.
    NoSuccessor = "no_successor", "who uses it must know what to read instead", "superseded_by = \"designation of the successor\"";
    /// A factor of 1 that may be no more than silence.
    NeutralValue = "neutral_value", "silence is an answer of its own; a factor of 1 that the document does not print claims that nothing is lost", "nothing, where the document is silent; else a note that it prints the 1";
    /// A character that looks like another one.
    Lookalike = "lookalike", "a name that looks the same and is not is never found, and no search finds the clause", "the plain character";
    /// A source that is read from the document and names no edition.
    NoEdition = "no_edition", "figures change between editions", "edition = \"as printed on the document\"";
    /// A condition that every word meets.
    EmptyCondition = "empty_condition", "it excludes nothing, and looks as if it did", "the words that the document names, or no condition";
    /// A rule for what the file itself excludes.
    ExcludedByScope = "excluded_by_scope", "the exclusion is heeded first: this rule never speaks", "a narrower exclusion, or no rule";
    /// A figure for slings of fiber that does not say of which fiber.
    AnyFiber = "any_fiber", "it answers for every fiber, also for one that melts or slips where the document's does not", "material = [\"…\"] under when";
    /// An included document that is superseded.
    SupersededDocument = "superseded_document", "the set says what the newer edition may no longer say", "the newer document, or a note in the set";
    /// A remark of the file that is missing where a document was not read whole.
    WithheldWithoutWay = "withheld_without_way", "who is refused a value needs to know where it can be found", "why = \"what was not read, and where it stands\"";
    /// A factor that no rating basis of the set asks for, an answer that no check asks for, or a rule under words that no lift states.
    NeverAsked = "never_asked", "the figure stands in the file, and every rating is made without it", "the rating basis that asks for it; or no rule, where the marked rating or the design factor holds it already";
    /// Gear that the set is not for, and whose marking therefore stands.
    MarkingStands = "marking_stands", "what a set is not for bears by its marking, and is told as not covered: it is not kept out of use", "where the gear must not be used: a rating basis for it with the relation \"withheld\" and the reason, and no exclusion; else nothing";
}

impl ComplaintCode {
    /// The code of what refuses a file.
    pub(super) const fn of(error: &Error) -> Self {
        match error {
            Error::Malformed { .. } | Error::BareNumber { .. } | Error::AmbiguousUnit { .. } => Self::Malformed,
            Error::Missing { .. } => Self::Missing,
            Error::UnknownKey { .. } => Self::UnknownKey,
            Error::UnknownName { .. } => Self::UnknownName,
            Error::DuplicateName { .. } | Error::DuplicateKey { .. } => Self::DuplicateName,
            Error::Inconsistent { .. } => Self::Inconsistent,
            Error::OutOfDomain { .. } => Self::OutOfDomain,
            Error::WrongUnit { .. } => Self::WrongUnit,
            Error::NewerFormat { .. } => Self::NewerFormat,
            _ => Self::Refused,
        }
    }
}

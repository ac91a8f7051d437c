//! What a rule set answers: it speaks, is silent, does not apply, or says what keeps it from speaking.

use crate::chain::{Input, Term};
use crate::error::{Error, Reading};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

/// The answer to one question.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Answer {
    /// The document speaks.
    Speaks(Box<Ruled>),
    /// The document says nothing on this.
    Silent,
    /// The document excludes this from what it governs, or from this rule.
    DoesNotApply {
        /// Why, in words.
        why: Text,
        /// Where it says so.
        source: Source,
    },
    /// A fact that decides the answer is absent or unknown.
    Missing {
        /// Name of the fact.
        fact: Text,
        /// The rule that needs it.
        needed_by: Source,
    },
    /// A fact lies outside the range for which the document gives an answer.
    OutsideRange {
        /// What was read, and what is allowed.
        reading: Reading,
        /// What the document provides for this case, in words.
        policy: Text,
        /// The rule whose range it is.
        source: Source,
    },
    /// The document does speak, but this rule set does not pass its value on: it was not seen, it stands in another
    /// document, or it is suspected to be a misprint.
    Withheld {
        /// Why, in words.
        why: Text,
        /// The value as printed, in the document's unit, where one was read.
        printed: Option<f64>,
        /// Where it stands.
        source: Source,
    },
    /// The facts themselves cannot be read: an unknown name, word or unit, or no number.
    Refused(Error),
}

impl Answer {
    /// What was ruled, if the document speaks.
    pub fn ruled(&self) -> Option<&Ruled> {
        match self {
            Self::Speaks(ruled) => Some(ruled),
            _ => None,
        }
    }

    /// The term, if the document speaks with a number.
    pub fn term(&self) -> Option<&Term> {
        self.ruled().and_then(Ruled::term)
    }

    /// The value in SI, if the document speaks with a number.
    pub fn value(&self) -> Option<f64> {
        self.term().map(|term| term.value)
    }

    /// The word, if the document speaks with words; the first of several.
    pub fn word(&self) -> Option<&str> {
        self.ruled().and_then(Ruled::word)
    }
}

/// What a document says.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Said {
    /// A number.
    Value {
        /// Symbol, name, value in SI, source, what it was looked up or computed from, and the branches not taken.
        term: Term,
        /// The value in the document's own unit.
        printed: f64,
        /// That unit; empty for a pure number.
        printed_unit: Text,
    },
    /// Words.
    Words {
        /// In the document's order of preference.
        words: Arc<[Text]>,
        /// What they were chosen by.
        inputs: Vec<Input>,
    },
}

/// A fact that the document itself replaces by the end of its range.
#[derive(Debug, Clone, PartialEq)]
pub struct Held {
    /// Name of the fact.
    pub fact: Text,
    /// Its value as stated, in `unit`.
    pub stated: f64,
    /// The value used instead, in `unit`.
    pub used: f64,
    /// The document's unit.
    pub unit: Text,
    /// Where the document says so.
    pub source: Source,
}

/// An answer with everything a report needs to show it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruled {
    /// Name of the rule.
    pub rule: Text,
    /// What it says.
    pub said: Said,
    /// Where it says it.
    pub source: Source,
    /// Facts that were held at the end of the range.
    pub held: Vec<Held>,
    /// A remark of the rule file.
    pub note: Option<Text>,
}

impl Ruled {
    /// The term of a numerical answer.
    pub const fn term(&self) -> Option<&Term> {
        match &self.said {
            Said::Value { term, .. } => Some(term),
            Said::Words { .. } => None,
        }
    }

    /// The term of a numerical answer, handed over.
    pub(crate) fn into_term(self) -> Option<Term> {
        match self.said {
            Said::Value { term, .. } => Some(term),
            Said::Words { .. } => None,
        }
    }

    /// The facts it was drawn from, as stated.
    pub fn inputs(&self) -> &[Input] {
        match &self.said {
            Said::Value { term, .. } => &term.inputs,
            Said::Words { inputs, .. } => inputs,
        }
    }

    /// The same, to be added to.
    pub(super) const fn inputs_mut(&mut self) -> &mut Vec<Input> {
        match &mut self.said {
            Said::Value { term, .. } => &mut term.inputs,
            Said::Words { inputs, .. } => inputs,
        }
    }

    /// The words of a verbal answer, in the document's order of preference; empty for a number.
    pub fn words(&self) -> &[Text] {
        match &self.said {
            Said::Words { words, .. } => words,
            Said::Value { .. } => &[],
        }
    }

    /// The first word of a verbal answer.
    pub fn word(&self) -> Option<&str> {
        self.words().first().map(Text::as_str)
    }
}

/// What one rule by itself says to a question.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Tried {
    /// Name of the rule.
    pub rule: Text,
    /// The words it answers with where it speaks; empty for a rule that answers otherwise.
    pub words: Vec<Text>,
    /// Whether it has conditions at all.
    pub conditional: bool,
    /// Where it stands.
    pub source: Source,
    /// What it says; none where its conditions are not met.
    pub answer: Option<Answer>,
}

impl Tried {
    /// Whether it speaks.
    pub const fn is_met(&self) -> bool {
        matches!(self.answer, Some(Answer::Speaks(_)))
    }
}

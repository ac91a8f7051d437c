//! One rule as read from a file: what it answers, when it speaks, from which facts, by which relation.

use super::facts::Facts;
use super::question::Question;
use super::range::Range;
use super::relation::{Product, Relation};
use super::unit::Unit;
use crate::source::Source;

/// A rule, as read from a rule file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rule {
    pub(super) question: Question,
    pub(super) symbol: String,
    pub(super) name: String,
    pub(super) when: Vec<(String, Vec<String>)>,
    pub(super) inputs: Vec<Input>,
    pub(super) requires: Vec<Requirement>,
    pub(super) relation: Relation,
    pub(super) unit: Unit,
    pub(super) source: Source,
    pub(super) note: Option<String>,
}

/// A numerical fact that a rule reads.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Input {
    pub(super) fact: String,
    pub(super) unit: Unit,
    pub(super) range: Range,
    pub(super) below: Outside,
    pub(super) above: Outside,
    /// Whether the relation uses the sine of the value, an angle.
    pub(super) sine: bool,
}

/// What the document provides for a value outside the range.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Outside {
    /// Nothing, or what these words say.
    Refuse(String),
    /// The end of the range is used; the document says so here.
    Hold(Source),
}

/// A condition in numbers, beyond the ranges of the inputs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Requirement {
    pub(super) name: String,
    pub(super) of: Product,
    pub(super) range: Range,
    pub(super) otherwise: Otherwise,
    pub(super) why: String,
}

/// What follows when a condition is not met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Otherwise {
    /// The rule does not apply.
    DoesNotApply,
    /// The facts are out of the rule's range.
    Refuse,
    /// A later rule may speak.
    NextRule,
}

/// Whether the words of a condition are met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Match {
    Yes,
    No,
    /// It depends on this fact, which is unknown.
    Unknown(String),
}

/// Whether every condition on words is met; a definite no outweighs an unknown.
pub(super) fn matches(conditions: &[(String, Vec<String>)], facts: &Facts) -> Match {
    let mut unknown = None;
    for (fact, words) in conditions {
        match facts.stated_word(fact) {
            Some(word) if words.iter().any(|known| known == word) => {}
            Some(_) => return Match::No,
            None => unknown = unknown.or(Some(fact)),
        }
    }
    unknown.map_or(Match::Yes, |fact| Match::Unknown(fact.clone()))
}

impl Rule {
    /// Whether this rule leaves nothing for a later rule that speaks only when `other` does. A table may leave a word
    /// it does not print to a later rule, but two rules under the same words contradict each other.
    pub(super) fn covers(&self, other: &Self) -> bool {
        let passes_on = self.requires.iter().any(|requirement| requirement.otherwise == Otherwise::NextRule)
            || matches!(self.relation, Relation::Table(_)) && self.when != other.when;
        let narrower = |fact: &String, words: &Vec<String>| {
            other.when.iter().any(|(other_fact, other_words)| {
                other_fact == fact && other_words.iter().all(|word| words.contains(word))
            })
        };
        self.question == other.question && !passes_on && self.when.iter().all(|(fact, words)| narrower(fact, words))
    }
}

//! One rule as read from a file: what it answers, when it speaks, from which facts, by which relation.

use super::facts::Facts;
use super::question::Question;
use super::range::{Range, same};
use super::relation::{Product, Relation};
use super::table::Rows;
use super::unit::Unit;
use super::vocabulary::{self as fact, Known, Word, WordSet};
use crate::source::Source;
use crate::text::Text;
use std::f64::consts::FRAC_PI_2;

/// A rule, as read from a rule file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rule {
    pub(super) question: Question,
    pub(super) symbol: Text,
    pub(super) name: Text,
    pub(super) when: Vec<Condition>,
    pub(super) inputs: Vec<Input>,
    pub(super) requires: Vec<Requirement>,
    pub(super) relation: Relation,
    pub(super) unit: Unit,
    /// Whether the document prints what is taken off: the answer is 1 less the value.
    pub(super) reduces: bool,
    pub(super) source: Source,
    pub(super) note: Option<Text>,
}

/// A numerical fact that a rule reads.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Input {
    pub(super) fact: &'static Known,
    pub(super) unit: Unit,
    pub(super) range: Range,
    pub(super) below: Outside,
    pub(super) above: Outside,
    pub(super) taken: Taken,
}

/// How a relation takes the value of an input.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taken {
    /// As stated.
    AsStated,
    /// The sine of it, once it is within its range.
    Sine,
    /// A right angle less the angle from horizontal: range, keys and relation count from vertical, as the document does.
    FromVertical,
}

impl Input {
    /// What the document calls the quantity.
    pub(super) const fn name(&self) -> &'static str {
        match self.taken {
            Taken::FromVertical => "angle from vertical",
            Taken::AsStated | Taken::Sine => self.fact.name,
        }
    }

    /// A stated value as the document counts it.
    pub(super) fn counted(&self, stated: f64) -> f64 {
        if self.taken != Taken::FromVertical {
            return stated;
        }
        let right_angle = self.unit.out_of_si(FRAC_PI_2);
        // A plumb leg stays plumb whatever its angle was converted from.
        if same(right_angle, stated) { 0.0 } else { right_angle - stated }
    }
}

/// What the document provides for a value outside the range.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Outside {
    /// Nothing, or what these words say.
    Refuse(Text),
    /// The end of the range is used; the document says so here.
    Hold(Source),
}

impl Outside {
    /// What is told where the file says nothing of values outside.
    pub(super) const NO_POLICY: Text = Text::fixed("the document gives no value there");
}

/// A condition in numbers, beyond the ranges of the inputs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Requirement {
    pub(super) name: Text,
    pub(super) of: Product,
    pub(super) range: Range,
    pub(super) otherwise: Otherwise,
    pub(super) why: Text,
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

/// The words of a fact under which something holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Condition {
    pub(super) fact: &'static Known,
    pub(super) words: WordSet,
}

/// Whether the words of a condition are met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Match {
    Yes,
    No,
    /// It depends on this fact, which is unknown.
    Unknown(&'static Known),
}

/// Whether every condition on words is met; a definite no outweighs an unknown.
pub(super) fn matches(conditions: &[Condition], facts: &Facts) -> Match {
    matched(conditions, |fact| facts.stated_word(fact))
}

/// Whether facts meet the conditions of an exclusion by themselves, whatever holds around them.
pub(super) fn excludes(conditions: &[Condition], facts: &Facts) -> bool {
    matched(conditions, |fact| facts.own_word(fact)) == Match::Yes
}

fn matched(conditions: &[Condition], word: impl Fn(&'static Known) -> Option<Word>) -> Match {
    let mut met = Match::Yes;
    for Condition { fact, words } in conditions {
        match word(fact) {
            Some(word) if words.contains(word) => {}
            Some(_) => return Match::No,
            None if met == Match::Yes => met = Match::Unknown(fact),
            None => {}
        }
    }
    met
}

/// Whether a fact tells what gear it is.
fn of_gear(fact: &Known) -> bool {
    *fact == fact::CONSTRUCTION || *fact == fact::MATERIAL
}

impl Rule {
    /// Whether it can exclude the whole document.
    pub(super) fn can_exclude(&self) -> bool {
        self.question.is_scope() && matches!(self.relation, Relation::DoesNotApply { .. })
    }

    /// Adds the facts that it reads, each once.
    pub(super) fn reads(&self, known: &mut Vec<&'static Known>) {
        let of = |conditions: &[Condition]| conditions.iter().map(|condition| condition.fact).collect::<Vec<_>>();
        let mut all = of(&self.when);
        all.extend(self.inputs.iter().map(|input| input.fact));
        if let Relation::Table(table) = &self.relation {
            all.extend(table.columns.iter().flat_map(|column| of(&column.words)));
            if let Rows::Word { fact, .. } = &table.rows {
                all.push(fact);
            }
        }
        for fact in all {
            if !known.contains(&fact) {
                known.push(fact);
            }
        }
    }

    /// Whether it says itself which gear it speaks of: by a condition, by its rows or by every column of its table.
    pub(super) fn names_gear(&self) -> bool {
        let named = |conditions: &[Condition]| conditions.iter().any(|condition| of_gear(condition.fact));
        named(&self.when)
            || matches!(&self.relation, Relation::Table(table) if
                matches!(&table.rows, Rows::Word { fact, .. } if of_gear(fact))
                    || !table.columns.is_empty() && table.columns.iter().all(|column| named(&column.words)))
    }

    /// Whether it names gear, and this among it, whatever else it needs to speak.
    pub(super) fn names(&self, facts: &Facts) -> bool {
        let other = |condition: &Condition| {
            of_gear(condition.fact)
                && facts.stated_word(condition.fact).is_some_and(|word| !condition.words.contains(word))
        };
        self.names_gear() && !self.when.iter().any(other)
    }

    /// The answer, in SI, that a value in the document's unit stands for.
    pub(super) fn answered(&self, printed: f64) -> f64 {
        let si = self.unit.in_si(printed);
        if self.reduces { 1.0 - si } else { si }
    }

    /// Whether this rule leaves nothing for a later rule that speaks only when `other` does. A table may leave a word
    /// it does not print to a later rule, but two rules under the same words contradict each other.
    pub(super) fn covers(&self, other: &Self) -> bool {
        let passes_on = self.requires.iter().any(|requirement| requirement.otherwise == Otherwise::NextRule)
            || matches!(self.relation, Relation::Table(_)) && self.when != other.when;
        let narrower = |condition: &Condition| {
            other.when.iter().any(|narrow| narrow.fact == condition.fact && condition.words.covers(narrow.words))
        };
        self.question == other.question && !passes_on && self.when.iter().all(narrower)
    }
}

//! Two documents that answer one question under facts that can both be met, and nobody says which of them governs.

use super::{Composition, Include};
use crate::error::{Error, Place};
use crate::rules::question::Question;
use crate::rules::relation::Relation;
use crate::rules::rule::{Condition, Rule};
use crate::rules::table::{Rows, Table};
use crate::rules::vocabulary::{Known, WordSet};

/// Complains of every question that two documents answer without a precedence, once for each.
pub(super) fn check(set: &Composition, rules: &[Rule], included: &[Include], complaints: &mut Vec<Error>) {
    let open = Question::ALL.iter().filter(|question| {
        !question.is_scope() && !set.precedence.iter().any(|precedence| precedence.answers == **question)
    });
    for question in open {
        if let Some((first, second, later)) = first_conflict(set, rules, *question) {
            let document = |part: usize| match part.checked_sub(1).and_then(|index| included.get(index)) {
                Some(include) => format!("\"{}\"", include.identity.name),
                None => "this file".to_owned(),
            };
            let name = question.name();
            let what = format!(
                "\"{}\" of {} and \"{}\" of {} both answer \"{name}\" where their words can both be met: write \
                 [[precedence]] with answers = \"{name}\", take = \"first\" or \"severest\", and the reason",
                first.1.name,
                document(first.0),
                second.1.name,
                document(later),
            );
            let place = Place::root().child("include").child(later.saturating_sub(1));
            complaints.push(Error::inconsistent(what, place));
        }
    }
}

type Found<'a> = ((usize, &'a Rule), (usize, &'a Rule), usize);

fn first_conflict<'a>(set: &Composition, rules: &'a [Rule], question: Question) -> Option<Found<'a>> {
    let of = |part: usize| set.answers(part, question).iter().filter_map(|position| rules.get(*position));
    for later in 1..set.parts.len() {
        for earlier in 0..later {
            for one in of(earlier).filter(|rule| speaks(rule)) {
                if let Some(other) = of(later).find(|other| speaks(other) && can_meet(one, other)) {
                    return Some(((earlier, one), (later, other), later));
                }
            }
        }
    }
    None
}

/// A rule that only says that it does not apply leaves the answer to others.
const fn speaks(rule: &Rule) -> bool {
    !matches!(rule.relation, Relation::DoesNotApply { .. })
}

/// Whether both rules can be reached by the same words. Numbers do not keep rules apart: outside its range a rule
/// refuses, and leaves nothing to another.
pub(in crate::rules) fn can_meet(one: &Rule, other: &Rule) -> bool {
    let (ones, others) = (reach(one), reach(other));
    !ones.iter().any(|a| others.iter().any(|b| a.fact == b.fact && a.words.is_apart_from(b.words)))
}

/// The words without which a rule does not answer: its conditions, and what a table prints rows and columns for.
fn reach(rule: &Rule) -> Vec<Condition> {
    let mut reach = rule.when.clone();
    if let Relation::Table(table) = &rule.relation {
        if let Rows::Word { fact, keys } = &table.rows {
            let words = keys.iter().fold(WordSet::default(), |all, words| all.and(*words));
            reach.push(Condition { fact, words });
        }
        reach.extend(column_facts(table).into_iter().filter_map(|fact| over_columns(table, fact)));
    }
    reach
}

fn column_facts(table: &Table) -> Vec<&'static Known> {
    table.columns.first().map(|column| column.words.iter().map(|words| words.fact).collect()).unwrap_or_default()
}

/// The words of a fact that stands over every column.
fn over_columns(table: &Table, fact: &'static Known) -> Option<Condition> {
    let mut all = WordSet::default();
    for column in &table.columns {
        all = all.and(column.words.iter().find(|words| words.fact == fact)?.words);
    }
    Some(Condition { fact, words: all })
}

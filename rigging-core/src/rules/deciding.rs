//! What decides among the rules of a set beside the rules themselves: the order in which they are asked, which document
//! governs, and where a rule stands. Two sets of the same rules part by it.

use super::compose::can_meet;
use super::difference::DetailDifference;
use super::question::Question;
use super::relation::Relation;
use super::rule::Rule;
use super::set::{RuleSet, Status};
use crate::text::Text;
use std::collections::BTreeSet;

/// A rule, and which document of its set it is of: 0 for the file itself.
pub(super) type Placed<'a> = (usize, &'a Rule);

/// What parts two sets before any question: edition, status, remark, and the documents that they include.
pub(super) fn of_headings(one: &RuleSet, other: &RuleSet) -> Vec<DetailDifference> {
    let sets = [one, other];
    let status = |set: &RuleSet| match set.status() {
        Status::InForce => "in force",
        Status::Superseded { .. } => "superseded",
    };
    let successor = |set: &RuleSet| match set.status() {
        Status::Superseded { by } => by.clone(),
        Status::InForce => None,
    };
    let mut parted = vec![
        detail("edition", sets.map(|set| Some(set.edition().clone()))),
        detail("status", sets.map(|set| Some(Text::fixed(status(set))))),
        detail("superseded by", sets.map(successor)),
        detail("note", sets.map(|set| set.note().cloned())),
    ];
    let names: BTreeSet<&str> =
        sets.iter().flat_map(|set| set.documents()).map(|document| document.name.as_str()).collect();
    for name in &names {
        let of = |set: &RuleSet| {
            let document = set.documents().iter().find(|document| document.name == *name)?;
            Some(format!("{}, {}", document.edition, document.status).into())
        };
        parted.push(detail(format!("document {name}"), sets.map(of)));
    }
    // Which documents there are is told above; here only the order of those that both include.
    let both = |name: &str| sets.iter().all(|set| set.documents().iter().any(|document| document.name == name));
    let order = |set: &RuleSet| {
        let names = set.documents().iter().map(|document| document.name.as_str()).filter(|name| both(name));
        Some(names.collect::<Vec<_>>().join(", ").into())
    };
    parted.push(detail("order of the documents", sets.map(order)));
    parted.into_iter().flatten().collect()
}

/// What decides otherwise among the rules for one question. `pairs` are the rules that both sets have, by their positions.
pub(super) fn of_question(
    question: Question,
    [one, other]: [&RuleSet; 2],
    [ones, others]: [&[Placed<'_>]; 2],
    pairs: &[(usize, usize)],
) -> Vec<DetailDifference> {
    let take = |set: &RuleSet| set.precedence(question).map(|(take, _)| Text::fixed(take));
    let reason = |set: &RuleSet| set.precedence(question).map(|(_, reason)| reason.clone());
    let mut parted = vec![
        detail("precedence", [one, other].map(take)),
        detail("reason of the precedence", [one, other].map(reason)),
    ];
    let severest = [one, other].map(|set| set.precedence(question).is_some_and(|(take, _)| take == "severest"));
    let both = |(first, second): &(usize, usize)| ones.get(*first).copied().zip(others.get(*second).copied());
    for (index, pair) in pairs.iter().enumerate() {
        let Some(((part, here), (beside, there))) = both(pair) else { continue };
        let (first, second) = pair;
        parted.push(standing(question, [one, other], [(part, here), (beside, there)]));
        for pair in pairs.iter().skip(index + 1).filter(|(_, counter)| counter != second) {
            let Some(((part_later, later_here), (part_counter, later_there))) = both(pair) else { continue };
            if !can_meet(here, later_here) && !can_meet(there, later_there) {
                continue;
            }
            let (later, counter) = pair;
            let names = names(here, later_here);
            let asked = |severest: bool, parts: [usize; 2], in_order: bool| -> Option<Text> {
                if severest && parts[0] != parts[1] {
                    return Some(Text::fixed("the severer counts"));
                }
                let [first, second] = &names;
                let (first, second) = if in_order { (first, second) } else { (second, first) };
                Some(format!("{first} before {second}").into())
            };
            let said = [
                asked(severest[0], [part, part_later], first < later),
                asked(severest[1], [beside, part_counter], second < counter),
            ];
            parted.push(detail("order", said));
        }
    }
    parted.into_iter().flatten().collect()
}

/// Where a rule stands, as far as it matters: a document's scope is its own, and that of the file everyone's.
fn standing(question: Question, sets: [&RuleSet; 2], rules: [Placed<'_>; 2]) -> Option<DetailDifference> {
    let [(one, rule), (other, _)] = rules;
    let stands = [sets[0].document_name(one), sets[1].document_name(other)];
    let excluded = [sets[0].excluding(one), sets[1].excluding(other)];
    let matters = question.is_scope() || excluded[0] != excluded[1];
    let said = stands.map(|name| Some(name.map_or(Text::fixed("the file itself"), Text::clone)));
    detail(format!("\"{}\" stands in", rule.name), said).filter(|_| matters)
}

/// The names of two rules; with their documents where the names alone are the same.
fn names(one: &Rule, other: &Rule) -> [String; 2] {
    [one, other].map(|rule| match one.name == other.name {
        true => format!("\"{}\" of {}", rule.name, rule.source.document),
        false => format!("\"{}\"", rule.name),
    })
}

/// What two sets say of one thing, where they say otherwise.
fn detail(what: impl Into<Text>, [one, other]: [Option<Text>; 2]) -> Option<DetailDifference> {
    (one != other).then(|| DetailDifference { what: what.into(), one, other })
}

impl RuleSet {
    /// The name of a document of the set; none for the file itself.
    fn document_name(&self, part: usize) -> Option<&Text> {
        self.documents().get(part.checked_sub(1)?).map(|document| &document.name)
    }

    /// The names of the rules that exclude what a document of the set says: its own, and those of the file.
    fn excluding(&self, part: usize) -> BTreeSet<&str> {
        let scope = Question::ALL.iter().filter(|question| question.is_scope());
        let rules = scope.flat_map(|question| self.placed(*question)).filter(|(of, _)| [0, part].contains(of));
        let excludes = |rule: &&Rule| matches!(rule.relation, Relation::DoesNotApply { .. });
        rules.map(|(_, rule)| rule).filter(excludes).map(|rule| rule.name.as_str()).collect()
    }
}

//! Whether a set of several documents governs a lift.
//!
//! The file's own rules of scope speak first. Of the included documents one that excludes the operation, the place or the
//! persons excludes them for the set, since its figures would else be used where it forbids them; and one that names
//! where it applies, but not this, leaves the set silent. Gear is otherwise: a set spans families, and each document
//! keeps to its own, which every question for a figure heeds.

use super::Composition;
use crate::rules::answer::Answer;
use crate::rules::facts::Facts;
use crate::rules::question::Question;
use crate::rules::rule::Rule;

impl Composition {
    pub(super) fn ask_scope(&self, rules: &[Rule], question: Question, facts: &Facts) -> Answer {
        let mut answers = self.parts.iter().map(|part| part.ask(rules, question, facts));
        match answers.next() {
            None | Some(Answer::Silent) => {}
            Some(own) => return own,
        }
        let of_gear = question == Question::AppliesToGear;
        let (mut speaks, mut excluded, mut open, mut unnamed) = (None, None, None, false);
        for (index, answer) in answers.enumerate() {
            match answer {
                Answer::Speaks(_) => speaks = speaks.or(Some(answer)),
                Answer::DoesNotApply { .. } => excluded = excluded.or(Some(answer)),
                Answer::Silent => unnamed |= !of_gear && !self.answers(index + 1, question).is_empty(),
                _ => open = open.or(Some(answer)),
            }
        }
        if of_gear {
            return open.or(speaks).or(excluded).unwrap_or(Answer::Silent);
        }
        let named = if unnamed { None } else { speaks };
        excluded.or(open).or(named).unwrap_or(Answer::Silent)
    }
}
